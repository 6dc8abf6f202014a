"""Walk data alongside its schema: which fields are references, which are text."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from kbgen.position import Route
from kbgen.ref import Kind
from kbgen.schemas.inline import Schema


def heads_in(schema: Mapping[str, Any], item: dict[str, Any]) -> list[str]:
    """Return the heads that an item with ``x-heads`` has.

    A key that is an ordinary field of another head present (``device`` beside ``measure``) is that
    head's field and no head of its own.
    """
    heads: dict[str, Schema] = schema["x-heads"]["heads"]
    present = [name for name in item if name in heads]
    if len(present) < 2:
        return present
    return [
        name
        for name in present
        if not any(
            name in heads[other]["properties"] and other not in heads[name]["properties"]
            for other in present
            if other != name
        )
    ]


def variant(schema: Mapping[str, Any], data: Any) -> Mapping[str, Any]:
    """Return the schema that applies to ``data``: for an item with heads that of its head."""
    if "x-heads" not in schema or not isinstance(data, dict):
        return schema
    heads = heads_in(schema, data)
    chosen: Schema = schema["x-heads"]["heads"][heads[0]] if heads else schema["x-heads"]["common"]
    return chosen


def leaves(
    schema: Mapping[str, Any], data: Any, route: Route = ()
) -> Iterator[tuple[Route, Mapping[str, Any], Any]]:
    """Yield every value that is neither map nor list, with its route and schema, in the order typed.

    Values without a schema (unknown fields) and of the wrong shape are left out.
    """
    schema = variant(schema, data)
    kind = schema.get("type")
    if isinstance(data, dict):
        if kind == "object":
            fields = schema.get("properties", {})
            other = schema.get("additionalProperties")
            for name, value in data.items():
                inner = fields.get(name) or other
                if inner:
                    yield from leaves(inner, value, (*route, name))
    elif isinstance(data, list):
        if kind == "array":
            for index, value in enumerate(data):
                yield from leaves(schema["items"], value, (*route, index))
    elif kind not in ("object", "array"):
        yield route, schema, data


def references(schema: Mapping[str, Any], data: Any) -> Iterator[tuple[Route, Kind, str]]:
    """Yield route, kind and id of every reference to another entry.

    Args:
        schema: An inlined schema, from ``Schemas.of``.
        data: Data that passed the schema check.
    """
    for route, leaf, value in leaves(schema, data):
        if "x-reference" in leaf and isinstance(value, str):
            yield route, Kind(leaf["x-reference"]), value


def references_beside(schema: Mapping[str, Any], data: Any, route: Route) -> dict[str, Kind]:
    """Return the fields of the innermost map around ``route`` that name entries, with their kinds.

    Args:
        schema: An inlined schema.
        data: Data that passed the schema check.
        route: Route of a value in it.
    """
    *_, innermost = _maps_around(schema, data, route)
    fields = innermost.get("properties", {})
    named = {name: inner.get("items", inner).get("x-reference") for name, inner in fields.items()}
    return {name: Kind(kind) for name, kind in named.items() if kind}


def fields_around(schema: Mapping[str, Any], data: Any, route: Route) -> frozenset[str]:
    """Return the names of all fields that the maps around ``route`` may have, other heads of an item included."""
    return frozenset(
        name
        for around in _maps_around(schema, data, route)
        for name in (*around.get("properties", {}), *around.get("x-heads", {}).get("heads", {}))
    )


def _maps_around(schema: Mapping[str, Any], data: Any, route: Route) -> Iterator[Mapping[str, Any]]:
    """Yield the schemas of the maps that ``route`` goes through, the innermost last; of an item its own and its head's."""
    for step in route:
        if isinstance(step, str):
            yield schema
            if (own := variant(schema, data)) is not schema:
                yield own
            schema = own.get("properties", {}).get(step) or own["additionalProperties"]
        else:
            schema = schema["items"]
        data = data[step]


def texts(schema: Mapping[str, Any], data: Any) -> Iterator[tuple[Route, str, str]]:
    """Yield route, class and text of every text an author wrote.

    The class is ``long`` (paragraphs with marks), ``code`` (a display, a terminal mark) or ``short``
    (one line of plain text). References, quantities, dates and words from a fixed list are left out.
    """
    for route, leaf, value in leaves(schema, data):
        if isinstance(value, str) and leaf.get("type") == "string" and not _coded(leaf):
            yield route, leaf.get("x-text", "short"), value


def _coded(leaf: Mapping[str, Any]) -> bool:
    return any(keyword in leaf for keyword in ("x-reference", "x-quantity", "x-date", "x-every", "enum"))
