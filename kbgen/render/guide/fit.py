"""What a booklet prints: which leaves share a page, what gives where it is too long, and in which order."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil

from kbgen.views.booklet.leaf import Booklet, Grid, Leaf

MOST_PAGES = 64
"""The most pages of a booklet: 16 leaves are the most that an office stapler takes."""
FOLIO = 4
"""Pages of a sheet that is folded once."""
Measured = tuple[float, int, float]
"""What a leaf takes of a page at the usual size; how its condition is set; what it takes at the larger size."""
GIVES = ((1, "short form"), (2, "proof card"), (3, "card of devices that no condition names"))
"""What gives for want of room, in this order."""
_HEAD = 0.06
"""What a heading takes of a page."""
_ROUNDING = 0.02
_BREAKS = 1.02
"""What is lost at the foot of pages, where a line that stands whole goes overleaf."""
_NOTE_LINES = 13


@dataclass(frozen=True, slots=True)
class Chosen:
    """What is printed.

    Attributes:
        gave: What gave for want of room, as the imprint says it.
        large: Whether what is read in action is set larger.
        may_give: Whether anything is left that may give.
    """

    booklet: Booklet
    gave: tuple[str, ...]
    large: bool
    may_give: bool


@dataclass(frozen=True, slots=True)
class _Unit:
    """Leaves that stand together, and their pages at both sizes."""

    leaf: Leaf
    pages: int
    large: int


def choose(booklet: Booklet, measured: list[Measured], room: int, *, large: bool) -> Chosen:
    """Let give what has to.

    Args:
        room: Pages there are for leaves.
        large: Whether the larger size may be taken.
    """
    units = [
        each for each in _joined(booklet, measured) if not each.leaf.most or each.pages <= each.leaf.most
    ]
    free = room - sum(each.pages for each in units)
    forced = free < 0
    gave = []
    for gives, what in GIVES:
        gone = 0
        for each in reversed([each for each in units if each.leaf.gives == gives]):
            if free >= 0:
                break
            units.remove(each)
            free += each.pages
            gone += 1
        if gone:
            gave.append(f"{gone} {what}{'s' if gone > 1 else ''}")
    fits = sum(each.large for each in units) <= room and not any(
        each.leaf.most and each.large > each.leaf.most for each in units
    )
    leaves = tuple(each.leaf for each in units)
    return Chosen(
        replace(booklet, leaves=leaves),
        tuple(gave),
        large and fits and not forced,
        any(leaf.gives for leaf in leaves),
    )


def with_notes(chosen: Chosen, pages: int) -> Chosen:
    """Put pages for notes before the last leaf, so that it stands on the back cover when the booklet is folded."""
    *leaves, last = chosen.booklet.leaves
    notes = Leaf((), "WRITE", "Notes", (Grid("", ("",), (100,), (((),),) * _NOTE_LINES, high=True),))
    return replace(chosen, booklet=replace(chosen.booklet, leaves=(*leaves, *(notes,) * pages, last)))


def _joined(booklet: Booklet, measured: list[Measured]) -> list[_Unit]:
    """Put leaves on one page that fit there together; tell how many pages each takes, as far as heights tell."""
    leaves: list[tuple[Leaf, float, float]] = []
    for leaf, (share, _, large) in zip(booklet.leaves, measured, strict=True):
        if leaf.joins and leaves and leaves[-1][1] + share - _HEAD <= 1 - _ROUNDING:
            before, own, _ = leaves.pop()
            leaf_ = replace(before, parts=(*before.parts, *leaf.parts), spread=False)
            leaves.append((leaf_, own + share, own + share))
        else:
            leaves.append((leaf, share, large if leaf.large else share))
    ends = [following.joins for following, *_ in leaves[1:]] + [False]
    return _paired(
        [
            _Unit(leaf if share > 1 or joined else replace(leaf, spread=False), _pages(share), _pages(large))
            for (leaf, share, large), joined in zip(leaves, ends, strict=True)
        ]
    )


def _pages(share: float) -> int:
    return 1 if share <= 1 else ceil(share * _BREAKS)


def _paired(units: list[_Unit]) -> list[_Unit]:
    """Put circuits in an order that leaves no page empty before a spread: a short one where a right page is free."""
    circuits = [each for each in units if each.leaf.tab == "CIRCUIT"]
    if not circuits:
        return units
    at = units.index(circuits[0])
    short = [each for each in circuits if not each.leaf.spread and not each.leaf.joins]
    long = [each for each in circuits if each not in short]
    page = 2 + sum(each.pages for each in units[:at])
    found: list[_Unit] = []
    while short or long:
        if short and (page % 2 or not long):
            taken = [short.pop(0)]
        else:
            taken = [long.pop(0)]
            while long and long[0].leaf.joins:
                taken.append(long.pop(0))
        found += taken
        page += sum(each.pages for each in taken)
    return [*units[:at], *found, *units[at + len(circuits) :]]
