"""Which reading would tell faults apart, whatever it turned out to be.

Two faults are told apart by a reading where no meter can show the same for both. In a mode in which a
ghost can show, only none against full, or over, tells anything.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from kbgen.compute.circuit import defaults
from kbgen.compute.circuit.bands import FULL, NONE, OVER
from kbgen.compute.circuit.evidence import Evidence
from kbgen.compute.circuit.meter import HIGH_Z, LOW_Z, ROW, digits, loads_the_loop
from kbgen.compute.circuit.plan import Probe
from kbgen.compute.circuit.probing import Probing
from kbgen.compute.circuit.reading import Reading
from kbgen.compute.circuit.readings import Table

_CERTAIN = (NONE, FULL, OVER, FULL | OVER)
"""What a fault must read in a mode in which ghosts show, for the reading to tell it from another."""
_MINUTE = 0.02
"""What share of the suspicion to be settled a minute is worth."""
_HAIR = 1e-9


@dataclass(frozen=True, slots=True)
class Candidate:
    """A reading that can be taken: the test, and how the meter is set."""

    probe: Probe
    mode: str


def modes_at(table: Table) -> tuple[str, ...]:
    """Return the modes in which points may be read to the return."""
    current = table.variant.setting.circuit.supply.current
    return (HIGH_Z,) if loads_the_loop(current, table.variant.path) else (HIGH_Z, LOW_Z)


def candidates(probing: Probing, evidence: Evidence, taken: Sequence[Reading]) -> list[Candidate]:
    """Return what can still be read: points to the return in every mode they allow, then across.

    Across a contact only in high impedance, and only behind a point that is fed: a low-impedance
    meter would be a jumper, and nothing across a dead contact tells nothing.
    """
    table = probing.table
    seen = {(reading.port, reading.mode) for reading in taken}
    tests = {test.name: test for test in probing.task.tests if not test.device}
    found = [
        Candidate(tests[mark], mode)
        for mark in probing.points
        if mark in tests
        for mode in modes_at(table)
        if (mark, mode) not in seen
    ]
    found += [
        Candidate(probe, HIGH_Z)
        for label, probe in probing.across.items()
        if (label, HIGH_Z) not in seen and label in evidence.sorted.fed
    ]
    return found


@dataclass(frozen=True, slots=True)
class Spans:
    """What some faults can still read, at the nominal supply.

    Attributes:
        lo, hi: As a meter may show it, as meter mode × fault × port.
        words: What it can be called.
    """

    lo: npt.NDArray[np.float64]
    hi: npt.NDArray[np.float64]
    words: npt.NDArray[np.intp]

    def apart(
        self, mode: int, port: int, *, ghosts: bool, one: Sequence[int], other: Sequence[int]
    ) -> npt.NDArray[np.bool_]:
        """Say which of some faults are told from which of others by one reading."""
        if ghosts:
            words = self.words[mode, :, port]
            sure = np.isin(words, _CERTAIN)
            apart = (words[one][:, None] & words[other][None, :]) == 0
            return np.asarray(apart & sure[one][:, None] & sure[other][None, :])
        lo, hi = self.lo[mode, :, port], self.hi[mode, :, port]
        return np.asarray(
            (lo[one][:, None] > hi[other][None, :] + _HAIR) | (lo[other][None, :] > hi[one][:, None] + _HAIR)
        )


def spans_of(table: Table, evidence: Evidence, rows: Sequence[int]) -> Spans:
    """Return what faults can still read, by the pieces the readings leave of each."""
    pieces = table.pieces
    usual = (pieces.swing[:, 0] <= 1) & (pieces.swing[:, 1] >= 1)
    scale = np.where(usual[:, None], 1.0, pieces.swing)
    volts = pieces.volts * (pieces.unit * scale[None, :, None, :])
    kept = [np.flatnonzero((pieces.owner == row) & evidence.pieces) for row in rows]
    lo = np.stack([volts[..., 0].take(own, axis=1).min(axis=1) for own in kept], axis=1)
    hi = np.stack([volts[..., 1].take(own, axis=1).max(axis=1) for own in kept], axis=1)
    words = table.bands.spoken(np.stack([lo, hi], axis=-1))
    off = np.full(len(table.ports), digits(table.network.volts[1]))
    off[len(table.points) :] = np.maximum(off[len(table.points) :], table.bands.bad_contact)
    share = defaults.METER_SHARE
    return Spans(lo * (1 - share) - off, hi * (1 + share) + off, words)


def ghosts_show(table: Table, candidate: Candidate) -> bool:
    """Say whether a middle reading would not count there."""
    return candidate.mode == HIGH_Z and bool(table.network.omega) and not candidate.probe.device


def best(
    probing: Probing,
    evidence: Evidence,
    taken: Sequence[Reading],
    one: Sequence[int],
    other: Sequence[int],
    opened: int,
    least: float,
    avoid: frozenset[str] = frozenset(),
) -> Candidate | None:
    """Return the reading that tells most of some faults from others, by their weights.

    Args:
        probing: The circuit.
        evidence: What the readings say.
        taken: The readings.
        one, other: Faults by their index; told apart are those of one from those of the other.
        opened: Places reached and covers off, as bits.
        least: Share of the pairs, by weight, that must be told apart for the reading to be worth it.
        avoid: Ports at which a reading would repeat what is in doubt.
    """
    table = probing.table
    rows = list(dict.fromkeys([*one, *other]))
    spans = spans_of(table, evidence, rows)
    first, second = [rows.index(row) for row in one], [rows.index(row) for row in other]
    weights = np.array([probing.suspicion.weights[row] for row in rows])
    pairs = weights[first][:, None] * weights[second][None, :]
    pairs = np.where(np.array(first)[:, None] == np.array(second)[None, :], 0.0, pairs)
    total = float(pairs.sum())
    found: tuple[float, Candidate] | None = None
    for candidate in candidates(probing, evidence, taken):
        port = table.ports.index(candidate.probe.name)
        if candidate.probe.device:
            port = len(table.points) + table.devices.index(candidate.probe.name)
        apart = spans.apart(
            ROW[candidate.mode], port, ghosts=ghosts_show(table, candidate), one=first, other=second
        )
        told = float((pairs * apart).sum()) / total if total else 0.0
        if candidate.probe.name in avoid:
            continue
        worth = told - _MINUTE * probing.task.minutes_of(candidate.probe, opened)
        if told > least and (found is None or worth > found[0] + 1e-9):
            found = (worth, candidate)
    return found[1] if found else None
