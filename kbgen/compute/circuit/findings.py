"""What readings say by themselves, before any fault is asked: volts lost, and volts that belong elsewhere."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from kbgen.compute.circuit import defaults
from kbgen.compute.circuit.bands import FULL, NONE, OVER, tenths
from kbgen.compute.circuit.evidence import Evidence, fitting
from kbgen.compute.circuit.meter import HIGH_Z, LOW_Z, ROW, digits, mode_of
from kbgen.compute.circuit.reading import Reading, falling, points_before
from kbgen.compute.circuit.readings import Table

_ALIKE = 0.002
"""Shares of the supply that a made string holds at two points between which no resistor lies."""


@dataclass(frozen=True, slots=True)
class Drop:
    """Volts lost between two points that a made string would not lose there."""

    upper: str
    lower: str
    volts: float

    def to_json(self) -> dict[str, object]:
        """Return plain data."""
        return {"from": self.upper, "to": self.lower, "volts": self.volts}


@dataclass(frozen=True, slots=True)
class Foreign:
    """A reading no fault of this circuit can give; ``why`` is the name of a sentence."""

    port: str
    volts: float | str
    why: str

    def to_json(self) -> dict[str, object]:
        """Return plain data."""
        return {"point": self.port, "volts": self.volts, "why": self.why}


def drops_of(table: Table, taken: Sequence[Reading]) -> tuple[Drop, ...]:
    """Return where volts are lost along the string, from each point read to the next one."""
    bands = table.bands
    last: dict[tuple[str, str], float] = {}
    for reading in taken:
        if not isinstance(reading.value, str) and mode_of(reading.mode).own:
            last[reading.port, reading.mode] = abs(reading.value)
    found = []
    upper: tuple[str, str, float] | None = None
    for mark in falling(table):
        mode = LOW_Z if (mark, LOW_Z) in last else HIGH_Z
        if (mark, mode) not in last:
            continue
        volts, port = last[mark, mode], table.points.index(mark)
        if volts <= bands.none_to:
            break
        if upper is not None:
            held = _held(
                bands.shares[ROW[upper[1]]][table.points.index(upper[0])], bands.shares[ROW[mode]][port]
            )
            # One setting of a meter may be off one way and another the other way.
            between = 0.0 if upper[1] == mode else 2 * defaults.METER_SHARE * volts
            lost = tenths(upper[2] * held - volts - between)
            if lost >= bands.loss:
                found.append(Drop(upper[0], mark, lost))
        upper = (mark, mode, volts)
    return tuple(found)


def _held(upper: tuple[float, float], lower: tuple[float, float]) -> float:
    """Return the least share of the volts at one point that a made string holds at a later one.

    Where nothing but contacts and wires lies between, both hold the same, however uncertain that is.
    """
    if _alike(upper, lower):
        return min(1.0, lower[0] / max(upper[0], 1e-9))
    return lower[0] / max(upper[1], 1e-9)


def _alike(one: tuple[float, float], other: tuple[float, float]) -> bool:
    return all(abs(a - b) < _ALIKE for a, b in zip(one, other, strict=True))


def behind_resistors(table: Table, taken: Sequence[Reading]) -> tuple[str, ...]:
    """Return the contacts not read across that lie between two read points with a resistor between them.

    What the resistor may drop hides what the contact drops.
    """
    read = {reading.port for reading in taken}
    marks = [mark for mark in falling(table) if mark in read]
    shares = [table.bands.shares[ROW[HIGH_Z]][table.points.index(mark)] for mark in marks]
    return tuple(
        label
        for k in range(len(marks) - 1)
        if not _alike(shares[k], shares[k + 1])
        for label in contacts_between(table, Drop(marks[k], marks[k + 1], 0.0))
        if label not in read
    )


def contacts_between(table: Table, drop: Drop) -> tuple[str, ...]:
    """Return the contacts between the two ends of a drop."""
    row = falling(table)
    inside = row[row.index(drop.upper) : row.index(drop.lower)]
    before = points_before(table)
    return tuple(label for label in table.devices if before[label] in inside)


def looked_for(table: Table, taken: Sequence[Reading], drop: Drop) -> bool:
    """Say whether a drop has been read across every contact it can lie in."""
    read = {reading.port for reading in taken}
    return all(label in read for label in contacts_between(table, drop))


def bad_contacts(table: Table, taken: Sequence[Reading]) -> tuple[str, ...]:
    """Return the contacts across which more was read than a made one may drop."""
    last = {(r.port, r.mode): r for r in taken}
    return tuple(
        r.port
        for r in last.values()
        if r.port in table.devices and not isinstance(r.value, str) and abs(r.value) > table.bands.bad_contact
    )


def ends_between(table: Table, taken: Sequence[Reading], evidence: Evidence) -> tuple[str, str] | None:
    """Return the last point along the string that reads full, and the next one read behind it that reads none."""
    row, words = falling(table), evidence.sorted.words
    called = [(row.index(taken[k].port), words[k]) for k in evidence.sorted.counted if taken[k].port in row]
    full = max((place for place, word in called if word == FULL), default=-1)
    behind = [place for place, word in called if place > full and word == NONE]
    return (row[full], row[min(behind)]) if full >= 0 and behind else None


def foreign_of(table: Table, taken: Sequence[Reading], evidence: Evidence) -> Foreign | None:
    """Return the first reading that no fault of this circuit explains."""
    bands, direct = table.bands, table.network.omega == 0
    most = bands.supply[1]
    for k, reading in enumerate(taken):
        word, volts = evidence.sorted.words[k], reading.value
        if not mode_of(reading.mode).own:
            if word != NONE:
                return Foreign(reading.port, volts, "other-current")
            continue
        if not isinstance(volts, str):
            if direct and volts < -bands.none_to:
                return Foreign(reading.port, volts, "polarity")
            if abs(volts) > most:
                return Foreign(reading.port, volts, "over")
        if word == OVER and (
            _above_its_feed(table, taken, evidence, k) or not _explained(table, taken, evidence, k)
        ):
            return Foreign(reading.port, volts, "above")
    return None


def _above_its_feed(table: Table, taken: Sequence[Reading], evidence: Evidence, k: int) -> bool:
    """Say whether a point reads more than what feeds it, by more than the meter may be off at both.

    Along a string the voltage only falls, whatever is wrong with it.
    """
    supply, value, row = evidence.sorted.supply, taken[k].value, falling(table)
    if supply is None or isinstance(value, str) or not {taken[supply[0]].port, taken[k].port} <= set(row):
        return False
    off, share = digits(table.network.volts[1]), defaults.METER_SHARE
    below = row.index(taken[supply[0]].port) < row.index(taken[k].port)
    return below and abs(value) * (1 - share) - off > supply[1] * (1 + share) + off


def _explained(table: Table, taken: Sequence[Reading], evidence: Evidence, k: int) -> bool:
    """Say whether a fault other than a foreign supply gives a reading together with the supply as read."""
    pieces = table.pieces
    own = np.array([table.faults[row].kind != "foreign" for row in pieces.owner])
    lo, hi = pieces.swing[:, 0], pieces.swing[:, 1]
    together = {k, evidence.sorted.supply[0]} if evidence.sorted.supply else {k}
    for each in sorted(together):
        least, most = fitting(table, taken[each])
        lo, hi = np.maximum(lo, least), np.minimum(hi, most)
    return bool((own & (lo <= hi + 1e-9)).any())
