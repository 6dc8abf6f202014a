"""Ids of entries in the text of a file: where they stand, and the file with others in their place."""

from __future__ import annotations

import codecs
import re
from collections.abc import Iterator, Mapping
from typing import Any

from kbgen.migrate.layout import Layout
from kbgen.model.routine import ROUTINES
from kbgen.ref import Kind, Ref
from kbgen.schemas import Schemas, leaves

_LINK = re.compile(r"(?<=\]\()([a-z-]+):([a-z0-9-]+)")
_STEP = "^[a-z0-9]+(-[a-z0-9]+)*(\\."
"""Begins the pattern of a field that names a step of a routine, in parts that may be ids."""

_AT_DEVICES = {row.name for row in ROUTINES.values() if "device" in row.deeds.lower()} | {"do_page"}
"""The routines whose deeds, or those of their page, may be called as the device that they are done at."""

Renames = Mapping[Ref, Ref]
"""The new name of each entry that gets one."""


def with_names(data: bytes, kind: Kind | None, schemas: Schemas, renames: Renames) -> tuple[bytes, int]:
    """Return a file with other ids of entries in it, and how many.

    Args:
        kind: Of the file's entry; ``None`` for the settings.

    Raises:
        CannotEdit: The file is no sound YAML.
    """
    mark = codecs.BOM_UTF8 if data.startswith(codecs.BOM_UTF8) else b""
    text = data.removeprefix(mark).decode("utf-8", "surrogateescape")
    if not any(old.id in text for old in renames):
        return data, 0
    edits = sorted(_edits(Layout(text), kind, schemas, renames), reverse=True)
    for start, end, typed in edits:
        text = text[:start] + typed + text[end:]
    return mark + text.encode("utf-8", "surrogateescape"), len(edits)


def _edits(
    layout: Layout, kind: Kind | None, schemas: Schemas, renames: Renames
) -> Iterator[tuple[int, int, str]]:
    for route, leaf, value in leaves(schemas.of(kind), layout.data):
        if not isinstance(value, str):
            continue
        start, end = layout.spans[route].start, layout.stop(route)
        typed = layout.text[start:end]
        if leaf.get("x-text") == "long":
            for link in _LINK.finditer(typed):
                new = _new(renames, link[1], link[2])
                if new != link[2]:
                    yield start + link.start(2), start + link.end(2), new
        elif (said := _said(leaf, value, renames)) != value:
            yield start, end, typed.replace(value, said)
    for route in _deeds(layout.data):
        name = str(route[-1])
        if (said := _in_parts(name.split("."), renames)) != name:
            yield layout.spans[route].key, layout.key_end(route), said


def _new(renames: Renames, kind: str, name: str) -> str:
    found = renames.get(Ref(Kind(kind), name)) if kind in Kind.__members__.values() else None
    return found.id if found else name


def _said(leaf: Mapping[str, Any], value: str, renames: Renames) -> str:
    """Return what a field says after the renaming."""
    if kind := leaf.get("x-reference"):
        return _new(renames, kind, value)
    if "device" in leaf.get("x-names", ""):
        return _new(renames, Kind.DEVICE, value)
    if str(leaf.get("pattern", "")).startswith(_STEP):
        line, *deed = value.split(".")
        return ".".join(filter(None, (line, _in_parts(deed, renames))))
    return value


def _in_parts(deed: list[str], renames: Renames) -> str:
    """Return the name of what a routine does; it may be called as the device that it is done at."""
    return ".".join(_new(renames, Kind.DEVICE, part) for part in deed)


def _deeds(value: Any, route: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Yield the routes of what is added to what a routine does at devices: its names hold their ids."""
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    at_devices = isinstance(value, dict) and not _AT_DEVICES.isdisjoint(value)
    for name, inner in items:
        if name == "add" and at_devices and isinstance(inner, dict):
            yield from ((*route, name, each) for each in inner)
        yield from _deeds(inner, (*route, name))
