"""A variant of a circuit as nodes and elements, ready to be solved.

Every terminal is a node, every wire between two terminals an element of its own, so that a break on
either side of a contact can be told from the contact. A *run* is the wiring from one test point to
the next; breaks in it are one fault, since no reading at the points tells them apart.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum

from kbgen.model.circuit import Input

REF = 0
"""The supply's own return terminal; every voltage is counted from here."""
EARTH = 1


class Varies(Enum):
    """Which of the uncertain parameters of a corner an element goes with."""

    CONTACT = 0
    LOAD = 1
    LEAK = 2
    SERIES = 3
    SOURCE = 4


@dataclass(frozen=True, slots=True)
class Element:
    """A resistance and a capacitance side by side between two nodes.

    Attributes:
        ohms: Least and greatest resistance as it stands when nothing is wrong.
        farads: Least and greatest capacitance.
        gap: Capacitance that is left when it opens, least and greatest.
        closed: ``False`` where it stands open, ``None`` where both are normal.
    """

    p: int
    q: int
    ohms: tuple[float, float]
    varies: Varies
    farads: tuple[float, float] = (0.0, 0.0)
    gap: tuple[float, float] = (0.0, 0.0)
    closed: bool | None = True


@dataclass(frozen=True, slots=True)
class Source:
    """A voltage behind an impedance, between ``REF`` and a node."""

    node: int
    volts: float
    ohms: tuple[float, float]
    own: bool


@dataclass(frozen=True, slots=True)
class Network:
    """The network and the names of what is in it.

    Attributes:
        points: Node by terminal mark, in the order of the path.
        main_points: The marks in the path itself, not in branches or taps.
        back: The mark readings are taken to; empty for the supply's own return terminal.
        contacts, fuses, loads: Element by label; resistors are among the loads.
        resistors: Which of the loads are resistors in the path.
        drives: By load, the device whose contacts it moves: a motor and its end switch.
        seals: By relay, the contacts of the group in which its own contact holds its coil.
        runs: Wires by the id of their run, e.g. ``X3:1-X3:2``.
        supply_run, return_run: Wires before the first and behind the last test point.
        input: The controller input and its element, where the string ends in one.
        fed_together: Whether another circuit feeds the same input.
        volts: Least, nominal and greatest supply voltage.
        bad_contact: Volts across a made contact above which it is bad.
    """

    nodes: int
    elements: tuple[Element, ...]
    sources: tuple[Source, ...]
    points: Mapping[str, int]
    main_points: tuple[str, ...]
    back: str
    contacts: Mapping[str, int]
    fuses: Mapping[str, int]
    fuse_amperes: Mapping[str, float]
    loads: Mapping[str, int]
    resistors: tuple[str, ...]
    drives: Mapping[str, str]
    seals: Mapping[str, tuple[str, ...]]
    main_load: str
    runs: Mapping[str, tuple[int, ...]]
    supply_run: tuple[int, ...]
    return_run: tuple[int, ...]
    input: tuple[Input, int] | None
    fed_together: bool
    volts: tuple[float, float, float]
    omega: float
    earthing: str
    bad_contact: float

    @property
    def thresholds(self) -> tuple[float, float]:
        """Volts above which the input counts as made and below which as open; 0 where nobody says."""
        part = self.input[0] if self.input else None
        on, off = (part.on_above, part.off_below) if part else (None, None)
        return on.hi if on else 0.0, off.lo if off else 0.0

    @property
    def failing(self) -> tuple[int, ...]:
        """The elements that can open."""
        named = (*self.contacts.values(), *self.fuses.values(), *self.loads.values())
        wires = (*self.supply_run, *self.return_run, *(wire for run in self.runs.values() for wire in run))
        return tuple(sorted({*named, *wires}))

    @property
    def contact_elements(self) -> tuple[Element, ...]:
        """The elements of the contacts, in their order."""
        return tuple(self.elements[index] for index in self.contacts.values())

    @property
    def return_node(self) -> int:
        """The node the meter's other lead stands on."""
        return self.points[self.back] if self.back else REF
