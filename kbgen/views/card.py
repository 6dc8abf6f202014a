"""A card: what a procedure does as one, such as a routine of the plant or an ending."""

from __future__ import annotations

from dataclasses import dataclass

from kbgen.ref import Ref
from kbgen.views.blocks import Folded, Items, Line, Notice, Step, Table


@dataclass(frozen=True, slots=True)
class Tick:
    """One line to tick: a step, or in an ending the steps of one routine, under its title."""

    steps: tuple[Step, ...]
    title: str = ""


@dataclass(frozen=True, slots=True)
class Card:
    """Steps that belong together, as short lines to tick.

    Attributes:
        name: Its number or letter on the page, such as ``7`` or ``B``.
        title: What it does; empty for a step of the author's own.
        anchor: Its anchor on the page.
        state: The computed state of the plant before it, where that changed.
        minutes: How long it takes; empty when nothing is said.
        cautions: Stand once, before its first line.
        ticks: Its lines; what stands on the card is not said again by their steps.
        blocks: What is read off after the lines, e.g. the points of a hunt.
        every: Steps that ``blocks`` say in short, in full behind a line that opens them; on paper they are left out.
        brief: What it comes to, or when it is reached, where the rest stands behind a line that opens it: an ending, a
            second hunt. Whoever is led there has it opened; on paper it stands open.
        behind: The words of the line that opens it.
        to_do: Whether it may be done; what nobody has walked at the plant is read, not ticked.
    """

    name: str
    title: str
    anchor: str
    ticks: tuple[Tick, ...]
    cautions: tuple[Notice, ...] = ()
    state: str = ""
    minutes: str = ""
    blocks: tuple[Items | Table | Folded, ...] = ()
    every: tuple[Step, ...] = ()
    brief: Line = ()
    behind: str = ""
    to_do: bool = True

    @property
    def steps(self) -> tuple[Step, ...]:
        """The steps of its lines."""
        return tuple(step for tick in self.ticks for step in tick.steps)


@dataclass(frozen=True, slots=True)
class Called:
    """A page that is done on the way: its cards stand behind a line that opens them; on paper it is named alone.

    Attributes:
        name: The numbers of its cards, such as ``7 to 21``.
        title: Its title.
        ref: The page itself.
        anchor: Its anchor on this page.
        minutes: How long it takes; empty when nothing is said.
        says: That it is done whole, and with which of its ends one goes on here.
        cards: Its cards, as they stand here.
    """

    name: str
    title: str
    ref: Ref
    anchor: str
    minutes: str
    says: Line
    cards: tuple[Card, ...]

    @property
    def steps(self) -> tuple[Step, ...]:
        """The steps of its cards."""
        return tuple(step for card in self.cards for step in card.steps)
