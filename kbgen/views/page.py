"""Pages, and the book of all of them.

A page is a list of sections, a section a list of blocks. What stands on a page, and in which order, is
decided once, in the module of its kind in this package; every renderer is given the same book.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from kbgen.compute.edition import Edition
from kbgen.ref import Kind, Ref
from kbgen.views.blocks import Block, Fits, Goto, Sites
from kbgen.views.card import Called, Card

HEADING = "## "
ITEM = "- "
"""How a heading and an item begin in the text of a page that was signed."""

FIRST_ALIASES = 3
MOST_ALIASES = 5
"""So many other names may stand together below a title."""


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
    """Who vouches for a page and until when; dates as ISO 8601 text, empty when unknown.

    Attributes:
        by: Initials: a claim, not an identity.
        changed: Whether the figures it rests on have changed since.
        walked: Who walked it at a plant, who watched, and until when that holds; empty for nobody.
    """

    by: str
    on: str
    due: str
    changed: bool = False
    walked: str = ""


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
class Doing:
    """A procedure that a tablet leads through, one step at a time.

    Attributes:
        procedure: Its id.
        data: Works out what the browser needs, as JSON, a text a file; only the web edition asks for it.
        practice: Works out the faults that can be practised, as JSON; empty without any.
    """

    procedure: str
    data: Callable[[], list[str]]
    practice: Callable[[], str]


@dataclass(frozen=True, slots=True)
class Page:
    """One page.

    Attributes:
        ref: The entry it shows, or the name of a listing such as ``index`` or ``devices/index``.
        title: Plain text; nothing in it is markup.
        kicker: What kind of page this is, shown above the title.
        aliases: Other names; the first are shown below the title, all others at the end.
        marks: Displays and codes, shown large below the title.
        lead: A first sentence; empty for none.
        draft: Whether every reader must be told that nobody has approved this.
        sections: The content, in the order in which it is needed.
        review: ``None`` for listings.
        minor: Whether the page is left out of the pocket guide.
        choosing: What the reader is asked about the plant; ``None`` where it makes no difference.
        gone: Anchors of what something else stands in the place of; who is led there arrives at the top.
        doing: What leads through it step by step; ``None`` for what is no procedure, or may not be done so.
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
    gone: tuple[str, ...] = ()
    doing: Doing | None = None

    @property
    def first_aliases(self) -> tuple[str, ...]:
        """Other names below the title: what is read first must not wait for a long list."""
        return self.aliases if len(self.aliases) <= MOST_ALIASES else self.aliases[:FIRST_ALIASES]

    @property
    def more_aliases(self) -> tuple[str, ...]:
        """Other names at the end of the page."""
        return self.aliases[len(self.first_aliases) :]

    @property
    def composed(self) -> bool:
        """Whether its work is laid out in cards."""
        return any(isinstance(block, Card | Called) for section in self.sections for block in section.blocks)


@dataclass(frozen=True, slots=True)
class Shop:
    """Whose knowledge base it is, for every page, sheet and command.

    Attributes:
        key: Names the shop in the browser's storage; lower-case letters, digits, hyphens.
        language: BCP 47 tag, e.g. ``en``.
        notice: The notice on local codes, the maker's instructions and licensed practice.
        call: Who to call, as (name, number or place) pairs.
        paper: as in `kb.yaml`.
        compare_days: Days a tablet may go without comparing its edition with the office.
        sites: The places it works at.
    """

    name: str
    key: str
    language: str
    region: str
    paper: str
    notice: str
    call: tuple[tuple[str, str], ...]
    compare_days: int = 7
    sites: Sites = field(default_factory=Sites)


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
