"""What a panel shows that looks most like a query nothing was found for."""

from __future__ import annotations

from collections.abc import Sequence

from .index import Display
from .normalise import Atom, atoms

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
