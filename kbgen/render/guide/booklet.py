"""Typeset one plant's booklet: pack its leaves, see what fits, let give what has to, and say so."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass, replace
from itertools import pairwise
from math import ceil
from typing import Any

from kbgen.printable import covered
from kbgen.ref import Kind, Ref
from kbgen.render.guide.code import svg_code
from kbgen.render.guide.glyphs import shown
from kbgen.render.guide.lines import Data, Lines
from kbgen.render.guide.paper import Paper
from kbgen.render.guide.result import MissingSign
from kbgen.render.guide.typeset import Typesetter, typesetter
from kbgen.views.blocks import Box, Goto, Mark, Plain
from kbgen.views.booklet.leaf import Booklet, Card, Leaf

ELSEWHERE = " (tablet or binder only)"
"""Stands behind a procedure that has no page here."""
MOST_PAGES = 64
"""The most pages of a booklet: 16 leaves are the most that an office stapler takes."""
TEMPLATE = "booklet.typ"
SECOND = 9
"""What the template says of a condition that takes a second page."""
_HEAD = 0.06
"""What a heading takes of a page."""
_ROUNDING = 0.02
_BREAKS = 1.02
"""What is lost at the foot of pages, where a line that stands whole goes overleaf."""
_SPANS = (Plain, Mark, Goto, Box)


def pack(booklet: Booklet, sheet: Paper, *, large: bool, said: tuple[str, ...] = (), qr: str = "") -> Data:
    """Return what the template prints, as plain data.

    Args:
        large: Whether what is read in action is set larger.
        said: What the imprint says besides.
        qr: The code of the edition, as SVG.
    """
    targets = {label: label for label in _labels(booklet)}
    packer = _Packer(Lines(sheet, targets))
    return {
        "paper": {field.name: getattr(sheet, field.name) for field in fields(sheet)},
        "language": booklet.language,
        "title": shown(booklet.title),
        "shop": shown(booklet.shop),
        "edition": {
            "id": shown(booklet.edition.id),
            "date": booklet.edition.date,
            "day": [int(part) for part in booklet.edition.date.split("-")],
        },
        "void": booklet.void_after,
        "notice": packer.value(booklet.notice),
        "sizes": [packer.value(each) for each in booklet.sizes],
        "options": [packer.value(each) for each in booklet.options],
        "imprint": [packer.value(each) for each in (*booklet.imprint, *said)],
        "large": large,
        "measuring": False,
        "qr": qr,
        "leaves": [packer.value(leaf) for leaf in booklet.leaves],
    }


def _labels(booklet: Booklet) -> Iterator[str]:
    for leaf in booklet.leaves:
        yield from leaf.labels
        for part in leaf.parts:
            for card in getattr(part, "cards", ()):
                if isinstance(card, Card):
                    yield card.label


@dataclass(frozen=True, slots=True)
class _Packer:
    lines: Lines

    def value(self, value: Any) -> Any:
        """Pack any value of a leaf: a text and a line become nodes, a record a map that names its kind."""
        match value:
            case bool() | int() | float() | None:
                return value
            case str():
                return self.lines.words(value)
            case tuple():
                if value and all(isinstance(each, _SPANS) for each in value):
                    return self.lines.line(tuple(self._reached(each) for each in value), "")
                return [self.value(each) for each in value]
        if not is_dataclass(value):
            raise TypeError(f"{type(value).__name__} cannot be printed")
        packed: Data = {"is": type(value).__name__.lower()}
        for field in fields(value):
            own = getattr(value, field.name)
            packed[field.name] = self._named(field.name, own)
        return packed

    def _named(self, name: str, own: Any) -> Any:
        if name in ("label", "sign", "role", "tab"):
            return own
        if name == "labels":
            return list(own)
        return self.value(own)

    def _reached(self, span: Any) -> Any:
        """Say of a procedure without a page where it is to be had."""
        if (
            isinstance(span, Goto)
            and isinstance(span.page, Ref)
            and span.page.kind is Kind.PROCEDURE
            and not self.lines.label(str(span.page))
        ):
            return Plain(f"{span.label}{ELSEWHERE}")
        return span


@dataclass(frozen=True, slots=True)
class Fitted:
    """How a booklet came out.

    Attributes:
        pages: All of them.
        sections: Pages by the tab of their leaves, in order; the cover has none.
        over: By how many pages it is too long; 0 where it fits.
        gave: What gave, as the imprint says it.
        second: Labels of the conditions that take a second page.
    """

    pages: int
    sections: tuple[tuple[str, int], ...] = ()
    over: int = 0
    gave: tuple[str, ...] = ()
    second: tuple[str, ...] = ()


def print_booklet(
    booklet: Booklet, sheet: Paper, *, tagged: bool = True
) -> tuple[bytes, Fitted] | tuple[MissingSign, ...]:
    """Typeset a booklet; in place of it the signs that no font has.

    Args:
        tagged: Whether it conforms to PDF/UA-1 and PDF/A-2a; the printing edition is a quarter of the size.
    """
    qr = svg_code(" ".join((booklet.key, booklet.plant, booklet.edition.id, booklet.edition.date)))
    data = pack(booklet, sheet, large=False, qr=qr)
    if missing := missing_in(booklet, data):
        return missing
    with typesetter(TEMPLATE, {**data, "measuring": True}) as setter:
        joined, pages = _joined(booklet, setter.heights())
        least = MOST_PAGES - 1
        while True:
            chosen, gave, forced = _kept(joined, pages, least)
            setter.put(pack(chosen, sheet, large=False, said=_said(gave, large=False), qr=qr))
            count = setter.pages()
            if count <= MOST_PAGES or not any(leaf.gives for leaf in chosen.leaves):
                break
            least -= count - MOST_PAGES
        if not forced:
            setter.put(pack(chosen, sheet, large=True, said=_said(gave, large=True), qr=qr))
            if setter.pages() > MOST_PAGES:
                setter.put(pack(chosen, sheet, large=False, said=_said(gave, large=False), qr=qr))
        pdf = setter.pdf(tagged=tagged)
        return pdf, _fitted(setter, gave)


def _fitted(setter: Typesetter, gave: tuple[str, ...]) -> Fitted:
    count = setter.pages()
    starts = [*setter.values("<leaf>"), ["", count + 1]]
    sections: dict[str, int] = {}
    for (tab, first), (_, following) in pairwise(starts):
        sections[tab] = sections.get(tab, 0) + following - first
    second = tuple(label for label, level in setter.values("<fit>") if level == SECOND)
    return Fitted(count, tuple(sections.items()), max(0, count - MOST_PAGES), gave, second)


def _said(gave: tuple[str, ...], *, large: bool) -> tuple[str, ...]:
    size = () if large else ("10 pt but on pages of conditions",)
    return (f"Gave for want of room: {'; '.join((*size, *gave))}.",) if (*size, *gave) else ()


def _joined(booklet: Booklet, shares: list[float]) -> tuple[Booklet, tuple[int, ...]]:
    """Put leaves on one page that fit there together; return how many pages each takes, as far as heights tell."""
    leaves: list[tuple[Leaf, float]] = []
    for leaf, share in zip(booklet.leaves, shares, strict=True):
        if leaf.joins and leaves and leaves[-1][1] + share - _HEAD <= 1 - _ROUNDING:
            before, own = leaves.pop()
            leaves.append((replace(before, parts=(*before.parts, *leaf.parts), spread=False), own + share))
        else:
            leaves.append((leaf, share))
    ends = [following.joins for following, _ in leaves[1:]] + [False]
    leaves = [
        (leaf if share > 1 or joined else replace(leaf, spread=False), share)
        for (leaf, share), joined in zip(leaves, ends, strict=True)
    ]
    units = _paired([(leaf, 1 if share <= 1 else ceil(share * _BREAKS)) for leaf, share in leaves])
    return replace(booklet, leaves=tuple(leaf for leaf, _ in units)), tuple(count for _, count in units)


def _paired(leaves: list[tuple[Leaf, int]]) -> list[tuple[Leaf, int]]:
    """Put circuits in an order that leaves no page empty before a spread: a short one where a right page is free."""
    circuits = [each for each in leaves if each[0].tab == "CIRCUIT"]
    if not circuits:
        return leaves
    at = leaves.index(circuits[0])
    short = [each for each in circuits if not each[0].spread and not each[0].joins]
    long = [each for each in circuits if each not in short]
    page = 2 + sum(count for _, count in leaves[:at])
    found: list[tuple[Leaf, int]] = []
    while short or long:
        if short and (page % 2 or not long):
            taken = [short.pop(0)]
        elif long:
            taken = [long.pop(0)]
            while long and long[0][0].joins:
                taken.append(long.pop(0))
        found += taken
        page += sum(count for _, count in taken)
    return [*leaves[:at], *found, *leaves[at + len(circuits) :]]


def _kept(booklet: Booklet, pages: tuple[int, ...], room: int) -> tuple[Booklet, tuple[str, ...], bool]:
    """Let give what has to, in its order.

    Args:
        pages: Of each leaf.
        room: Pages there are for leaves.

    Returns:
        The booklet that is printed, what gave, and whether something had to give for want of room.
    """
    leaves = [
        each
        for each in zip(booklet.leaves, pages, strict=True)
        if not each[0].most or each[1] <= each[0].most
    ]
    free = room - sum(count for _, count in leaves)
    forced = free < 0
    gave = []
    for gives, what in ((1, "short form"), (2, "proof card"), (3, "card of devices that no condition names")):
        gone = 0
        for each in reversed([each for each in leaves if each[0].gives == gives]):
            if free >= 0:
                break
            leaves.remove(each)
            free += each[1]
            gone += 1
        if gone:
            gave.append(f"{gone} {what}{'s' if gone > 1 else ''}")
    return replace(booklet, leaves=tuple(leaf for leaf, _ in leaves)), tuple(gave), forced


def missing_in(booklet: Booklet, data: Data) -> tuple[MissingSign, ...]:
    """Find every sign of a packed booklet that no bundled font has."""
    where = Ref(Kind.EQUIPMENT, booklet.plant)
    found: dict[MissingSign, None] = {}
    for text in _texts(data):
        for sign in set(text) - covered():
            found[MissingSign(where, sign, text)] = None
    return tuple(sorted(found, key=lambda each: (each.text, each.sign)))


def _texts(data: Any) -> Iterator[str]:
    match data:
        case str():
            yield data
        case ["w", *pieces]:
            yield "".join(pieces)
        case list():
            for part in data:
                yield from _texts(part)
        case dict():
            for name, part in data.items():
                if name != "qr":
                    yield from _texts(part)
