"""The vocabulary of a page.

A page is a list of sections, a section a list of blocks. The web edition and the pocket guide each
know how to draw every block and know nothing of the kinds of entry; what stands on a page, and in
which order, is decided once, in the module of its kind in this package.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from kbgen.compute.edition import Edition
from kbgen.ref import Kind, Ref
from kbgen.text import RichText


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
class Mark:
    """What stands on the plant itself: a display, a lamp, a terminal mark. Set in a fixed face."""

    text: str


Span = Plain | Mark | Goto
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
class Choosing:
    """What a reader says of the plant at hand, once for all pages about its family.

    Attributes:
        plant: Id of the family.
        sizes: Id and title of each size; empty where there is one only.
        options: Id and title of each option.
        fits: What the whole page holds for; ``None`` for every plant of the family.
    """

    plant: str
    sizes: tuple[tuple[str, str], ...]
    options: tuple[tuple[str, str], ...]
    fits: Fits | None = None


@dataclass(frozen=True, slots=True)
class Table:
    """A table whose first cell of each row names the row.

    Attributes:
        caption: What the table shows; read aloud by screen readers.
        head: Column heads.
        rows: One tuple of lines a row, as many as there are heads.
        fits: What each row holds for, where a row does not hold for every plant; empty when all do.
            The words of such a row say it, too.
    """

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[Line, ...], ...]
    fits: tuple[Fits | None, ...] = ()


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
        data: What the browser needs, as JSON; shipped as a script beside the pages.
    """

    circuit: str
    data: str


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


Block = Prose | Facts | Items | Table | Notice | Steps | Picture | Drawing | Bars | Helper | Folded | Only


@dataclass(frozen=True, slots=True)
class Section:
    """A headed part of a page; ``anchor`` is its address on the page.

    ``web_only`` marks what a reader of the guide does not need, such as the ways back to a page.
    """

    anchor: str
    title: str
    blocks: tuple[Block, ...]
    web_only: bool = False


@dataclass(frozen=True, slots=True)
class Review:
    """Who vouches for a page and until when; dates as ISO 8601 text, empty when unknown."""

    by: str
    on: str
    due: str


@dataclass(frozen=True, slots=True)
class Page:
    """One page.

    Attributes:
        ref: The entry it shows, or the name of a listing such as ``index`` or ``devices/index``.
        title: Plain text; nothing in it is markup.
        kicker: What kind of page this is, shown above the title.
        aliases: Other names, shown below the title.
        marks: Displays and codes, shown large below the title.
        lead: A first sentence; empty for none.
        draft: Whether every reader must be told that nobody has approved this.
        sections: The content, in the order in which it is needed.
        review: ``None`` for listings.
        minor: Whether the page is left out of the pocket guide.
        choosing: What the reader is asked about the plant; ``None`` where it makes no difference.
    """

    ref: Ref | str
    title: str
    kicker: str
    sections: tuple[Section, ...]
    aliases: tuple[str, ...] = ()
    marks: tuple[str, ...] = ()
    lead: str = ""
    draft: bool = False
    review: Review | None = None
    minor: bool = False
    kind: Kind | None = None
    equipment: tuple[str, ...] = ()
    former_ids: tuple[str, ...] = ()
    choosing: Choosing | None = None


@dataclass(frozen=True, slots=True)
class Shop:
    """Whose knowledge base it is, for every page, sheet and command.

    Attributes:
        key: Names the shop in the browser's storage; lower-case letters, digits, hyphens.
        language: BCP 47 tag, e.g. ``en``.
        notice: The notice on local codes, the maker's instructions and licensed practice.
        call: Who to call, as (name, number or place) pairs.
        paper: ``a6``, ``a5``, ``a4``, ``letter`` or ``half-letter``.
    """

    name: str
    key: str
    language: str
    region: str
    paper: str
    notice: str
    call: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Book:
    """Everything the renderers need: one immutable value.

    Attributes:
        pages: Entry pages by kind, then id.
        listings: Home is not among them; an index per kind, the leave-now page, all made of the
            same blocks. The leave-now page's ref is ``leave-now``.
        menu: Sections for the menu, never single entries; does not grow with the entries.
    """

    shop: Shop
    edition: Edition
    pages: tuple[Page, ...]
    listings: tuple[Page, ...]
    menu: tuple[Goto, ...]
