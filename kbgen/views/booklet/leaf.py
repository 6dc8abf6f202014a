"""What a booklet is made of: leaves with labels, and the parts that stand on them.

A part is plain data; the template has a function of the same name for each. A page reference is a `Goto` to an
entry or to one of the names below; what is not in the booklet is named without a page.
"""

from __future__ import annotations

from dataclasses import dataclass

from kbgen.compute.edition import Edition
from kbgen.views.blocks import Line

LEAVE, SAFE, RESTORE, NEVER, RUN, METER, WHERE = "leave", "safe", "restore", "never", "run", "meter", "where"
MAKE_SAFE = "make-safe"
RESETS, SETTINGS, PROOF, RECORDS, BURNING, CALL, OTHERWISE = (
    "resets",
    "settings",
    "proof",
    "records",
    "burning",
    "call",
    "otherwise",
)


STOP_HERE = "stop-here"
"""The ending that every search leads to when nothing else is said (`kbgen.model.routine_row`)."""


def ending_label(ending: str) -> str:
    """Return the name under which a way to end a job is referred to."""
    return f"ending {ending}"


def energy_label(source: str) -> str:
    """Return the name under which the line of an energy is referred to."""
    return f"energy {source}"


@dataclass(frozen=True, slots=True)
class Words:
    """Lines below one another, under a small heading.

    Attributes:
        label: Name under which they are referred to; empty where nothing does.
    """

    title: str
    lines: tuple[Line, ...]
    ordered: bool = False
    label: str = ""


@dataclass(frozen=True, slots=True)
class Warn:
    """One whole sentence, white on black."""

    line: Line


@dataclass(frozen=True, slots=True)
class Ticks:
    """Lines to tick, each with what is then seen; a gate stands with what else leads to.

    Attributes:
        label: Name under which they are referred to; empty where nothing does.
    """

    title: str
    rows: tuple[Tick, ...]
    label: str = ""


@dataclass(frozen=True, slots=True)
class Tick:
    """One line to tick: challenge and answer.

    Attributes:
        says: The challenge.
        answer: What is seen when it is right; empty where nothing is said.
        gate: Question and the one answer with which one goes on.
        otherwise: Where every other answer leads.
        pairs: Pairs to tick while proving dead.
        page: Where more of it stands; empty for nowhere.
        write: Of what a reading is written down.
        without: What is done with neither tablet nor binder, where the procedure it leads to has no page.
    """

    says: Line
    answer: str = ""
    gate: str = ""
    otherwise: Line = ()
    pairs: tuple[str, ...] = ()
    page: Line = ()
    write: str = ""
    role: str = ""
    without: Line = ()


@dataclass(frozen=True, slots=True)
class Grid:
    """A table; its first column names the row.

    Attributes:
        widths: Shares of the columns.
        high: Whether the empty cells are boxes to write in, 8 mm high.
        whole: Whether it is never cut between two pages.
    """

    title: str
    head: tuple[str, ...]
    widths: tuple[float, ...]
    rows: tuple[tuple[Line, ...], ...]
    high: bool = False
    whole: bool = False


@dataclass(frozen=True, slots=True)
class Fill:
    """Lines to fill in by hand."""

    labels: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Rung:
    """One row of the ladder: a point with the box for its reading, or what lies between two points.

    Attributes:
        sign: ``point``, ``return`` (a point without a box), ``contact``, ``fuse``, ``wire``, ``coil``, ``load``, ``lamp``, ``resistor``, ``input``, ``tap``.
        branch: 0 in the string, from 1 on in a branch beside it.
    """

    sign: str
    mark: str
    says: Line
    page: Line = ()
    branch: int = 0


@dataclass(frozen=True, slots=True)
class Ladder:
    """A circuit from supply to return, with boxes to write readings in."""

    rungs: tuple[Rung, ...]


@dataclass(frozen=True, slots=True)
class Card:
    """A device in short."""

    label: str
    mark: str
    title: str
    rows: tuple[tuple[str, Line], ...]


@dataclass(frozen=True, slots=True)
class Cards:
    """Devices below one another, none cut."""

    cards: tuple[Card, ...]


@dataclass(frozen=True, slots=True)
class Contents:
    """What else stands in the booklet and on which page, by thumb tab; conditions have their finder."""

    title: str


Part = Words | Warn | Ticks | Grid | Fill | Ladder | Cards | Contents


@dataclass(frozen=True, slots=True)
class Condition:
    """One page of what is seen, in the order in which it is needed.

    Attributes:
        stop_first: Whether any line of the box is a danger to life, so that it stands before everything else.
        likes: Look-alikes; the first to give.
        out_first: Those lines of the box that send everybody out before anything is made safe.
    """

    displays: tuple[str, ...]
    immediate: tuple[Line, ...]
    must: str
    means: Line
    normal: Line
    record: tuple[str, ...]
    looks: tuple[tuple[Line, Line, Line], ...]
    test: Line
    likes: tuple[Line, ...]
    stop: tuple[str, ...]
    out_first: tuple[str, ...]
    stop_first: bool
    only: str
    signs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Leaf:
    """What begins on a page of its own.

    Attributes:
        labels: Names under which it is referred to.
        tab: Word on the thumb tab.
        parts: Flow over as many pages as they need.
        condition: In place of parts: one page, fitted.
        spread: Whether it begins on a left page, so that two pages lie open together.
        joins: Whether it stands on the page of the leaf before it, where both fit there.
        most: The most pages it may take; 0 for any.
        gives: How early it is left out where the booklet is too long: 0 never, else 1 (first), 2, 3.
        large: Whether it is read in action, and set larger where there is room.
        close: Whether its lines stand closer, which spares a page.
    """

    labels: tuple[str, ...]
    tab: str
    title: str
    parts: tuple[Part, ...] = ()
    condition: Condition | None = None
    note: str = ""
    spread: bool = False
    joins: bool = False
    most: int = 0
    gives: int = 0
    large: bool = False
    close: bool = False

    @property
    def label(self) -> str:
        """The name under which it is referred to first; empty where nothing refers to it."""
        return self.labels[0] if self.labels else ""


@dataclass(frozen=True, slots=True)
class Booklet:
    """One plant's booklet.

    Attributes:
        plant: Its id; ``title`` its title.
        leaves: In the order of pages, behind the cover.
        imprint: What is not printed, and where it stands.
    """

    plant: str
    title: str
    shop: str
    key: str
    language: str
    edition: Edition
    void_after: str
    notice: str
    sizes: tuple[str, ...]
    options: tuple[str, ...]
    call: tuple[tuple[str, str], ...]
    leaves: tuple[Leaf, ...]
    imprint: tuple[str, ...]
