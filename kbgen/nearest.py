"""Did you mean: the nearest of some known names."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import SequenceMatcher

# Below this share of common letters two words are strangers; found by trying slips of the finger
# (swapped, doubled, missing letters) against unrelated field names of the same length.
_CUT_OFF = 0.7


def nearest(word: str, choices: Iterable[str]) -> str | None:
    """Return the choice that was most likely meant, or ``None`` when none is close.

    Case, and hyphen against underscore against blank, do not count. Of equally close choices the
    alphabetically first is taken.

    >>> nearest("devise", ["device", "symptom"])
    'device'
    """
    wanted = _plain(word)
    best: tuple[float, str] | None = None
    matcher = SequenceMatcher(None, autojunk=False)
    matcher.set_seq2(wanted)
    for choice in sorted(set(choices)):
        matcher.set_seq1(_plain(choice))
        floor = best[0] if best else _CUT_OFF
        if matcher.real_quick_ratio() < floor or matcher.quick_ratio() < floor:
            continue
        likeness = matcher.ratio()
        if likeness >= floor and (best is None or likeness > best[0]):
            best = (likeness, choice)
    return best[1] if best else None


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
