"""Whether a query speaks of danger, and of which: a table of words read from a file one can read.

The same method serves clinical notes: triggers, phrases that only look like one, and words that deny what
stands behind them (NegEx and ConText, Chapman and others 2001 and 2009). `search-engine.js` has its twin in
``danger.js``, which is given the same table.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cache, cached_property
from typing import Any

from .danger_table import ALONE, ANY, HARMLESS, SHOP, Row, Table, reduced
from .spelling import FAR, cost

OTHER = "other"
"""The kind of what no line names, but all words weigh together."""

STOP = "stop"
"""The kind of what runs and does not stop: one act ends it, and then its own page is wanted first."""

_DENIED = "NO"
_HALF_TYPED = 5
_LEAST_MISSPELT = 3
LINE, LEAST = 12, -1
"""What a line weighs beside the words, and what is danger when it weighs more; quarters, as in `weights`."""
_SHORT, _LONG = 5, 9
"""Of shorter words only two letters may have changed places; in longer ones two slips are forgiven."""


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
        self._table = reduced(table, self._stem)
        self._known = known

    def kind(self, query: Sequence[str]) -> str | None:
        """Return what kind of danger the words of a query speak of, or None."""
        spelt = list(self._spelt(query))
        kind = self._by_line([word for word in spelt if word not in self._table.small])
        weights = self._table.weights
        if not weights.words or kind == SHOP:
            return kind
        stems = map(self._stem, query)
        weight = weights.of([t if t in weights else self._stem(s) for t, s in zip(stems, spelt, strict=True)])
        return (kind or OTHER) if weight + LINE * bool(kind) > LEAST else None

    def _by_line(self, words: Sequence[str]) -> str | None:
        """Return the kind of the first line that matches."""
        spans = self._spans(words)
        taken: set[int] = set()
        for row, needed in self._needed:
            if not needed <= spans.keys() or any(self._free(spans, each, taken) for each in row.unless):
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
            "weights": self._table.weights.shipped(),
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
    def _needed(self) -> list[tuple[Row, frozenset[str]]]:
        """Each line with what must be said anywhere before it is worth a closer look."""
        return [(row, frozenset(e for e in row.elements if e[-1] != "?")) for row in self._table.rows]

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
