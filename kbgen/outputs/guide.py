"""The binder, and what the typesetter found, as problems of the knowledge base."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from kbgen.outputs.photos import published_photos
from kbgen.pipeline import Compiled
from kbgen.position import Spot
from kbgen.problems import Problem
from kbgen.ref import Ref
from kbgen.render.guide import (
    CoarsePicture,
    GuideProblem,
    MissingSign,
    UnusablePicture,
    build_guide,
    draw_guide,
    printed,
)
from kbgen.render.guide.paper import binder_of
from kbgen.rules.printing import PICTURE_COARSE, PICTURE_UNUSABLE, SIGN_NOT_PRINTABLE
from kbgen.rules.signed import gone_missing
from kbgen.views.book import menu_of, plans, shop_of
from kbgen.views.page import Book

SETTINGS = "kb.yaml"


@dataclass(frozen=True, slots=True)
class Made:
    """What became of a booklet, a binder or labels; it was written unless a problem is an error or it has no page.

    Attributes:
        sections: Pages by the thumb tab they stand under.
        said: What whoever prints it has to know.
    """

    entries: int = 0
    pages: int = 0
    problems: tuple[Problem, ...] = ()
    sections: tuple[tuple[str, int], ...] = ()
    said: tuple[str, ...] = ()


def make_binder(
    compiled: Compiled, out: Path, paper: str | None = None, equipment: str | None = None
) -> Made:
    """Typeset everything that is approved into the file ``out``.

    Args:
        paper: A sheet of a binder; by the shop's own paper when ``None``.
        equipment: Id of a family of plant: only its entries, and those of no plant.
    """
    if missing := tuple(gone_missing(compiled.base)):
        return Made(problems=missing)
    book = compiled.book(equipment)
    if not printed(book):
        return Made()
    sheet = binder_of(paper or book.shop.paper)
    result = build_guide(book, out, sheet, published_photos(compiled), compiled.store)
    return Made(result.entries, result.pages, tuple(problem_of(compiled, each) for each in result.problems))


def drawn(compiled: Compiled, ref: Ref) -> tuple[bytes, ...]:
    """Return the sheets of a guide that has one entry only, as SVG pictures; none when it cannot be printed now.

    A draft is drawn as it will be when it is approved.
    """
    _, entries = plans(compiled.base, compiled.walks, compiled.store)
    try:
        page = entries[ref]() if ref in entries else None
    except Exception:
        # What a broken entry lacks, its own page tells.
        if compiled.sound:
            raise
        return ()
    if page is None:
        return ()
    base = compiled.base
    book = Book(
        shop_of(base.shop), compiled.edition, (replace(page, draft=False, minor=False),), (), menu_of(base)
    )
    return draw_guide(book, binder_of(book.shop.paper), published_photos(compiled)) if printed(book) else ()


def problem_of(compiled: Compiled, found: GuideProblem) -> Problem:
    """Return what the typesetter found as a problem at the place where an author typed it."""
    match found:
        case MissingSign():
            return SIGN_NOT_PRINTABLE.at(
                _spot(compiled, found.where, found.sign),
                f"no font of the guide has the sign `{found.sign}` ({found.code_point})",
                "Write it in words, or use a sign of the fonts.",
            )
        case CoarsePicture():
            return PICTURE_COARSE.at(
                _spot(compiled, found.where, found.file),
                f"`{found.file}` is printed with {found.dpi} dots per inch",
                "Take a larger picture; 150 dots per inch are the least for print.",
            )
        case UnusablePicture():
            return PICTURE_UNUSABLE.at(
                _spot(compiled, found.where, found.file),
                f"`{found.file}` cannot be printed: {found.reason}",
                "Save it anew as PNG or JPEG; the guide shows its words instead.",
            )


def _spot(compiled: Compiled, where: Ref | str, text: str) -> Spot:
    """Find where an author typed a piece of text; the file's beginning when it is not theirs."""
    entry = compiled.base.entries.get(where) if isinstance(where, Ref) else None
    kind, path = (entry.ref.kind, entry.path) if entry else (None, SETTINGS)
    data = entry.data if entry else next((d.data for d in compiled.documents if d.path == SETTINGS), {})
    for route, _, written in compiled.schemas.texts(kind, data):
        if text in written:
            return Spot(path, route, find=text)
    return Spot(path)
