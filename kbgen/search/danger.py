"""Whether a query speaks of danger, and of which: a table of words read from a file one can read.

The same method serves clinical notes: triggers, phrases that only look like one, and words that deny what
stands behind them (NegEx and ConText, Chapman and others 2001 and 2009). `search-engine.js` has its twin in
``danger.js``, which is given the same table.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache, cached_property
from pathlib import Path
from typing import Any

from .spelling import FAR, cost

ANY, ALONE = "any", "alone"
HARMLESS = "harmless"
SHOP = "shop"
"""The kind of what only a shop's own words call danger."""

STOP = "stop"
"""The kind of what runs and does not stop: one act ends it, and then its own page is wanted first."""

_DENIED = "NO"
_HALF_TYPED = 5
_LEAST_MISSPELT = 3
_SHORT, _LONG = 5, 9
"""Of shorter words only two letters may have changed places; in longer ones two slips are forgiven."""


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table.

    Attributes:
        kind: ``harmless``, or the kind of danger: the anchor of its part of the leave-now page.
        elements: Each a name, a word or several of them with ``/`` between; ``?`` behind one that may be missing.
        either: Whether they may stand in either order.
        within: How many other words may stand between two: a number, ``any`` or ``alone``.
        unless: What must stand nowhere.
        example: A sentence that this line is needed for.
    """

    kind: str
    elements: tuple[str, ...]
    either: bool
    within: str
    unless: tuple[str, ...]
    example: str


@dataclass(frozen=True, slots=True)
class Table:
    """Danger in one language.

    Attributes:
        small: Words that are passed over.
        names: Words under the name that stands for them; ``_`` joins those of a phrase.
        rows: Lines in their order.
    """

    small: frozenset[str]
    names: dict[str, tuple[str, ...]]
    rows: tuple[Row, ...]


def read_table(path: Path) -> Table:
    """Read a table; its own first lines say how it is written.

    Raises:
        ValueError: A line is not understood; the message names file and line.
    """
    small: frozenset[str] = frozenset()
    names: dict[str, tuple[str, ...]] = {}
    rows = []
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        if not line.strip() or line.startswith("#"):
            continue
        head, *cells = (part.strip() for part in line.split(" | "))
        if head == "small" and len(cells) == 1:
            small = frozenset(cells[0].split())
        elif head.isupper() and len(cells) == 1:
            names[head] = tuple(cells[0].split())
        elif 3 <= len(cells) <= 4 and (cells[1] in (ANY, ALONE) or cells[1].isdigit()):
            rows.append(_row(head, *cells))
        else:
            raise ValueError(f"{path.name}:{number}: this line is not understood: {line}")
    return Table(small, names, tuple(rows))


def _row(kind: str, pattern: str, within: str, example: str, unless: str = "") -> Row:
    elements = tuple(each for each in pattern.split() if each != "&")
    return Row(kind, elements, "&" in pattern, within, tuple(unless.split()[1:]), example)


def phrase_row(words: Iterable[str]) -> Row:
    """Return the line of a shop's own phrase: all of its words, anywhere."""
    return Row(SHOP, tuple(words), either=True, within=ANY, unless=(), example="")


Span = tuple[int, int]


