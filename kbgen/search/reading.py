"""Reading a query: every stretch of it that means something becomes an edge from atom to atom.

A word alone is an edge of one atom; ``cut off`` read as ``cutoff``, ``24 volts``, a flash count or a name
with a synonym are edges over several. `query` then takes, for each entry, the best way from the first
atom to the last.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from .asking import asks_how, asks_to_jump, asks_what, telling, tells_of_jumper
from .compounds import CODE, compounds, shown, spoken, without_o
from .expand import WHOLE, Option, Words
from .index import Postings
from .normalise import Atom
from .understood import Edge, Reading

_TOGETHER, _DISPLAY, _SYNONYM, _STEM = 20, 18, 13, 12
_BEGINNING, _BEGINNING_INSIDE, _BEGINNING_OF_KNOWN, _PART = 12, 9, 8, 4

LONGEST = 32
"""Longer queries are read for exact words only, and only their strongest edges count."""
_MOST_EDGES = 48
_LONGEST_WINDOW = 5
_LONGEST_DISPLAY = 12


def log2(number: int) -> int:
    """Return 16 times the binary logarithm of a positive number, rounded down.

    Up to ten million, only a power of two comes nearer than a ten-millionth to a whole number from below, so
    that no two machines' last bits can make it two numbers.
    """
    return math.floor(16 * math.log2(number) + 1e-9)


class Reader:
    """Reads queries against one index."""

    def __init__(self, index: Postings) -> None:
        self._index = index
        self._near = Words(index)
        self._messages = index.language.messages
        self._log_size = log2(max(1, len(index.entries)))

    def read(self, query: Sequence[Atom], naming: frozenset[int] = frozenset()) -> Reading:
        """Read the atoms of a query; of what only names the plant nothing counts."""
        if len(query) > LONGEST:
            first: dict[str, Atom] = {}
            for atom in query:
                first.setdefault(atom.text, atom)
            query = list(first.values())
        reading = Reading([atom.text for atom in query], [atom.touches for atom in query])
        reading.weights = [self._faint(self._weight_of(self._known(word)), word) for word in reading.words]
        short = len(query) <= LONGEST
        self._windows(reading, short=short)
        self._compounds(reading, query)
        if short:
            self._words(reading)
            self._whole_display(reading)
        else:
            self._exact_words(reading)
        if short and naming:
            reading.edges = [
                edge for edge in reading.edges if not naming.issuperset(range(edge.start, edge.end))
            ]
        self._asking(reading, naming if short else frozenset())
        return reading

    def _asking(self, reading: Reading, named: frozenset[int]) -> None:
        """Note what it asks for; if to jump something, what it names counts and the asking little."""
        words = reading.suggestion.split(" ") if reading.suggestion else reading.words
        language = self._index.language
        reading.told = telling([word for at, word in enumerate(words) if at not in named], language)
        reading.how = asks_how(words, language)
        reading.what = asks_what(words, language)
        asking = asks_to_jump(words, language)
        reading.jumps = bool(asking)
        reading.found_jumper = tells_of_jumper(words, language)
        naming = [
            word
            for at, word in enumerate(words)
            if word not in language.faint and at not in asking and at not in named
        ]
        for said in (words, naming):
            joined = "".join(said)
            reading.meant.update((joined, *self._near.synonyms(joined, said[-1] if said else "")))
        for at, edge in enumerate(reading.edges):
            if asking.issuperset(range(edge.start, edge.end)):
                reading.edges[at] = replace(edge, weight=max(1, edge.weight >> 2))

    def _weight_of(self, options: Sequence[Option]) -> int:
        """Return what something counts that is understood so: the rarer the more, and nothing when it is not."""
        if not options:
            return 0
        frequency = sum(self._index.frequency(option.terms[0]) for option in options)
        return self._log_size - log2(min(frequency, len(self._index.entries))) + 8

    def _faint(self, weight: int, word: str) -> int:
        return max(1, weight >> 2) if weight and word in self._index.language.faint else weight

    def _known(self, term: str, factor: int = WHOLE, why: str | None = None) -> list[Option]:
        """Return a term as the only option, when any entry has it."""
        place = self._index.find(term)
        return [] if place is None else [Option((place,), factor, why)]

    def _add(
        self, reading: Reading, start: int, end: int, options: Sequence[Option], weight: int | None = None
    ) -> bool:
        """Add a stretch that may be understood so; it counts no less than its words. Return whether it may."""
        if weight is None:
            weight = self._weight_of(options)
        if options:
            weight = max(weight, sum(reading.weights[start:end]))
            reading.edges.append(Edge(start, end, weight, tuple(options)))
        return bool(options)

    def _windows(self, reading: Reading, *, short: bool) -> None:
        """Add what is written in several atoms: joined words, codes, names with synonyms."""
        size = len(reading.words)
        for start in range(size):
            joined = ""
            for end in range(start + 1, min(start + _LONGEST_WINDOW, size) + 1):
                joined += reading.words[end - 1]
                if short:
                    self._synonyms(reading, start, end, joined)
                if end == start + 1:
                    continue
                plain = without_o(joined)
                found = self._together(reading, start, end, joined)
                if not CODE.fullmatch(plain):
                    continue
                if not found and plain != joined:
                    found = self._together(reading, start, end, plain)
                if not found and joined[-1] == "0":
                    self._together(reading, start, end, joined[:-1] + "o")
                self._code(reading, start, end, plain)
                if not found and end == size and short:
                    why = self._messages["starts"].format(joined)
                    found = self._add(reading, start, end, self._beginnings(joined, _BEGINNING, why))
                if found:
                    reading.settled.update(range(start, end))
                elif all(reading.touches[start + 1 : end]):
                    reading.partial.update(dict.fromkeys(range(start, end), joined))
                    reading.asked[plain] = None

    def _compounds(self, reading: Reading, query: Sequence[Atom]) -> None:
        """Add quantities, denials, flash counts, codes read aloud and what somebody says is shown."""
        for start, end, term in shown(query, self._index.language):
            self._code(reading, start, end, term)
        for start, end, term in compounds(query, self._index.language):
            self._together(reading, start, end, term)
            if "_" in term:
                self._code(reading, start, end, term)
                if any(len(word) > 1 and word in self._index.language.flashes for word in reading.words):
                    reading.asked[term] = None
        for start, end, term in spoken(query, self._index.language):
            said = " ".join(reading.words[start:end])
            if said.replace(" ", "") == term:
                continue
            found = self._together(
                reading, start, end, term, self._messages["same"].format(said, term.upper())
            )
            if found or end - start == len(query):
                reading.settled.update(range(start, end))
            if end - start == len(query) and not found:
                reading.not_understood(term)
                reading.asked[term] = None
            self._code(reading, start, end, term)

    def _together(self, reading: Reading, start: int, end: int, term: str, why: str | None = None) -> bool:
        """Add a stretch that is one term; return whether it is."""
        return self._add(reading, start, end, self._known(term, _TOGETHER, why))

    def _code(self, reading: Reading, start: int, end: int, term: str) -> None:
        """Note a display when an entry shows exactly this."""
        if self._index.find("=" + term) is not None:
            whole = end - start == len(reading.words)
            (reading.displays if whole else reading.codes).add(term)
            if len(term) == 1 or "_" in term or CODE.fullmatch(term):
                reading.asked[term] = None

    def _beginnings(self, word: str, factor: int, why: str | None = None) -> list[Option]:
        return [Option((place,), factor, why) for place in self._near.beginnings(word)]

    def _synonyms(self, reading: Reading, start: int, end: int, joined: str) -> None:
        names = self._near.synonyms(joined, reading.words[end - 1])
        options = [
            option
            for term, pair in names.items()
            if term != joined
            for option in self._known(term, _SYNONYM, self._messages["same"].format(*pair))
        ]
        weight = self._weight_of(self._known(joined) or options)
        self._add(reading, start, end, options, self._faint(weight, joined))

    def _whole_display(self, reading: Reading) -> None:
        """The whole query may be a display, or the beginning of one."""
        joined = "".join(reading.words)
        size = len(reading.words)
        if not joined or size > _LONGEST_DISPLAY:
            return
        for term in (joined, without_o(joined)):
            self._code(reading, 0, size, term)
        if len(joined) > 2:
            self._add(reading, 0, size, self._beginnings("=" + joined, _DISPLAY))

    def _exact_words(self, reading: Reading) -> None:
        for at, word in enumerate(reading.words):
            if at not in reading.settled:
                self._add(reading, at, at + 1, self._known(word), 0)
        reading.edges.sort(key=lambda edge: -edge.weight)
        del reading.edges[_MOST_EDGES:]

    def _words(self, reading: Reading) -> None:
        """Add the single words; only one that nothing is found for is read as another."""
        suggestion = list(reading.words)
        covered = {at for edge in reading.edges for at in range(edge.start, edge.end)}
        for at, word in enumerate(reading.words):
            if at in reading.settled:
                continue
            if at in reading.partial:
                self._part(reading, at)
                continue
            options = self._word(reading, at, covered=at in covered)
            if not options and at not in covered and self._may_be_misspelt(word):
                read, read_as = self._near.misspelt(word)
                suggestion[at] = read_as or word
                # A right word is offered as another, and not taken for one.
                options = [] if self._index.is_right(word) else read
            found = self._add(reading, at, at + 1, options, self._faint(self._weight_of(options), word))
            if not found and at not in covered and not self._is_filling(word):
                reading.not_understood(word)
        if suggestion != reading.words:
            reading.suggestion = " ".join(suggestion)

    def _is_filling(self, word: str) -> bool:
        """Say whether a word is right although no entry has it, and by itself tells nothing."""
        return word in self._index.language.faint or word in self._index.language.denials

    def _may_be_misspelt(self, word: str) -> bool:
        return word[0] > "9" and word not in self._index.language.numbers and not self._is_filling(word)

    def _part(self, reading: Reading, at: int) -> None:
        """Add the number of a code that is in no entry, marked as no more than that."""
        word, code = reading.words[at], reading.partial[at]
        reading.not_understood(code)
        if word[0] <= "9":
            why = self._messages["part"].format(code, word)
            self._add(reading, at, at + 1, self._known(word, _PART, why))

    def _word(self, reading: Reading, at: int, *, covered: bool) -> list[Option]:
        """Return the word itself, its inflections, what it begins, what it is made of."""
        word = reading.words[at]
        letters = word[0] > "9"
        options = self._known(word)
        if letters:
            for place in self._index.inflections(word):
                why = self._messages["form"].format(word, self._index.terms[place])
                options.append(Option((place,), _STEM, why))
        alone = not options and not covered
        last = at + 1 == len(reading.words)
        if covered and word in self._index.language.units:
            return options
        if (last and (letters or at == 0)) or (alone and letters and len(word) > 2):
            factor = _BEGINNING_INSIDE if not last else _BEGINNING_OF_KNOWN if options else _BEGINNING
            why = self._messages["starts"].format(word)
            taken = {option.terms for option in options}
            options += [each for each in self._beginnings(word, factor, why) if each.terms not in taken]
        if alone and letters:
            options += self._near.split(word)
        return options
