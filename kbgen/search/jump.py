"""Whether a query asks to jump, bridge or bypass something: then the device's own line has to answer."""

from __future__ import annotations

from collections.abc import Sequence

from .language import Language
from .stem import stem


def asks_to_jump(words: Sequence[str], language: Language) -> tuple[set[int], set[str]]:
    """Return the words that do the asking, by place, and the stems of all words that tell something.

    Both are empty when it does not ask, or names nothing beside the asking.
    """
    stems = [stem(word, language) for word in words]
    said = {form for form, word in zip(stems, words, strict=True) if word not in language.faint}
    asking: set[int] = set()
    for way in language.bypasses:
        forms = {stem(word, language) for word in way.split()}
        if forms < said:
            asking.update(at for at, form in enumerate(stems) if form in forms)
    return (asking, said) if asking else (set(), set())
