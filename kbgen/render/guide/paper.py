"""Sheet sizes of the guide, with margins that leave room for a staple or a ring."""

from __future__ import annotations

from dataclasses import dataclass


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

    @property
    def text_width(self) -> float:
        """Width between the margins in millimetres."""
        return self.width - self.inside - self.outside

    @property
    def text_height(self) -> float:
        """Height between the margins in millimetres."""
        return self.height - self.top - self.bottom


PAPERS = {
    paper.name: paper
    for paper in (
        Paper("a6", 105, 148, 12, 8, 14, 12, 9, 8),
        Paper("a5", 148, 210, 16, 12, 17, 15, 9.5, 8.5),
        Paper("half-letter", 139.7, 215.9, 16, 12, 17, 15, 9.5, 8.5),
        Paper("a4", 210, 297, 25, 20, 22, 20, 10.5, 9.5),
        Paper("letter", 215.9, 279.4, 25, 20, 22, 20, 10.5, 9.5),
    )
}

SHEETS = {
    paper.name: paper
    for paper in (
        Paper("a6", 105, 148, 9, 8, 9.5, 8.5, 9, 8),
        Paper("quarter-letter", 107.95, 139.7, 9, 8, 9.5, 8.5, 9, 8),
    )
}
"""Pages of a booklet, four to a side of A4 or Letter."""

MM_PER_POINT = 25.4 / 72

_US = frozenset({"letter", "half-letter", "quarter-letter"})


def sheet_of(paper: str) -> Paper:
    """Return the page of a booklet for a paper: its own, or that of the same country."""
    return SHEETS.get(paper) or SHEETS["quarter-letter" if paper in _US else "a6"]


def binder_of(paper: str) -> Paper:
    """Return the sheet of a binder for a paper: its own, or that of the same country."""
    return PAPERS["letter" if paper in _US else "a4"]
