"""A query as understood: edges from atom to atom, and what it says as a whole."""

from __future__ import annotations

from dataclasses import dataclass, field

from .expand import Option


@dataclass(frozen=True, slots=True)
class Edge:
    """The ways to understand the atoms from ``start`` up to ``end``, and what they count."""

    start: int
    end: int
    weight: int
    options: tuple[Option, ...]


@dataclass(slots=True)
class Reading:
    """A query as understood.

    Attributes:
        words: Its atoms' texts.
        touches: Whether each touched the one before.
        edges: In the order they were understood in; of equally good ways the first one is told.
        displays: Displays the whole query is; entries that show one stand on top.
        codes: Displays within the query; their entries come next.
        asked: What is written like a code or a flash count, whether any entry shows it or not.
        unknown: Stretches nothing was found for.
        suggestion: The query with misread words replaced, or None.
        weights: What each word counts by itself, 0 for one that is in no entry.
        settled: Words of a code that was found: they mean nothing alone.
        partial: Words of a code that was not found, with that code.
        told: The stems of the words that tell something, misread ones put right.
        meant: As one word, the whole query and what it names, and the other names of both.
        jumps: Whether it asks to jump, bridge or bypass something that it names.
        found_jumper: Whether it tells of one that was met.
        how: Whether it asks how something is done.
        what: Whether it asks what a word means.
    """

    words: list[str]
    touches: list[bool]
    edges: list[Edge] = field(default_factory=list)
    displays: set[str] = field(default_factory=set)
    codes: set[str] = field(default_factory=set)
    asked: dict[str, None] = field(default_factory=dict)
    unknown: list[str] = field(default_factory=list)
    suggestion: str | None = None
    weights: list[int] = field(default_factory=list)
    settled: set[int] = field(default_factory=set)
    partial: dict[int, str] = field(default_factory=dict)
    told: set[str] = field(default_factory=set)
    meant: set[str] = field(default_factory=set)
    jumps: bool = False
    found_jumper: bool = False
    how: bool = False
    what: bool = False

    def not_understood(self, stretch: str) -> None:
        """Note once that nothing was found for something."""
        if stretch not in self.unknown:
            self.unknown.append(stretch)
