"""Blocks: what a page is made of.

The web edition and the pocket guide each know how to draw every block and know nothing of the kinds
of entry.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, TypeAlias

from kbgen.ref import Ref
from kbgen.text import RichText

if TYPE_CHECKING:
    from kbgen.views.card import Called, Card


class Signal(StrEnum):
    """Signal words with the meaning the open standards for safety signs give them.

    DANGER will kill or maim if not avoided, WARNING could, CAUTION could injure lightly, NOTICE
    is about damage to plant and not about people.
    """

    DANGER = "DANGER"
    WARNING = "WARNING"
    CAUTION = "CAUTION"
    NOTICE = "NOTICE"


@dataclass(frozen=True, slots=True)
class Goto:
    """A place a reader can go to.

    Attributes:
        label: What is shown; plain text.
        page: The entry or listing; ``None`` for the page the reader is on.
        anchor: Anchor on that page; empty for its top.
    """

    label: str
    page: Ref | str | None
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class Plain:
    """Characters as typed, nothing in them is markup."""

    text: str


@dataclass(frozen=True, slots=True)
class DueDay(Plain):
    """A day in ISO 8601 on which something falls due; a screen marks it when it is over."""


@dataclass(frozen=True, slots=True)
class Mark:
    """What stands on the plant itself: a display, a lamp, a terminal mark. Set in a fixed face."""

    text: str


@dataclass(frozen=True, slots=True)
class Box:
    """A place to write a reading into; ``label`` says of what, for who cannot see where it stands."""

    label: str


Span = Plain | Mark | Goto | Box
Line = tuple[Span, ...]


@dataclass(frozen=True, slots=True)
class Prose:
    """Long text of an author."""

    text: RichText


@dataclass(frozen=True, slots=True)
class Fact:
    """One row of a fact list: a label and one or more lines."""

    label: str
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class Facts:
    """Labelled short values."""

    rows: tuple[Fact, ...]


@dataclass(frozen=True, slots=True)
class Item:
    """One entry of a list: a short line, and a long text below it if there is one."""

    line: Line
    text: RichText = ()


@dataclass(frozen=True, slots=True)
class Items:
    """A list. ``tappable`` asks for large targets: the list is there to choose from."""

    items: tuple[Item, ...]
    ordered: bool = False
    tappable: bool = False


@dataclass(frozen=True, slots=True)
class Fits:
    """What the plant at hand must be for something to hold for it.

    Attributes:
        sizes: Ids of the sizes; empty for every size.
        fitted: Ids of the options it must have.
        missing: Ids of the options it must not have.
        said: The same in words that follow "only", such as ``for SB-1, without the vent``.
    """

    sizes: tuple[str, ...]
    fitted: tuple[str, ...]
    missing: tuple[str, ...]
    said: str


@dataclass(frozen=True, slots=True)
class Table:
    """A table whose first cell of each row names the row.

    Attributes:
        caption: What the table shows; read aloud by screen readers.
        head: Column heads.
        rows: One tuple of lines a row, as many as there are heads.
        fits: What each row holds for, where a row does not hold for every plant; empty when all do.
            The words of such a row say it, too.
        anchors: Anchor of each row, where rows are led to; empty when none is.
    """

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[Line, ...], ...]
    fits: tuple[Fits | None, ...] = ()
    anchors: tuple[str, ...] = ()

    @property
    def filled_in(self) -> bool:
        """Whether somebody writes into it."""
        return any(isinstance(span, Box) for row in self.rows for cell in row for span in cell)

    def short_head(self, column: int, cell: Line) -> str:
        """Return what a cell is called where its row stands by itself: its head up to the colon; empty for one that says it.

        Args:
            column: Its place in the row, from 0.
            cell: What stands in it.
        """
        first = cell[0] if cell else None
        told = isinstance(first, Box) or (isinstance(first, Plain) and first.text.endswith(": "))
        return "" if told else self.head[column].partition(":")[0]


@dataclass(frozen=True, slots=True)
class Notice:
    """A safety message: hazard, what it does, how to avoid it.

    Attributes:
        ref: The caution entry it comes from; ``None`` for built-in ones.
        brief: Whether the full text stood earlier on the page and a reminder is enough.
    """

    signal: Signal
    title: str
    hazard: str
    consequence: str
    avoid: RichText
    ref: Ref | None = None
    brief: bool = False


@dataclass(frozen=True, slots=True)
class Choice:
    """One outcome of a step and where it leads."""

    outcome: str
    goto: Goto


@dataclass(frozen=True, slots=True)
class Step:
    """One instruction of a procedure.

    Attributes:
        number: 1, 2, 3 … through the whole procedure.
        anchor: Its anchor on the page.
        cautions: Stand directly before the instruction, on the same screen and the same sheet.
        text: The instruction.
        expect: What is seen when it is right; empty when nothing is said.
        details: Labelled values, e.g. where the leads go.
        write_in: Label of a box to note a reading in; empty for none.
        question: What is asked after the instruction; empty for none.
        choices: Every outcome and where it leads; empty when the next step follows.
        then: Where it leads when there is no question and not to the next step.
        end: How the procedure ends here; empty when it goes on.
        state: The computed state of the plant before the step, e.g. ``locked: Control supply``.
        minutes: How long it takes, as typed; empty when nothing is said.
    """

    number: int
    anchor: str
    text: RichText
    cautions: tuple[Notice, ...] = ()
    expect: str = ""
    details: tuple[Fact, ...] = ()
    write_in: str = ""
    question: str = ""
    choices: tuple[Choice, ...] = ()
    then: Goto | None = None
    end: str = ""
    state: str = ""
    minutes: str = ""
    pictures: tuple[Picture, ...] = ()


@dataclass(frozen=True, slots=True)
class Steps:
    """The steps of a procedure."""

    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class Picture:
    """A photo or drawing file of the knowledge base.

    Attributes:
        file: Path below ``photos/``.
        alt: What a person who cannot see it must know.
        caption: Shown below; may be empty.
    """

    file: str
    alt: str
    caption: str = ""


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing computed from the entries, as a self-contained SVG without script or style.

    Attributes:
        svg: The SVG element; colours are ``currentColor`` so that both schemes can show it.
        text: The same content in words.
        caption: Shown below.
    """

    svg: str
    text: str
    caption: str