class Danger:
    """A table made ready to be asked.

    Args:
        table: Of the language, with the shop's own lines.
        stem: The stemmer of the language.
        known: Whether a word is one of the entries' own, and so no misspelt danger.
    """

    def __init__(self, table: Table, stem: Callable[[str], str], known: Callable[[str], bool]) -> None:
        self._stem = cache(stem)
        self._table = _reduced(table, self._stem)
        self._known = known

    def kind(self, query: Sequence[str]) -> str | None:
        """Return what kind of danger the words of a query speak of, or None."""
        words = [word for word in self._spelt(query) if word not in self._table.small]
        spans = self._spans(words)
        taken: set[int] = set()
        for row in self._table.rows:
            if any(self._free(spans, each, taken) for each in row.unless):
                continue
            found = self._match(row, spans, len(words), taken)
            if row.kind != HARMLESS:
                if found is not None:
                    return row.kind
                continue
            while found is not None:
                taken.update(at for start, end in found for at in range(start, end))
                found = self._match(row, spans, len(words), taken)
        return None

    def shipped(self) -> dict[str, Any]:
        """Return the table as plain data, for the browser."""
        return {
            "small": " ".join(sorted(self._table.small)),
            "names": {
                "__proto__": None,
                **{name: " ".join(words) for name, words in self._table.names.items()},
            },
            "rows": [
                "|".join(
                    (
                        row.kind,
                        (" & " if row.either else " ").join(row.elements),
                        row.within,
                        " ".join(row.unless),
                    )
                )
                for row in self._table.rows
            ],
        }

    def _match(self, row: Row, spans: dict[str, list[Span]], size: int, taken: set[int]) -> list[Span] | None:
        """Return where a line's elements stand, or None."""
        if row.within == ALONE:
            said = self._free(spans, row.elements[0], taken)
            return said if said and {at for span in said for at in range(*span)} == set(range(size)) else None
        if row.within == ANY:
            firsts = [self._free(spans, each, taken)[:1] for each in row.elements]
            return [span for found in firsts for span in found] if all(firsts) else None
        orders = [row.elements, row.elements[::-1]] if row.either else [row.elements]
        within = int(row.within)
        denied = (
            set()
            if row.kind == HARMLESS
            else {at for start, end in self._free(spans, _DENIED, taken) for at in range(start, end)}
        )

        def rest(elements: Sequence[str], after: int) -> list[Span] | None:
            if not elements:
                return []
            first, *others = elements
            for start, end in self._free(spans, first.rstrip("?"), taken):
                between = range(after, start)
                if start < after or len(between) > within or not denied.isdisjoint(between):
                    continue
                found = rest(others, end)
                if found is not None:
                    return [(start, end), *found]
            return rest(others, after) if first.endswith("?") else None

        for first, *others in orders:
            for start, end in self._free(spans, first, taken):
                found = rest(others, end)
                if found is not None:
                    return [(start, end), *found]
        return None

    @staticmethod
    def _free(spans: dict[str, list[Span]], element: str, taken: set[int]) -> list[Span]:
        return [span for span in spans.get(element, ()) if taken.isdisjoint(range(*span))]

    def _spans(self, words: Sequence[str]) -> dict[str, list[Span]]:
        """Return where each element of the table is said."""
        stems = [self._stem(word) for word in words]
        found: dict[str, list[Span]] = {}
        for start in range(len(words)):
            for element, phrase in self._phrases.get(stems[start], ()):
                end = start + len(phrase)
                if end <= len(words) and all(
                    form == (words[at] if exact else stems[at])
                    for at, (form, exact) in enumerate(phrase, start)
                ):
                    found.setdefault(element, []).append((start, end))
        return found

    def _spelt(self, query: Sequence[str]) -> Iterator[str]:
        """Yield the words with those put right that can only be meant for one of the table."""
        for at, typed in enumerate(query):
            if len(typed) < _LEAST_MISSPELT or typed[0] <= "9" or self._is_right(typed):
                yield typed
            else:
                yield self._meant(typed, last=at + 1 == len(query))

    def _is_right(self, word: str) -> bool:
        return word in self._table.small or self._stem(word) in self._stems or self._known(word)

    def _meant(self, typed: str, *, last: bool) -> str:
        """Return the word of the table that was meant: whoever errs has the first letter right."""
        best, meant = FAR, typed
        for word in self._words.get(typed[0], ()):
            if last and len(typed) >= _HALF_TYPED and word.startswith(typed):
                return word
            if len(word) < _SHORT and sorted(word) != sorted(typed):
                continue
            price = cost(typed, word, 1 if len(word) < _LONG else 2)
            if price < best:
                best, meant = price, word
        return meant

    @cached_property
    def _phrases(self) -> dict[str, list[tuple[str, list[tuple[str, bool]]]]]:
        """Each element with each of its phrases, under the stem of the phrase's first word."""
        table: dict[str, list[tuple[str, list[tuple[str, bool]]]]] = {}
        elements = {
            _DENIED,
            *(each.rstrip("?") for row in self._table.rows for each in (*row.elements, *row.unless)),
        }
        for element in sorted(elements):
            for phrase in self._said(element):
                exact = phrase.startswith("=")
                words = [
                    word for word in phrase.removeprefix("=").split("_") if word not in self._table.small
                ]
                if words:
                    forms = [(word if exact else self._stem(word), exact) for word in words]
                    table.setdefault(self._stem(words[0]), []).append((element, forms))
        return table

    def _said(self, element: str) -> Iterator[str]:
        for each in element.split("/"):
            yield from self._table.names.get(each, (each,))

    @cached_property
    def _words(self) -> dict[str, list[str]]:
        """The words somebody may have meant, under their first letter."""
        table: dict[str, list[str]] = {}
        for element in {each: None for row in self._table.rows for each in row.elements}:
            for phrase in self._said(element.rstrip("?")):
                for word in phrase.removeprefix("=").split("_"):
                    if len(word) >= _LEAST_MISSPELT:
                        table.setdefault(word[0], []).append(word)
        return {letter: list(dict.fromkeys(words)) for letter, words in table.items()}

    @cached_property
    def _stems(self) -> frozenset[str]:
        return frozenset(self._stem(word) for words in self._words.values() for word in words)


def _reduced(table: Table, stem: Callable[[str], str]) -> Table:
    """Leave out what is another form of a word that stands there already: the file is for people to read."""

    def unlike(words: Iterable[str]) -> tuple[str, ...]:
        first: dict[object, str] = {}
        for word in words:
            exact = word.startswith("=") or word in table.names
            first.setdefault(word if exact else tuple(map(stem, word.split("_"))), word)
        return tuple(first.values())

    def element(text: str) -> str:
        words = text.rstrip("?")
        return "/".join(unlike(words.split("/"))) + text[len(words) :]

    return Table(
        table.small,
        {name: unlike(words) for name, words in table.names.items()},
        tuple(replace(row, elements=tuple(map(element, row.elements))) for row in table.rows),
    )
