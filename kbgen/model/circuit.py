"""A control circuit, in the order in which it stands on the plant."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated

from kbgen.model.build import Current, Frequency, Length, Long, Power, Resistance, Time, Voltage, variants
from kbgen.model.head import Head
from kbgen.position import Route


@dataclass(frozen=True, slots=True)
class Supply:
    """Where the circuit gets its voltage."""

    voltage: Voltage
    current: str
    source: str = ""
    frequency: Frequency | None = None
    earthing: str = "grounded"
    impedance: Resistance | None = None
    rating: Power | None = None

    @property
    def volts(self) -> str:
        """Voltage and current as typed, ``24 V DC``, whichever of the two fields says ``DC``."""
        said = self.voltage.text
        return said if self.current.lower() in said.lower() else f"{said} {self.current}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitted:
    """When a part is there: on which sizes, in which regions, with which option.

    Where the option is not fitted, the factory ``link`` stands in the part's place.
    """

    sizes: tuple[str, ...] = ()
    regions: tuple[str, ...] = ()
    option: str = ""
    link: str = ""
    note: str = ""
    route: Route = ()


@dataclass(frozen=True, slots=True)
class Point(Fitted):
    """A terminal where a lead can be put; ``place`` and ``cover`` as typed, see ``reach``."""

    point: str
    place: str = ""
    cover: str = ""
    minutes: Time | None = None


@dataclass(frozen=True, slots=True)
class Contact(Fitted):
    """A contact of a device."""

    contact: str
    which: str = ""
    resistance: Resistance | None = None


@dataclass(frozen=True, slots=True)
class Fuse(Fitted):
    """A fuse or circuit breaker."""

    fuse: str
    rating: Current | None = None


@dataclass(frozen=True, slots=True)
class Wire(Fitted):
    """A run of wire worth naming."""

    wire: str
    length: Length | None = None
    beside_live: bool | None = None


@dataclass(frozen=True, slots=True)
class Parallel(Fitted):
    """Branches side by side."""

    parallel: tuple[tuple[Part, ...], ...]


@dataclass(frozen=True, slots=True)
class Tap(Fitted):
    """Parts that hang between this place in the path and the return."""

    tap: tuple[Part, ...]


@dataclass(frozen=True, slots=True)
class Coil(Fitted):
    """The coil of a relay, contactor or timer."""

    coil: str
    impedance: Resistance | None = None
    pulls_in: Voltage | None = None
    drops_out: Voltage | None = None


@dataclass(frozen=True, slots=True)
class Load(Fitted):
    """A lamp, valve, motor or other load."""

    load: str
    impedance: Resistance | None = None
    lamp: bool = False
    drives: str = ""


@dataclass(frozen=True, slots=True)
class Resistor(Fitted):
    """A resistor in the path."""

    resistor: str
    resistance: Resistance


@dataclass(frozen=True, slots=True)
class Input(Fitted):
    """The controller input the string ends in."""

    input: str
    title: str = ""
    impedance: Resistance | None = None
    on_above: Voltage | None = None
    off_below: Voltage | None = None
    end_of_line: Resistance | None = None


AnyPart = Point | Contact | Fuse | Wire | Parallel | Tap | Coil | Load | Resistor | Input
Part = Annotated[AnyPart, variants(Point, Contact, Fuse, Wire, Parallel, Tap, Coil, Load, Resistor, Input)]


@dataclass(frozen=True, slots=True)
class Circuit:
    """One control circuit.

    Attributes:
        stages: Ids of the stages it is judged in; empty where the sequence of the plant says it.
        bad_contact: Volts across a made contact above which it is bad.
    """

    head: Head
    equipment: str
    supply: Supply
    path: tuple[Part, ...]
    means: Long = ()
    stages: tuple[str, ...] = ()
    bad_contact: Voltage | None = None


def reach(path: tuple[AnyPart, ...]) -> dict[Point, tuple[str, str]]:
    """Return the ids of the place and the cover of each test point, in order; empty where unknown.

    A point with neither of its own stands where the point before it stands, cover included.
    """
    found: dict[Point, tuple[str, str]] = {}
    place = cover = ""
    for part in parts(path):
        if isinstance(part, Point):
            if part.place or part.cover:
                place, cover = part.place or place, part.cover
            found[part] = place, cover
    return found


def return_mark(path: tuple[AnyPart, ...]) -> str:
    """Return the mark readings are taken to: the last one behind the last load; empty without one."""
    mark, loads = "", False
    for part in path:
        if isinstance(part, Coil | Load | Input):
            mark, loads = "", True
        elif isinstance(part, Point):
            mark = part.point
    return mark if loads else ""


def parts(path: tuple[AnyPart, ...]) -> Iterator[AnyPart]:
    """Yield every part of a path in order, the inside of parallel groups and taps included."""
    for part in path:
        yield part
        if isinstance(part, Parallel):
            for branch in part.parallel:
                yield from parts(branch)
        elif isinstance(part, Tap):
            yield from parts(part.tap)
