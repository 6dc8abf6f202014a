"""Whether a query speaks of danger, so that the page to leave the building comes first."""

from __future__ import annotations

from collections.abc import Sequence

from .index import Postings
from .normalise import Atom
from .reading import LONGEST
from .spelling import cost
from .stem import stem

_HALF_TYPED = 5


def is_emergency(index: Postings, query: Sequence[Atom]) -> bool:
    """Return whether an emergency phrase is in the query.

    All its words but those every sentence is full of must be there, typing errors tolerated.
    """
    words = [atom.text for atom in query]
    # In a long paste a word is too often next to another; there it has to be spelt right. So has a word that
    # stands in the entries in any form: the "fuses" of a plant are no "fumes".
    long = len(words) > LONGEST
    known = [long or index.find(word) is not None or bool(index.inflections(word)) for word in words]

    def said(word: str) -> bool:
        return any(
            _same(index, typed, word, exact=known[at], last=at + 1 == len(words))
            for at, typed in enumerate(words)
        )

    return any(
        all(map(said, wanted)) and not any(word in words for word in barred)
        for wanted, barred in index.dangers
    )


def _same(index: Postings, typed: str, word: str, *, exact: bool, last: bool) -> bool:
    if typed == word or stem(typed, index.language) == stem(word, index.language):
        return True
    # "Single" is no tingle and "called" not scalded: whoever errs has the first letter right.
    if exact or len(word) < 3 or typed[0] != word[0]:
        return False
    if last and len(typed) >= _HALF_TYPED and word.startswith(typed):
        return True
    return cost(typed, word, 1 if len(word) < 8 else 2) <= (3 if len(word) < 4 else 8)
