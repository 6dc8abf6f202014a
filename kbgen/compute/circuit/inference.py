"""From readings to the faults still possible, and to the next test.

A low-impedance meter across an open safety contact is itself a jumper: such a reading is taken, with a
word of warning, but never proposed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kbgen.compute.circuit.evidence import (
    Reading,
    check_known,
    out_of_order,
    possible_faults,
    said,
    supply_mark,
)
from kbgen.compute.circuit.faults import device_of
from kbgen.compute.circuit.outcome import FULL, NONE, limits, words
from kbgen.compute.circuit.probing import Probing, prepare
from kbgen.compute.circuit.readings import HIGH_Z, LOW_Z, MODES, Table, readings
from kbgen.compute.circuit.sayings import CAUTION, WARNINGS
from kbgen.compute.circuit.state import State
from kbgen.compute.circuit.suggestion import Next, suggest
from kbgen.link.base import KnowledgeBase


@dataclass(frozen=True, slots=True)
class Verdict:
    """What the readings leave.

    Attributes:
        remaining: Indices of the faults still possible, the likeliest first, with their shares.
        groups: Faults no reachable reading tells apart, as ids.
        repeat: The reading most worth repeating when the readings contradict each other; then nothing
            is possible, or a point upstream reads nothing while one behind it reads full.
        all_sound: Whether nothing that shows now is left: the intermittent branch.
    """

    probing: Probing
    remaining: tuple[tuple[int, float], ...]
    groups: tuple[tuple[str, ...], ...]
    repeat: Reading | None
    next: Next | None
    all_sound: bool
    warnings: tuple[str, ...]

    def to_json(self) -> dict[str, object]:
        """Return the JSON object of ``kbgen locate``, without version and edition."""
        table = self.probing.table
        setting = table.variant.setting
        return {
            "circuit": setting.circuit_id,
            "size": setting.state.size or None,
            "stage": setting.state.stage or None,
            "state": setting.state.to_json(),
            "remaining": [
                {
                    **table.faults[row].to_json(),
                    "share": round(share, 4),
                    "notes": self.probing.suspicion.notes[row],
                }
                for row, share in self.remaining
            ],
            "groups": [list(group) for group in self.groups],
            "contradiction": {"repeat": _where(table, self.repeat)} if self.repeat else None,
            "next": self.next.to_json() if self.next else None,
            "all_sound": self.all_sound,
            "intermittent": self._intermittent() if self.all_sound else None,
            "is_it_doing_its_job": self._job(),
            "warnings": list(self.warnings),
            "caution": CAUTION,
        }

    def _job(self) -> dict[str, object] | None:
        """Return the independent check once one device is left: an open contact is not yet a faulty one.

        While nothing at all may be wrong, nobody knows of an open contact.
        """
        table = self.probing.table
        opened = {
            device_of(table.faults[row].where[0])
            for row, _ in self.remaining
            if table.faults[row].kind == "open" and not self.probing.suspicion.hidden[row]
        }
        sound = any(row == 0 for row, _ in self.remaining)
        if self.repeat or sound or len(opened) != 1:
            return None
        device = table.variant.setting.base.device(next(iter(opened)))
        check = device.independent_check if device else None
        return {
            "device": next(iter(opened)),
            "with": check.with_ if check else None,
            "real": check.real if check else None,
            "false": check.false if check else None,
            "not_sure": "counts as real",
        }

    def _intermittent(self) -> list[dict[str, object]]:
        """List the devices that open only sometimes, and when."""
        base = self.probing.table.variant.setting.base
        found: list[dict[str, object]] = []
        for device_id in dict.fromkeys(device_of(label) for label in self.probing.table.devices):
            device = base.device(device_id)
            causes = device.opening_causes if device else ()
            found += [
                {"device": device_id, "cause": c.cause, "appears": list(c.appears), "look_for": c.look_for}
                for c in causes
                if c.appears and c.appears != ("always",)
            ]
        return found


def locate(
    base: KnowledgeBase, circuit_id: str, taken: Sequence[Reading], state: State | None = None
) -> Verdict:
    """Work out what can still be wrong, and what to test next.

    Raises:
        UnknownName: The circuit, a name in the state, a point or a device does not exist.
    """
    return judge(prepare(readings(base, circuit_id, state)), taken)


def judge(probing: Probing, taken: Sequence[Reading]) -> Verdict:
    """Judge readings against a prepared circuit."""
    table, suspicion = probing.table, probing.suspicion
    for reading in taken:
        check_known(table, reading)
    possible = possible_faults(table, taken)
    total = sum(suspicion.weights[row] for row in possible)
    remaining = sorted(
        ((row, suspicion.weights[row] / total if total else 0.0) for row in possible),
        key=lambda pair: (-pair[1], pair[0]),
    )
    wrong = out_of_order(table, taken) if possible else tuple(taken)
    repeat = _most_worth_repeating(probing, taken, wrong) if wrong else None
    groups = _groups(probing, [row for row, _ in remaining])
    sound = _all_sound(probing, taken, possible)
    return Verdict(
        probing=probing,
        remaining=tuple(remaining),
        groups=groups,
        repeat=repeat,
        next=None
        if repeat or sound or not table.variant.setting.state.supply_on
        else suggest(probing, possible, _seen(table, taken), supply_mark(table)),
        all_sound=sound,
        warnings=_warnings(table, taken),
    )


def _warnings(table: Table, taken: Sequence[Reading]) -> tuple[str, ...]:
    jumps = any(r.low_z and r.port in table.devices for r in taken)
    off = not table.variant.setting.state.supply_on
    dead = not off and any(r.port == supply_mark(table) and said(table, r) == NONE for r in taken)
    return tuple(WARNINGS[name] for name, so in (("jumps", jumps), ("off", off), ("dead", dead)) if so)


def _seen(table: Table, taken: Sequence[Reading]) -> dict[tuple[str, bool], int]:
    return {(reading.port, reading.low_z): said(table, reading) for reading in taken}


def _most_worth_repeating(probing: Probing, taken: Sequence[Reading], wrong: Sequence[Reading]) -> Reading:
    """Return the reading without which most of what was suspected is possible again.

    Where no single reading stands against the others, all of them hang on the supply: that one.
    """
    table, weights = probing.table, probing.suspicion.weights
    gains = []
    for reading in wrong:
        others = [r for r in taken if r is not reading]
        cured = not out_of_order(table, others)
        gains.append(
            (cured * sum(weights[row] for row in possible_faults(table, others)), taken.index(reading))
        )
    gain, k = max(gains)
    if gain > 0:
        return taken[k]
    mark = supply_mark(table)
    return next((r for r in taken if r.port == mark), taken[-1])


def _groups(probing: Probing, rows: Sequence[int]) -> tuple[tuple[str, ...], ...]:
    """Put the faults together that every reachable reading can only call by the same words."""
    table = probing.table
    none_to, full_from = limits(table)
    points = [table.points.index(mark) for mark in probing.points]
    ports = [(mode, port) for port in points for mode in (HIGH_Z, LOW_Z)]
    ports += [(HIGH_Z, len(table.points) + k) for k in range(len(table.devices))]
    found: dict[tuple[int, ...], list[str]] = {}
    for row in rows:
        called = tuple(
            words(float(table.bounds[m, row, p, 0]), float(table.bounds[m, row, p, 1]), none_to, full_from)
            for m, p in ports
        )
        found.setdefault(called, []).append(table.faults[row].id)
    return tuple(tuple(ids) for ids in found.values() if len(ids) > 1)


def _all_sound(probing: Probing, taken: Sequence[Reading], possible: frozenset[int]) -> bool:
    """Say whether the readings leave nothing wrong in the string as far as points can tell.

    The load and the wiring behind the last point read like nothing wrong; whether the input really
    gets its voltage is the next thing to see, and not a contradiction.
    """
    left = [group for group in probing.groups if possible.intersection(group)]
    supply = any(r.port == supply_mark(probing.table) and said(probing.table, r) == FULL for r in taken)
    return supply and 0 in possible and len(left) == 1 and 0 in left[0]


def _where(table: Table, reading: Reading | None) -> dict[str, object] | None:
    if reading is None:
        return None
    kind = "device" if reading.port in table.devices else "point"
    return {kind: reading.port, "meter": MODES[LOW_Z if reading.low_z else HIGH_Z]}
