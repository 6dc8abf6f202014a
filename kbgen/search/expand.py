"""What a single word may stand for: inflections, words it begins, words it was made of, words meant."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from .index import Postings
from .language import Language
from .normalise import atoms, key
from .spelling import cost, letter_mask
from .stem import stem

WHOLE = 16
"""Factors are sixteenths of what the typed word itself would count."""

_SPLIT, _ONE_EDIT, _TWO_EDITS = 14, 11, 8
_FAMILY = 3  # taken off when an inflection of a misread word is found
_MOST_BEGINNINGS = 48
_MOST_READ_AS = 5


@dataclass(frozen=True, slots=True)
class Option:
    """One way to understand a stretch of a query: all of ``terms`` are in the entry.

    Attributes:
        terms: Positions of terms in the index.
        factor: What it counts, in sixteenths.
        why: What to tell the reader when it is not the typed word, or None.
    """

    terms: tuple[int, ...]
    factor: int
    why: str | None = None


Names = dict[str, tuple[str, str]]
"""The other names of a thing: under the term of each what it is another name for, and it, as written."""


class Words:
    """The vocabulary of an index, asked for what is near a word."""

    def __init__(self, index: Postings) -> None:
        self.index = index
        self.language = index.language
        self._synonyms = _synonym_table(index)
        self._letters = [
            (place, term, letter_mask(term))
            for place, term in enumerate(index.terms)
            if len(term) > 2 and term[0] > "=" and not any(sign <= "9" or sign == "_" for sign in term)
        ]

    def beginnings(self, word: str) -> list[int]:
        """Return the most frequent terms that begin so."""
        places = self.index.starting(word)
        return sorted(
            (place for place in places if self.index.terms[place] != word),
            key=lambda place: (-self.index.frequency(place), place),
        )[:_MOST_BEGINNINGS]

    def synonyms(self, joined: str, last: str) -> Names:
        """Return the other names of a stretch, given joined; its last word may be inflected."""
        return self._synonyms.get(_stemmed(joined, last, self.language), {})

    def split(self, word: str) -> list[Option]:
        """Read a word as two or three known ones written together; the shortest as long as possible."""
        best = max(self._splits(word, 3), key=lambda parts: min(map(len, parts)), default=None)
        if best is None:
            return []
        why = self.language.messages["same"].format(word, " ".join(best))
        return [
            Option(tuple(place for part in best if (place := self.index.find(part)) is not None), _SPLIT, why)
        ]

    def _splits(self, word: str, most: int) -> Iterable[tuple[str, ...]]:
        for cut in range(2, len(word) - 1):
            left, right = word[:cut], word[cut:]
            if not self._is_part(left):
                continue
            if self._is_part(right):
                yield left, right
            if most > 2:
                for rest in self._splits(right, most - 1):
                    yield (left, *rest)

    def _is_part(self, word: str) -> bool:
        return (len(word) > 2 or word in self.language.whole) and self.index.find(word) is not None

    def misspelt(self, word: str) -> tuple[list[Option], str | None]:
        """Return how a misspelt word may be read, and the likeliest word meant."""
        mask = letter_mask(word)
        for edits, factor in ((1, _ONE_EDIT), (2, _TWO_EDITS)):
            if len(word) < 2 * edits + 1:
                break
            near = []
            for place, term, letters in self._letters:
                if abs(len(term) - len(word)) > edits or ((mask & ~letters).bit_count() > edits):
                    continue
                if (letters & ~mask).bit_count() > edits:
                    continue
                price = cost(word, term, edits)
                if price <= 4 * edits:
                    near.append((price, -self.index.frequency(place), place))
            if near:
                near.sort()
                options = []
                for _, _, place in near[:_MOST_READ_AS]:
                    term = self.index.terms[place]
                    why = self.language.messages["near"].format(word, term)
                    options.append(Option((place,), factor, why))
                    options += [
                        Option((form,), factor - _FAMILY, why) for form in self.index.inflections(term)
                    ]
                return options, self.index.terms[near[0][2]]
        return [], None


def _synonym_table(index: Postings) -> dict[str, Names]:
    """Return the other names of a thing under each of its names, the last word as its stem."""
    table: dict[str, Names] = {}
    heard = [((typed,), (other,)) for typed, other in index.language.heard]
    for names, others in (*heard, *((group, group) for group in index.synonyms)):
        for name in names:
            own = key(name)
            known = table.setdefault(_stemmed(own, atoms(name)[-1].text, index.language), {})
            known.update((key(other), (name, other)) for other in others if key(other) != own)
    return table


def _stemmed(joined: str, last: str, language: Language) -> str:
    return joined[: len(joined) - len(last)] + stem(last, language)
