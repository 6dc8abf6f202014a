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


def right_words(known: Iterable[str], language: Language) -> tuple[str, ...]:
    """Return the stems of everyday words that would else be taken for misspelt terms, sorted.

    Args:
        known: The terms that a word may be taken for; see `known_words`.
    """
    if not language.everyday:
        return ()
    known = tuple(known)
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


def known_words(terms: Iterable[str]) -> list[str]:
    """Return the terms that a word may be taken for."""
    return [term for term in terms if term.isalpha() and len(term) >= _LEAST]


def _rests(word: str) -> list[str]:
    """Return what is left of a word without one letter, of a longer one also without two.

    Two words that are two edits apart have a rest in common when two letters of each are left out.
    """
    shorter = [word[:at] + word[at + 1 :] for at in range(len(word))]
    found = [word, *shorter]
    if len(word) > 4:
        found += [
            rest[:at] + rest[at + 1 :] for first, rest in enumerate(shorter) for at in range(first, len(rest))
        ]
    return found
