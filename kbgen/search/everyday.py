"""Everyday words that are right as they are, though no entry has them and a page has one like them."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from pathlib import Path

from .language import Language
from .stem import stem

_LEAST = 3


@cache
def read_words(path: Path) -> tuple[str, ...]:
    """Return the words of a list; lines with # are remarks."""
    lines = path.read_text(encoding="utf-8").splitlines()
    return tuple(word for line in lines if not line.startswith("#") for word in line.split())


def right_words(terms: Iterable[str], language: Language) -> tuple[str, ...]:
    """Return the stems of everyday words that would else be taken for misspelt terms, sorted.

    Two words that are two edits apart have a rest in common when two letters of each are left out.
    """
    if not language.everyday:
        return ()
    known = [term for term in terms if term.isalpha() and len(term) >= _LEAST]
    stems = {stem(term, language) for term in known}
    rests = {rest for term in known for rest in _rests(term)}
    return tuple(
        sorted(
            {
                form
                for word in language.everyday
                if not rests.isdisjoint(_rests(word)) and (form := stem(word, language)) not in stems
            }
        )
    )


def _rests(word: str) -> list[str]:
    """Return what is left of a word without one letter, of a longer one also without two."""
    shorter = [word[:at] + word[at + 1 :] for at in range(len(word))]
    found = [word, *shorter]
    if len(word) > 4:
        found += [
            rest[:at] + rest[at + 1 :] for first, rest in enumerate(shorter) for at in range(first, len(rest))
        ]
    return found
