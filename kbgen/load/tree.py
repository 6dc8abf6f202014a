"""From YAML events to plain data that holds exactly what was typed, and where it stands.

The parser's own resolution of words into numbers, dates and booleans is not used: every value stays
text. Anchors, aliases, tags, merge keys, repeated keys and keys that are not text are refused.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import yaml

from kbgen.load.characters import FORBIDDEN, FORBIDDEN_CHARACTER, name_of
from kbgen.load.fault import (
    DEEPEST,
    FILES,
    NESTED_TOO_DEEPLY,
    TOO_DEEP,
    YAML_ALIAS,
    YAML_ANCHOR,
    YAML_TAG,
    Fault,
)
from kbgen.load.letters import odd_letters
from kbgen.load.source import Span
from kbgen.load.stops import explain_stop
from kbgen.load.torn import torn_items
from kbgen.position import Route

_Loader: Any = getattr(yaml, "CLoader", yaml.SafeLoader)
_BLANKS = re.compile(r"[ \t]+$", re.MULTILINE)
_QUOTE_TEXT = "Quote the value if it is text."


class _TooDeepError(Exception):
    """Nesting beyond what any entry needs; also keeps recursion here shallow."""


REPEATED_FIELD = FILES.error(
    "repeated-field",
    "Of two fields of one name the first would be dropped, and with it perhaps a caution.",
    "cautions: [hot-water]\ncautions: []",
    "cautions: [hot-water]",
)
FIELD_NAME = FILES.error("field-name", "The name of a field is one plain word.", "? [a, b]\n: c", "title: c")
YAML_MERGE = FILES.error(
    "yaml-merge",
    "Fields merged in from elsewhere cannot be reviewed where they are used.",
    "<<: *common",
    "equipment: [ondrel-sb]",
)


class Tree:
    """What one text holds.

    Attributes:
        data: Maps, lists, text and ``None``; ``None`` when nothing could be read.
        spans: Where every value stands.
        faults: What was refused on the way, including the parser's stop.
    """

    def __init__(self, text: str, loader: Any = None) -> None:
        self.data: Any = None
        self.spans: dict[Route, Span] = {}
        self.faults: list[Fault] = []
        self._source = text
        parser = (loader or _Loader)(text)
        self._next: Callable[[], Any] = parser.get_event
        try:
            self._document()
        except _TooDeepError:
            self.data = None
        except yaml.MarkedYAMLError as stop:
            self.data = None
            self.faults.append(explain_stop(stop, text))
        finally:
            parser.dispose()

    def _document(self) -> None:
        event = self._next()
        while not isinstance(event, (yaml.StreamEndEvent, yaml.NodeEvent)):
            event = self._next()
        if isinstance(event, yaml.NodeEvent):
            self.data = self._node(event, (), 0, None)
            self._next()  # the end of the document
            self._next()  # a second document cannot follow: the scanner has blanked it out

    def _node(self, event: Any, route: Route, depth: int, key: int | None) -> Any:
        kind = type(event)
        start = event.start_mark.index
        if kind is yaml.ScalarEvent:
            if event.anchor or event.tag:
                self._refuse_mark(event)
            self._place(route, start, event.end_mark.index, key)
            return self._text(event)
        if kind is yaml.AliasEvent:
            message = (
                "`*` at the start of a value repeats a named piece of YAML (an alias); it is not used here"
            )
            self.faults.append(Fault(YAML_ALIAS, start, message, _QUOTE_TEXT))
            return None
        if event.anchor or event.tag:
            self._refuse_mark(event)
        if depth >= DEEPEST:
            self.faults.append(Fault(NESTED_TOO_DEEPLY, start, *TOO_DEEP))
            raise _TooDeepError
        value: Any
        if kind is yaml.SequenceStartEvent:
            value, end = self._list(route, depth, flow=event.flow_style)
        else:
            value, end = self._map(route, depth)
        self._place(route, start, end, key)
        return value

    def _list(self, route: Route, depth: int, *, flow: bool) -> tuple[list[Any], int]:
        items: list[Any] = []
        event: Any = self._next()
        while type(event) is not yaml.SequenceEndEvent:
            items.append(self._node(event, (*route, len(items)), depth + 1, None))
            event = self._next()
        if flow and not self.faults:
            starts = [self.spans[*route, index].start for index in range(len(items))]
            self.faults += torn_items(items, starts, self._source)
        return items, _end_of(event)

    def _map(self, route: Route, depth: int) -> tuple[dict[str, Any], int]:
        fields: dict[str, Any] = {}
        given: dict[str, int] = {}
        event: Any = self._next()
        while type(event) is not yaml.MappingEndEvent:
            start = event.start_mark.index
            name = self._key(event, route, depth)
            value = self._node(self._next(), (*route, name), depth + 1, start)
            if name in given:
                self.faults.append(
                    Fault(
                        REPEATED_FIELD,
                        start,
                        f"`{name}` was already given on line {{line}}",
                        "Keep one of the two.",
                        given[name],
                        "first given here",
                    )
                )
            else:
                given[name] = start
                fields[name] = value
            event = self._next()
        return fields, _end_of(event)

    def _key(self, event: Any, route: Route, depth: int) -> str:
        start = event.start_mark.index
        if type(event) is yaml.ScalarEvent:
            if event.anchor or event.tag:
                self._refuse_mark(event)
            name: str = event.value
            if name == "<<" and not event.style:
                message = "`<<` merges pieces of YAML; it is not used here"
                self.faults.append(Fault(YAML_MERGE, start, message, "Write the fields out."))
            elif not name:
                self.faults.append(
                    Fault(FIELD_NAME, start, "a field without a name", "Type its name before the colon.")
                )
            return name
        self._node(event, (*route, "?"), depth + 1, None)
        self.faults.append(Fault(FIELD_NAME, start, "a field's name must be text", _QUOTE_TEXT))
        return "?"

    def _text(self, event: Any) -> str | None:
        value: str = event.value
        style = event.style
        if not style:
            return value or None
        if style in "|>":
            # How a block ends (`|`, `|-`, a missing last line end) must not change a page.
            return _BLANKS.sub("", value).rstrip("\n")
        if style == '"':
            self._escapes(event.start_mark.index, event.end_mark.index, value)
        return value

    def _escapes(self, start: int, end: int, value: str) -> None:
        """Report what a backslash in double quotes would bring in, and no key can."""
        if hidden := FORBIDDEN.search(value):
            message = f"a backslash in the quoted text makes {name_of(hidden.group())}"
            hint = "Use single quotes if the backslash is text."
            self.faults.append(Fault(FORBIDDEN_CHARACTER, start, message, hint))
        elif "\\" in self._source[start:end]:
            # What is typed as such was reported where it stands.
            self.faults += [fault._replace(offset=start) for fault in odd_letters(value)][:1]

    def _place(self, route: Route, start: int, end: int, key: int | None) -> None:
        # The first of two repeated fields is the one that counts.
        self.spans.setdefault(route, Span(start, end, start if key is None else key))

    def _refuse_mark(self, event: Any) -> None:
        if not event.anchor:
            rule, message = (
                YAML_TAG,
                "`!` at the start of a value gives a YAML type (a tag); it is not used here",
            )
        else:
            rule, message = (
                YAML_ANCHOR,
                "`&` at the start of a value names a piece of YAML for reuse (an anchor); it is not used here",
            )
        self.faults.append(Fault(rule, event.start_mark.index, message, _QUOTE_TEXT))


def _end_of(event: Any) -> int:
    end: int = event.end_mark.index
    return end
