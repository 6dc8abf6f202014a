"""The text of one file, and where in it every value stands."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from kbgen.position import Exact, Place, Position, Route


class Span(NamedTuple):
    """Offsets into the text, in code points.

    Attributes:
        start: Where the value starts.
        end: Where it ends; the next value or the line end.
        key: Where the map key in front of it starts; the value's own start for an item of a list.
    """

    start: int
    end: int
    key: int


@dataclass(frozen=True, slots=True)
class Source:
    """A file as text, without byte order mark, with LF line ends and without blanks at line ends."""

    text: str
    spans: Mapping[Route, Span] = field(default_factory=dict)
    _starts: list[int] = field(default_factory=list, repr=False, compare=False)

    def position(self, offset: int) -> Position:
        """Turn an offset in code points into line and column."""
        if not self._starts:
            # Found on first need: a file without problems never asks.
            self._starts.append(0)
            at = self.text.find("\n")
            while at >= 0:
                self._starts.append(at + 1)
                at = self.text.find("\n", at + 1)
        line = bisect_right(self._starts, offset)
        return Position(line, offset - self._starts[line - 1] + 1)

    def resolve(self, place: Place) -> Position:
        """Look up line and column of a place in this file.

        A route the file does not have stands for its nearest parent that the file has; a piece of
        text that does not stand there literally stands for the start of the value.
        """
        if isinstance(place, Exact):
            return place.position
        route = place.route
        while route and route not in self.spans:
            route = route[:-1]
        span = self.spans.get(route, Span(0, len(self.text), 0))
        start = span.key if place.on_key and route == place.route else span.start
        if place.find:
            start = max(start, self.text.find(place.find, start, span.end))
        return self.position(start)

    def lines_of(self, place: Place) -> range:
        """Return the lines that a place is about: those of a text over several lines, else its own."""
        first = self.resolve(place).line
        if (
            isinstance(place, Exact)
            or place.on_key
            or any(r[: len(place.route)] == place.route != r for r in self.spans)
        ):
            return range(first, first + 1)
        span = self.spans.get(place.route)
        return range(first, self.position(max(span.start, span.end - 1)).line + 1 if span else first + 1)

    def line(self, number: int) -> str:
        """Return a line without its line end; empty for a line the file does not have."""
        self.position(0)  # fills the table of lines
        if not 0 < number <= len(self._starts):
            return ""
        start = self._starts[number - 1]
        end = self.text.find("\n", start)
        return self.text[start:] if end < 0 else self.text[start:end]
