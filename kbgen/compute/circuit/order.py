"""The order of tests of a circuit: look first, then the meter where it costs least."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import takewhile

from kbgen.compute.circuit.bands import SOME, WORDS
from kbgen.compute.circuit.faults import device_of
from kbgen.compute.circuit.meter import HIGH_Z, LOW_Z, ROW
from kbgen.compute.circuit.plan import Leaf, Node, Probe, Tree, expected, grow, halving, walking
from kbgen.compute.circuit.probing import Probing, Setup, prepare
from kbgen.compute.circuit.readings import readings
from kbgen.compute.circuit.state import State
from kbgen.compute.circuit.suspicion import Suspicion
from kbgen.compute.sequence import stages_of
from kbgen.link.base import KnowledgeBase

LOOK_MINUTES = 0.5
"""A look at a button, flag, gauge or glass, once one stands before it."""
LOCK_MINUTES = 8.0
"""Identify, switch off, lock, tag, and prove dead live-dead-live."""
WORTHWHILE = 2.0
"""Minutes an order must save before it is worth leaving the strip for."""


@dataclass(frozen=True, slots=True)
class Look:
    """Something to look at before the meter comes out."""

    device: str
    look: str
    place: str
    minutes: float
    notes: int

    def to_json(self) -> dict[str, object]:
        """Return plain data."""
        return {
            "device": self.device,
            "look": self.look,
            "place": self.place or None,
            "minutes": round(self.minutes, 2),
            "notes": self.notes,
        }


@dataclass(frozen=True, slots=True)
class Before:
    """What any order costs besides, and is therefore in none of them.

    Attributes:
        each: ``once``, or ``attempt`` where every stop of the plant costs it again.
    """

    what: str
    minutes: float
    each: str

    def to_json(self) -> dict[str, object]:
        """Return plain data."""
        return {"what": self.what, "minutes": round(self.minutes, 2), "each": self.each}


def before(probing: Probing) -> tuple[Before, ...]:
    """Return what must be done before the first test: lock and prove dead, or reach the stage."""
    setting = probing.table.variant.setting
    if not setting.state.supply_on:
        return (Before("Lock off, tag and prove dead", LOCK_MINUTES, "once"),)
    if setting.stage is None:
        return ()
    gone_through = stages_of(setting.base, setting.circuit.equipment, setting.state.size)
    earlier = takewhile(lambda stage: stage != setting.stage, gone_through)
    minutes = sum(stage.lasts.hi / 60 for stage in earlier if stage.lasts)
    return (Before(f"Start and wait for {setting.stage.title}", minutes, "attempt"),) if minutes else ()


@dataclass(frozen=True, slots=True)
class Order:
    """The order, and what it costs beside the two habits.

    Attributes:
        lower_bound: Minutes no order can do without; the expected minutes where the order is exact.
        gap: Share by which the order may be off: (expected - bound) / expected.
    """

    probing: Probing
    expected_minutes: float
    walk_minutes: float
    halving_minutes: float
    lower_bound: float
    gap: float
    tree: Tree
    look_first: tuple[Look, ...]

    @property
    def advice(self) -> str:
        """One line on whether the order is worth following."""
        if self.walk_minutes - self.expected_minutes < WORTHWHILE:
            return "Walk along the strip: another order saves less than two minutes."
        return "Follow the order: it saves " + _minutes(self.walk_minutes - self.expected_minutes) + "."

    def to_json(self) -> dict[str, object]:
        """Return the JSON object of ``kbgen order``, without version and edition."""
        setting = self.probing.table.variant.setting
        return {
            "circuit": setting.circuit_id,
            "size": setting.state.size or None,
            "stage": setting.state.stage or None,
            "state": setting.state.to_json(),
            "expected_minutes": round(self.expected_minutes, 2),
            "walk_minutes": round(self.walk_minutes, 2),
            "halving_minutes": round(self.halving_minutes, 2),
            "lower_bound": round(self.lower_bound, 2),
            "gap": round(self.gap, 4),
            "advice": self.advice,
            "before": [step.to_json() for step in before(self.probing)],
            "gates": [_gate(setup) for setup in self.probing.setups if setup.gate],
            "look_first": [look.to_json() for look in self.look_first],
            "shares": shares(self.probing),
            "tree": tree_json(self.probing, self.tree),
        }


def order(base: KnowledgeBase, circuit_id: str, state: State | None = None) -> Order:
    """Work out the order of tests.

    Raises:
        UnknownName: The circuit or a name in the state does not exist.
    """
    return make_order(prepare(readings(base, circuit_id, state, pairs=False)))


def make_order(probing: Probing) -> Order:
    """Work out the order of the tests a circuit allows."""
    task = probing.task
    solution = probing.solved()
    tree = grow(task, solution.policy)
    minutes = expected(task, tree)
    total = sum(task.weights)
    bound = min(minutes, solution.lower_bound / total) if total else 0.0
    return Order(
        probing=probing,
        expected_minutes=minutes,
        walk_minutes=expected(task, grow(task, walking(task))),
        halving_minutes=expected(task, grow(task, halving(task))),
        lower_bound=bound,
        gap=(minutes - bound) / minutes if minutes else 0.0,
        tree=tree,
        look_first=_look_first(probing),
    )


def shares(probing: Probing) -> list[dict[str, object]]:
    """Return how much each fault is suspected before any reading, with the field notes behind it."""
    suspicion: Suspicion = probing.suspicion
    total = sum(suspicion.weights)
    rows = [
        {**fault.to_json(), "share": round(weight / total, 4), "notes": notes}
        for fault, weight, notes, hidden in zip(
            probing.table.faults, suspicion.weights, suspicion.notes, suspicion.hidden, strict=True
        )
        if not hidden
    ]
    return sorted(rows, key=lambda row: -float(str(row["share"])))


def over_at(probing: Probing, test: Probe, opened: int = 0) -> tuple[Probing, Tree] | None:
    """Return what follows where a test reads more than a made string leaves there; see ``Probing.above``."""
    above = probing.above(test)
    return (above, grow(above.task, above.solved().policy, opened=opened)) if above else None


def tree_json(probing: Probing, tree: Tree, opened: int = 0) -> dict[str, object]:
    """Return a tree as plain data: a test with its outcomes, or the faults that are left."""
    if isinstance(tree, Leaf):
        rows = [f for h, group in enumerate(probing.groups) if tree.hypotheses >> h & 1 for f in group]
        return {"faults": [probing.table.faults[row].id for row in rows], **_apart(probing, rows)}
    test = probing.task.tests[tree.test]
    opened |= probing.task.needs[tree.test]
    outcomes: dict[str, object] = {word: tree_json(probing, sub, opened) for word, sub in _spoken(tree)}
    if not (test.device or test.meter != HIGH_Z or "some" in outcomes):
        outcomes["some"] = _repeat(probing, test)
    if "over" not in outcomes and (above := over_at(probing, test, opened)):
        outcomes["over"] = tree_json(*above, opened)
    return {
        "test": test.name,
        "kind": "device" if test.device else "point",
        "meter": test.meter,
        "minutes": round(tree.minutes, 2),
        "outcomes": outcomes,
    }


def _spoken(node: Node) -> list[tuple[str, Tree]]:
    return sorted(
        node.outcomes, key=lambda pair: ("full", "none", "some", "over", "open", "closed").index(pair[0])
    )


def _repeat(probing: Probing, test: Probe) -> dict[str, object]:
    """A middle reading decides nothing until it is repeated in low impedance to the return."""
    table = probing.table
    column = table.points.index(test.name)
    middle = [table.faults[row].id for row in probing.unclear if table.words[ROW[LOW_Z], row, column] & SOME]
    return {
        "test": test.name,
        "kind": "point",
        "meter": LOW_Z,
        "minutes": round(test.minutes, 2),
        "outcomes": {"full": {"as": "full"}, "none": {"as": "none"}, "some": {"faults": middle}},
    }


def _apart(probing: Probing, rows: list[int]) -> dict[str, object]:
    """Return the reading across a contact that tells it from its wiring, if one does."""
    found = device_to_read(probing, rows)
    if found is None:
        return {}
    label, split = found
    ids = {word: [probing.table.faults[row].id for row in part] for word, part in split.items()}
    test = probing.across[label]
    return {
        "then": {
            "test": label,
            "kind": "device",
            "meter": HIGH_Z,
            "minutes": round(test.minutes, 2),
            "outcomes": {word: {"faults": faults} for word, faults in ids.items()},
        }
    }


def device_to_read(probing: Probing, rows: list[int]) -> tuple[str, dict[str, list[int]]] | None:
    """Return the contact whose reading across splits faults that the points cannot tell apart."""
    table = probing.table
    for label in dict.fromkeys(
        w for row in rows if table.faults[row].kind == "open" for w in table.faults[row].where
    ):
        port = len(table.points) + table.devices.index(label)
        split: dict[str, list[int]] = {}
        for row in rows:
            word = probing.word_of(port, row)
            name = WORDS.get(word or SOME, "some")
            split.setdefault(name, []).append(row)
        if len(split) > 1:
            return label, split
    return None


def _look_first(probing: Probing) -> tuple[Look, ...]:
    """List what can be seen without a meter, the likeliest for its minutes first."""
    table = probing.table
    travel = {setup.id: setup.minutes for setup in probing.setups if setup.kind == "place"}
    looks: list[tuple[float, Look]] = []
    for row, fault in enumerate(table.faults):
        if fault.kind != "open" or probing.suspicion.hidden[row]:
            continue
        device = table.variant.device(fault.where[0])
        if device is None:
            continue
        seen = [device.remembers] if device.remembers else []
        if device.independent_check:
            seen.append(f"{device.independent_check.with_}: {device.independent_check.real}?")
        minutes = LOOK_MINUTES + travel.get(device.place, 0.0)
        weight, notes = probing.suspicion.weights[row], probing.suspicion.notes[row]
        looks += [
            (weight / minutes, Look(device_of(fault.where[0]), s, device.place, minutes, notes)) for s in seen
        ]
    return tuple(look for _, look in sorted(looks, key=lambda pair: -pair[0]))


def _gate(setup: Setup) -> dict[str, str]:
    return {"place": setup.id, "needs": setup.gate}


def _minutes(value: float) -> str:
    return f"{value:.0f} min"
