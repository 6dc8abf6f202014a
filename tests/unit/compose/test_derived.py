"""Pages that follow from a plant's entry alone: drafts that nobody has walked, and that lead nowhere."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from kbgen.cli import main
from kbgen.model.procedure import Procedure
from kbgen.outputs.index import make_index
from kbgen.outputs.web import web_leaves
from kbgen.pipeline import Compiled, compile_folder
from kbgen.problems import Severity
from kbgen.ref import Kind, Ref
from kbgen.store import Store

OVEN = Path(__file__).parents[2] / "kb" / "good" / "deck-oven"
IDS = ["bralk-bo-make-safe", "bralk-bo-record", "interlock-string-find-dead", "interlock-string-find-live"]


@cache
def oven() -> Compiled:
    return compile_folder(OVEN)


def page(name: str, compiled: Compiled | None = None) -> Procedure:
    found = (compiled or oven()).base.procedure(name)
    assert found is not None
    return found


def changed(tmp_path: Path, file: str, change: Callable[[str], str]) -> Compiled:
    shop = tmp_path / "kb"
    if not shop.exists():
        shutil.copytree(OVEN, shop)
    path = shop / file
    path.write_text(change(path.read_text(encoding="utf-8") if path.exists() else ""), encoding="utf-8")
    return compile_folder(shop)


def told(compiled: Compiled) -> list[tuple[str, str, str]]:
    errors = [each for each in compiled.problems if each.severity is Severity.ERROR]
    return [(each.place.path, each.rule, f"{each.message}. {each.hint}") for each in errors]


def test_a_plant_described_for_the_first_time_has_four_drafts_and_no_error() -> None:
    assert sorted(each.id for each in oven().derived) == IDS
    assert told(oven()) == []
    assert oven().verdict.notes == ()
    assert all(oven().walks[ref].complete and not oven().walks[ref].violations for ref in oven().derived)


def test_they_are_read_and_not_done_and_have_nothing_to_tick() -> None:
    leaves = {leaf.address: leaf.body for leaf in web_leaves(oven())}
    written = "procedures/back.html"
    assert 'type="checkbox"' in leaves[written]
    for ref in oven().derived:
        assert "kb-tick" in leaves[f"procedures/{ref.id}.html"]
        assert 'type="checkbox"' not in leaves[f"procedures/{ref.id}.html"]


def test_they_open_with_who_has_not_walked_them_and_are_drafts_outside_of_the_search() -> None:
    pages = {page.ref: page for page in oven().book().pages}
    for ref in oven().derived:
        assert pages[ref].draft
        assert pages[ref].lead.startswith("Nobody has walked this at the plant.")
    found = {entry.address for entry in make_index(oven()).entries}
    assert "procedures/back.html" in found
    assert not {f"procedures/{name}.html" for name in IDS} & found


def test_nothing_that_is_derived_returns_energy_or_the_plant() -> None:
    keys = {key for ref in oven().derived for step in oven().base.entries[ref].data["steps"] for key in step}
    ends = {step.get("end") for ref in oven().derived for step in oven().base.entries[ref].data["steps"]}
    assert "prove_dead" in keys
    assert not keys & {"restore", "unlock", "open_valve", "reset", "fit"}
    assert ends <= {None, "left-safe", "evacuated"}


def test_a_live_page_starts_only_what_its_contacts_ask_for() -> None:
    # The air switch is open at rest: with nothing running the walk refuses the hunt.
    keys = [line for line in page("interlock-string-find-live").written if "burner_on" in line]
    assert keys == [{"burner_on": "demand"}]


def test_what_the_entry_lacks_is_a_note_and_no_error(tmp_path: Path) -> None:
    (tmp_path / "kb").mkdir()
    shutil.copytree(OVEN, tmp_path / "kb", dirs_exist_ok=True)
    (tmp_path / "kb" / "procedures" / "back.yaml").unlink()
    (tmp_path / "kb" / "devices" / "overheat-limiter.yaml").write_text(
        (OVEN / "devices" / "overheat-limiter.yaml")
        .read_text(encoding="utf-8")
        .replace("reset_by: back\n", ""),
        encoding="utf-8",
    )
    lacking = changed(tmp_path, "equipment/bralk-bo.yaml", lambda text: text.partition("  - id: not-dead")[0])
    assert told(lacking) == []
    assert sorted(each.id for each in lacking.derived) == [IDS[1], IDS[3]]
    assert [note.split(":")[0] for note in lacking.verdict.notes] == ["equipment/bralk-bo.yaml"] * 2
    assert "`bralk-bo-make-safe`" in lacking.verdict.notes[0]
    assert "no ending called `not-dead`" in lacking.verdict.notes[0].replace("bralk-bo ", "")


def test_a_device_with_another_name_is_named(tmp_path: Path) -> None:
    (tmp_path / "kb").mkdir()
    shutil.copytree(OVEN, tmp_path / "kb", dirs_exist_ok=True)
    (tmp_path / "kb" / "procedures" / "back.yaml").unlink()
    found = changed(
        tmp_path,
        "circuits/interlock-string.yaml",
        lambda text: text.replace("contact: overheat-limiter", "contact: over-heat-limiters"),
    )
    said = " ".join(found.verdict.notes)
    assert (
        "over-heat-limiters, which has no entry. Did you mean overheat-limiter? Else write devices/" in said
    )


def test_ohms_say_of_each_fuse_whether_they_go_through_it(tmp_path: Path) -> None:
    # A fuse in line with a contact, and no point between the two.
    limiter = "  - {contact: overheat-limiter}\n"
    compiled = changed(
        tmp_path,
        "circuits/interlock-string.yaml",
        lambda text: text.replace(limiter, limiter + "  - {fuse: F3, rating: 1 A}\n"),
    )
    steps = compiled.base.entries[Ref(Kind.PROCEDURE, "interlock-string-find-dead")].data["steps"]
    said = {step["id"].removeprefix("hunt-dead."): step["do"] for step in steps if "id" in step}
    assert "Or fuse `F3` is open." in said["open.overheat-limiter"]
    assert "fuse" not in said["open.deck-thermostat"]
    assert "across fuse `F2`" in said["F2"]
    assert "fuse" not in said["not-shown"]
    assert "F3" not in said["not-shown"]


def test_a_plant_that_does_not_say_how_it_is_handled_is_left_alone(tmp_path: Path) -> None:
    def bare(text: str) -> str:
        return text.partition("arrive:")[0]

    (tmp_path / "kb").mkdir()
    shutil.copytree(OVEN, tmp_path / "kb", dirs_exist_ok=True)
    (tmp_path / "kb" / "procedures" / "back.yaml").unlink()
    alone = changed(tmp_path, "equipment/bralk-bo.yaml", bare)
    assert (alone.derived, alone.verdict.notes) == (frozenset(), ())


@pytest.mark.parametrize(
    ("lines", "gone"),
    [
        ("- {arrive: [all]}\n- {make_safe: [gas, mains]}\n- {do: Hang the tag., end: left-safe}\n", IDS[0]),
        (
            "- {arrive: [all]}\n- {hunt_dead: interlock-string, found: t, made: t}\n- {id: t, do: Hang the tag., end: left-safe}\n",
            IDS[2],
        ),
    ],
)
def test_a_page_of_one_s_own_takes_the_place_of_its_kind(tmp_path: Path, lines: str, gone: str) -> None:
    own = "title: Own\nequipment: [bralk-bo]\nsteps:\n" + lines
    found = changed(tmp_path, "procedures/own.yaml", lambda _: own)
    assert sorted(each.id for each in found.derived) == [name for name in IDS if name != gone]


@pytest.mark.parametrize(
    "lines",
    [
        "- {do: Go on there., end: found, next: bralk-bo-make-safe}\n",
        "- {do_page: bralk-bo-make-safe}\n- {do: Hang the tag., end: left-safe}\n",
    ],
)
def test_no_page_leads_to_what_nobody_has_walked(tmp_path: Path, lines: str) -> None:
    own = "title: Own\nequipment: [bralk-bo]\nsteps:\n- {arrive: [all]}\n" + lines
    found = told(changed(tmp_path, "procedures/own.yaml", lambda _: own))
    assert ("procedures/own.yaml", True) in [
        (path, "new procedure bralk-bo-make-safe --derived" in text) for path, _, text in found
    ]


@pytest.mark.parametrize("name", IDS)
def test_a_page_that_is_taken_over_has_the_same_steps(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str
) -> None:
    shop = shutil.copytree(OVEN, tmp_path / "kb")
    assert main(["new", "procedure", name, "--derived", "--kb", str(shop), "--no-cache"]) == 0
    assert "a draft that is yours now" in capsys.readouterr().out
    text = (shop / "procedures" / f"{name}.yaml").read_text(encoding="utf-8")
    assert "make-safe." not in text
    assert max(map(len, text.splitlines())) < 120
    taken = compile_folder(shop)
    ref = Ref(Kind.PROCEDURE, name)
    assert ref not in taken.derived
    assert taken.base.entries[ref].data["steps"] == oven().base.entries[ref].data["steps"]


def test_only_what_is_derived_can_be_taken_over(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["new", "procedure", "bralk-bo-make-saf", "--derived", "--kb", str(OVEN), "--no-cache"]) == 2
    assert "bralk-bo-make-safe" in capsys.readouterr().err


def test_they_follow_the_plant_and_are_found_as_they_were_made(tmp_path: Path) -> None:
    shop = shutil.copytree(OVEN, tmp_path / "kb")
    (tmp_path / "store.sqlite").touch()

    def steps() -> list[str]:
        with Store(tmp_path / "store.sqlite") as store:
            return [str(step.do) for step in page(IDS[0], compile_folder(shop, store=store)).steps]

    first = steps()
    assert steps() == first
    plant = shop / "equipment" / "bralk-bo.yaml"
    plant.write_text(
        plant.read_text(encoding="utf-8").replace("isolator Q1", "isolator Q7"), encoding="utf-8"
    )
    assert steps() == [
        each.replace("Q1", "Q7") if "Q1" in each and "plates" not in each else each for each in first
    ]
