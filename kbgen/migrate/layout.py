"""Where things stand in the text of one file: values, names, lines, comments."""

from __future__ import annotations

import re
from bisect import bisect_right
from typing import Any

from kbgen.load.source import Source
from kbgen.load.tree import Tree
from kbgen.position import Route


class CannotEdit(Exception):  # noqa: N818 - no fault of the program: the text is left to a person
    """A stretch of the text cannot be taken out without losing something, such as a comment inside it."""


class Layout:
    """The text of a file and what stands where in it; offsets are in code points.

    Attributes:
        text: As it lies on disk, without byte order mark; line ends as they are.
        data: What it holds; every value is text.
        spans: Where every value stands.
        newline: The line end of the file.
    """

    def __init__(self, text: str) -> None:
        """Read the text.

        Raises:
            CannotEdit: It is no sound YAML.
        """
        tree = Tree(text)
        if tree.faults:
            raise CannotEdit
        self.text = text
        self.data: Any = tree.data
        self.spans = tree.spans
        self.newline = "\r\n" if "\r\n" in text else "\n"
        self._source = Source(text, tree.spans)
        self._leaves = sorted(
            (span.start, span.end)
            for route, span in tree.spans.items()
            if not isinstance(self.at(route), dict | list)
        )

    def at(self, route: Route) -> Any:
        """Return the value at a route."""
        value = self.data
        for step in route:
            value = value[step]
        return value

    def line(self, offset: int) -> int:
        """Return the line of an offset."""
        return self._source.position(offset).line

    def raw(self, route: Route) -> str:
        """Return a value of one line as it is typed, quotes included."""
        return self.text[self.spans[route].start : self.stop(route)]

    def comma(self, start: int, end: int) -> int:
        """Return where the first comma of a stretch stands.

        Raises:
            CannotEdit: There is none.
        """
        hidden = self.comments(start, end)
        for at in range(start, end):
            if self.text[at] == "," and not any(a <= at < b for a, b in hidden):
                return at
        raise CannotEdit

    def beside(self, route: Route) -> list[Route]:
        """Return the routes of the other fields or items of the same map or list."""
        parent = self.at(route[:-1])
        names = range(len(parent)) if isinstance(parent, list) else parent
        return [(*route[:-1], name) for name in names if name != route[-1]]

    def line_of_item(self, route: Route) -> int:
        """Return where the line of a list item starts.

        Raises:
            CannotEdit: The item does not stand behind its own dash.
        """
        start = self.spans[route].start
        begin = start - self.column(start)
        if not re.fullmatch(r" *- +", self.text[begin:start]):
            raise CannotEdit
        return begin

    def key_end(self, route: Route) -> int:
        """Return where the name of a field ends, quotes included.

        Raises:
            CannotEdit: It is typed in another way.
        """
        start, name = self.spans[route].key, str(route[-1])
        for typed in (name, f'"{name}"', f"'{name}'"):
            if self.text.startswith(typed, start):
                return start + len(typed)
        raise CannotEdit

    def stop(self, route: Route) -> int:
        """Return where a value ends, without blanks and empty lines behind it."""
        span, value = self.spans[route], self.at(route)
        if isinstance(value, dict | list) and value and not self.flows(route):
            names = range(len(value)) if isinstance(value, list) else value
            return max(self.stop((*route, name)) for name in names)
        end = span.start + len(self.text[span.start : span.end].rstrip())
        return max(end, self.key_end(route) + 1) if isinstance(route[-1], str) else end

    def flows(self, route: Route) -> bool:
        """Return whether a map or list stands in brackets."""
        start = self.spans[route].start
        return self.text[start : start + 1] in ("{", "[") and isinstance(self.at(route), dict | list)

    def column(self, offset: int) -> int:
        """Return how far from the start of its line an offset is."""
        return offset - (self.text.rfind("\n", 0, offset) + 1)

    def starts_line(self, offset: int) -> bool:
        """Return whether nothing but blanks stands before an offset on its line."""
        return not self.text[offset - self.column(offset) : offset].strip(" ")

    def line_end(self, offset: int) -> int:
        """Return where the line of an offset ends, before its line end."""
        end = self.text.find("\n", offset)
        end = len(self.text) if end < 0 else end
        return end - 1 if self.text[max(offset, end - 1) : end] == "\r" else end

    def comments(self, start: int, end: int) -> list[tuple[int, int]]:
        """Return where comments stand in a stretch of the text."""
        found = []
        at = self.text.find("#", start, end)
        while at >= 0:
            begins = at == 0 or self.text[at - 1] in " \t\n"
            leaf = bisect_right(self._leaves, (at, len(self.text))) - 1
            inside = leaf >= 0 and self._text_starts(self._leaves[leaf][0]) <= at < self._leaves[leaf][1]
            if begins and not inside:
                found.append((at, self.line_end(at)))
                at = self.line_end(at)
            else:
                at += 1
            at = self.text.find("#", at, end)
        return found

    def _text_starts(self, offset: int) -> int:
        """Return where the text of a value starts: below its line, for a block under ``|`` or ``>``."""
        return self.line_end(offset) if self.text[offset : offset + 1] in ("|", ">") else offset
