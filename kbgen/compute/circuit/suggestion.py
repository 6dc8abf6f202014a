"""Where to put the leads next."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kbgen.compute.circuit.order import device_to_read
from kbgen.compute.circuit.outcome import FULL, NONE, SOME, limits, words
from kbgen.compute.circuit.plan import Probe
from kbgen.compute.circuit.probing import Probing
from kbgen.compute.circuit.readings import LOW_Z
from kbgen.compute.circuit.sayings import REASONS

_BUDGET = 2_000
"""Expansions of the exact search for one suggestion; a person is waiting."""
_WORTH = 0.02
"""A repetition must be able to clear up this share of what is left."""

Seen = Mapping[tuple[str, bool], int]
"""What was read: the port and whether in low impedance → the word."""


@dataclass(frozen=True, slots=True)
class Next:
    """The next test.

    Attributes:
        minutes: What it costs with the places reached and the covers off so far.
        gates: What its place asks for, such as a second person.
    """

    port: str
    device: bool
    meter: str
    minutes: float
    why: str
    gates: tuple[str, ...]

    def to_json(self) -> dict[str, object]:
        """Return plain data."""
        return {
            "device" if self.device else "point": self.port,
            "meter": self.meter,
            "minutes": round(self.minutes, 2),
            "why": self.why,
            "mind": list(self.gates),
        }


def suggest(probing: Probing, possible: frozenset[int], seen: Seen, supply: str) -> Next | None:
    """Return the next test: the supply, then what is in doubt, then the cheapest order, then across."""
    opened = _opened(probing, seen)
    if supply in probing.points and not any(port == supply for port, _ in seen):
        return _test(probing, _point(probing, supply), opened, "supply")
    doubtful = _doubtful(probing, seen)
    if doubtful:
        return _test(probing, _point(probing, doubtful), opened, "doubt", low_z=True)
    left = sum(1 << h for h, group in enumerate(probing.groups) if possible.intersection(group))
    if left.bit_count() > 1:
        best = probing.solved(left, opened, _BUDGET).policy(left, opened, False)
        if best is not None:
            probe = probing.task.tests[best]
            found = _test(probing, probe, opened, "only-across" if probe.device else "order")
            if (found.port, found.meter == "low_z") not in seen:
                return found
    rows = [
        row for h, group in enumerate(probing.groups) if left >> h & 1 for row in group if row in possible
    ]
    apart = device_to_read(probing, rows)
    if apart and (apart[0], False) not in seen:
        return _test(probing, probing.across[apart[0]], opened, "across")
    return _unclear(probing, possible, seen, opened)


def _opened(probing: Probing, seen: Seen) -> int:
    """Return the places reached and covers off after the readings, as bits."""
    opened = 0
    for k, test in enumerate(probing.task.tests):
        if any(port == test.name for port, _ in seen):
            opened |= probing.task.needs[k]
    return opened


def _doubtful(probing: Probing, seen: Seen) -> str:
    """Return a point that read some in high impedance, is not meant to, and was not repeated."""
    table = probing.table
    for (port, low_z), word in seen.items():
        if word != SOME or low_z or port not in probing.points or (port, True) in seen:
            continue
        if probing.word_of(table.points.index(port), 0) != SOME:
            return port
    return ""


def _point(probing: Probing, mark: str) -> Probe:
    return next(test for test in probing.task.tests if test.name == mark)


def _test(probing: Probing, probe: Probe, opened: int, why: str, *, low_z: bool = False) -> Next:
    minutes = probing.task.minutes_of(probe, opened)
    meter = "low_z" if low_z else probe.meter
    return Next(probe.name, probe.device, meter, minutes, REASONS[why], probing.gates(probe))


def _unclear(probing: Probing, possible: frozenset[int], seen: Seen, opened: int) -> Next | None:
    """Return the low-impedance reading that clears up most: bad contacts show only under load.

    A fault that may be called by several words is taken to be called by each of them as often.
    """
    weights = probing.suspicion.weights
    total = sum(weights[row] for row in possible)
    best: tuple[float, str] | None = None
    for mark in probing.points:
        if (mark, True) in seen:
            continue
        called = _called(probing, mark, possible)
        kept = 0.0
        for word in (NONE, SOME, FULL):
            likely = sum(weights[row] / bits.bit_count() for row, bits in called.items() if bits & word)
            kept += likely * sum(weights[row] for row, bits in called.items() if bits & word)
        cleared = 1 - kept / total**2 if total else 0.0
        if cleared > _WORTH and (best is None or cleared > best[0] + 1e-9):
            best = (cleared, mark)
    if best is None:
        return None
    return _test(probing, _point(probing, best[1]), opened, "load", low_z=True)


def _called(probing: Probing, mark: str, possible: frozenset[int]) -> dict[int, int]:
    """Return the words each fault can be called by at a point in low impedance."""
    table = probing.table
    none_to, full_from = limits(table)
    column = table.points.index(mark)
    found = {}
    for row in sorted(possible):
        lo, hi = table.bounds[LOW_Z, row, column]
        found[row] = words(float(lo), float(hi), none_to, full_from)
    return found
