"""One sentence about what differs between two versions of a page."""

from __future__ import annotations

from dataclasses import dataclass

from kbgen.review.about import About
from kbgen.review.change import Kind, Weight


@dataclass(frozen=True, slots=True)
class Difference:
    """One sentence about a page.

    Attributes:
        before: Index of the step in the version before; ``None`` for none.
        after: The same in the version after.
        of_ways: Whether it is taken from what the walk found to be so.
    """

    weight: Weight
    kind: Kind
    says: str
    before: int | None = None
    after: int | None = None
    of_ways: bool = False
    about: About = About.WORDS
