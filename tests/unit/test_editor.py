"""What an editor offers while somebody writes: actions, routines, the shop's own names; never a sample for a truth."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from kbgen.cli import main
from kbgen.model.action import TABLE
from kbgen.model.routine import BY_NAME
from kbgen.ref import Kind
from kbgen.resources import folder
from kbgen.schemas import Schemas, file_name, load_schemas
from kbgen.schemas.placeholder import PLACEHOLDER

TABLE_NAMES = {row.name for row in TABLE.values()}


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A new shop, with what its editor is told."""
    assert main(["new", "shop", str(tmp_path / "kb")]) == 0
    return tmp_path / "kb"


def schema(root: Path, kind: Kind) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((root / ".editor" / file_name(kind)).read_text(encoding="utf-8"))
    return found


def step(made: dict[str, Any]) -> dict[str, Any]:
    label = made["properties"]["steps"]["items"]["$ref"].rpartition("/")[2]
    found: dict[str, Any] = made["$defs"][label]
    return found


def test_a_step_offers_every_action_and_routine_whatever_is_typed_already(shop: Path) -> None:
    offered = step(schema(shop, Kind.PROCEDURE))["properties"]
    assert {row.name for row in TABLE.values()} | BY_NAME.keys() <= offered.keys()


def test_the_shops_own_names_are_offered(shop: Path) -> None:
    made = schema(shop, Kind.PROCEDURE)
    offered = step(made)["properties"]
    assert "example-high-limit" in offered["prove_trip"]["enum"]
    assert "front-cover" in offered["open_cover"]["examples"]
    assert "mains" in offered["isolate"]["examples"]
    assert made["$defs"]["common-equipment"]["items"]["enum"] == ["example-heater"]


def test_a_machine_is_offered_what_its_family_has(shop: Path) -> None:
    offered = schema(shop, Kind.PLANT)["properties"]
    assert offered["equipment"]["enum"] == ["example-heater"]
    assert "frost-guard" in offered["options"]["items"]["examples"]
    setting = offered["settings"]["items"]["properties"]["setting"]
    assert "thermostat-opens" in setting["examples"]


def test_the_check_renews_what_is_offered_and_makes_no_folder(shop: Path) -> None:
    (shop / "devices" / "door-switch.yaml").write_text(
        "title: Door switch\nequipment: [example-heater]\n", "utf-8"
    )
    main(["check", "--kb", str(shop)])
    assert "door-switch" in step(schema(shop, Kind.PROCEDURE))["properties"]["prove_trip"]["enum"]
    shutil.rmtree(shop / ".editor")
    (shop / "devices" / "door-switch.yaml").unlink()
    main(["check", "--kb", str(shop)])
    assert not (shop / ".editor").exists()


@pytest.fixture(scope="module")
def schemas() -> Schemas:
    return load_schemas()


def parts(made: Any) -> Iterator[dict[str, Any]]:
    if isinstance(made, dict):
        yield made
    for each in made.values() if isinstance(made, dict) else made if isinstance(made, list) else ():
        yield from parts(each)


@pytest.mark.parametrize("kind", Kind)
def test_no_completion_inserts_a_sample_text(kind: Kind, schemas: Schemas) -> None:
    """An editor inserts the default of a field, or offers its examples."""
    for part in parts(schemas.for_editor(kind)):
        for example in part.get("examples", ()):
            assert not (isinstance(example, str) and len(example.split()) > 2), part
        assert part.get("default", PLACEHOLDER) == PLACEHOLDER


@pytest.mark.parametrize("kind", Kind)
def test_a_new_entry_says_nothing_that_nobody_wrote(kind: Kind, shop: Path, schemas: Schemas) -> None:
    assert main(["new", str(kind), "Something of ours", "--kb", str(shop)]) == 0
    file = shop / kind.folder / "something-of-ours.yaml"
    lines = [line for line in file.read_text("utf-8").splitlines() if not line.lstrip().startswith("#")]
    samples = {
        text
        for document in (folder("schema").glob(f"{kind}.schema.json"))
        for part in parts(json.loads(document.read_text("utf-8")))
        for text in part.get("examples", ())
        if isinstance(text, str) and " " in text
    }
    assert not [sample for sample in samples for line in lines if sample in line]


def test_an_editor_asks_no_words_of_what_needs_none(shop: Path) -> None:
    variants = step(schema(shop, Kind.PROCEDURE))["anyOf"]
    asked = {
        name: "do" in each["required"] for each in variants for name in TABLE_NAMES & set(each["required"])
    }
    assert asked == {row.name: not row.said_by for row in TABLE.values()}
