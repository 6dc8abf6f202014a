"""What a reading may exclude, ruled by what it can be trusted with.

- a zero counts only while the supply to the same return has been read full, and a zero across a
  contact only while the point before it has;
- a middle reading in high impedance may be a ghost and excludes nothing until it is repeated in low
  impedance to the return.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kbgen.compute.circuit.outcome import FULL, NONE, SOME, limits, word, words
from kbgen.compute.circuit.readings import HIGH_Z, LOW_Z, Table
from kbgen.compute.circuit.state import UnknownName
from kbgen.model.circuit import AnyPart, Coil, Contact, Input, Load, Parallel, Point, Tap

_SLACK = 0.02
"""Share of the supply voltage a middle reading may lie outside the interval it speaks for."""
_WORDS = {"none": NONE, "some": SOME, "full": FULL}


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading.

    Attributes:
        port: Mark of a point, read to the return, or label of a contact, read across.
        value: Volts, or ``none``, ``some`` or ``full``.
        low_z: Whether the meter was in low impedance.
    """

    port: str
    value: float | str
    low_z: bool = False


def supply_mark(table: Table) -> str:
    """Return the first point of the string, where the supply is read."""
    return table.network.main_points[0] if table.network.main_points else ""


def check_known(table: Table, reading: Reading) -> None:
    """Refuse a reading of a point, device or word there is not.

    Raises:
        UnknownName: With what was probably meant.
    """
    if reading.port not in table.points and reading.port not in table.devices:
        raise UnknownName("point or device of this circuit", reading.port, (*table.points, *table.devices))
    if isinstance(reading.value, str) and reading.value not in _WORDS:
        raise UnknownName("reading", reading.value, tuple(_WORDS))


def said(table: Table, reading: Reading) -> int:
    """Return the word for a reading."""
    none_to, full_from = limits(table)
    if isinstance(reading.value, str):
        return _WORDS[reading.value]
    return word(abs(reading.value), none_to, full_from)


def possible_faults(table: Table, taken: Sequence[Reading]) -> frozenset[int]:
    """Return the faults (their index in the table) that no reading excludes."""
    full = {r.port for r in taken if said(table, r) == FULL and r.port in table.points}
    left = frozenset(range(len(table.faults)))
    for reading in taken:
        if _counts(table, reading, full):
            left &= _allowed(table, reading)
    return left


def _counts(table: Table, reading: Reading, full: set[str]) -> bool:
    """Say whether a reading may exclude anything."""
    what = said(table, reading)
    if what == SOME:
        return reading.low_z
    if what == FULL:
        return True
    if reading.port in table.devices:
        return point_before(table, reading.port) in full
    return reading.port == supply_mark(table) or supply_mark(table) in full


def point_before(table: Table, label: str) -> str:
    """Return the last point before a contact on its own way from the supply."""
    return _before(table.variant.path, table.variant.contacts[label], "") or ""


def _before(path: tuple[AnyPart, ...], wanted: Contact, mark: str) -> str | None:
    for part in path:
        if part is wanted:
            return mark
        if isinstance(part, Point):
            mark = part.point
        for branch in (
            part.parallel if isinstance(part, Parallel) else (part.tap,) if isinstance(part, Tap) else ()
        ):
            found = _before(branch, wanted, mark)
            if found is not None:
                return found
    return None


def middle(table: Table, row: int, port: int) -> tuple[float, float]:
    """Return between which volts a repeated middle reading speaks for a fault."""
    lo, hi = table.bounds[LOW_Z, row, port]
    slack = _SLACK * table.network.volts[1]
    return round(float(lo) - slack, 2), round(float(hi) + slack, 2)


def _allowed(table: Table, reading: Reading) -> frozenset[int]:
    """Return the faults that can read so."""
    none_to, full_from = limits(table)
    what = said(table, reading)
    port = (*table.points, *table.devices).index(reading.port)
    allowed = []
    for row, (lo, hi) in enumerate(table.bounds[LOW_Z if reading.low_z else HIGH_Z, :, port]):
        fits = bool(words(float(lo), float(hi), none_to, full_from) & what)
        if fits and what == SOME and not isinstance(reading.value, str):
            least, most = middle(table, row, port)
            fits = least <= abs(reading.value) <= most
        if fits:
            allowed.append(row)
    return frozenset(allowed)


def falling(table: Table) -> tuple[str, ...]:
    """Return the points from the supply to the load, along which the voltage only falls.

    None are returned where another circuit feeds the same input and may feed back.
    """
    if table.network.fed_together:
        return ()
    row = []
    for part in table.variant.path:
        if isinstance(part, Coil | Load | Input):
            break
        if isinstance(part, Point):
            row.append(part.point)
    return tuple(row)


def out_of_order(table: Table, taken: Sequence[Reading]) -> tuple[Reading, ...]:
    """Return readings of which one must be wrong: nothing upstream and full downstream of it.

    Along the string the voltage only falls. In low impedance a point reads no more than in high, so
    that nothing in low impedance says nothing about a point read in high.
    """
    row = falling(table)
    place = {mark: k for k, mark in enumerate(row)}
    along = [(place[r.port], said(table, r), r) for r in taken if r.port in place]
    found: list[Reading] = []
    for upper, nothing, first in along:
        for lower, full, second in along:
            if nothing == NONE and full == FULL and upper <= lower and first.low_z <= second.low_z:
                found += [first, second]
    return tuple(dict.fromkeys(found))
