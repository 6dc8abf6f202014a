"""The model holds more plant than the one it was made for.

Every field of every schema is used by an entry somebody wrote: in the demonstration, in the starter of
``kbgen new shop`` or in one of the good knowledge bases. A field that nobody uses is deleted, or
somebody writes the entry that needs it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import reduce
from pathlib import Path
from typing import Any

from kbgen.load import load
from kbgen.ref import Kind
from kbgen.schemas import Schemas, file_name, load_schemas
from kbgen.schemas.faults import find_ref

ROOT = Path(__file__).resolve().parents[2]
GOOD = ROOT / "tests" / "kb" / "good"
BASES = (
    ROOT / "kb_source",
    ROOT / "kbgen" / "starter_shop",
    *sorted(path for path in GOOD.iterdir() if path.is_dir()),
)


class Counter:
    """Counts fields in the schema files as written: what several places share is one field."""

    def __init__(self, schemas: Schemas) -> None:
        self.files = schemas.files
        self.places: dict[tuple[int, str], str] = {}
        self.used: set[tuple[int, str]] = set()
        of_kinds = [schemas.files[file_name(kind)]["properties"] for kind in Kind]
        every_kind = reduce(lambda names, fields: names & fields.keys(), of_kinds, set(of_kinds[0]))
        self.shared = {name: id(of_kinds[0]) for name in every_kind}

    def field(self, properties: Mapping[str, Any], name: str, *, top: bool) -> tuple[int, str]:
        """Name a field; what every kind of entry has is one field."""
        return (self.shared[name] if top and name in self.shared else id(properties)), name

    def list_fields(self, home: str, raw: Mapping[str, Any], where: str, *, top: bool = False) -> None:
        """Note every field below a part of a schema, with the place where a reader finds it."""
        home, raw = self.target(home, raw)
        for head, part in variants(raw):
            properties = part.get("properties", {})
            for name, inner in properties.items():
                key = self.field(properties, name, top=top)
                if key not in self.places:
                    self.places[key] = f"{where}.{head}{name}"
                    self.list_fields(home, inner, f"{where}.{head}{name}")
        if isinstance(raw.get("items"), dict):
            self.list_fields(home, raw["items"], f"{where}[]")

    def count(self, home: str, raw: Mapping[str, Any], data: Any, *, top: bool = False) -> None:
        """Note every field that a piece of data uses."""
        home, raw = self.target(home, raw)
        if isinstance(data, list):
            for item in data:
                self.count(home, raw["items"], item)
        elif isinstance(data, dict):
            for head, part in variants(raw):
                properties = part.get("properties", {})
                if not head or head.removesuffix(": ") in data:
                    for name in properties.keys() & data.keys():
                        self.used.add(self.field(properties, name, top=top))
                        self.count(home, properties[name], data[name])

    def target(self, home: str, raw: Mapping[str, Any]) -> tuple[str, Mapping[str, Any]]:
        """Follow references to the part of a schema that they name."""
        while "$ref" in raw:
            found = find_ref(home, raw["$ref"], self.files)
            assert found, raw["$ref"]
            home, raw = found
        return home, raw


def variants(raw: Mapping[str, Any]) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Yield what an object is made of: itself, or what all its heads share and each head."""
    yield "", raw
    if "x-heads" in raw:
        yield "", raw["x-heads"]["common"]
        yield from ((f"{name}: ", part) for name, part in raw["x-heads"]["heads"].items())


def unused(bases: tuple[Path, ...]) -> list[str]:
    """List the fields that no entry of these knowledge bases uses."""
    schemas = load_schemas()
    counter = Counter(schemas)
    for kind in (None, *Kind):
        name = file_name(kind)
        counter.list_fields(name, schemas.files[name], str(kind or "kb"), top=kind is not None)
    for base in bases:
        for document in load(base).documents:
            name = file_name(document.kind)
            counter.count(name, schemas.files[name], document.data, top=document.kind is not None)
    return sorted(where for key, where in counter.places.items() if key not in counter.used)


def test_every_field_of_every_schema_is_used_by_an_entry() -> None:
    assert unused(BASES) == []


def test_without_the_entries_the_fields_are_missed() -> None:
    missed = unused((GOOD / "smallest",))
    assert {"circuit.supply.voltage", "procedure.steps[].fit: name"} <= set(missed)
    assert "kb.shop" not in missed
