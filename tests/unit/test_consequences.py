"""What follows from an error is not listed beside it, and comes back when the error is mended."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from kbgen.pipeline import Compiled
from kbgen.report import locate
from tests import shared

PLANT = "equipment/ondrel-sb.yaml"
NAMES = {"unknown-name", "routine-unknown-name"}
"""Of a step as written, and of a routine."""


@pytest.fixture
def shop(tmp_path: Path, demonstration: Compiled) -> Path:
    """A copy of the demonstration, which was compiled: a slip costs what it changes."""
    return shutil.copytree(shared.DEMONSTRATION, tmp_path / "kb")


def change(shop: Path, path: str, pattern: str, text: str) -> None:
    file = shop / path
    changed, count = re.subn(pattern, text, file.read_text(encoding="utf-8"), flags=re.MULTILINE)
    assert count
    file.write_text(changed, encoding="utf-8")


def errors(shop: Path) -> set[tuple[str, str]]:
    compiled = shared.compiled(shop)
    assert not compiled.sound
    return {
        (each.path, each.rule)
        for each in locate(compiled.problems, compiled.documents)
        if each.severity == "error"
    }


@pytest.mark.parametrize(
    "path",
    [
        PLANT,
        "circuits/sb-limits.yaml",
        "devices/sb-first-low-water.yaml",
        "procedures/sb-make-safe.yaml",
        "cautions/dry-boiler.yaml",
        "symptoms/sb-limits-not-made.yaml",
    ],
)
def test_a_broken_file_is_the_only_one_named(shop: Path, path: str) -> None:
    change(shop, path, "^title:.*", "title: [a")
    assert errors(shop) == {(path, "open-bracket")}


@pytest.mark.parametrize("name", ["control", "fan", "gas", "panel-door", "burner-cock", "sb-1"])
def test_a_renamed_part_of_the_plant_is_only_told_where_it_is_named(shop: Path, name: str) -> None:
    change(shop, PLANT, rf"\bid: {name}\b", f"id: {name}-x")
    compiled = shared.compiled(shop)
    found = [each for each in compiled.problems if each.severity == "error"]
    assert found
    assert {each.rule for each in found} <= NAMES
    assert [each.message for each in found if f"`{name}" not in each.message] == []


@pytest.mark.parametrize(
    ("page", "step", "rule"),
    [
        ("td-reset-exhaust-limit", "leave-now", "line-leads-nowhere"),
        ("sb-leave-safe", "altered", "line-leads-nowhere"),
    ],
)
def test_a_misspelt_step_is_not_said_to_be_out_of_reach_too(
    shop: Path, page: str, step: str, rule: str
) -> None:
    path = f"procedures/{page}.yaml"
    change(shop, path, rf"go: {step}\b", f"go: {step[:-1]}")
    assert errors(shop) == {(path, rule)}


def test_a_cover_misspelt_where_it_is_opened_is_not_told_where_it_is_read_and_put_back(shop: Path) -> None:
    path = "procedures/sb-prove-combustion-air.yaml"
    change(shop, path, r"open: \[panel-door\]", "open: [panel-dor]")
    change(shop, path, r"put_back: \[all\]", "put_back: [panel-door]")
    found = [each for each in shared.compiled(shop).problems if each.severity == "error"]
    assert {each.rule for each in found} == {"routine-unknown-name"}
    assert all("`panel-dor`" in each.message for each in found)


def test_a_page_does_not_wait_for_what_only_names_the_page(shop: Path) -> None:
    path = "procedures/sb-find-open-contact.yaml"
    change(
        shop,
        "circuits/sb-limits.yaml",
        "^means: [|]\n",
        "means: |\n  See [the hunt](procedure:sb-find-open-contact).\n\n",
    )
    change(shop, path, r"^  - open: \[panel-door\]\n", "")
    assert errors(shop) == {(path, "routine-misused")}


def test_what_a_misspelt_contact_means_is_not_missed_in_a_hunt_too(shop: Path) -> None:
    change(shop, "circuits/sb-running.yaml", "contact: sb-outlet-damper", "contact: sb-outlet-dampers")
    assert errors(shop) == {("circuits/sb-running.yaml", "unknown-reference")}


def test_what_was_not_judged_is_told(shop: Path) -> None:
    change(shop, PLANT, "^title:.*", "title: [a")
    told = shared.compiled(shop).not_run
    assert any(
        re.fullmatch(r"rules about \d+ entries that name something wrong or broken .*", each) for each in told
    )


@pytest.mark.parametrize(
    ("path", "wrong", "typed"),
    [
        (
            "procedures/sb-leave-safe.yaml",
            r"^  - lock_off: \[gas\]\n",
            "  - do: Swing the lock plate over the plant cock.\n    isolate: gas\n",
        ),
    ],
)
def test_an_unsafe_procedure_is_still_refused_beside_another_broken_file(
    shop: Path, path: str, wrong: str, typed: str
) -> None:
    change(shop, "terms/jumper.yaml", "^title:.*", "title: [a")
    change(shop, path, wrong, typed)
    assert errors(shop) >= {("terms/jumper.yaml", "open-bracket"), (path, "off-without-lock")}


def test_a_device_misspelt_in_a_circuit_is_not_told_to_stand_in_no_circuit_too(shop: Path) -> None:
    change(shop, "circuits/sb-running.yaml", r"contact: sb-outlet-damper", "contact: sb-outlet-dampers")
    compiled = shared.compiled(shop)
    found = {each.rule for each in compiled.problems}
    assert "unknown-reference" in found
    assert "device-in-no-circuit" not in found
    assert any("what no entry does" in each for each in compiled.not_run)


@pytest.mark.parametrize(
    ("wrong", "typed", "rule"),
    [
        ("impedance: 22 kΩ to 33 kΩ", "impedance: 20 Ω", "draws-too-much"),
        ("point: T27", "point: T90", "point-twice"),
        ("voltage: 120 V ± 10 %", "voltage: 12 V ± 10 %", "figures-differ"),
        ("rating: 3 A", "rating: 3 mA", "figures-differ"),
    ],
)
def test_one_slip_in_a_circuit_is_one_problem_of_it(shop: Path, wrong: str, typed: str, rule: str) -> None:
    path = "circuits/sb-limits.yaml"
    change(shop, path, wrong, typed)
    compiled = shared.compiled(shop)
    told = locate(compiled.problems, compiled.documents)
    # That it was signed otherwise is told of every edit.
    found = [each.rule for each in told if each.path == path and each.rule != "changed-since-signed"]
    assert found == [rule]
