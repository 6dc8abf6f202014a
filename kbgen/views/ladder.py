"""The ladder diagram of a control circuit, drawn from its data.

The string runs down the page from the supply to the return, as it stands in the entry, so that it
fits a phone and a pocket guide. Contacts carry the actuator signs of North American ladder practice:
half circle for pressure and draught, ball for a float, flag for flow, helix for temperature, wedge
for what is moved (limit switch, damper, door), bar for a switch worked by hand; relay and timer
contacts are two plates, struck through when closed at rest; a coil is a circle. Fuse, lamp and resistor
are those of IEC practice: a box with the line through it, a crossed circle, a box. Contacts are drawn
as they should stand in the state asked for.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import partial

from kbgen.compute.circuit.state import State, settle
from kbgen.compute.circuit.variant import Variant, make_variant
from kbgen.link.base import KnowledgeBase
from kbgen.model.circuit import (
    AnyPart,
    Coil,
    Contact,
    Fuse,
    Input,
    Load,
    Parallel,
    Point,
    Resistor,
    Tap,
    Wire,
    return_mark,
)
from kbgen.model.wording import in_region, of_circuit
from kbgen.ref import Kind, Ref
from kbgen.views.svg import Drawing, drawing, text, wrap

SIGNS = {
    "M-7 4a7 7 0 0 1 14 0z": "half circle: pressure or draught",
    "M5 0a5 5 0 1 1-10 0a5 5 0 1 1 10 0": "ball: float",
    "M-6 7V-7L6-3L-6 1": "flag: flow",
    "M-8 4l4-8 4 8 4-8 4 8": "helix: temperature",
    "M-7 4H7V-5z": "wedge: moved by a part of the plant",
    "M-4-7V7M-4 0H4": "bar: worked by hand",
    "M-5-5H5V5H-5z": "square: other",
}
"""The actuator signs as paths around their middle, and what they stand for."""
_PRESSURE, _BALL, _FLAG, _HELIX, _WEDGE, _BAR, _SQUARE = SIGNS
_BY_GUARD = {
    "steam-pressure": _PRESSURE,
    "gas-pressure": _PRESSURE,
    "water-pressure": _PRESSURE,
    "combustion-air": _PRESSURE,
    "vent": _PRESSURE,
    "filter": _PRESSURE,
    "water-level": _BALL,
    "air-flow": _FLAG,
    "water-flow": _FLAG,
    "temperature": _HELIX,
    "valve-closure": _WEDGE,
    "door": _WEDGE,
    "damper": _WEDGE,
    "firing-position": _WEDGE,
    "motion": _WEDGE,
}
_LEFT = 100
"""Where the string runs; left of it stand the marks and the actuators."""
_COLUMN = 190
_CELL = 48
_POINT = 20


def ladder(base: KnowledgeBase, circuit_id: str, state: State | None = None) -> Drawing:
    """Draw a circuit as one size and one set of options have it.

    Raises:
        UnknownName: The circuit or a name in the state does not exist.
    """
    variant = make_variant(settle(base, circuit_id, state or State()))
    circuit = variant.setting.circuit
    pen = _Pen(variant)
    supply = circuit.supply.volts
    pen.bar(20, supply)
    pen.line(_LEFT, 20, _LEFT, 30)
    bottom = pen.run(variant.path, _LEFT, 30)
    pen.line(_LEFT, bottom, _LEFT, bottom + 16)
    say = partial(of_circuit, region=variant.setting.plant.region, earthing=circuit.supply.earthing)
    pen.bar(bottom + 16, say("Return"))
    title = base.title(Ref(Kind.CIRCUIT, circuit_id))
    alt = f"From the supply, {supply}: {'; '.join(pen.said)}; {say('then the return')}."
    return drawing(pen.width, int(bottom) + 40, title, alt, "".join(pen.lines), "".join(pen.words))


@dataclass(slots=True)
class _Pen:
    variant: Variant
    lines: list[str] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    width: int = 320

    @property
    def back(self) -> str:
        """The return's mark."""
        return return_mark(self.variant.path) or "the return"

    def line(self, x1: float, y1: float, x2: float, y2: float) -> None:
        self.lines.append(f'<path d="M{x1:g} {y1:g}L{x2:g} {y2:g}"/>')

    def path(self, x: float, y: float, d: str) -> None:
        self.lines.append(f'<path transform="translate({x:g} {y:g})" d="{d}"/>')

    def bar(self, y: float, name: str) -> None:
        self.line(_LEFT - 40, y, _LEFT + 40, y)
        self.words.append(text(_LEFT + 50, y, [name]))

    def run(self, path: tuple[AnyPart, ...], x: float, y: float) -> float:
        """Draw parts down a column and return where it ends."""
        for part in path:
            match part:
                case Point():
                    y = self.point(part, x, y)
                case Parallel():
                    y = self.side_by_side(part, x, y)
                case Tap():
                    y = self.tap(part, x, y)
                case Wire():
                    y = self.wire(part, x, y)
                case _:
                    y = self.cell(part, x, y)
        return y

    def point(self, part: Point, x: float, y: float) -> float:
        middle = y + _POINT / 2
        self.line(x, y, x, y + _POINT)
        self.lines.append(f'<circle cx="{x:g}" cy="{middle:g}" r="4" fill="currentColor"/>')
        self.words.append(text(x - 10, middle, [part.point], anchor="end", bold=True))
        self.said.append(f"test point {part.point}")
        return y + _POINT

    def wire(self, part: Wire, x: float, y: float) -> float:
        label = wrap(part.wire + (f", {part.length.text}" if part.length else ""), 22)
        self.line(x, y, x, y + 36)
        self.words.append(text(x + 24, y + 18, label))
        self.said.append(f"wire {' '.join(label)}")
        return y + 36

    def cell(self, part: AnyPart, x: float, y: float) -> float:
        """Draw a part with two terminals and its name."""
        middle = y + _CELL / 2
        label, reach, said = "", 11, ""
        match part:
            case Contact():
                label, reach, said = self.contact(part, x, middle)
            case Fuse():
                self.path(x, middle, "M-5-11H5V11H-5zM0-11V11")
                label = f"Fuse {part.fuse}" + (f", {part.rating.text}" if part.rating else "")
            case Coil():
                self.path(x, middle, "M11 0a11 11 0 1 1-22 0a11 11 0 1 1 22 0")
                label = f"Coil of {self.title(part.coil)}"
            case Load():
                cross = "M-8-8L8 8M8-8L-8 8" if part.lamp else ""
                self.path(
                    x,
                    middle,
                    "M11 0a11 11 0 1 1-22 0a11 11 0 1 1 22 0" + cross if part.lamp else "M-9-11H9V11H-9z",
                )
                label = part.load
            case Resistor():
                self.path(x, middle, "M-5-11H5V11H-5z")
                label = f"{part.resistor}, {part.resistance.text}"
            case Input():
                self.path(x, middle, "M-16-11H16V11H-16z")
                label = part.title or f"Input {part.input}"
            case _:
                pass
        self.line(x, y, x, middle - reach)
        self.line(x, middle + reach, x, y + _CELL)
        self.words.append(text(x + 24, middle, wrap(label, 24)))
        self.said.append(said or label)
        self.width = max(self.width, int(x) + _COLUMN)
        return y + _CELL

    def contact(self, part: Contact, x: float, y: float) -> tuple[str, int, str]:
        """Draw a contact; return its label, how far it reaches up and down, and what it says."""
        device = self.variant.setting.base.device(part.contact)
        closed = next((self.variant.closed[k] for k, c in self.variant.contacts.items() if c is part), True)
        title = self.title(part.contact)
        standing = {True: "closed", False: "open", None: "closed or open"}[closed]
        said = f"{title}, {standing}"
        if device is not None and device.type in ("relay", "timer"):
            which = next((c for c in device.contacts if c.id == part.which), None)
            at_rest = which is not None and not which.made_energised
            self.path(x, y, "M-10-5H10M-10 5H10" + ("M-9 10L9-10" if at_rest else ""))
            return title, 5, said
        tip = "M0 10L-13-7" if closed is False else "M0 10L-3-12"
        self.path(x, y, f"{tip}M2-12a2 2 0 1 1-4 0a2 2 0 1 1 4 0M2 12a2 2 0 1 1-4 0a2 2 0 1 1 4 0M-6 0H-26")
        guard = device.guards if device is not None else ""
        by_hand = device is not None and device.type == "switch"
        self.path(x - 34, y, _BAR if by_hand else _BY_GUARD.get(guard, _SQUARE))
        return title, 14, said

    def side_by_side(self, part: Parallel, x: float, y: float) -> float:
        ends = []
        self.line(x, y, x, y + 10)
        for number, branch in enumerate(part.parallel):
            column = x + number * _COLUMN
            self.said.append(f"branch {number + 1} of {len(part.parallel)}")
            ends.append((column, self.run(branch, column, y + 10)))
        bottom = max(end for _, end in ends)
        right = ends[-1][0]
        self.line(x, y + 10, right, y + 10)
        for column, end in ends:
            self.line(column, end, column, bottom + 2)
        self.line(x, bottom + 2, right, bottom + 2)
        self.said.append("branches join")
        self.line(x, bottom + 2, x, bottom + 10)
        return bottom + 10

    def tap(self, part: Tap, x: float, y: float) -> float:
        column = x + _COLUMN
        self.line(x, y + 8, column, y + 8)
        self.said.append("from here to the return")
        end = self.run(part.tap, column, y + 8)
        self.path(column, end, "M0 0V12M-5 6L0 12L5 6")
        self.words.append(text(column + 12, end + 6, [f"to {self.back}"]))
        self.said.append("back in the string")
        self.line(x, y, x, end + 20)
        return end + 20

    def title(self, device_id: str) -> str:
        return self.variant.setting.base.title(Ref(Kind.DEVICE, device_id))


def legend(base: KnowledgeBase, circuit_id: str, state: State | None = None) -> tuple[str, ...]:
    """Say what the actuator signs in a circuit's drawing stand for, each once."""
    return tuple(dict.fromkeys(_used(make_variant(settle(base, circuit_id, state or State())))))


def _used(variant: Variant) -> Iterator[str]:
    for label in variant.contacts:
        device = variant.device(label)
        if device is not None and device.type in ("relay", "timer"):
            yield "two plates: relay or timer"
        elif device is not None and device.type == "switch":
            yield SIGNS[_BAR]
        else:
            sign = SIGNS[_BY_GUARD.get(device.guards if device else "", _SQUARE)]
            yield in_region(sign, variant.setting.plant.region)
