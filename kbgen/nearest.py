"""Did you mean: the nearest of some known names, where only one of them could be meant."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from difflib import SequenceMatcher

# Below this share of common letters two words are strangers; found by trying slips of the finger
# (swapped, doubled, missing letters) against unrelated field names of the same length.
_CUT_OFF = 0.7
_WORD_CUT_OFF = 0.6
_WORD = re.compile(r"[^\W_]+")
_DIGITS = re.compile(r"[0-9]+")
# Words that tell two things apart: one is never a slip for the other.
_OPPOSITES = tuple(
    frozenset(words.split())
    for words in (
        "low high mid middle medium",
        "upstream downstream",
        "first second third fourth last 1st 2nd 3rd",
        "primary secondary",
        "left right centre center",
        "front rear back side",
        "top bottom",
        "upper lower",
        "inlet outlet",
        "in out",
        "on off",
        "open opened opens shut closed close closes",
        "made broken",
        "supply return exhaust",
        "hot cold",
        "wet dry",
        "min max minimum maximum least most",
        "up down",
        "before after",
        "start stop",
        "live dead neutral earth",
        "input output",
        "inner outer",
        "indoor outdoor",
        "inside outside",
        "real false",
        "auto automatic manual",
        "fill drain",
        "flow no",
        "ac dc",
        "gas oil water air steam",
        "main pilot",
        "pressure temperature level",
        "north south east west",
        "fit undo",
        "lock unlock",
        "isolate restore",
    )
)


def nearest(word: str, choices: Iterable[str]) -> str | None:
    """Return the choice that was meant, or ``None`` when none is close, or none alone.

    Case, and hyphen against underscore against blank, do not count. Never returned is what another word
    tells apart (``low`` and ``high``, ``2`` and ``3``), however alike the rest is; of two that are equally
    close neither is.

    >>> nearest("devise", ["device", "symptom"])
    'device'
    >>> nearest("low-gas", ["high-gas", "low-air"])
    """
    wanted = _plain(word)
    best: tuple[float, str] | None = None
    tied = False
    matcher = SequenceMatcher(None, autojunk=False)
    matcher.set_seq2(wanted)
    for choice in sorted(set(choices)):
        matcher.set_seq1(_plain(choice))
        floor = best[0] if best else _CUT_OFF
        if matcher.real_quick_ratio() < floor or matcher.quick_ratio() < floor:
            continue
        likeness = matcher.ratio()
        if likeness < floor or _told_apart(wanted, _plain(choice)):
            continue
        tied = best is not None and likeness == best[0]
        if best is None or likeness > best[0]:
            best = (likeness, choice)
    return best[1] if best and not tied else None


def _told_apart(one: str, other: str) -> bool:
    """Whether two names differ by a word, or a number, that makes them names of two things."""
    if one == other:
        return False
    if sorted(_DIGITS.findall(one)) != sorted(_DIGITS.findall(other)):
        return True
    first, second = _words(one), _words(other)
    # Run together or apart, the words are the same.
    if "".join(first) == "".join(second):
        return False
    only_one, only_other = [w for w in first if w not in second], [w for w in second if w not in first]
    for words in _OPPOSITES:
        here, there = words.intersection(only_one), words.intersection(only_other)
        if here and there:
            if not any(_one_word(left, right) for left in here for right in there):
                return True
        elif here or there:
            # One name says which of them, and the other does not: either could be meant.
            others = only_other if here else only_one
            if not any(_alike(word, meant) for word in others for meant in here or there):
                return True
    return any(
        not any(_alike(word, meant) for meant in others) and not _joined(word, others)
        for words, others in ((only_one, only_other), (only_other, only_one))
        for word in words
        if only_one and only_other
    )


def _words(name: str) -> list[str]:
    return _WORD.findall(name.replace("_", " "))


def _one_word(one: str, other: str) -> bool:
    """Whether two words are forms of one, as ``open`` and ``opened`` are."""
    return one.startswith(other) or other.startswith(one) or one[:4] == other[:4]


def _alike(one: str, other: str) -> bool:
    return SequenceMatcher(None, one, other, autojunk=False).ratio() >= _WORD_CUT_OFF


def _joined(word: str, others: Sequence[str]) -> bool:
    """Whether a word is a part of another, or holds one: somebody left out a blank."""
    return any(word in other or other in word for other in others)


def by_nearness(word: str, choices: Iterable[str]) -> list[str]:
    """Return the choices with the nearest in front; the others keep their order."""
    listed = list(choices)
    first = nearest(word, listed)
    return listed if first is None else [first, *(choice for choice in listed if choice != first)]


def one_of(choices: Iterable[str]) -> str:
    """Write choices as people do: ``open, closed or unknown``."""
    listed = list(choices)
    return listed[0] if len(listed) == 1 else f"{', '.join(listed[:-1])} or {listed[-1]}"


def _plain(word: str) -> str:
    return word.casefold().replace("-", "_").replace(" ", "_")
