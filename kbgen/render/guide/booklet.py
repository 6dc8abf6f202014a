"""Typeset one plant's booklet: pack its leaves, see what fits, let give what has to, and say so."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass, fields, is_dataclass, replace
from itertools import pairwise
from types import MappingProxyType
from typing import Any, Protocol

from kbgen.printable import covered
from kbgen.program import make_key
from kbgen.ref import Kind, Ref
from kbgen.render.guide.code import svg_code
from kbgen.render.guide.fit import (
    FOLIO,
    MOST_PAGES,
    WHOLE_PAGES,
    Chosen,
    Measured,
    choose,
    needed,
    with_notes,
    without,
)
from kbgen.render.guide.glyphs import shown
from kbgen.render.guide.lines import Data, Lines
from kbgen.render.guide.paper import Paper
from kbgen.render.guide.result import MissingSign
from kbgen.render.guide.typeset import PAGES, Setting, Typesetter, typesetter
from kbgen.store import Store
from kbgen.views.blocks import Box, Goto, Mark, Plain
from kbgen.views.booklet.conditions import FIND_FIRST
from kbgen.views.booklet.leaf import Booklet, Card, Tick

ELSEWHERE = " (tablet or binder only)"
"""Stands behind a procedure that has no page here."""
NOT_HERE = "Tablet or binder only"
"""Stands in place of one that is named only by its page."""
WHY_LONGER = (
    f"Over {MOST_PAGES} pages, as making safe, finding and bringing back stand whole. Fold as two piles."
)
OVERLEAF = "On a third page, behind its spread"
TEMPLATE = "booklet.typ"
LEAVES = "<leaf>"
AT_ONCE = 40
"""Leaves that one process measures; each costs some three megabytes for as long as it runs."""
_DOUBT = 2
"""So many pages fewer than a booklet may have, heights leave no doubt that it has them."""
SECOND = 9
"""What the template says of a condition that takes a second page."""
_SPANS = (Plain, Mark, Goto, Box)


def pack(
    booklet: Booklet,
    sheet: Paper,
    *,
    large: bool = False,
    measuring: bool = False,
    levels: Mapping[str, int] = MappingProxyType({}),
    said: tuple[str, ...] = (),
    qr: str = "",
) -> Data:
    """Return what the template prints, as plain data.

    Args:
        large: Whether what is read in action is set larger.
        measuring: Whether heights are asked for and no page; what may be left out counts as having none.
        levels: How each condition is set, by the first label of its leaf.
        said: What the imprint says besides.
        qr: The code of the edition, as SVG.
    """
    targets = {label: label for label in _labels(booklet, measuring=measuring)}
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
        "measuring": measuring,
        "qr": qr,
        "leaves": [{**packer.value(leaf), "level": levels.get(leaf.label, 0)} for leaf in booklet.leaves],
    }


def _labels(booklet: Booklet, *, measuring: bool) -> Iterator[str]:
    for leaf in booklet.leaves:
        # Its title in the contents is measured apart; what leads to it is longer where it has no page.
        yield from () if measuring and leaf.most else leaf.labels
        for part in leaf.parts:
            yield from filter(None, (getattr(part, "label", ""),))
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
        if isinstance(value, Tick) and all(self._has_page(span) for span in value.otherwise):
            value = replace(value, without=())
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
        if self._has_page(span):
            return span
        return Plain(NOT_HERE if span.label == FIND_FIRST else f"{span.label}{ELSEWHERE}")

    def _has_page(self, span: Any) -> bool:
        """Whether a span leads to no procedure, or to one that is printed here."""
        return not (
            isinstance(span, Goto) and isinstance(span.page, Ref) and span.page.kind is Kind.PROCEDURE
        ) or bool(self.lines.label(str(span.page)))


@dataclass(frozen=True, slots=True)
class Fitted:
    """How a booklet came out.

    Attributes:
        pages: All of them.
        sections: Pages by the tab of their leaves, in order; the cover has none.
        over: By how many pages it is too long; 0 where it fits.
        gave: What gave, as the imprint says it.
        second: Labels of the conditions that take a second page.
        overleaf: Titles of the circuits that go on behind their spread.
    """

    pages: int
    sections: tuple[tuple[str, int], ...] = ()
    over: int = 0
    gave: tuple[str, ...] = ()
    second: tuple[str, ...] = ()
    overleaf: tuple[str, ...] = ()


def print_booklet(
    booklet: Booklet, sheet: Paper, store: Store, *, tagged: bool = True
) -> tuple[bytes, Fitted] | tuple[MissingSign, ...]:
    """Typeset a booklet; in place of it the signs that no font has.

    Args:
        tagged: Whether it conforms to PDF/UA-1 and PDF/A-2a; the printing edition is a quarter of the size.
    """
    qr = _code(booklet)
    data = pack(booklet, sheet, measuring=True, qr=qr)
    if missing := missing_in(Ref(Kind.EQUIPMENT, booklet.plant), data):
        return missing
    with typesetter(TEMPLATE, data) as setter:
        measured = _measured(setter, data, store)

        def put(chosen: Chosen, good: range | None, *, long: bool) -> Setting:
            setter.put(_packed(chosen, sheet, _levels(booklet, measured), qr, long=long))
            return setter.run(PAGES, LEAVES, made="pdf", tagged=tagged, only_of=good)

        chosen, found, fits = _fit(booklet, measured, put, _kept(store, data))
        if not found.made:
            notes = -found.pages % FOLIO
            found = put(with_notes(chosen, notes), None, long=fits.most > MOST_PAGES)
            fits = replace(fits, notes=fits.notes + notes)
        store.put(_key(data), json.dumps(asdict(fits)).encode())
        return found.made[0], _fitted(found, chosen, _levels(booklet, measured))


def _code(booklet: Booklet) -> str:
    return svg_code(" ".join((booklet.key, booklet.plant, booklet.edition.id, booklet.edition.date)))


def pages_taken(booklet: Booklet, sheet: Paper, store: Store) -> int:
    """Return how many pages a booklet takes at most, as `print_booklet` prints it.

    Nothing is set where heights leave no doubt of whether it fits.
    """
    data = pack(booklet, sheet, measuring=True)
    with typesetter(TEMPLATE, data) as setter:
        measured = _measured(setter, data, store)
        least = needed(booklet, measured)
        if least <= MOST_PAGES - _DOUBT:
            return least
        if MOST_PAGES < least <= WHOLE_PAGES - _DOUBT:
            return WHOLE_PAGES

        def put(chosen: Chosen, _: range | None, *, long: bool) -> Setting:
            setter.put(_packed(chosen, sheet, _levels(booklet, measured), "", long=long))
            return setter.run(PAGES, LEAVES)

        _, found, _ = _fit(booklet, measured, put, _kept(store, data))
        return found.pages + -found.pages % FOLIO


class _Put(Protocol):
    """Sets what was chosen; a file is worth writing at these numbers of pages only."""

    def __call__(self, chosen: Chosen, good: range | None, /, *, long: bool) -> Setting: ...


@dataclass(frozen=True, slots=True)
class _Fit:
    """What is tried, and in the end how a booklet fits.

    Attributes:
        gone: Labels of short forms that came out longer than they may be.
        room: Pages there are for leaves, as far as heights tell; ``most`` are those of the whole.
        large: Whether the larger size may be taken.
        notes: Pages for notes that fill the last sheet.
    """

    gone: tuple[str, ...]
    room: int
    most: int
    large: bool
    notes: int = 0


def _key(data: Data) -> bytes:
    """Name how a booklet fits: it hangs on all that is printed but the mark of the edition, which moves nothing."""
    told = {name: value for name, value in data.items() if name not in ("edition", "void", "qr")}
    return make_key("how a booklet fits", json.dumps(told, sort_keys=True))


def _kept(store: Store, data: Data) -> _Fit | None:
    """Return how the same booklet came to fit before: it is set so at once, and tried on where it does not fit."""
    kept = store.get(_key(data))
    fits = json.loads(kept) if kept else None
    return _Fit(**{**fits, "gone": tuple(fits["gone"])}) if fits else None


def _fit(
    booklet: Booklet, measured: list[Measured], put: _Put, kept: _Fit | None
) -> tuple[Chosen, Setting, _Fit]:
    """Let give until it fits; return what is printed, how it was set, and what was tried last."""
    # Every setting costs a second of somebody's time, so none is tried that cannot fit.
    most = MOST_PAGES if needed(booklet, measured) <= MOST_PAGES else WHOLE_PAGES
    fits = kept or _Fit((), most - 1, most, large=most == MOST_PAGES)
    while True:
        chosen = choose(*without(booklet, measured, fits.gone), fits.room, large=fits.large)
        if fits.notes:
            chosen = with_notes(chosen, fits.notes)
        most = fits.most
        found = put(chosen, range(FOLIO, most + 1, FOLIO), long=most > MOST_PAGES)
        if spilt := _spilt(chosen.booklet, found):
            fits = replace(fits, gone=(*fits.gone, *spilt), notes=0)
        elif found.pages <= most:
            return chosen, found, fits
        # What heights do not tell is what is lost at the foot of pages.
        elif chosen.large or chosen.may_give:
            less = 0 if chosen.large else found.pages - most
            fits = replace(fits, room=fits.room - less, large=False, notes=0)
        elif most < WHOLE_PAGES:
            fits = _Fit(fits.gone, WHOLE_PAGES - 1, WHOLE_PAGES, large=False)
        else:
            return chosen, found, fits


def _spilt(booklet: Booklet, found: Setting) -> list[str]:
    """Return the labels of leaves that came out longer than they may be: a short form is at most a spread."""
    starts = [*(page for _, page in found.values[LEAVES][1:]), found.pages + 1]
    return [
        leaf.label
        for leaf, (first, following) in zip(booklet.leaves, pairwise(starts), strict=True)
        if leaf.most and following - first > leaf.most
    ]


def _levels(booklet: Booklet, measured: list[Measured]) -> dict[str, int]:
    """Return how each condition is set, by the first label of its leaf."""
    return {leaf.label: each[1] for leaf, each in zip(booklet.leaves, measured, strict=True)}


def _measured(setter: Typesetter, data: Data, store: Store) -> list[Measured]:
    """Measure every leaf, a few in a process; a leaf that was measured before comes from the store."""
    keys = [_height_key(data, leaf) for leaf in data["leaves"]]
    found = {key: json.loads(body) for key in keys if (body := store.get(key)) is not None}
    missing = [k for k, key in enumerate(keys) if key not in found]
    for first in range(0, len(missing), AT_ONCE):
        some = missing[first : first + AT_ONCE]
        setter.put({**data, "measured": some})
        for k, heights in zip(some, setter.run("<measured>").values["<measured>"][0], strict=True):
            found[keys[k]] = heights
            store.put(keys[k], json.dumps(heights).encode())
    return [
        (float(share), int(level), float(large), float(close))
        for share, level, large, close in map(found.__getitem__, keys)
    ]


def _height_key(data: Data, leaf: Data) -> bytes:
    """Name the height of a leaf: it hangs on the leaf alone, but for a table of contents, which lists the others."""
    others = data["leaves"] if any(part["is"] == "contents" for part in leaf["parts"]) else ()
    return make_key(
        "height of a leaf", json.dumps([data["paper"], data["language"], leaf, others], sort_keys=True)
    )


def _packed(chosen: Chosen, sheet: Paper, levels: Mapping[str, int], qr: str, *, long: bool) -> Data:
    """Pack what was chosen, with what its imprint says.

    Args:
        long: Whether it takes more pages than a booklet has.
    """
    size = () if chosen.large else ("10 pt but on pages of conditions",)
    gave = (*size, *chosen.gave)
    said = (f"Gave for want of room: {'; '.join(gave)}.",) if gave else ()
    why = (WHY_LONGER,) if long else ()
    over = (f"{OVERLEAF}: {'; '.join(chosen.overleaf)}.",) if chosen.overleaf else ()
    return pack(chosen.booklet, sheet, large=chosen.large, levels=levels, said=(*said, *why, *over), qr=qr)


def _fitted(found: Setting, chosen: Chosen, levels: Mapping[str, int]) -> Fitted:
    count = found.pages
    starts = [*found.values[LEAVES], ["", count + 1]]
    sections: dict[str, int] = {}
    for (tab, first), (_, following) in pairwise(starts):
        sections[tab] = sections.get(tab, 0) + following - first
    second = tuple(label for label, level in levels.items() if level == SECOND)
    over = max(0, count - WHOLE_PAGES)
    return Fitted(count, tuple(sections.items()), over, chosen.gave, second, chosen.overleaf)


def missing_in(where: Ref, data: Data) -> tuple[MissingSign, ...]:
    """Find every sign of packed data that no bundled font has."""
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
