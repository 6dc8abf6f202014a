"""What a booklet prints: which leaves share a page, what gives where it is too long, and in which order."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from math import ceil, floor

from kbgen.views.booklet.leaf import Booklet, Grid, Leaf

MOST_PAGES = 64
"""The most pages of a booklet: 16 leaves are the most that an office stapler takes."""
WHOLE_PAGES = 72
"""The most of one that would else lose what never gives; it is sewn or stapled in two piles."""
SPREAD = 2
"""Pages that lie open together: what is read side by side stands on them, where closer lines do that."""
FOLIO = 4
"""Pages of a sheet that is folded once."""
Measured = tuple[float, int, float, float]
"""What a leaf takes of a page; how its condition is set; what it takes at the larger size, and with lines that stand closer."""
_FORM = 1
GIVES = ((_FORM, "short form"), (2, "proof card"), (3, "card of devices that no condition names"))
"""What gives for want of room, in this order."""
_HEAD = 0.03
"""What a heading takes of a page, less the distance that stands in its place."""
_ROUNDING = 0.01
_BREAK = 0.05
"""What is lost at the foot of a page, where a line that stands whole goes overleaf."""
_LITTLE = 0.3
"""A page filled less than this is spared by lines that stand closer, also where there is room."""
_NOTE_LINES = 13
_EARLIER = ("PLACE", "NEVER", "RUN")
"""Leaves of one page that may stand a little earlier, so that no page is empty before a spread."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """What is printed.

    Attributes:
        gave: What gave for want of room, as the imprint says it.
        large: Whether what is read in action is set larger.
        may_give: Whether anything is left that may give.
        overleaf: Titles of the circuits that go on behind their spread.
    """

    booklet: Booklet
    gave: tuple[str, ...]
    large: bool
    may_give: bool
    overleaf: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Unit:
    """Leaves that stand together, and their pages: as set, and larger."""

    leaf: Leaf
    pages: int
    large: int


def choose(booklet: Booklet, measured: list[Measured], room: int, *, large: bool) -> Chosen:
    """Let give what has to.

    Args:
        room: Pages there are for leaves.
        large: Whether the larger size may be taken.
    """
    units = _joined(booklet, measured, forced=False)
    forced = sum(each.pages for each in units) > room
    if forced:
        units = _joined(booklet, measured, forced=True)
    units = [each for each in units if not each.leaf.most or each.pages <= each.leaf.most]
    # What stands on the page of another leaf gives all the same, once every short form has.
    beside = [leaf for leaf in booklet.leaves if leaf.joins and leaf.gives]
    if beside and sum(each.pages for each in units if each.leaf.gives != _FORM) > room:
        rest = choose(*without(booklet, measured, [leaf.label for leaf in beside]), room, large=large)
        return replace(rest, gave=(*rest.gave, _told(len(beside), dict(GIVES)[beside[0].gives])))
    free = room - sum(each.pages for each in units)
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
            gave.append(_told(gone, what))
    fits = sum(each.large for each in units) <= room and not any(
        each.leaf.most and each.large > each.leaf.most for each in units
    )
    leaves = tuple(each.leaf for each in _filled(units)[0])
    return Chosen(
        replace(booklet, leaves=leaves),
        tuple(gave),
        large and fits and not forced,
        bool(beside) or any(leaf.gives for leaf in leaves),
        tuple(each.leaf.title for each in units if each.leaf.tab == "CIRCUIT" and each.pages > SPREAD),
    )


def _told(count: int, what: str) -> str:
    return f"{count} {what}{'s' if count > 1 else ''}"


def without(
    booklet: Booklet, measured: list[Measured], gone: Collection[str]
) -> tuple[Booklet, list[Measured]]:
    """Take leaves out of a booklet, by their labels."""
    kept = [each for each in zip(booklet.leaves, measured, strict=True) if each[0].label not in gone]
    return replace(booklet, leaves=tuple(leaf for leaf, _ in kept)), [height for _, height in kept]


def needed(booklet: Booklet, measured: list[Measured]) -> int:
    """Return the pages of a booklet, with its cover, when all that may give has given, as far as heights tell."""
    gives = [leaf.label for leaf in booklet.leaves if leaf.gives]
    units = [
        each
        for each in _joined(*without(booklet, measured, gives), forced=True)
        if not (each.leaf.most and each.pages > each.leaf.most)
    ]
    return _filled(units)[1]


def with_notes(chosen: Chosen, pages: int) -> Chosen:
    """Put pages for notes before the last leaf, so that it stands on the back cover when the booklet is folded."""
    *leaves, last = chosen.booklet.leaves
    notes = Leaf((), "WRITE", "Notes", (Grid("", ("",), (100,), (((),),) * _NOTE_LINES, high=True),))
    return replace(chosen, booklet=replace(chosen.booklet, leaves=(*leaves, *(notes,) * pages, last)))


def _joined(booklet: Booklet, measured: list[Measured], *, forced: bool) -> list[_Unit]:
    """Put leaves on one page that fit there together; tell how many pages each takes, as far as heights tell.

    Args:
        forced: Whether lines stand closer wherever that spares a page, not only where it spares one with a few lines.
    """
    found: list[tuple[Leaf, float, float, float]] = []
    for leaf, (share, _, large, close) in zip(booklet.leaves, measured, strict=True):
        if leaf.joins and found:
            before, own, _, closer = found[-1]
            both, both_close = own + share - _HEAD, closer + close - _HEAD
            if _pages(both_close) < _pages(own) + _pages(share):
                together = replace(before, parts=(*before.parts, *leaf.parts))
                found[-1] = (together, both, both, both_close)
                continue
        found.append((leaf, share, large, close))
    ends = [following.joins for following, *_ in found[1:]] + [False]
    return [
        _unit(
            leaf if share > 1 or joined else replace(leaf, spread=False), share, large, close, forced=forced
        )
        for (leaf, share, large, close), joined in zip(found, ends, strict=True)
    ]


def _last(share: float) -> float:
    """Return what is filled of the last page."""
    return share - _pages(share) + 1


def _unit(leaf: Leaf, share: float, large: float, close: float, *, forced: bool) -> _Unit:
    pages = _pages(share)
    spread = leaf.spread and pages > SPREAD >= _pages(close)
    if not leaf.condition and _pages(close) < pages and (forced or spread or _last(share) < _LITTLE):
        closer = _pages(close)
        return _Unit(replace(leaf, close=True, spread=leaf.spread and closer > 1), closer, closer)
    return _Unit(leaf, pages, _pages(large))


def _pages(share: float) -> int:
    return 1 if share <= 1 - _ROUNDING else ceil(share + floor(share) * _BREAK)


def _filled(units: list[_Unit]) -> tuple[list[_Unit], int]:
    """Put leaves in an order that leaves no page empty before a spread.

    On a left page a spread of the same tab comes first; on a right page one that takes a single page.

    Returns:
        They, and the pages of the whole booklet.
    """
    left = list(units)
    found: list[_Unit] = []
    page = 2
    while left:
        at = _next(left, right_page=page % 2 == 1)
        if left[at].leaf.spread and page % 2:
            page += 1
        taken = [left.pop(at)]
        while at < len(left) and left[at].leaf.joins:
            taken.append(left.pop(at))
        found += taken
        page += sum(each.pages for each in taken)
    return found, page - 1


def _next(left: list[_Unit], *, right_page: bool) -> int:
    """Return which of the leaves that are left stands best on this page; the first where none does better."""
    first = left[0].leaf
    found: Iterable[int] = ()
    if first.spread and right_page:
        found = (
            k for k in range(len(left)) if _alone(left, k) and _may_stand_here(left[k].leaf.tab, first.tab)
        )
    elif first.tab == "CIRCUIT" and not first.joins and not right_page:
        found = (k for k, each in enumerate(left) if each.leaf.spread and each.leaf.tab == first.tab)
    return next(iter(found), 0)


def _alone(left: list[_Unit], at: int) -> bool:
    leaf = left[at].leaf
    followed = at + 1 < len(left) and left[at + 1].leaf.joins
    return left[at].pages == 1 and not (leaf.spread or leaf.joins or leaf.condition or followed)


def _may_stand_here(tab: str, before: str) -> bool:
    return tab == before or (before != "CIRCUIT" and tab in _EARLIER)
