"""Text that would not be published as it was typed: line ends and markup where there are none, lost signs."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from kbgen.load import Document
from kbgen.position import Route, Spot
from kbgen.problems import Problem, shown
from kbgen.schemacheck.rules import FIELD_IN_TEXT, MARKUP_IN_LINE, SPACE_IN_LINE, TEXT_CHANGED
from kbgen.schemas import Schema, fields_around, leaves
from kbgen.text import told

_SPACE = re.compile(r"[\n\t]|^\s|\s$")
_MARKUP = re.compile(
    r"\[[^\[\]\n]*\]\([A-Za-z_-]+:[^()\s]*\)"  # a link to an entry
    r"|(?<![\w*])\*\*(?=[^\s*])[^*\n]*[^\s*]\*\*(?![\w*])"  # strong
    r"|`[^`\n]+`"  # a mark of the panel
)


_FIELD = re.compile(r"\s*(([a-z]+(?:[_-][a-z]+)*):)(?=\s|$)")


def text_problems(document: Document, schema: Schema, data: Mapping[str, Any]) -> Iterator[Problem]:
    """Report every text of a document that a page would not show as it was typed.

    Args:
        schema: The inlined schema of its kind.
        data: Its data, typed.
    """
    for route, leaf, value in leaves(schema, data):
        if isinstance(value, str):
            spot = Spot(document.path, route)
            if leaf.get("x-text") == "long":
                if swallowed := _field_in(document, schema, data, route):
                    yield FIELD_IN_TEXT.at(
                        Spot(document.path, route, find=swallowed),
                        f"`{swallowed}` stands inside the text of {_name(route)} and would be read as part of it",
                        "Move it to the left, beside the other fields; if it is text, begin the line with another word.",
                    )
                for found in told(value):
                    place = Spot(document.path, route, find=found.piece)
                    yield TEXT_CHANGED.at(place, found.message, found.hint)
            elif _SPACE.search(value):
                yield _space(spot, route, value)
            elif leaf.get("x-text") != "code" and (markup := _MARKUP.search(value)):
                found_markup = markup.group()
                yield MARKUP_IN_LINE.at(
                    Spot(document.path, route, find=found_markup),
                    f"nothing in {_name(route)} is markup; `{shown(found_markup)}` would stand there with its signs",
                    "Leave the signs out; links and marks stand in long texts only.",
                )


def _field_in(document: Document, schema: Schema, data: Mapping[str, Any], route: Route) -> str | None:
    """Find a field of a map around a long text that was indented into it: a line begins with its name and colon."""
    span = document.source.spans.get(route)
    _, *below = document.source.text[span.start : span.end].split("\n") if span else ("",)
    lines = [found for line in below if (found := _FIELD.match(line))]
    known = fields_around(schema, data, route) if lines else ()
    return next((found[1] for found in lines if found[2] in known), None)


def _space(spot: Spot, route: Route, value: str) -> Problem:
    name = _name(route)
    if "\n" in value.strip():
        message = f"{name} is one line, and this text has {len(value.split(chr(10)))}"
        return SPACE_IN_LINE.at(spot, message, "Write it on one line; a long one may be wrapped unquoted.")
    if "\t" in value.strip():
        return SPACE_IN_LINE.at(spot, f"a TAB stands in {name}", "Type a blank.")
    message = f"{name} begins or ends with a blank, which no page shows"
    return SPACE_IN_LINE.at(spot, message, f"Write `{shown(value.strip())}`, without the blank.")


def _name(route: Route) -> str:
    last = next((step for step in reversed(route) if isinstance(step, str)), "this field")
    return f"`{last}`"
