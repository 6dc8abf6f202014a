"""The tests a circuit allows, what they cost and which faults they tell apart."""

from __future__ import annotations

from dataclasses import dataclass, replace

from kbgen.compute.circuit import branch, interval
from kbgen.compute.circuit.bands import FULL, NONE, OVER, SOME, WORDS
from kbgen.compute.circuit.meter import HIGH_Z, LOW_Z, ROW
from kbgen.compute.circuit.plan import OHMS, Probe, Task
from kbgen.compute.circuit.reading import readable
from kbgen.compute.circuit.readings import Table
from kbgen.compute.circuit.suspicion import Suspicion, suspect
from kbgen.model.circuit import Parallel, parts, reach

POINT_MINUTES = 1.0
"""A reading at a terminal, as the circuit schema promises."""
UNPLANNED = ("open-pair", "low-supply", "foreign")
"""Kinds of fault no order is made for: the first reading tells them, or the readings at its end."""
DEVICE_MINUTES = 2.0
"""A reading at a device's own terminals: its cover and its cable are in the way."""


@dataclass(frozen=True, slots=True)
class Setup:
    """A place to reach or a cover to take off, once."""

    kind: str
    id: str
    title: str
    minutes: float
    gate: str = ""


@dataclass(frozen=True, slots=True)
class Probing:
    """The tests of a circuit in one state.

    Attributes:
        groups: Faults (their index in the table) by hypothesis; a group reads alike at every test.
        unclear: Faults that no order is made for, as they show between none and full somewhere.
        points: Marks that can be read in this state, in the order of the panel.
        row: The order along the string, where the circuit is one.
        across: For each device, the test at its own terminals.
    """

    table: Table
    suspicion: Suspicion
    task: Task
    groups: tuple[tuple[int, ...], ...]
    unclear: tuple[int, ...]
    points: tuple[str, ...]
    setups: tuple[Setup, ...]
    row: interval.Row | None
    across: dict[str, Probe]

    def solved(
        self, left: int | None = None, opened: int = 0, budget: int = branch.BUDGET
    ) -> branch.Solution:
        """Return the best order of the tests, exact where the circuit is one string."""
        if self.row is None:
            return branch.solve(self.task, left, opened, budget=budget)
        plan = interval.solve_row(self.task, self.row)
        return branch.Solution(plan.policy, _cost(plan), exact=True)

    def gates(self, probe: Probe) -> tuple[str, ...]:
        """Return what the places of a test ask for, such as a second person."""
        asked = (self.setups[k].gate for k in sorted(probe.needs))
        return tuple(gate for gate in asked if gate)

    def above(self, test: Probe) -> Probing | None:
        """Return the search among the faults that no order is made for and that read over where a test is made.

        Behind a resistor an open string holds the whole supply, which is more than a made one leaves there.
        """
        if test.device:
            return None
        ports = {name: k for k, name in enumerate(self.table.ports)}
        rows = [row for row in self.unclear if self.word_of(ports[test.name], row) == OVER]
        tests = {other.name: other for other in self.task.tests if not other.device} | self.across
        words = {name: tuple(self.word_of(ports[name], row) for row in rows) for name in tests}
        tests = {name: tests[name] for name, said in words.items() if not {SOME, None}.intersection(said)}
        found: dict[tuple[int | None, ...], list[int]] = {}
        for k, row in enumerate(rows):
            found.setdefault(tuple(words[name][k] for name in tests), []).append(row)
        groups = tuple(map(tuple, found.values()))
        task = replace(_task(self.table, self.suspicion, groups, tests, ports, self.setups), first=None)
        return replace(self, groups=groups, task=task, row=None) if rows else None

    def word_of(self, port: int, fault: int) -> int | None:
        """Return the one word a fault reads at a port, or ``None`` when it may read several."""
        return _word(self.table, port, fault)


def _cost(plan: interval.IntervalPlan) -> float:
    """Return the weighted cost of a plan from the start, the supply first."""
    task, last = plan.task, len(plan.row.order) - 1
    if task.first is None:
        return float(plan.cost[0, 0, last])
    total = task.weight(task.everything) * task.minutes(task.first, 0, dead=False)
    after = plan.states.index(task.needs[task.first])
    for _, rest in task.split(task.first, task.everything):
        total += float(plan.cost[(after, *plan.span(rest))])
    return total


def prepare(table: Table) -> Probing:
    """Put the tests of a circuit together."""
    suspicion = suspect(table)
    setups = _setups(table)
    number = {(setup.kind, setup.id): k for k, setup in enumerate(setups)}
    tests = {
        mark: Probe(mark, minutes, _needs(number, place, cover), meter=_modes(table, mark)[0])
        for mark, (minutes, place, cover) in _reached(table).items()
    }
    across = {label: _across(table, number, label) for label in table.devices}
    if not table.variant.setting.state.supply_on:
        return _dead(table, suspicion, setups, across)
    ports = {mark: k for k, mark in enumerate(table.points)}
    groups, unclear = _group(table, suspicion, [ports[mark] for mark in tests])
    task = _task(table, suspicion, groups, tests, ports, setups)
    row = interval.find_row(task) if groups else None
    if row is None:
        # Parts side by side hide behind each other; only the meter across a contact tells them apart.
        ports |= {label: len(table.points) + k for k, label in enumerate(table.devices)}
        tests |= across
        groups, unclear = _group(table, suspicion, [ports[name] for name in tests])
        task = _task(table, suspicion, groups, tests, ports, setups)
    marks = tuple(name for name, test in tests.items() if not test.device)
    return Probing(table, suspicion, task, groups, unclear, marks, setups, row, across)