@dataclass(frozen=True, slots=True)
class Bar:
    """A count out of a total, and the interval the true share lies in, as shares of 1."""

    line: Line
    count: int
    total: int
    lo: float
    hi: float


@dataclass(frozen=True, slots=True)
class Bars:
    """Counts beside each other, each told in words and drawn as a bar."""

    caption: str
    rows: tuple[Bar, ...]


@dataclass(frozen=True, slots=True)
class Helper:
    """The place of the helper that judges readings on a circuit's page.

    Attributes:
        circuit: Id of the circuit.
        data: Works out what the browser needs, as JSON, to be shipped as a script beside the pages. The
            dearest part of a circuit's page; only the web edition asks for it.
    """

    circuit: str
    data: Callable[[], str]


@dataclass(frozen=True, slots=True)
class Folded:
    """Blocks behind a line that opens them; in the guide they stand open."""

    summary: str
    blocks: tuple[Prose | Facts | Items | Table, ...]


@dataclass(frozen=True, slots=True)
class Only:
    """Blocks that do not hold for every plant of the family; in the guide they stand under their words."""

    fits: Fits
    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class SiteFacts:
    """A place where the shop works, with what belongs to it; a value may be empty."""

    id: str
    title: str
    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Sites:
    """The places to choose from on the tablet, for one day; on paper all of them.

    Attributes:
        number: The emergency number where no site is chosen; empty for a line to fill in.
    """

    sites: tuple[SiteFacts, ...] = ()
    number: str = ""


Block: TypeAlias = "Sites | Prose | Facts | Items | Table | Notice | Steps | Picture | Drawing | Bars | Helper | Folded | Only | Card | Called"
