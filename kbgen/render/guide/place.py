"""A place of a binder that its references lead to."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Place:
    """Where something stands.

    Attributes:
        page: Counted from 1 over the whole binder.
        x: From the left edge of the sheet, in points.
        y: From its upper edge.
    """

    page: int
    x: float
    y: float
