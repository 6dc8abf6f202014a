"""The index as data: what is exported is exactly what is queried."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property

from kbgen.ref import Kind

from .danger import Danger
from .danger_table import phrase_row
from .language import Language
from .normalise import atoms
from .plant import Names, name_table
from .stem import stem

LEVELS = 8
"""An impact is a whole number from 1 (once, in a long body) to `LEVELS` (what the entry is about)."""

KINDS = (
    Kind.SYMPTOM,
    Kind.DEVICE,
    Kind.PROCEDURE,
    Kind.CIRCUIT,
    Kind.EQUIPMENT,
    Kind.CAUTION,
    Kind.TERM,
    Kind.PLANT,
    Kind.FIELD_NOTE,
)
"""The order of entries in the index; of two entries with equal score the earlier one wins."""


@dataclass(frozen=True, slots=True)
class EmergencyWords:
    """What makes the leave-now page come first, beside the language's own table.

    Attributes:
        phrases: Each is a few words that must all be in the query, in any order and form, small words
            like "of" aside.
        address: The leave-now page from the site's root.
        title: What its row above the results says.
        parts: Of each kind of danger what its row says, and the first act.
    """

    phrases: tuple[str, ...] = ()
    address: str = "leave-now.html"
    title: str = ""
    parts: dict[str, tuple[str, str]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Entry:
    """What is shown of a hit; fields as in `SearchDocument`."""

    kind: Kind
    id: str
    title: str
    address: str
    equipment: tuple[str, ...]
    summary: str
    note: str
    draft: bool


@dataclass(frozen=True, slots=True)
class Display:
    """Something a panel can show, and the page that explains it, from the site's root.

    ``normal`` says what it means where it is a display of normal running, and is empty where it is not.
    """

    shows: str
    equipment: str
    address: str
    normal: str = ""


@dataclass(frozen=True)
class Postings:
    """All entries and the impact of every term on each.

    Attributes:
        entries: Sorted by kind and id.
        terms: Sorted by UTF-16 code units, as JavaScript compares. ``=code`` is a whole display,
            ``!word`` a denied word, ``3_1`` a flash count, everything else a word or joined words.
        postings: For each term the entries it is in, ascending, with their impact.
        displays: What every panel can show, offered when nothing is found.
        synonyms: Groups of names for the same thing, as written.
        plants: Id and names of each plant, as written.
        right: Stems of everyday words that are in no entry and like a word that is.
    """

    entries: tuple[Entry, ...]
    terms: tuple[str, ...]
    postings: tuple[tuple[tuple[int, int], ...], ...]
    displays: tuple[Display, ...]
    synonyms: tuple[tuple[str, ...], ...]
    emergency: EmergencyWords
    language: Language
    plants: tuple[tuple[str, tuple[str, ...]], ...] = ()
    right: tuple[str, ...] = ()

    def find(self, term: str) -> int | None:
        """Return the position of a term, or None."""
        return self._places.get(term)

    def starting(self, beginning: str) -> Iterator[int]:
        """Yield the positions of all terms that begin so."""
        at = bisect_left(self._order, order_key(beginning))
        while at < len(self.terms) and self.terms[at].startswith(beginning):
            yield at
            at += 1

    def inflections(self, word: str) -> list[int]:
        """Return the positions of the other forms of a word."""
        base = stem(word, self.language)
        return [
            place
            for place in self.starting(base[: max(2, len(base) - 1)])
            if self.terms[place] != word and stem(self.terms[place], self.language) == base
        ]

    def frequency(self, term: int) -> int:
        """Return in how many entries a term is."""
        return len(self.postings[term])

    def showing(self, display: str) -> list[int]:
        """Return the entries that explain a whole display."""
        place = self.find("=" + display)
        return [] if place is None else [entry for entry, _ in self.postings[place]]

    @cached_property
    def danger(self) -> Danger:
        """What speaks of danger: the language's table and the shop's own phrases."""
        own = ([atom.text for atom in atoms(phrase)] for phrase in self.emergency.phrases)
        rows = (
            phrase_row(kept) for words in own if (kept := [w for w in words if w not in self.language.faint])
        )
        table = self.language.danger
        return Danger(replace(table, rows=(*table.rows, *rows)), self._stem, self._is_known)

    def _stem(self, word: str) -> str:
        return stem(word, self.language)

    def _is_known(self, word: str) -> bool:
        return self.find(word) is not None or bool(self.inflections(word))

    @cached_property
    def names(self) -> Names:
        """The names of the plants, ready to be looked for."""
        return name_table(self.plants, self.language)

    def is_right(self, word: str) -> bool:
        """Return whether a word that is in no entry is an everyday one."""
        return stem(word, self.language) in self._right

    @cached_property
    def _right(self) -> frozenset[str]:
        return frozenset(self.right)

    @cached_property
    def _places(self) -> dict[str, int]:
        return {term: at for at, term in enumerate(self.terms)}

    @cached_property
    def _order(self) -> list[bytes]:
        return [order_key(term) for term in self.terms]


def order_key(term: str) -> bytes:
    """Return what sorts terms as JavaScript does."""
    return term.encode("utf-16-be")
