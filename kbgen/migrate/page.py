"""One file that is migrated: its text, what stands where in it, and edits by position.

Nothing is written anew that needs not change: an edit replaces a stretch of the text, so comments,
order, quotes and line ends of everything else stay as they are.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from kbgen.migrate.layout import CannotEdit, Layout
from kbgen.position import Route


class Edit(NamedTuple):
    """A stretch of the text, by offsets in code points, and what stands in its place."""

    start: int
    end: int
    new: str


class Change(NamedTuple):
    """One change: where it stood, its kind in a word or two, and what became of it."""

    at: int
    kind: str
    says: str


class Left(NamedTuple):
    """What a person must decide, and where."""

    at: int
    says: str


@dataclass
class Plan:
    """Edits that belong together: all of them are made, or none.

    Attributes:
        edits: What is replaced in the text.
        dropped: Fields and items that go.
        renamed: Fields and their new names.
        added: New fields, by the route of their map.
        replaced: Values that change.
    """

    edits: list[Edit] = field(default_factory=list)
    dropped: set[Route] = field(default_factory=set)
    renamed: dict[Route, str] = field(default_factory=dict)
    added: dict[Route, dict[str, Any]] = field(default_factory=dict)
    replaced: dict[Route, Any] = field(default_factory=dict)


class Page:
    """A file as text and plain data, with the edits planned for it.

    Attributes:
        text: As it lies on disk, without byte order mark; line ends as they are.
        data: What it holds; every value is text.
        layout: Where things stand in it.
        steps: Routes of its lists of steps.
        plants: Ids of the equipment it is about.
        changes: What was told of the planned edits.
        left: What a person must decide.
    """

    def __init__(self, text: str, steps: Sequence[Route] = (("steps",),), plants: Sequence[str] = ()) -> None:
        """Read the text.

        Raises:
            CannotEdit: It is no sound YAML.
        """
        self.layout = Layout(text)
        self.text = text
        self.data: Any = self.layout.data
        self.steps = steps
        self.plants = plants
        self.changes: list[Change] = []
        self.left: list[Left] = []
        self._plan = Plan()

    def tell(self, route: Route, kind: str, says: str) -> None:
        """Tell a change."""
        self.changes.append(Change(self.layout.spans[route].key, kind, says))

    def leave(self, route: Route, says: str) -> None:
        """Leave something to a person."""
        self.left.append(Left(self.layout.spans[route].key, says))

    def commit(self, plan: Plan) -> None:
        """Take a plan's edits over."""
        self._plan.edits += plan.edits
        self._plan.dropped |= plan.dropped
        self._plan.renamed |= plan.renamed
        self._plan.added |= plan.added
        self._plan.replaced |= plan.replaced

    def after(self) -> Page:
        """Return the page with the planned edits made.

        Raises:
            CannotEdit: The text would not hold what was meant.
        """
        parts, at = [], 0
        for edit in sorted(self._plan.edits):
            if edit.start < at:
                raise CannotEdit
            parts += [self.text[at : edit.start], edit.new]
            at = edit.end
        page = Page("".join([*parts, self.text[at:]]), self.steps, self.plants)
        if page.data != self._meant(self.data, ()):
            raise CannotEdit
        return page

    def before(self, offset: int) -> int:
        """Return where an offset of the page after the edits stood in this one."""
        moved = 0
        for edit in sorted(self._plan.edits):
            if offset < edit.start + moved:
                break
            if offset < edit.start + moved + len(edit.new):
                return edit.start
            moved += len(edit.new) - (edit.end - edit.start)
        return offset - moved

    def _meant(self, value: Any, route: Route) -> Any:
        plan = self._plan
        if route in plan.replaced:
            return plan.replaced[route]
        if isinstance(value, list):
            return [
                self._meant(item, (*route, index))
                for index, item in enumerate(value)
                if (*route, index) not in plan.dropped
            ]
        if isinstance(value, dict):
            fields = {key: (*route, key) for key in value}
            kept = {
                plan.renamed.get(each, key): self._meant(value[key], each)
                for key, each in fields.items()
                if each not in plan.dropped
            }
            return kept | plan.added.get(route, {})
        return value

    # Edits. Each adds to a plan, or raises CannotEdit.

    def rename(self, plan: Plan, route: Route, name: str) -> None:
        """Give a field another name."""
        start = self.layout.spans[route].key
        plan.edits.append(Edit(start, self.layout.key_end(route), name))
        plan.renamed[route] = name

    def replace(self, plan: Plan, route: Route, value: Any, typed: str) -> None:
        """Put another value in place of one that is text."""
        plan.edits.append(Edit(self.layout.spans[route].start, self.layout.stop(route), typed))
        plan.replaced[route] = value

    def drop(self, plan: Plan, route: Route) -> None:
        """Take a field out of its map, or an item out of its list; a comment behind it stays."""
        start, end = self.layout.spans[route].key, self.layout.stop(route)
        if self.layout.comments(start, end):
            raise CannotEdit
        if self.layout.flows(route[:-1]):
            plan.edits.append(self._out_of_brackets(route, start, end))
        elif isinstance(route[-1], int):
            plan.edits.append(self._lines(self.layout.line_of_item(route), end))
        else:
            plan.edits.append(self._block_field(route, start, end))
        plan.dropped.add(route)

    def can_drop(self, route: Route) -> bool:
        """Return whether a field or item can go without losing a comment."""
        try:
            self.drop(Plan(), route)
        except CannotEdit:
            return False
        return True

    def shrink(self, plan: Plan, route: Route, words: Mapping[str, Route]) -> None:
        """Put fields into the map of a list, in place of the list.

        Args:
            plan: What the edits are added to.
            route: Route of the list.
            words: Names of the new fields, each with the route of the value that it takes over; the route's
                second last part is the item that the field stands for. Items without a word go.
        """
        start, column = self.layout.spans[route].key, self.layout.column(self.layout.spans[route].key)
        typed = {word: f"{word}: {self.layout.raw(value)}" for word, value in words.items()}
        if self.layout.flows(route[:-1]) or self.layout.flows(route):
            end = self.layout.stop(route)
            if self.layout.comments(start, end):
                raise CannotEdit
            between = ", " if self.layout.flows(route[:-1]) else self.layout.newline + " " * column
            plan.edits.append(Edit(start, end, between.join(typed.values())))
        else:
            by_item = {value[:-1]: typed[word] for word, value in words.items()}
            if not self.layout.starts_line(start):
                raise CannotEdit
            plan.edits.append(self._lines(start - column, self.layout.key_end(route) + 1))
            for index in range(len(self.layout.at(route))):
                item = (*route, index)
                begin, end = self.layout.line_of_item(item), self.layout.stop(item)
                if self.layout.comments(begin, end):
                    raise CannotEdit
                if item in by_item:
                    plan.edits.append(Edit(begin, end, " " * column + by_item[item]))
                else:
                    plan.edits.append(self._lines(begin, end))
        plan.dropped.add(route)
        plan.added[route[:-1]] = {word: self.layout.at(value) for word, value in words.items()}

    def _block_field(self, route: Route, start: int, end: int) -> Edit:
        if self.layout.starts_line(start):
            return self._lines(start - self.layout.column(start), end)
        # The first field stands behind the dash of its item: the next one takes its place.
        rest = self.text[end : self.layout.line_end(end)]
        after = [each for each in self.layout.beside(route) if self.layout.spans[each].key > start]
        if rest.strip() or not after:
            return Edit(start, end + len(rest) - len(rest.lstrip()), "")
        nearest = min(self.layout.spans[each].key for each in after)
        if self.layout.comments(end, nearest):
            raise CannotEdit
        return Edit(start, nearest, "")

    def _lines(self, start: int, end: int) -> Edit:
        """Take whole lines out, from a line's start on; a comment behind the last one keeps its line."""
        line_end = self.layout.line_end(end)
        rest = self.text[end:line_end]
        if rest.strip():
            first = re.compile(r"[ ]*").match(self.text, start)
            indent = first.group() if first else ""
            return Edit(start, end + len(rest) - len(rest.lstrip()), indent)
        if self.text.startswith("\r\n", line_end):
            return Edit(start, line_end + 2, "")
        return Edit(start, min(line_end + 1, len(self.text)), "")

    def _out_of_brackets(self, route: Route, start: int, end: int) -> Edit:
        others = [self.layout.spans[each].key for each in self.layout.beside(route)]
        later = min((each for each in others if each > start), default=None)
        if later is not None:
            between = self.text[end:later]
            if "\n" not in between:
                return Edit(start, later, "")
            comma = self.layout.comma(end, later)
            blanks = len(self.text[comma + 1 :]) - len(self.text[comma + 1 :].lstrip(" \t"))
            if self.layout.starts_line(start) and self.layout.line_end(comma) == comma + 1 + blanks:
                return self._lines(start - self.layout.column(start), comma + 1)
            return Edit(start, comma + 1, "")
        earlier = max((self.layout.stop(each) for each in self.layout.beside(route)), default=None)
        if earlier is None or self.layout.comments(earlier, start):
            # The comma before it may end a list; a comment stands behind it.
            alone = self.layout.starts_line(start) and not self.text[end : self.layout.line_end(end)].strip()
            return self._lines(start - self.layout.column(start), end) if alone else Edit(start, end, "")
        return Edit(self.layout.comma(earlier, start), end, "")
