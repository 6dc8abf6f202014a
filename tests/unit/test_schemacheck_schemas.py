"""The schema files: checked themselves, inlined, derived for editors."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from kbgen.every import read_every
from kbgen.load import Loaded, read
from kbgen.load.discover import File
from kbgen.quantity import parse
from kbgen.ref import Kind
from kbgen.resources import folder
from kbgen.schemacheck import check
from kbgen.schemacheck.checker import date_fault
from kbgen.schemas import Schemas, load_schemas
from kbgen.schemas.editor import DIALECT
from kbgen.schemas.inline import Inliner
from tests.schema_faults import _nodes, faults_in, faults_of

KINDS: list[Kind | None] = [None, *Kind]
FILES = sorted(folder("schema").glob("*.schema.json"))


@pytest.fixture(scope="module")
def schemas() -> Schemas:
    return load_schemas()


@pytest.fixture
def broken(tmp_path: Path) -> Callable[[str, Callable[[dict[str, Any]], None]], list[str]]:
    """Copy the schema files, damage one, return what is said."""

    def damage(name: str, change: Callable[[dict[str, Any]], None]) -> list[str]:
        for file in FILES:
            raw = json.loads(file.read_text(encoding="utf-8"))
            if file.name == name:
                change(raw)
            (tmp_path / file.name).write_text(json.dumps(raw), encoding="utf-8")
        return [str(fault) for fault in faults_in(tmp_path)]

    return damage


def test_the_schema_files_have_no_mistake() -> None:
    assert faults_in(folder("schema")) == []


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.name)
def test_every_schema_file_is_valid_by_the_standard(file: Path) -> None:
    Draft202012Validator.check_schema(json.loads(file.read_text(encoding="utf-8")))


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.name)
def test_every_field_is_described_with_an_example(file: Path) -> None:
    raw = json.loads(file.read_text(encoding="utf-8"))
    lacking = [
        pointer
        for pointer, node in _nodes("", raw)
        if pointer and "$ref" not in node and not (node.get("description") and node.get("examples"))
    ]
    assert lacking == []


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.name)
def test_examples_of_quantities_and_dates_are_right(file: Path) -> None:
    for _, node in _nodes("", json.loads(file.read_text(encoding="utf-8"))):
        for example in node.get("examples", []):
            if "x-quantity" in node:
                assert parse(example, node["x-quantity"])
            if "x-date" in node:
                assert date_fault(example) is None
            if "x-every" in node:
                assert read_every(example)


def test_mistakes_in_a_schema_file_stop_the_run(broken: Any) -> None:
    def damage(raw: dict[str, Any]) -> None:
        raw["$schema"] = "http://json-schema.org/draft-07/schema#"
        raw["requried"] = ["title"]
        raw["unevaluatedProperties"] = False

    said = broken("caution.schema.json", damage)
    assert said == [
        (
            "schema/caution.schema.json: /$schema: `$schema` must be the dialect "
            "https://json-schema.org/draft/2020-12/schema"
        ),
        "schema/caution.schema.json: /requried: unknown keyword `requried`; did you mean `required`?",
        "schema/caution.schema.json: /unevaluatedProperties: `unevaluatedProperties` does not exist in the declared draft",
    ]


@pytest.mark.parametrize(
    ("change", "pointer", "words"),
    [
        (lambda raw: raw.pop("$schema"), "/$schema", "missing"),
        (lambda raw: raw.update({"$schema": "https://json-schema.org/draft/2020-21/schema"}), "/$schema", "dialect"),
        (lambda raw: raw["properties"]["title"].update({"$ref": "#/$defs/nothing"}), "/properties/title/$ref", "leads nowhere"),
        (lambda raw: raw.update({"required": ["titel"]}), "/required", "not among the properties"),
        (lambda raw: raw.pop("additionalProperties"), "/additionalProperties", "misspelt field"),
        (lambda raw: raw["properties"].update({"a": {"oneOf": []}}), "/properties/a/oneOf", "is not used"),
        (lambda raw: raw["properties"].update({"a": {"type": ["string"]}}), "/properties/a/type", "one of object"),
        (lambda raw: raw["properties"].update({"a": {"type": "array"}}), "/properties/a/items", "what the list holds"),
        (lambda raw: raw["properties"].update({"a": {"type": "string", "pattern": "("}}), "/properties/a/pattern", "regular"),
        (lambda raw: raw["properties"].update({"a": {"type": "string", "x-quantity": "volt"}}), "/properties/a/x-quantity", "voltage"),
        (lambda raw: raw["properties"].update({"a": {"type": "string", "x-reference": "devise"}}), "/properties/a/x-reference", "device"),
        (lambda raw: raw.update({"x-quantities": {"title": "unit"}}), "/x-quantities", "`unit` is not among"),
        (lambda raw: raw.update({"x-quantities": ["title"]}), "/x-quantities", "a map of a field"),
        (lambda raw: raw["properties"].update({"a": {"description": "b"}}), "/properties/a/type", "one type"),
        (
            lambda raw: raw.update({"$defs": {"a": {"$ref": "#/$defs/b"}, "b": {"$ref": "#/$defs/a"}}}),
            "/$defs/a/$ref",
            "back to itself",
        ),
    ],
)  # fmt: skip
def test_each_mistake_is_named_with_its_pointer(
    broken: Any, change: Callable[[dict[str, Any]], None], pointer: str, words: str
) -> None:
    said = broken("caution.schema.json", change)
    assert any(line.startswith(f"schema/caution.schema.json: {pointer}: ") and words in line for line in said)


def test_a_missing_and_an_unreadable_schema_file(tmp_path: Path) -> None:
    (tmp_path / "kb.schema.json").write_text("{")
    said = [str(fault) for fault in faults_in(tmp_path)]
    assert said[0].startswith("schema/kb.schema.json: /: cannot be read as JSON")
    assert "schema/device.schema.json: /: the file is missing" in said


def test_references_and_texts_are_found_alongside_the_data(schemas: Schemas) -> None:
    step = {"do": "Look at [it](device:a).", "measure": "volts", "at": "X3:5", "across": "b", "reads": "off"}
    data = {"title": "x", "circuit": "limits", "tests": ["c"], "steps": [step]}
    assert list(schemas.references(Kind.PROCEDURE, data)) == [
        (("circuit",), Kind.CIRCUIT, "limits"),
        (("tests", 0), Kind.DEVICE, "c"),
        (("steps", 0, "across"), Kind.DEVICE, "b"),
    ]
    assert list(schemas.texts(Kind.PROCEDURE, data)) == [
        (("title",), "short", "x"),
        (("steps", 0, "do"), "long", "Look at [it](device:a)."),
        (("steps", 0, "at"), "code", "X3:5"),
        (("steps", 0, "reads"), "short", "off"),
    ]


GROUP = {
    "$schema": DIALECT,
    "type": "object",
    "properties": {"path": {"type": "array", "items": {"$ref": "#/$defs/part"}}},
    "additionalProperties": False,
    "$defs": {
        "part": {
            "type": "object",
            "x-heads": {
                "required": True,
                "common": {"type": "object", "properties": {"note": {"type": "string"}}},
                "heads": {
                    "contact": {
                        "type": "object",
                        "properties": {"contact": {"type": "string", "x-reference": "device"}},
                    },
                    "parallel": {
                        "type": "object",
                        "properties": {
                            "parallel": {
                                "type": "array",
                                "items": {"type": "array", "items": {"$ref": "#/$defs/part"}},
                            },
                            "closed": {"type": "boolean"},
                        },
                    },
                },
            },
        }
    },
}


def test_a_schema_may_contain_itself() -> None:
    files = {"circuit.schema.json": GROUP}
    assert list(faults_of("circuit.schema.json", GROUP, files)) == []
    schema = Inliner(files).schema("circuit.schema.json")
    text = "path: [{parallel: [[{contact: a}], [{parallel: [[{contact: b}, {contcat: c}]], closed: yes}]]}]\n"
    document, _ = read(File("circuits/a.yaml", Kind.CIRCUIT, "a"), text.encode())
    schemas = Schemas({Kind.CIRCUIT: schema}, files)
    checked = check(Loaded(Path(), (document,), (), ()), schemas)
    [problem] = checked.problems
    assert problem.hint == "Did you mean `contact`?"
    assert document.source.resolve(problem.place).column == text.index("contcat") + 1
    data = checked.documents[0].data
    assert data["path"][0]["parallel"][1][0]["closed"] is True
    assert [target for _, _, target in schemas.references(Kind.CIRCUIT, data)] == ["a", "b"]
    assert "#/$defs/circuit-part" in json.dumps(schemas.for_editor(Kind.CIRCUIT))


@pytest.mark.parametrize("kind", KINDS, ids=str)
def test_the_editors_schema_is_plain_and_forgiving(schemas: Schemas, kind: Kind | None) -> None:
    derived = schemas.for_editor(kind)
    Draft202012Validator.check_schema(derived)
    assert '"x-' not in json.dumps(derived)
    validator = Draft202012Validator(derived)
    example = {
        "title": True,
        "shop": 12,
        "key": None,
        "status": "draft",
        "steps": [{"do": 1, "isolate": "a"}],
    }
    known = {name: value for name, value in example.items() if name in derived["properties"]}
    faults = [fault.validator for fault in validator.iter_errors(known)]
    assert set(faults) <= {"required"}
    assert not validator.is_valid({**known, "no_such_field": 1})
