"""What to say of a code that a panel does not show: what it shows, and what looks most alike."""

from __future__ import annotations

from collections.abc import Sequence

from kbgen.ref import Kind

from .index import Display, Postings
from .normalise import Atom, atoms
from .understood import Reading

_MOST = 4
_LEAST = 20
"""Per cent of pairs of letters two texts must share to be called alike."""


def nearest(query: Sequence[Atom], displays: Sequence[Display], equipment: str | None) -> tuple[Display, ...]:
    """Return the displays, of one plant or of all, that share most pairs of letters with a query."""
    typed = _pairs(query)
    ranked = []
    for at, display in enumerate(displays):
        shown = _pairs(atoms(display.shows))
        alike = 200 * len(typed & shown) // max(1, len(typed) + len(shown))
        if alike >= _LEAST and equipment in (None, display.equipment):
            ranked.append((-alike, at))
    return tuple(displays[at] for _, at in sorted(ranked)[:_MOST])


def _pairs(text: Sequence[Atom]) -> set[str]:
    joined = " " + "".join(atom.text for atom in text)
    return {joined[at : at + 2] for at in range(len(joined) - 1)}


def absent_of(index: Postings, reading: Reading, equipment: str | None) -> tuple[str, ...]:
    """Return what a query writes like a code, when the plant shows none of it, or no plant does."""
    for term in reading.asked:
        for at in index.showing(term):
            if equipment is None or equipment in index.entries[at].equipment:
                return ()
    return tuple(term.removesuffix("_").replace("_", "-").upper() for term in reading.asked)


def page_of(index: Postings, equipment: str | None) -> int | None:
    """Return the place of a plant's own entry."""
    places = (at for at, e in enumerate(index.entries) if e.kind is Kind.EQUIPMENT and e.id == equipment)
    return next(places, None)


def shows_instead(index: Postings, equipment: str, absent: Sequence[str]) -> str:
    """Return what a plant's row says when its panel does not show what was typed."""
    own = [display.shows for display in index.displays if display.equipment == equipment]
    codes = [shows for shows in own if len(shows) == 1 or any("0" <= sign <= "9" for sign in shows)]
    return index.language.messages["absent"].format(", ".join(absent), ", ".join(codes or own))
