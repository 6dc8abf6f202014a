"""A light stemmer that takes inflections off and leaves word families apart.

``purging`` and ``purged`` meet; ``igniter`` and ``ignition`` do not, because ``-er`` and ``-ion``
make other things of a word in this trade.
"""

from __future__ import annotations

from .language import Language

_VOWELS = frozenset("aeiouy")


def stem(word: str, language: Language) -> str:
    """Return the common form of a folded word's inflections.

    >>> from .english import ENGLISH
    >>> [stem(word, ENGLISH) for word in ("purging", "purges", "tripped", "batteries", "note")]
    ['purg', 'purg', 'trip', 'batteri', 'note']
    """
    if word in language.whole:
        return word
    form = word
    for rules in language.rounds:
        for ending, replacement, remain, needs_vowel in rules:
            rest = form[: len(form) - len(ending)]
            if not form.endswith(ending) or len(rest) < remain:
                continue
            if needs_vowel and _VOWELS.isdisjoint(rest):
                continue
            if rest + replacement not in language.whole:
                form = rest + replacement
            break
    return form
