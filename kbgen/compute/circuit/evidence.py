"""How many readings stand against each fault.

Readings are counted against a fault, not intersected: none, and it stands; one, and it stands only if
that reading was wrong; two, and it is out (the q-relaxed intersection of set-membership estimation).
All readings must fit one piece of the fault and one voltage of the supply.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from kbgen.compute.circuit import defaults
from kbgen.compute.circuit.bands import FULL
from kbgen.compute.circuit.meter import ROW, digits
from kbgen.compute.circuit.reading import SAID, Reading, Sorted, sort_out, supply_mark
from kbgen.compute.circuit.readings import Table
from kbgen.compute.circuit.solve import Floats, Ints

_NEVER = 1e9
"""A share of the supply that there is not."""
_HAIR = 1e-9


@dataclass(frozen=True, slots=True)
class Evidence:
    """What the readings say of each fault.

    Attributes:
        sorted: Which readings count.
        against: For each fault, which readings stand against it.
        pieces: Which pieces have no more readings against them than their fault, as booleans.
    """

    sorted: Sorted
    against: tuple[tuple[int, ...], ...]
    pieces: Ints

    def faults(self, count: int) -> list[int]:
        """Return the faults with so many readings against them."""
        return [row for row, readings in enumerate(self.against) if len(readings) == count]


def weigh(table: Table, taken: Sequence[Reading]) -> Evidence:
    """Count the readings against each fault."""
    sorted_ = sort_out(table, taken)
    fits = [fitting(table, taken[k]) for k in sorted_.counted]
    pieces = table.pieces
    covered, misses = _most_covered(pieces.swing, fits, len(pieces.owner))
    best = np.full(len(table.faults), len(fits) + 1)
    np.minimum.at(best, pieces.owner, misses)
    kept = misses == best[pieces.owner]
    against: list[tuple[int, ...]] = [()] * len(table.faults)
    for piece in np.flatnonzero(kept)[::-1]:
        against[int(pieces.owner[piece])] = tuple(
            k for k, inside in zip(sorted_.counted, covered[piece], strict=True) if not inside
        )
    return Evidence(sorted_, tuple(against), kept)


def fitting(table: Table, reading: Reading) -> tuple[Floats, Floats]:
    """Return the least and greatest supply, as shares of the nominal, at which each piece reads so."""
    port = table.ports.index(reading.port)
    whole = table.pieces.volts[ROW[reading.mode], :, port]
    lo, hi = (np.asarray(whole[:, end] * table.pieces.unit, dtype=np.float64) for end in (0, 1))
    off = digits(table.network.volts[1])
    if port >= len(table.points):
        off = max(off, table.bands.bad_contact)
    share = defaults.METER_SHARE
    if isinstance(reading.value, str):
        return _as_said(table, reading, lo, hi)
    volts = abs(reading.value)
    least = np.where(hi > 0, max(volts - off, 0.0) / (1 + share) / np.maximum(hi, _HAIR), _NEVER)
    least = np.where((hi <= 0) & (volts <= off), 0.0, least)
    greatest = np.where(lo > 0, (volts + off) / (1 - share) / np.maximum(lo, _HAIR), _NEVER)
    return least, greatest


def _as_said(table: Table, reading: Reading, lo: Floats, hi: Floats) -> tuple[Floats, Floats]:
    """Say which pieces can be called by a word, whatever the supply is."""
    word = SAID[str(reading.value)]
    port = table.ports.index(reading.port)
    a, b = table.bands.band(word, reading.mode, port)
    if word == FULL and reading.port == supply_mark(table):
        a, b = table.bands.supply
    swing = table.pieces.swing
    usual = (swing[:, 0] <= 1) & (swing[:, 1] >= 1)
    least = lo * np.where(usual, 1.0, swing[:, 0])
    most = hi * np.where(usual, 1.0, swing[:, 1])
    off = digits(table.network.volts[1])
    fits = (most * (1 + defaults.METER_SHARE) + off >= a) & (least * (1 - defaults.METER_SHARE) - off <= b)
    return np.where(fits, 0.0, _NEVER), np.where(fits, _NEVER, 0.0)


def _most_covered(swing: Floats, fits: Sequence[tuple[Floats, Floats]], count: int) -> tuple[Ints, Ints]:
    """Find for each piece the supply that most readings fit; return which fit, and how many do not."""
    if not fits:
        return np.zeros((count, 0), dtype=np.intp), np.zeros(count, dtype=np.intp)
    least = np.stack([each[0] for each in fits], axis=1)
    greatest = np.stack([each[1] for each in fits], axis=1)
    tried = np.clip(np.concatenate([swing[:, :1], least], axis=1), swing[:, :1], swing[:, 1:])
    inside = (least[:, None, :] <= tried[:, :, None] + _HAIR) & (
        greatest[:, None, :] >= tried[:, :, None] - _HAIR
    )
    best = inside.sum(axis=2).argmax(axis=1)
    covered = np.take_along_axis(inside, best[:, None, None], axis=1)[:, 0, :]
    return covered, len(fits) - covered.sum(axis=1)
