"""Where a field belongs that was written in the wrong place."""

from __future__ import annotations

from collections import defaultdict
from typing import NamedTuple

from kbgen.position import Route
from kbgen.schemas import Schema


class _Home(NamedTuple):
    """A place that has a field of some name: the fields above it, and the head it goes with."""

    above: tuple[str, ...]
    head: str


class Homes:
    """Every field of a schema by name, with the places it belongs to."""

    def __init__(self, schema: Schema) -> None:
        self._homes: defaultdict[str, list[_Home]] = defaultdict(list)
        self._seen: set[int] = set()
        self._visit(schema, ())

    def nearest(self, name: str, parents: Route) -> str | None:
        """Say where a field of this name belongs, as near as possible to where it was written."""
        above = tuple(step for step in parents if isinstance(step, str))
        homes = self._homes.get(name)
        if not homes:
            return None
        home = min(homes, key=lambda home: (-_shared(home.above, above), len(home.above)))
        if home.head and home.above == above:
            return f"It goes with `{home.head}`; this item is something else."
        if not home.above:
            return "It belongs at the top of the entry, without indentation."
        return f"It belongs under `{home.above[-1]}`."

    def _visit(self, schema: Schema, above: tuple[str, ...]) -> None:
        # A schema may contain itself.
        if id(schema) in self._seen:
            return
        self._seen.add(id(schema))
        self._fields(schema, above, "")
        heads = schema.get("x-heads")
        if heads:
            self._fields(heads["common"], above, "")
            for head, inner in heads["heads"].items():
                self._fields(inner, above, head)
        for keyword in ("items", "additionalProperties"):
            if isinstance(inner := schema.get(keyword), dict):
                self._visit(inner, above)

    def _fields(self, schema: Schema, above: tuple[str, ...], head: str) -> None:
        for name, inner in schema.get("properties", {}).items():
            self._homes[name].append(_Home(above, head))
            self._visit(inner, (*above, name))


def _shared(one: tuple[str, ...], other: tuple[str, ...]) -> int:
    count = 0
    for left, right in zip(one, other, strict=False):
        if left != right:
            break
        count += 1
    return count