def _dead(table: Table, suspicion: Suspicion, setups: tuple[Setup, ...], across: dict[str, Probe]) -> Probing:
    """Put the resistance tests of a circuit together whose supply is locked off and proved dead.

    Ohms decide nothing across a contact whose state on dead plant is open or unknown, nor across one
    with a branch beside it until one end is lifted, nor across a coil or load: these have no test here.
    """
    beside = {
        id(contact)
        for part in parts(table.variant.path)
        if isinstance(part, Parallel)
        for branch in part.parallel
        for contact in parts(branch)
    }
    tests = {
        label: replace(across[label], dead=True, meter=OHMS)
        for label, contact in table.variant.contacts.items()
        if id(contact) not in beside
        and (device := table.variant.device(label))
        and device.dead_state == "closed"
    }
    rows = {fault.where[0]: row for row, fault in enumerate(table.faults) if fault.kind == "open"}
    told = [rows[label] for label in tests if not suspicion.hidden[rows[label]]]
    rest = [
        row
        for row, fault in enumerate(table.faults)
        if row not in told and fault.kind not in UNPLANNED and not suspicion.hidden[row]
    ]
    groups = (*((row,) for row in told), tuple(rest))
    task = Task(
        weights=tuple(sum(suspicion.weights[f] for f in group) for group in groups),
        tests=tuple(tests.values()),
        outcomes=tuple(
            tuple("open" if group == (rows[label],) else "closed" for group in groups) for label in tests
        ),
        setups=tuple(setup.minutes for setup in setups),
    )
    return Probing(table, suspicion, task, groups, (), (), setups, None, across)


def _task(
    table: Table,
    suspicion: Suspicion,
    groups: tuple[tuple[int, ...], ...],
    tests: dict[str, Probe],
    ports: dict[str, int],
    setups: tuple[Setup, ...],
) -> Task:
    first = table.network.main_points[0] if table.network.main_points else ""
    return Task(
        weights=tuple(sum(suspicion.weights[f] for f in group) for group in groups),
        tests=tuple(tests.values()),
        outcomes=tuple(
            tuple(WORDS[_word(table, ports[name], group[0]) or SOME] for group in groups) for name in tests
        ),
        setups=tuple(setup.minutes for setup in setups),
        first=list(tests).index(first) if first in tests and groups else None,
    )


def _group(
    table: Table, suspicion: Suspicion, ports: list[int]
) -> tuple[tuple[tuple[int, ...], ...], tuple[int, ...]]:
    """Put faults that read alike together; those that read like nothing wrong come last."""
    found: dict[tuple[int, ...], list[int]] = {}
    unclear = []
    made = tuple(_word(table, port, 0) for port in ports)
    for row, fault in enumerate(table.faults):
        if suspicion.hidden[row] or fault.kind in UNPLANNED:
            continue
        read = tuple(_word(table, port, row) for port in ports)
        if any(
            word is None or (word in (SOME, OVER) and word != usual)
            for word, usual in zip(read, made, strict=True)
        ):
            unclear.append(row)
        else:
            found.setdefault(tuple(word or 0 for word in read), []).append(row)
    sound = next((key for key, rows in found.items() if 0 in rows), None)
    ordered = [rows for key, rows in found.items() if key != sound] + ([found[sound]] if sound else [])
    return tuple(tuple(rows) for rows in ordered), tuple(unclear)


def _word(table: Table, port: int, fault: int) -> int | None:
    """Return the one word a fault reads at a port: in high impedance, else repeated in low."""
    modes = _modes(table, table.points[port]) if port < len(table.points) else (HIGH_Z,)
    for mode in modes:
        said = int(table.words[ROW[mode], fault, port])
        if said in (NONE, SOME, FULL, OVER):
            return said
    return None


def _modes(table: Table, mark: str) -> tuple[str, ...]:
    """Return the meter modes of a point: high impedance first, unless a made circuit is unclear in it."""
    said = int(table.words[ROW[HIGH_Z], 0, table.points.index(mark)])
    return (HIGH_Z, LOW_Z) if said in (NONE, SOME, FULL) else (LOW_Z,)


def _reached(table: Table) -> dict[str, tuple[float, str, str]]:
    """Return minutes, place and cover of each point that can be read in this state."""
    there = reach(table.variant.path)
    minutes = {part.point: part.minutes for part in there}
    at = {part.point: where for part, where in there.items()}
    return {
        mark: ((asked.value / 60 if (asked := minutes[mark]) else POINT_MINUTES), *at[mark])
        for mark in readable(table)
    }


def _across(table: Table, number: dict[tuple[str, str], int], label: str) -> Probe:
    device = table.variant.device(label)
    place = device.place if device else ""
    return Probe(label, DEVICE_MINUTES, _needs(number, place, ""), device=True)


def _setups(table: Table) -> tuple[Setup, ...]:
    """Return the places and covers that cost or ask for something, those off in this state excepted."""
    setting = table.variant.setting
    places = [
        Setup("place", p.id, p.title, p.travel.value / 60 if p.travel else 0.0, p.needs)
        for p in setting.plant.places
        if p.needs or (p.travel and p.travel.value > 0)
    ]
    covers = [
        Setup("cover", c.id, c.title, c.minutes.value / 60)
        for c in setting.plant.covers
        if c.minutes and c.minutes.value > 0 and c.id not in setting.state.covers_off
    ]
    reached = _reached(table).values()
    used = {("place", place) for _, place, _ in reached} | {("cover", cover) for _, _, cover in reached}
    used |= {("place", device.place) for label in table.devices if (device := table.variant.device(label))}
    return tuple(setup for setup in (*places, *covers) if (setup.kind, setup.id) in used)


def _needs(number: dict[tuple[str, str], int], place: str, cover: str) -> frozenset[int]:
    wanted = (number.get(("place", place)), number.get(("cover", cover)))
    return frozenset(k for k in wanted if k is not None)
