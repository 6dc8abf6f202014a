"""An entry gets another id: every reference follows, comments and order stay, its old address keeps working."""

from __future__ import annotations

import difflib
import json
import re
import shutil
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from kbgen.cli import main
from kbgen.pipeline import Compiled, compile_folder
from kbgen.ref import Kind, Ref
from kbgen.resources import folder
from kbgen.rewrite.names import with_names
from kbgen.schemas import leaves
from tests.unit.shops import sign_all, write_shop

DEVICE = "example-high-limit"
GOOD = Path(__file__).resolve().parents[1] / "kb" / "good"
OF_SIGNATURES = {"changed-since-signed", "figures-changed", "not-signed"}


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """The shop that everybody starts with."""
    return Path(shutil.copytree(folder("starter_shop"), tmp_path / "kb"))


def texts(root: Path) -> dict[str, list[str]]:
    return {
        path.relative_to(root).as_posix(): path.read_text(encoding="utf-8").splitlines()
        for path in sorted(root.rglob("*.yaml"))
    }


def test_every_reference_follows_and_nothing_else_changes(shop: Path) -> None:
    before = texts(shop)
    errors = {(each.rule, each.message) for each in compile_folder(shop).problems}
    assert main(["rename", "device", DEVICE, "top-limit", "--kb", str(shop)]) == 0
    after = texts(shop)
    assert "devices/top-limit.yaml" in after
    assert f"devices/{DEVICE}.yaml" not in after
    before["devices/top-limit.yaml"] = before.pop(f"devices/{DEVICE}.yaml")
    assert before.keys() == after.keys()
    for path, lines in after.items():
        changed = [line for line in difflib.ndiff(before[path], lines) if line[0] in "-+"]
        assert all(DEVICE in line or "top-limit" in line for line in changed), path
    named = "\n".join(
        line for lines in after.values() for line in lines if f"former_ids: [{DEVICE}]" not in line
    )
    assert f": {DEVICE}\n" not in named
    assert f"device:{DEVICE})" not in named
    assert {
        (each.rule, each.message.replace("top-limit", DEVICE)) for each in compile_folder(shop).problems
    } == errors


