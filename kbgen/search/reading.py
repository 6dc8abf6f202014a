"""Reading a query: every stretch of it that means something becomes an edge from atom to atom.

A word alone is an edge of one atom; ``cut off`` read as ``cutoff``, ``24 volts``, a flash count or a name
with a synonym are edges over several. `query` then takes, for each entry, the best way from the first
atom to the last.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from .asking import asks_how, asks_to_jump, telling
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
    """Return 16 times the binary logarithm of a positive number, rounded down, without floats."""
    whole = number.bit_length() - 1
    fraction = 0
    square = (number << 15) >> whole
    for _ in range(4):
        square = square * square >> 15
        fraction <<= 1
        if square >= 1 << 16:
            square >>= 1
            fraction |= 1
    return 16 * whole + fraction


class Reader:
    """Reads queries against one index."""

    def __init__(self, index: Postings) -> None:
        self._index = index
        self._near = Words(index)
        self._messages = index.language.messages
        self._log_size = log2(max(1, len(index.entries)))

    def read(self, query: Sequence[Atom]) -> Reading:
        """Read the atoms of a query."""
        if len(query) > LONGEST:
            query = list({atom.text: atom for atom in reversed(query)}.values())[::-1]
        reading = Reading([atom.text for atom in query], [atom.touches for atom in query])
        reading.weights = [self._word_weight(word) for word in reading.words]
        short = len(query) <= LONGEST
        self._windows(reading, short=short)
        self._compounds(reading, query)
        if short:
            self._whole_display(reading)
            self._words(reading)
        else:
            self._exact_words(reading)
        self._asking(reading)
        reading.edges.sort(key=lambda edge: (edge.end, edge.start))
        return reading

    def _asking(self, reading: Reading) -> None:
        """Note what it asks for; if to jump something, what it names counts and the asking little."""
        words = reading.suggestion.split(" ") if reading.suggestion else reading.words
        language = self._index.language
        reading.told = telling(words, language)
        reading.how = asks_how(words, language)
        asking = asks_to_jump(words, language)
        reading.jumps = bool(asking)
        for at, edge in enumerate(reading.edges):
            if asking.issuperset(range(edge.start, edge.end)):
                reading.edges[at] = replace(edge, weight=max(1, edge.weight >> 2))

    def _weight(self, frequency: int) -> int:
        """Return what a term of this frequency counts: the rarer the more."""
        return self._log_size - log2(min(max(1, frequency), max(1, len(self._index.entries)))) + 8

    def _faint(self, weight: int, word: str) -> int:
        return max(1, weight >> 2) if word in self._index.language.faint else weight

    def _word_weight(self, word: str) -> int:
        place = self._index.find(word)
        return 0 if place is None else self._faint(self._weight(self._index.frequency(place)), word)

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
                    found = self._beginning_of_code(reading, start, joined)
                if found:
                    reading.settled.update(range(start, end))
                elif all(reading.touches[start + 1 : end]):
                    reading.partial.update(dict.fromkeys(range(start, end), joined))

    def _compounds(self, reading: Reading, query: Sequence[Atom]) -> None:
        """Add quantities, denials, flash counts, codes read aloud and what somebody says is shown."""
        for start, end, term in shown(query, self._index.language):
            self._code(reading, start, end, term)
        for start, end, term in compounds(query, self._index.language):
            self._together(reading, start, end, term)
            if "_" in term:
                self._code(reading, start, end, term)
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
                reading.unknown.append(term)
            self._code(reading, start, end, term)

    def _together(self, reading: Reading, start: int, end: int, term: str, why: str | None = None) -> bool:
        """Add a stretch that is one term; return whether it is."""
        place = self._index.find(term)
        if place is None:
            return False
        weight = max(self._weight(self._index.frequency(place)), sum(reading.weights[start:end]))
        reading.edges.append(Edge(start, end, weight, (Option((place,), _TOGETHER, why),)))
        reading.covered.update(range(start, end))
        return True

    def _code(self, reading: Reading, start: int, end: int, term: str) -> None:
        """Note a display when an entry shows exactly this."""
        place = self._index.find("=" + term)
        if place is not None:
            whole = end - start == len(reading.words)
            (reading.displays if whole else reading.codes).append(place)

    def _beginning_of_code(self, reading: Reading, start: int, joined: str) -> bool:
        """Add the codes that begin like the half-typed one at the query's end."""
        places = self._near.beginnings(joined)
        if places:
            why = self._messages["starts"].format(joined)
            options = tuple(Option((place,), _BEGINNING, why) for place in places)
            reading.edges.append(Edge(start, len(reading.words), self._weight_of(options), options))
        return bool(places)

    def _weight_of(self, options: Sequence[Option]) -> int:
        return self._weight(sum(self._index.frequency(option.terms[0]) for option in options))

    def _synonyms(self, reading: Reading, start: int, end: int, joined: str) -> None:
        options = []
        whole = end - start == len(reading.words)
        if whole:
            reading.meant.add(joined)
        for name in self._near.synonyms(joined, reading.words[end - 1]):
            if whole:
                reading.meant.add(name.term)
            place = self._index.find(name.term)
            if place is not None:
                options.append(
                    Option((place,), _SYNONYM, self._messages["same"].format(name.typed, name.other))
                )
        if options:
            own = self._index.find(joined)
            weight = self._weight_of(options) if own is None else self._weight(self._index.frequency(own))
            weight = max(self._faint(weight, joined), sum(reading.weights[start:end]))
            reading.edges.append(Edge(start, end, weight, tuple(options)))
            reading.covered.update(range(start, end))

    def _whole_display(self, reading: Reading) -> None:
        """The whole query may be a display, or the beginning of one."""
        joined = "".join(reading.words)
        if not joined or len(reading.words) > _LONGEST_DISPLAY:
            return
        for term in dict.fromkeys(("=" + joined, "=" + without_o(joined))):
            place = self._index.find(term)
            if place is not None and place not in reading.displays:
                reading.displays.append(place)
        if len(joined) > 2:
            options = tuple(Option((place,), _DISPLAY) for place in self._near.beginnings("=" + joined))
            if options:
                weight = max(sum(reading.weights), self._weight_of(options))
                reading.edges.append(Edge(0, len(reading.words), weight, options))

    def _exact_words(self, reading: Reading) -> None:
        for at, word in enumerate(reading.words):
            place = self._index.find(word)
            if place is not None and at not in reading.settled:
                reading.edges.append(Edge(at, at + 1, reading.weights[at], (Option((place,), WHOLE),)))
        reading.edges.sort(key=lambda edge: (-edge.weight, edge.start, edge.end))
        del reading.edges[_MOST_EDGES:]

    def _words(self, reading: Reading) -> None:
        """Add the single words; only one that nothing is found for is read as another."""
        suggestion = list(reading.words)
        for at, word in enumerate(reading.words):
            if at in reading.settled:
                continue
            if at in reading.partial:
                self._part(reading, at)
                continue
            options = self._word(reading, at)
            if not options and at not in reading.covered and self._may_be_misspelt(word):
                options, read_as = self._near.misspelt(word)
                suggestion[at] = read_as or word
            if options:
                weight = reading.weights[at] or self._faint(self._weight_of(options), word)
                reading.edges.append(Edge(at, at + 1, weight, tuple(options)))
            elif at not in reading.covered and not self._is_filling(word):
                reading.unknown.append(word)
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
        if code not in reading.unknown:
            reading.unknown.append(code)
        place = self._index.find(word)
        if place is not None and word[0] <= "9":
            option = Option((place,), _PART, self._messages["part"].format(code, word))
            reading.edges.append(Edge(at, at + 1, reading.weights[at], (option,)))

    def _word(self, reading: Reading, at: int) -> list[Option]:
        """Return the word itself, its inflections, what it begins, what it is made of."""
        word = reading.words[at]
        letters = word[0] > "9"
        exact = self._index.find(word)
        options = [] if exact is None else [Option((exact,), WHOLE)]
        if letters:
            for place in self._near.inflections(word):
                why = self._messages["form"].format(word, self._index.terms[place])
                options.append(Option((place,), _STEM, why))
        alone = not options and at not in reading.covered
        last = at + 1 == len(reading.words)
        if (last and (letters or at == 0)) or (alone and letters and len(word) > 2):
            factor = _BEGINNING_INSIDE if not last else _BEGINNING_OF_KNOWN if options else _BEGINNING
            why = self._messages["starts"].format(word)
            taken = {option.terms[0] for option in options}
            options += [
                Option((place,), factor, why) for place in self._near.beginnings(word) if place not in taken
            ]
        if alone and letters:
            options += self._near.split(word)
        return options
