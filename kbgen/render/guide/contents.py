"""The whole book as plain data: cover, leave-now page, contents, chapters, indexes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from kbgen.printable import covered
from kbgen.ref import Ref
from kbgen.render.guide import order
from kbgen.render.guide.glyphs import shorten, shown
from kbgen.render.guide.lines import Data, Lines
from kbgen.render.guide.pack import STEP_INDENT, Packer
from kbgen.render.guide.paper import GUTTER, MM_PER_POINT, PAPERS, Paper
from kbgen.render.guide.places import targets
from kbgen.render.guide.result import MissingSign, Where
from kbgen.views.page import Book, Page


def pack(book: Book, paper: Paper, pictures: Mapping[str, tuple[str, float]]) -> Data:
    """Pack everything the template prints.

    Args:
        pictures: File name and width in millimetres of every usable picture, by its name in the book.
    """
    chapters = order.chapters(book)
    entries = tuple(page for chapter in chapters for page in chapter.pages)
    leave_now = tuple(page for page in book.listings if page.ref == order.LEAVE_NOW)[:1]
    lines = Lines(paper, targets((*leave_now, *entries)))
    packer = Packer(paper, lines, pictures)
    room = paper.text_width / (paper.small * MM_PER_POINT)
    shop = book.shop
    year, month, day = book.edition.date.split("-")
    packed = {
        "paper": {
            "width": paper.width,
            "height": paper.height,
            "inside": paper.inside,
            "outside": paper.outside,
            "top": paper.top,
            "bottom": paper.bottom,
            "size": paper.size,
            "small": paper.small,
            "step_indent": STEP_INDENT,
            "columns": paper.columns,
            "gutter": GUTTER,
        },
        "language": shop.language.partition("-")[0],
        "shop": lines.words(shop.name, bold=True),
        "name": shown(shop.name),
        "edition": {
            "id": shown(book.edition.id),
            "date": book.edition.date,
            "day": [int(year), int(month), int(day)],
        },
        "notice": lines.words(shop.notice),
        "call": [[lines.words(name, bold=True), lines.words(place)] for name, place in shop.call],
        "leave_now": packer.page(leave_now[0]) if leave_now else None,
        "chapters": [_chapter(chapter, packer, lines, room) for chapter in chapters],
        "displays": [_pointer(p, lines, room * 0.85, mono=True) for p in order.display_index(entries)],
        "titles": [_pointer(p, lines, room * 0.4) for p in order.title_index(entries)],
    }
    return {**packed, "within": lines.within}


def _chapter(chapter: order.Chapter, packer: Packer, lines: Lines, room: float) -> Data:
    groups = []
    for group in chapter.groups:
        plant = shown(group.title) if group.title != order.ANY_PLANT else ""
        share = 0.34
        packed = []
        for page in group.pages:
            entry = packer.page(page)
            entry["short"] = shorten(shown(page.title), room * share)
            packed.append(entry)
        groups.append(
            {
                "title": lines.words(group.title, bold=True),
                "head": shorten(" · ".join(filter(None, (chapter.title, plant))), room * 0.5),
                "entries": packed,
            }
        )
    return {"title": chapter.title, "groups": groups}


def _pointer(pointer: order.Pointer, lines: Lines, limit: float, *, mono: bool = False) -> Data:
    return {
        "words": lines.words(pointer.words, mono=mono, limit=limit),
        "labels": [str(ref) for ref in pointer.refs],
    }


def missing_signs(book: Book) -> tuple[MissingSign, ...]:
    """Find every sign on the guide's pages that no bundled font can show.

    What is searched is what is printed: each printed entry, the leave-now page and the cover. Each
    sign is reported once for each text of an entry that holds it.
    """
    return missing_in(book, pack(book, PAPERS["a4"], {}))


def missing_in(book: Book, data: Data) -> tuple[MissingSign, ...]:
    """Like :func:`missing_signs`, for a book that is packed already."""
    refs = {str(page.ref): page.ref for page in order.printed(book)}
    found: dict[MissingSign, None] = {}
    for where, part in _parts(data, refs):
        for text in _texts(part):
            for sign in set(text) - covered():
                found[MissingSign(where, sign, text)] = None
    return tuple(sorted(found, key=lambda missing: (str(missing.where), missing.text, missing.sign)))


def _parts(data: Data, refs: Mapping[str, Ref | str]) -> Iterator[tuple[Where, Any]]:
    yield "shop", [data["shop"], data["notice"], data["call"]]
    if data["leave_now"]:
        yield order.LEAVE_NOW, data["leave_now"]
    for chapter in data["chapters"]:
        for group in chapter["groups"]:
            for entry in group["entries"]:
                yield refs[entry["label"]], {k: v for k, v in entry.items() if k != "short"}


def _texts(data: Any) -> Iterator[str]:
    """Every string inside packed data; tags and labels are plain ASCII and never missing a sign."""
    match data:
        case str():
            yield data
        case ["w", *pieces]:
            yield "".join(pieces)
        case list() | dict():
            for part in data.values() if isinstance(data, dict) else data:
                yield from _texts(part)


def printed_with_leave_now(book: Book) -> Iterable[Page]:
    """Every page of the book that is printed, for what has to be looked up in all of them."""
    return (*(page for page in book.listings if page.ref == order.LEAVE_NOW), *order.printed(book))
