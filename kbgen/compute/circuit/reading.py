"""A reading, and which readings count for anything.

- a zero counts only while the supply is known to reach the meter's other lead: the supply itself was
  read, or any point read full (full behind the fuse proves supply and return);
- across a contact, what is less than full counts only while the last readable point before it is fed,
  as read there or further down the string;
- a middle reading in a mode in which ghosts show counts only after a repeat in low impedance;
- what a place read before it was found anew, by other hands, counts only where it was called the same.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from kbgen.compute.circuit.bands import FULL, NONE, OVER, SOME, WORDS
from kbgen.compute.circuit.faults import device_of
from kbgen.compute.circuit.meter import HIGH_Z, MODES, allowance, mode_of
from kbgen.compute.circuit.readings import Table
from kbgen.compute.circuit.state import UnknownName
from kbgen.model.circuit import AnyPart, Coil, Contact, Input, Load, Parallel, Point, Tap, reach

SAID = {name: word for word, name in WORDS.items()}


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading.

    Attributes:
        port: Mark of a point, read to the return, or label of a contact, read across.
        value: Volts, or ``none``, ``some``, ``full`` or ``over``.
        mode: Id of the meter's mode.
        anew: Whether the place was found anew by the drawing and read by a second person with another meter.
    """

    port: str
    value: float | str
    mode: str = HIGH_Z
    anew: bool = False

    @property
    def place(self) -> tuple[str, bool]:
        """Where it was read, and whether by other hands."""
        return self.port, self.anew

    def to_json(self, table: Table) -> dict[str, object]:
        """Return plain data."""
        kind = "device" if self.port in table.devices else "point"
        found: dict[str, object] = {kind: self.port, "meter": self.mode, "reads": self.value}
        return found | {"anew": True} if self.anew else found


@dataclass(frozen=True, slots=True)
class Sorted:
    """The readings of a visit, sorted.

    Attributes:
        supply: Which of them says what the supply is, and its volts, where it was read in volts.
        words: The word for each.
        counted: Which of them count.
        not_counted: Which do not, with the name of the reason.
        comes_and_goes: Ports that have read full and none in turn.
        fed: Contacts across which every reading counts, as the point before them is fed.
    """

    supply: tuple[int, float] | None
    words: tuple[int, ...]
    counted: tuple[int, ...]
    not_counted: tuple[tuple[int, str], ...]
    comes_and_goes: tuple[str, ...]
    fed: frozenset[str]

    @property
    def volts(self) -> float | None:
        """The supply as read."""
        return self.supply[1] if self.supply else None


def supply_mark(table: Table) -> str:
    """Return the first point of the string, where the supply is read."""
    return table.network.main_points[0] if table.network.main_points else ""


def check_known(table: Table, reading: Reading) -> None:
    """Refuse a reading of a point, device, word or mode there is not.

    Raises:
        UnknownName: With what was probably meant.
    """
    if reading.port not in table.ports:
        raise UnknownName("point or device of this circuit", reading.port, table.ports)
    if isinstance(reading.value, str) and reading.value not in SAID:
        raise UnknownName("reading", reading.value, tuple(SAID))
    if reading.mode not in [mode.id for mode in MODES]:
        raise UnknownName("meter mode", reading.mode, tuple(mode.id for mode in MODES))


def sort_out(table: Table, taken: Sequence[Reading]) -> Sorted:
    """Say of each reading what it is called and whether it counts."""
    supply = _supply(table, taken)
    volts = supply[1] if supply else None
    words = tuple(word_of(table, r, volts) for r in taken)
    at_points = [(r, w) for r, w in zip(taken, words, strict=True) if r.port in table.points]
    known = any(r.port == supply_mark(table) or word == FULL for r, word in at_points)
    alive = {r.port for r, word in at_points if word == FULL or (word == SOME and not _ghost(table, r))}
    row = falling(table)
    # Along the string the voltage only falls: what is alive further down is fed all the way.
    alive |= set(row[: max((row.index(mark) for mark in alive if mark in row), default=-1) + 1])
    fed = {label for label, mark in points_before(table).items() if mark in alive}
    last = {(r.place, r.mode): k for k, r in enumerate(taken)}
    why = [_why_not(table, r, w, fed, known=known) for r, w in zip(taken, words, strict=True)]
    for k, reading in enumerate(taken):
        if last[reading.place, reading.mode] != k:
            why[k] = "again"
    for k, reading in enumerate(taken):
        others = (j for j, other in enumerate(taken) if other.place == (reading.port, True) and not why[j])
        if not (reading.anew or why[k]) and any(words[j] != words[k] for j in others):
            why[k] = "anew"
    turned = [
        r.port
        for k, r in enumerate(taken)
        if {NONE, FULL} <= {words[j] for j, o in enumerate(taken) if (o.port, o.mode) == (r.port, r.mode)}
        and why[k] == "again"
    ]
    return Sorted(
        supply=supply,
        words=words,
        counted=tuple(k for k, reason in enumerate(why) if not reason),
        not_counted=tuple((k, reason) for k, reason in enumerate(why) if reason),
        comes_and_goes=tuple(dict.fromkeys(turned)),
        fed=frozenset(fed),
    )


