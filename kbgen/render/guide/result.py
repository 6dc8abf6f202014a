"""What comes back from typesetting the guide."""

from __future__ import annotations

from dataclasses import dataclass

from kbgen.ref import Ref

Where = Ref | str
"""The entry, the name of a listing, or ``shop`` for what stands in ``kb.yaml``."""


@dataclass(frozen=True, slots=True)
class MissingSign:
    """A sign that no bundled font can show: an error, nothing is printed.

    Attributes:
        text: The text it stands in, as typed up to invisible signs.
    """

    where: Where
    sign: str
    text: str

    @property
    def code_point(self) -> str:
        """The sign's number as it is usually written, e.g. ``U+1F525``."""
        return f"U+{ord(self.sign):04X}"


@dataclass(frozen=True, slots=True)
class CoarsePicture:
    """A picture printed with fewer than 150 dots per inch: a warning."""

    where: Where
    file: str
    dpi: int


@dataclass(frozen=True, slots=True)
class UnusablePicture:
    """A picture that is not there or cannot be read; its words are printed in its place."""

    where: Where
    file: str
    reason: str


GuideProblem = MissingSign | CoarsePicture | UnusablePicture


@dataclass(frozen=True, slots=True)
class GuideResult:
    """What was printed.

    Attributes:
        entries: Number of entries in the guide.
        pages: Number of pages; 0 when nothing was written because of a missing sign.
    """

    entries: int
    pages: int
    problems: tuple[GuideProblem, ...] = ()
