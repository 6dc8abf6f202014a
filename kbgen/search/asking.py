"""What kind of answer a query asks for: whether something may be jumped, or how something is done."""

from __future__ import annotations

from collections.abc import Sequence

from .language import Language
from .stem import stem


def telling(words: Sequence[str], language: Language) -> set[str]:
    """Return the stems of the words that tell something."""
    return {stem(word, language) for word in words if word not in language.faint}


def asks_to_jump(words: Sequence[str], language: Language) -> set[int]:
    """Return the places of the words that ask to jump, bridge or bypass something.

    There are none when it does not ask, or names nothing beside the asking.
    """
    if tells_of_jumper(words, language):
        return set()
    stems = [stem(word, language) for word in words]
    told = telling(words, language)
    asking: set[int] = set()
    for way in language.bypasses:
        forms = {stem(word, language) for word in way.split()}
        if forms < told:
            asking.update(at for at, form in enumerate(stems) if form in forms)
    return asking


def tells_of_jumper(words: Sequence[str], language: Language) -> bool:
    """Return whether it tells of a jumper that was found or left in."""
    forms = {stem(word, language) for word in words}
    met = any({stem(word, language) for word in way.split()} <= forms for way in language.bypasses)
    return met and not language.findings.isdisjoint(words)


def asks_how(words: Sequence[str], language: Language) -> bool:
    """Return whether it asks how something is done."""
    return _begins(words, language.tasks)


def asks_what(words: Sequence[str], language: Language) -> bool:
    """Return whether it asks what a word means."""
    return _begins(words, language.meanings)


def _begins(words: Sequence[str], beginnings: Sequence[str]) -> bool:
    text = f" {' '.join(words)} "
    return any(f" {beginning} " in text for beginning in beginnings)