def word_of(table: Table, reading: Reading, supply: float | None) -> int:
    """Return the word for a reading, with the supply as read."""
    if isinstance(reading.value, str):
        return SAID[reading.value]
    port, bands, volts = table.ports.index(reading.port), table.bands, abs(reading.value)
    mode = reading.mode if mode_of(reading.mode).own else HIGH_Z
    if reading.port != supply_mark(table):
        return bands.word(volts, mode, port, supply)
    least, most = bands.supply
    return NONE if volts <= bands.none_to else SOME if volts < least else FULL if volts <= most else OVER


def _supply(table: Table, taken: Sequence[Reading]) -> tuple[int, float] | None:
    """Return the reading that says what the supply is now: the one nearest to it, of these the last."""
    least, most = table.bands.supply
    found: tuple[int, int, float] | None = None
    for k, reading in enumerate(taken):
        if isinstance(reading.value, str) or not mode_of(reading.mode).own:
            continue
        if reading.port not in table.network.main_points:
            continue
        place = table.network.main_points.index(reading.port)
        port = table.points.index(reading.port)
        if not (table.bands.shows_supply(reading.mode, port) and least <= abs(reading.value) <= most):
            continue
        if found is None or place <= found[0]:
            found = (place, k, abs(reading.value))
    return found[1:] if found else None


def _why_not(table: Table, reading: Reading, word: int, fed: set[str], *, known: bool) -> str:
    """Return the name of the reason why a reading does not count; empty where it does."""
    if not mode_of(reading.mode).own:
        return "other-current"
    if reading.port in table.devices:
        return "across" if word in (NONE, SOME) and reading.port not in fed else ""
    if word == SOME and _ghost(table, reading):
        return "ghost"
    return "zero" if word == NONE and not known else ""


def _ghost(table: Table, reading: Reading) -> bool:
    """Say whether a middle reading may be a ghost; on direct current there are none."""
    return mode_of(reading.mode).ghost and bool(table.network.omega)


def readable(table: Table) -> tuple[str, ...]:
    """Return the points that can be read in this state, in the order of the path.

    A cover that opens a contact of this string changes what is measured: behind it nothing is read
    unless the state already has it off.
    """
    setting = table.variant.setting
    devices = {device_of(label) for label in table.devices}
    spoils = {c.id for c in setting.plant.covers if set(c.opens) & devices} - setting.state.covers_off
    return tuple(
        point.point
        for point, (_, cover) in reach(table.variant.path).items()
        if point.point != table.network.back and cover not in spoils
    )


def points_before(table: Table) -> dict[str, str]:
    """Return for each contact the last point before it that can be read, on its way from the supply."""
    marks = frozenset(readable(table))
    labels = {id(contact): label for label, contact in table.variant.contacts.items()}
    return dict(_before(table.variant.path, labels, marks, ""))


def _before(
    path: tuple[AnyPart, ...], labels: Mapping[int, str], marks: frozenset[str], mark: str
) -> Iterator[tuple[str, str]]:
    for part in path:
        match part:
            case Contact():
                yield labels[id(part)], mark
            case Point():
                mark = part.point if part.point in marks else mark
            case Parallel():
                for branch in part.parallel:
                    yield from _before(branch, labels, marks, mark)
            case Tap():
                yield from _before(part.tap, labels, marks, mark)
            case _:
                continue


def row_of_points(table: Table) -> tuple[str, ...]:
    """Return the points from the supply to the load, in order."""
    row = []
    for part in table.variant.path:
        if isinstance(part, Coil | Load | Input):
            break
        if isinstance(part, Point):
            row.append(part.point)
    return tuple(row)


def falling(table: Table) -> tuple[str, ...]:
    """Return the points along which the voltage only falls.

    None are returned where another circuit feeds the same input and may feed back.
    """
    return () if table.network.fed_together else row_of_points(table)


def out_of_order(table: Table, taken: Sequence[Reading], sorted_: Sorted) -> tuple[int, ...]:
    """Return readings of which one must be wrong: less upstream than what is full downstream of it.

    Along the string the voltage only falls, and in low impedance a point reads no more than in high. So
    nothing in low impedance says nothing about a point read in high, and a middle reading in high
    impedance, which decides nothing by itself, cannot be full in low.
    """
    place = {mark: k for k, mark in enumerate(falling(table))}
    read = [*sorted_.counted, *(k for k, why in sorted_.not_counted if why == "ghost")]
    along = [(place[taken[k].port], k) for k in read if taken[k].port in place]
    found: set[int] = set()
    for upper, first in along:
        for lower, second in along:
            weaker = mode_of(taken[first].mode).ghost or not mode_of(taken[second].mode).ghost
            fed = sorted_.words[second] == FULL and upper <= lower and weaker
            if fed and _less(table, taken[first], taken[second], sorted_.words[first]):
                found |= {first, second}
    return tuple(sorted(found))


def _less(table: Table, upper: Reading, lower: Reading, word: int) -> bool:
    """Say whether a reading is less than one that is full, by more than two readings may differ."""
    if word != SOME or isinstance(upper.value, str) or isinstance(lower.value, str):
        return word in (NONE, SOME)
    volts = abs(lower.value)
    return abs(upper.value) < volts - 2 * allowance(table.network.volts[1], volts)
