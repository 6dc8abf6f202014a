"""A technician who follows every suggestion, on plants drawn and solved independently."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from kbgen.compute.circuit.bands import FULL, NONE, SOME
from kbgen.compute.circuit.inference import judge
from kbgen.compute.circuit.meter import HIGH_Z, digits
from kbgen.compute.circuit.probing import Probing
from kbgen.compute.circuit.reading import Reading, word_of
from kbgen.compute.circuit.readings import Table
from kbgen.compute.circuit.verdict import Verdict
from tests.unit.circuit.independent import HIGH, LOW, Netlist, Plant, draw, netlist

MOST = 60
"""Readings after which a search counts as without end."""


@dataclass
class Ground:
    """One circuit to search, and how its ports lie in the independent netlist."""

    probing: Probing
    net: Netlist = field(init=False)
    ports: dict[str, tuple[int, int]] = field(init=False)

    def __post_init__(self) -> None:
        table = self.probing.table
        self.net = netlist(table.variant)
        back = self.net.marks[self.net.back] if self.net.back else 0
        contacts = {part.name: part for part in self.net.parts if part.kind == "contact"}
        self.ports = {mark: (self.net.marks[mark], back) for mark in table.points}
        self.ports |= {label: (contacts[label].p, contacts[label].q) for label in table.devices}

    def faults(self) -> list[str]:
        """Return the single faults that can show."""
        table, hidden = self.probing.table, self.probing.suspicion.hidden
        unlike = ("open-pair", "foreign", "low-supply", "healthy")
        return [f.id for k, f in enumerate(table.faults) if f.kind not in unlike and not hidden[k]]


@dataclass
class Walk:
    """How a search ended.

    Attributes:
        wrong: Which reading was mistaken, by its place in the search; -1 for none.
        contradicted: Whether some verdict on the way was a contradiction or foreign.
        named: Whether the last verdict names a mistaken reading as one that fits nothing that is left, or as
            the place all hangs on.
        extra: Readings that were asked for only to confirm, to repeat or to settle.
    """

    verdict: Verdict
    taken: list[Reading]
    wrong: int
    contradicted: bool
    named: bool
    extra: int


def walk(
    ground: Ground,
    plant: Plant,
    rng: np.random.Generator,
    mistake: int = -1,
    persists: bool = False,
    alike: bool = False,
) -> Walk:
    """Follow the suggestions to the end.

    Args:
        ground: The circuit.
        plant: The plant as it really is.
        rng: Where the meter's error and the mistaken value come from.
        mistake: Which reading is mistaken; -1 for none. A repeat is right, unless it persists.
        persists: Whether every reading at the same terminal is mistaken the same way, but that of other hands.
        alike: Whether a second person, who finds the place anew, makes the same mistake.
    """
    table = ground.probing.table
    off = digits(table.network.volts[1])
    gain = {mode: rng.uniform(-0.01, 0.01) for mode in ("high_z", "low_z")}
    taken: list[Reading] = []
    contradicted, at, said, extra = False, "", 0, 0
    verdict = judge(ground.probing, taken)
    for number in range(MOST):
        following = verdict.next
        if following is None:
            break
        extra += following.why in ("confirm", "repeat", "settle", "third", "anew")
        mode = HIGH if following.meter == HIGH_Z else LOW
        true = plant.read(*ground.ports[following.port], mode)
        shown = max(0.0, round(true * (1 + gain[following.meter]) + rng.uniform(-off, off) / 2, 2))
        if number == mistake:
            at, said = following.port, _another(ground, following, shown, verdict, rng)
        again = persists and following.port == at and (alike or not following.anew)
        if number == mistake or again:
            shown = _volts_of(ground, following, said, verdict, rng)
        taken.append(Reading(following.port, shown, following.meter, following.anew))
        verdict = judge(ground.probing, taken)
        contradicted = contradicted or verdict.verdict in ("contradiction", "foreign")
    else:
        raise AssertionError(f"no end: {[(r.port, r.value, r.mode) for r in taken]}")
    return Walk(verdict, taken, mistake, contradicted, _named(verdict, taken, mistake, persists), extra)


def _named(verdict: Verdict, taken: list[Reading], mistake: int, persists: bool) -> bool:
    if not 0 <= mistake < len(taken):
        return False
    port = taken[mistake].port
    if verdict.hangs_on == port:
        return True
    return any(k == mistake or (persists and taken[k].port == port) for k in verdict.unexplained)


def _another(ground: Ground, following, shown: float, verdict: Verdict, rng) -> int:
    table = ground.probing.table
    word = word_of(table, Reading(following.port, shown, following.meter), _supply(table, verdict))
    if word == NONE:
        return int(rng.choice([FULL, SOME], p=[0.7, 0.3]))
    return int(rng.choice([NONE, SOME] if word == FULL else [NONE, FULL], p=[0.7, 0.3]))


def _supply(table: Table, verdict: Verdict) -> float:
    return verdict.evidence.sorted.volts or table.network.volts[1]


def _volts_of(ground: Ground, following, word: int, verdict: Verdict, rng) -> float:
    table = ground.probing.table
    port = table.ports.index(following.port)
    volts = _supply(table, verdict)
    lo, hi = table.bands.full(following.meter, port, volts)
    none = table.bands.nothing(port)
    span = {NONE: (0.0, none * 0.3), SOME: (none + 0.2 * (lo - none), none + 0.8 * (lo - none))}.get(
        word, (lo + 0.3 * (hi - lo), lo + 0.6 * (hi - lo))
    )
    return round(float(rng.uniform(*span)), 2)


def kept(ground: Ground, verdict: Verdict, truth: str) -> str:
    """Say how a true fault stands at the end: ``stands``, ``only-if`` or ``lost``."""
    ids = [fault.id for fault in ground.probing.table.faults]
    row = ids.index(truth)
    against = len(verdict.evidence.against[row])
    listed = row in {left for left, _ in verdict.remaining}
    return "stands" if listed and not against else "only-if" if listed else "lost"


def right(ground: Ground, verdict: Verdict, truth: str) -> bool:
    """Say whether a final verdict is right about the true fault, or leaves it open."""
    standing = kept(ground, verdict, truth)
    if verdict.verdict in ("found", "made"):
        return standing == "stands"
    return standing != "lost"


__all__ = ["Ground", "Walk", "draw", "kept", "right", "walk"]
