"""What an editor is told of a shop: the schemas, with the shop's own names in them."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from kbgen.model.circuit import Circuit, Point, parts
from kbgen.model.entry import Entry
from kbgen.model.equipment import Equipment
from kbgen.ref import Kind
from kbgen.replace import replace_file
from kbgen.schemas import Schemas, file_name
from kbgen.schemas.editor import Known

FOLDER = ".editor"
"""Beside kb.yaml; nobody has to keep it."""


def editor_line(kind: Kind) -> str:
    """Return the line by which an editor finds the schema of an entry."""
    return f"# yaml-language-server: $schema=../{FOLDER}/{file_name(kind)}\n"


def names_of(entries: Iterable[Entry]) -> Known:
    """Return the names of a shop by what the schemas call them, each once, sorted."""
    found: defaultdict[str, set[str]] = defaultdict(set)
    for kind in Kind:
        found[str(kind)] = set()
    for entry in entries:
        found[str(entry.ref.kind)].add(entry.ref.id)
        match entry.record:
            case Equipment() as plant:
                for name, ids in _of_plant(plant).items():
                    found[name].update(ids)
            case Circuit(path=path):
                points = {part.point for part in parts(path) if isinstance(part, Point)}
                for name in ("test point", "point", "at", "to"):
                    found[name] |= points
    for name in ("device, memory or fuse", "device or part"):
        found[name] |= found["device"]
    return {name: tuple(sorted(ids)) for name, ids in found.items() if ids}


def _of_plant(plant: Equipment) -> dict[str, set[str]]:
    def ids(listed: Iterable[Any]) -> set[str]:
        return {each.id for each in listed}

    sources, covers, places = ids(plant.sources), ids(plant.covers), ids(plant.places)
    return {
        "source": sources,
        "electric source": ids(each for each in plant.sources if each.electric),
        "cover": covers,
        "behind": covers,
        "place": places,
        "fuel valve": ids(plant.fuel_valves),
        "fuel point": ids(plant.fuel_points),
        "zone": ids(plant.zones),
        "sizes": ids(plant.sizes),
        "size": ids(plant.sizes),
        "option": ids(plant.options),
        "setting": {each.id for each in plant.settings if each.id},
        "stage": ids(plant.sequence),
        "otherwise": ids(plant.endings),
    }


def write_schemas(root: Path, schemas: Schemas, entries: Iterable[Entry]) -> None:
    """Put the schemas where an editor's YAML support finds them; a file that would not change is left alone.

    Raises:
        OSError: One cannot be written.
    """
    known = names_of(entries)
    kinds: list[Kind | None] = [None, *Kind]
    for kind in kinds:
        text = json.dumps(schemas.for_editor(kind, known), ensure_ascii=False, indent=1) + "\n"
        file = root / FOLDER / file_name(kind)
        if not file.is_file() or file.read_bytes() != text.encode():
            replace_file(file, text.encode())


def renew(root: Path, schemas: Schemas, entries: Mapping[Any, Entry]) -> None:
    """Renew the schemas of a shop whose author has them; what cannot be written is no matter of the check."""
    if (root / FOLDER).is_dir():
        try:
            write_schemas(root, schemas, entries.values())
        except OSError:
            return
