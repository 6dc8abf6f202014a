"""How many readings stand against each fault.

Readings are counted against a fault, not intersected: none, and it stands; one, and it stands only if
that reading was wrong; two, and it is out (the q-relaxed intersection of set-membership estimation).
What was read at one place counts as one, in whichever mode and however often: a slip of the leads there
makes all of it wrong together. All readings must fit one piece of the fault and one voltage of the supply.
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
        places: For each fault, at how many places they were taken.
        pieces: Which pieces have no more readings against them than their fault, as booleans.
    """

    sorted: Sorted
    against: tuple[tuple[int, ...], ...]
    places: tuple[int, ...]
    pieces: Ints

    def faults(self, count: int) -> list[int]:
        """Return the faults with readings at so many places against them."""
        return [row for row, places in enumerate(self.places) if places == count]


def weigh(table: Table, taken: Sequence[Reading]) -> Evidence:
    """Count the readings against each fault."""
    sorted_ = sort_out(table, taken)
    fits = [fitting(table, taken[k]) for k in sorted_.counted]
    at = [taken[k].port for k in sorted_.counted]
    pieces = table.pieces
    covered, misses = _most_covered(pieces.swing, fits, at, len(pieces.owner))
    best = np.full(len(table.faults), len(fits) + 1)
    np.minimum.at(best, pieces.owner, misses)
    kept = misses == best[pieces.owner]
    against: list[tuple[int, ...]] = [()] * len(table.faults)
    for piece in np.flatnonzero(kept)[::-1]:
        against[int(pieces.owner[piece])] = tuple(
            k for k, inside in zip(sorted_.counted, covered[piece], strict=True) if not inside
        )
    return Evidence(sorted_, tuple(against), tuple(int(places) for places in best), kept)


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
    stray = max(off, table.bands.stray(port))
    least = np.where(hi > 0, max(volts - off, 0.0) / (1 + share) / np.maximum(hi, _HAIR), _NEVER)
    least = np.where((hi <= stray) & (volts <= stray), 0.0, least)
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


def _most_covered(
    swing: Floats, fits: Sequence[tuple[Floats, Floats]], at: Sequence[str], count: int
) -> tuple[Ints, Ints]:
    """Find for each piece the supply at which most places fit; return which readings do, and the other places.

    Args:
        swing: Least and greatest supply of each piece.
        fits: For each reading, at which supply each piece reads so.
        at: The place of each reading.
        count: How many pieces there are.
    """
    if not fits:
        return np.zeros((count, 0), dtype=np.intp), np.zeros(count, dtype=np.intp)
    least = np.stack([each[0] for each in fits], axis=1)
    greatest = np.stack([each[1] for each in fits], axis=1)
    of = {place: [k for k, other in enumerate(at) if other == place] for place in at}
    lower = np.stack([least[:, own].max(axis=1) for own in of.values()], axis=1)
    upper = np.stack([greatest[:, own].min(axis=1) for own in of.values()], axis=1)
    tried = np.clip(np.concatenate([swing[:, :1], lower], axis=1), swing[:, :1], swing[:, 1:])
    fit = (lower[:, None, :] <= tried[:, :, None] + _HAIR) & (upper[:, None, :] >= tried[:, :, None] - _HAIR)
    fitted = fit.sum(axis=2)
    best = fitted.argmax(axis=1)
    chosen = np.take_along_axis(tried, best[:, None], axis=1)
    covered = np.asarray((least <= chosen + _HAIR) & (greatest >= chosen - _HAIR), dtype=np.intp)
    return covered, len(of) - fitted.max(axis=1)
