"""A booklet laid onto sheets for a printer with both sides: cut once, laid together, folded, stapled."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from pathlib import Path
from tempfile import TemporaryDirectory

from kbgen.render.guide.fit import FOLIO
from kbgen.render.guide.paper import SHEET_OF_PAGE, SHEETS
from kbgen.render.guide.typeset import Typesetter

SIGNATURES = (16, 32, 48, 64)
"""Pages that may be folded into one another; 64 are 16 leaves, the most that an office stapler takes."""
LEAF_MM = 0.1
"""Thickness of a leaf of 80 g/m²: by so much a leaf sticks out of the one around it, and its pages move to the fold."""
_SHEET = 8


@dataclass(frozen=True, slots=True)
class Cell:
    """A quarter of a side.

    Attributes:
        page: Number of the page, from 1; 0 for a blank one.
        creep: By how many millimetres it moves to the fold.
    """

    page: int
    creep: float


Side = tuple[Cell, Cell, Cell, Cell]
"""Upper left and right, lower left and right, as seen."""


def reading_order(pages: int) -> tuple[int, ...]:
    """Return the pages as they are read, filled up to whole sheets: blanks (0) before the back cover."""
    return (*range(1, pages), *(0,) * (-pages % _SHEET), pages)


def folded(pages: int, signature: int) -> tuple[int, ...]:
    """Return how many pages are folded into one another, pile by pile; piles are as even as they can be."""
    folios = len(reading_order(pages)) // FOLIO
    piles = ceil(folios * FOLIO / signature)
    return tuple(FOLIO * (folios // piles + (at < folios % piles)) for at in range(piles))


def sides(pages: int, signature: int = SIGNATURES[-1]) -> tuple[Side, ...]:
    """Return front and back of every sheet, in the order of printing.

    All sheets are cut at half height in one pile and the upper pile is laid on the lower: then its leaves lie in order,
    those of the first signature on top, the outer one first. Printed upright on both sides, turned on the long edge.

    Args:
        signature: The most pages that are folded into one another.
    """
    order = reading_order(pages)
    fronts: list[tuple[Cell, Cell]] = []
    backs: list[tuple[Cell, Cell]] = []
    for size in folded(pages, signature):
        own, order = order[:size], order[size:]
        for inside in range(size // FOLIO):
            creep = round(inside * LEAF_MM, 2)
            left, right = 2 * inside, size - 1 - 2 * inside
            fronts.append((Cell(own[right], creep), Cell(own[left], creep)))
            backs.append((Cell(own[left + 1], creep), Cell(own[right - 1], creep)))
    half = len(fronts) // 2
    return tuple((*pile[at], *pile[half + at]) for at in range(half) for pile in (fronts, backs))


def impose(booklet: bytes, pages: int, page: str, signature: int = SIGNATURES[-1]) -> tuple[bytes, int]:
    """Lay the pages of a booklet onto sheets.

    Args:
        booklet: An untagged PDF.
        page: Name of its page size, which says the sheet.

    Returns:
        The PDF, and how many sheets it takes.
    """
    size = SHEETS[page]
    width, height = SHEET_OF_PAGE[page][1:]
    found = sides(pages, signature)
    data = {
        "width": width,
        "height": height,
        "page": {"width": size.width, "height": size.height},
        "sides": [[[cell.page, cell.creep] for cell in side] for side in found],
    }
    with TemporaryDirectory() as temporary:
        folder = Path(temporary)
        (folder / "booklet.pdf").write_bytes(booklet)
        setter = Typesetter(folder, "impose.typ")
        setter.put(data)
        return setter.run(made="pdf", tagged=False).made[0], len(found) // 2