def test_links_in_text_follow_and_the_old_address_leads_on(tmp_path: Path) -> None:
    files = {
        "terms/lint.yaml": "title: Lint\nmeans: Fibres.\nstatus: approved\n",
        "terms/fluff.yaml": "title: Fluff\nmeans: The same as [lint](term:lint), not [lint bag](term:lint-bag).\nstatus: approved\n",
        "terms/lint-bag.yaml": "title: Lint bag\nmeans: It holds it.\nstatus: approved\n",
    }
    root = sign_all(write_shop(tmp_path, files))
    assert main(["rename", "term", "lint", "dust", "--kb", str(root)]) == 0
    said = (root / "terms" / "fluff.yaml").read_text(encoding="utf-8")
    assert "[lint](term:dust), not [lint bag](term:lint-bag)." in said
    compiled = compile_folder(root)
    assert compiled.base.entries[Ref(Kind.TERM, "dust")].head.former_ids == ("lint",)
    assert compiled.problems == (), "signatures of what reads as it did go along"
    assert (root / "signed" / "terms" / "dust.txt").is_file()


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("device example-hihg-limit top-limit", "did you mean `example-high-limit`?"),
        ("device example-high-limit Top", "is no id"),
        ("device example-high-limit example-thermostat", "there is a device `example-thermostat` already"),
    ],
)
def test_wrong_use_is_one_sentence(
    shop: Path, words: str, says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    before = texts(shop)
    assert main(["rename", *words.split(), "--kb", str(shop)]) == 2
    assert says in capsys.readouterr().err
    assert texts(shop) == before


def test_what_would_bring_a_new_problem_or_take_an_old_address_is_not_renamed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shop = shutil.copytree(GOOD / "routines", tmp_path / "kb")
    before = texts(shop)
    # The line would no longer name the switch, but whatever the page altered.
    assert main(["rename", "device", "flow-switch", "altered", "--kb", str(shop)]) == 2
    assert "procedures/trip.yaml [routine-misused]" in capsys.readouterr().err
    assert texts(shop) == before
    assert main(["rename", "circuit", "string", "strip", "--kb", str(shop)]) == 0
    assert main(["rename", "circuit", "strip", "chain", "--kb", str(shop)]) == 0
    shutil.copy(shop / "circuits" / "chain.yaml", other := shop / "circuits" / "other.yaml")
    text = other.read_text(encoding="utf-8")
    other.write_text(text.replace("former_ids: [string, strip]\n", ""), encoding="utf-8")
    capsys.readouterr()
    assert main(["rename", "circuit", "other", "strip", "--kb", str(shop)]) == 2
    assert "circuit:chain was called `strip` before" in capsys.readouterr().err


def told(compiled: Compiled, ending: str = "") -> Counter[tuple[str, str, str]]:
    return Counter(
        (each.rule, each.place.path.replace(f"{ending}.yaml", ".yaml"), each.message.replace(ending, ""))
        for each in compiled.problems
        if each.rule not in OF_SIGNATURES
    )


@pytest.mark.parametrize("name", ["routines", "deck-oven", "starter_shop"])
def test_every_id_of_every_kind_can_be_another(tmp_path: Path, name: str) -> None:
    root = Path(shutil.copytree(folder(name) if name == "starter_shop" else GOOD / name, tmp_path / "kb"))
    if name == "routines":
        with (root / "procedures" / "trip.yaml").open("a", encoding="utf-8") as file:
            file.write(
                "  - {id: later, do: Look at it again., ask: Is it?, outcomes: "
                "[{when: 'Yes', go: prove-trips.flow-switch}, {when: 'No', go: stop-here}]}\n"
            )
        file = root / "procedures" / "find-dead.yaml"
        text = file.read_text(encoding="utf-8")
        assert "    made: " in text
        file.write_text(
            text.replace(
                "    made: ",
                "    add: {flow-switch: {say: At once.}, open.flow-switch: {say: Slowly.}}\n    made: ",
            ),
            encoding="utf-8",
        )
    before = compile_folder(root)
    assert not [each for each in before.problems if each.rule.startswith(("routine", "unknown"))]
    new = {ref: Ref(ref.kind, f"{ref.id}-anew") for ref in before.base.entries if ref not in before.derived}
    for document in before.documents:
        file = root / document.path
        data, _ = with_names(file.read_bytes(), document.kind, before.schemas, new)
        file.unlink()
        (file.with_stem(f"{file.stem}-anew") if document.kind else file).write_bytes(data)
    after = compile_folder(root)
    assert after.base.entries.keys() - after.derived == set(new.values())
    assert told(after, "-anew") == told(before)


KINDS = {Kind.DEVICE, Kind.CIRCUIT, Kind.PROCEDURE, Kind.EQUIPMENT, Kind.SYMPTOM, Kind.FIELD_NOTE}
"""The kinds whose ids are nothing but ids: a term and a caution may be called as the thing that they speak of."""


def test_every_field_that_holds_an_id_says_so_in_its_schema(demonstration: Compiled) -> None:
    ids = {ref.id for ref in demonstration.base.entries if ref.kind in KINDS}
    unsaid = set()
    for document in demonstration.documents:
        for route, leaf, value in leaves(demonstration.schemas.of(document.kind), document.data):
            if value in ids and not leaf.keys() & {"x-reference", "x-names"} and route[0] != "former_ids":
                unsaid.add(".".join([str(document.kind), *(each for each in route if isinstance(each, str))]))
    assert unsaid == set()


def test_every_field_that_is_said_to_hold_an_id_can_be_renamed() -> None:
    about = re.compile(rf"Ids? of (?:a |the )?(?:{'|'.join(kind.value for kind in Kind)})s?\b")

    def fields(schema: Any, name: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
        if isinstance(schema, dict):
            if isinstance(schema.get("description"), str):
                yield name, schema
            for key, inner in schema.items():
                yield from fields(inner, key)

    found = [
        (name, each)
        for file in sorted((GOOD.parents[2] / "schema").glob("*.json"))
        for name, each in fields(json.loads(file.read_text(encoding="utf-8")))
        if about.match(each["description"]) and each.get("type") != "array"
    ]
    assert len(found) > 30
    assert [name for name, each in found if not each.keys() & {"x-reference", "x-names"}] == []
