"""The start of a new entry, written from its schema, so that the start can never be out of date."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator, Mapping
from typing import Any

from kbgen.model.equipment import Equipment
from kbgen.ref import Kind
from kbgen.schemas import Schemas
from kbgen.schemas.placeholder import blanked, must_be_written

_WIDTH = 96
_PLAIN = re.compile(r"[A-Za-z0-9][^:#\[\]{}\n\"'`&*!|>%@,]*\Z")


_LATER = frozenset({"status", "review", "withdrawn", "walked", "accept", "taken_over"})
"""What no start of an entry has."""


def new_entry(schemas: Schemas, kind: Kind, given: Mapping[str, Any]) -> str:
    """Write the start of an entry.

    Required fields stand ready with what is given or with a placeholder that the check refuses; every other field
    stands below as a comment with its description and an example in it.

    Args:
        given: Values of fields by name, the title among them.
    """
    schema = schemas.of(kind)
    required = schema["required"]
    fields = {name: part for name, part in schema["properties"].items() if name not in _LATER}
    lines = [*_comment(schema["description"]), *_comment("Remove the # before what you need.")]
    for name in required:
        part = fields.pop(name)
        value = given[name] if name in given else blanked(part, part["examples"][0])
        lines += ["", *_comment(_about(part, name in given)), *_yaml(name, value)]
    lines += ["", *_comment("A draft is marked on every page and is never printed."), "status: draft"]
    for name, part in fields.items():
        lines += ["", *_comment(_about(part, name in given))]
        written = _yaml(name, given[name] if name in given else blanked(part, part["examples"][0]))
        lines += written if name in given else [f"# {line}" for line in written]
    return "\n".join(lines) + "\n"


def taken_over(data: Mapping[str, Any]) -> str:
    """Write a page that follows from a plant's entry as an author would: its routines, and nothing of what they write.

    The page means the same, step by step, and is its author's from here on.

    Args:
        data: The page's plain data, with the lines as ``written``.
    """
    head = {key: value for key, value in data.items() if key not in ("steps", "written", "derived")}
    lines = _comment("Each line with a routine stands for many steps; kbgen explain says what it writes.")
    lines += [line for key, value in head.items() for line in _yaml(key, value)]
    lines += _yaml("taken_over", True)
    return "\n".join([*lines, *_yaml("steps", list(data["written"]))]) + "\n"


def first_lines(plant: Equipment) -> list[dict[str, Any]]:
    """Return the lines a page of a plant may begin with; none where its entry does not say how it is handled."""
    if not (plant.arrive and plant.off_order and plant.endings and plant.firing.stop):
        return []
    at = next((index for index, each in enumerate(plant.arrive) if each.identify), 0)
    fuel = [each.id for each in plant.sources if each.energy == "fuel"]
    return [
        {"arrive": [each.id for each in plant.arrive[: at + 1]]},
        {
            "do": "Write down what the display shows.",
            "record": ["display", "first-out", "history", "resets", "gauges"],
        },
        {"burner_off": "valves"},
        {"lock_off": fuel or [plant.off_order[0]]},
        {"do": "Leave it locked. Write on the tag what was found.", "end": "left-safe"},
    ]


def _about(part: Mapping[str, Any], given: bool) -> str:
    """Return what a field is, with its example where a placeholder stands in its place."""
    example = part["examples"][0]
    said = part["description"]
    return (
        said
        if given or not isinstance(example, str) or not must_be_written(part)
        else f"{said} Example: {example}"
    )


def _comment(text: str) -> list[str]:
    return textwrap.wrap(text, _WIDTH, initial_indent="# ", subsequent_indent="# ")


def _yaml(name: str, value: Any) -> list[str]:
    return list(_field(name, value))


def _field(key: str, value: Any) -> Iterator[str]:
    if isinstance(value, list) and len(inline := _inline(key, value)) < _WIDTH:
        yield inline
    elif isinstance(value, list):
        yield f"{key}:"
        for item in value:
            yield from _item(item)
    elif isinstance(value, dict):
        yield f"{key}:"
        for name, inner in value.items():
            yield from (f"  {line}" for line in _field(name, inner))
    elif isinstance(value, str) and "\n" in value:
        yield f"{key}: |"
        yield from (f"  {line}" for line in value.splitlines())
    else:
        yield f"{key}: {_scalar(value)}"


def _inline(key: str, values: list[Any]) -> str:
    """Write a list of names on one line; what is longer or deeper takes a line each."""
    plain = all(isinstance(each, str) for each in values)
    return f"{key}: [{', '.join(map(_scalar, values))}]" if plain else " " * _WIDTH


def _item(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        lines = [line for name, inner in value.items() for line in _field(name, inner)]
        for index, line in enumerate(lines):
            yield f"    {line}" if index else f"  - {line}"
    elif isinstance(value, list):
        lines = [line for inner in value for line in _item(inner)]
        for index, line in enumerate(lines):
            yield f"    {line[2:]}" if index else f"  - {line[2:]}"
    else:
        yield f"  - {_scalar(value)}"


def _scalar(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    text = str(value)
    if _PLAIN.match(text) and not text.endswith(" "):
        return text
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
