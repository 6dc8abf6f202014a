"""Sheets of the binder and pages of the booklet, with margins that leave room for a ring or a staple."""

from __future__ import annotations

from dataclasses import dataclass

GUTTER = 6.0
"""Between two columns, in millimetres."""


@dataclass(frozen=True, slots=True)
class Paper:
    """One sheet size; lengths in millimetres, text sizes in points.

    Attributes:
        inside: Margin at the binding.
        size: Text size of running text and steps, never under 9 pt.
        small: Text size of tables, contents and indexes.
    """

    name: str
    width: float
    height: float
    inside: float
    outside: float
    top: float
    bottom: float
    size: float
    small: float
    columns: int = 1

    @property
    def text_width(self) -> float:
        """Width of a column in millimetres."""
        between = (self.columns - 1) * GUTTER
        return (self.width - self.inside - self.outside - between) / self.columns

    @property
    def text_height(self) -> float:
        """Height between the margins in millimetres."""
        return self.height - self.top - self.bottom


PAPERS = {
    paper.name: paper
    for paper in (
        Paper("a4", 210, 297, 20, 10, 15, 12, 9, 8, columns=2),
        Paper("letter", 215.9, 279.4, 20, 10, 15, 12, 9, 8, columns=2),
    )
}
"""Sheets of a binder, with room for its rings."""

SHEETS = {
    paper.name: paper
    for paper in (
        Paper("a6", 105, 148, 9, 8, 9.5, 8.5, 9, 8),
        Paper("quarter-letter", 107.95, 139.7, 9, 8, 9.5, 8.5, 9, 8),
    )
}
"""Pages of a booklet, four to a side of A4 or Letter."""

SHEET_OF_PAGE = {"a6": ("a4", 210.0, 297.0), "quarter-letter": ("letter", 215.9, 279.4)}
"""What four pages of a booklet are printed on, with its width and height in millimetres."""

MM_PER_POINT = 25.4 / 72

PAGE_OF_SHEET = {sheet: page for page, (sheet, *_) in SHEET_OF_PAGE.items()}

_US = frozenset({"letter", "half-letter", "quarter-letter"})


def sheet_of(paper: str) -> Paper:
    """Return the page of a booklet for a paper: its own, or that of the same country."""
    return SHEETS.get(paper) or SHEETS["quarter-letter" if paper in _US else "a6"]


def binder_of(paper: str) -> Paper:
    """Return the sheet of a binder for a paper: its own, or that of the same country."""
    return PAPERS["letter" if paper in _US else "a4"]
