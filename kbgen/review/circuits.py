"""What differs between two versions of a circuit, told from what was worked out: readings, words of the meter, order."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from kbgen.compute.circuit.meter import HIGH_Z, LOW_Z
from kbgen.compute.circuit.plan import Leaf, Node, Tree
from kbgen.compute.circuit.readings import Table
from kbgen.compute.circuit.state import State, UnknownName
from kbgen.compute.circuit.study import Study
from kbgen.link.base import KnowledgeBase
from kbgen.ref import Kind, Ref
from kbgen.review.change import Weight, listed
from kbgen.review.deeds import span, wider_is_worse
from kbgen.store import Store
from kbgen.views.circuit_words import called, fault_name, runs

_SUPPLY, _NONE = "The supply reads", "A point reads none up to"
_MORE, _FEWER = 1, -1
_COUNTS: Mapping[str, int] = {
    _NONE: _MORE,
    "A made contact is bad above": _MORE,
    "The input needs at least": _FEWER,
}
"""Which way a figure must move for more to count as none or made; a point is full from fewer volts."""
_MOST = 6
_FEW = 5

Figures = Mapping[str, str]
"""What is told of a circuit, each figure by what it is, as text."""


@dataclass(frozen=True, slots=True)
class Worked:
    """What was worked out about a circuit of one size.

    Attributes:
        full: From how many volts each point reads full, at the nominal supply.
        figures: The volts that go for the whole circuit, by what they are.
        reads: What the points read with each fault, by its name.
        input: What the controller takes each fault for.
        tests: The tests in the order of the tree.
        looks: What is looked at first.
        gates: What must be so before somebody goes to a place or behind a cover.
        minutes: Minutes expected.
    """

    full: Figures
    figures: Figures
    reads: Figures
    input: Figures
    tests: tuple[str, ...]
    looks: tuple[str, ...]
    gates: Figures
    minutes: str


@dataclass(frozen=True, slots=True)
class Figure:
    """One row of the table of figures.

    Attributes:
        says: How one that is another now is told: ``{what}``, ``{now}`` and ``{was}``.
        gone: The weight of one that is gone.
        new: The weight of one that is new.
        changed: The weight of one that is another.
    """

    says: str
    gone: Weight = Weight.UNDECIDED
    new: Weight = Weight.FIGURE
    changed: Weight = Weight.FIGURE


FIGURES: Mapping[str, Figure] = {
    "full": Figure("{what} full from {now}, was {was}"),
    "figures": Figure("{what} {now}, was {was}"),
    "reads": Figure("With {what}: {now}. It was: {was}"),
    "input": Figure("With {what} the controller takes the string for {now}, was {was}"),
    "gates": Figure(
        "Before {what}: {now}, was {was}", gone=Weight.LESS_SAFE, new=Weight.SAFER, changed=Weight.UNDECIDED
    ),
    "tests": Figure("The order of tests is {now}, was {was}"),
    "looks": Figure("Looked at first: {now}, was {was}"),
}
"""A row for each kind of figure that is compared."""

WAIVED: Mapping[str, str] = {
    "minutes": "minutes hurt nobody; they are told with the order of tests",
}
"""Figures that are not compared by themselves, and why."""
QUIET = frozenset({"tests", "looks"})
"""Figures on which no signature hangs: who tests in another order finds the same."""


def concerns(ref: Ref | None, circuit: Ref, base: KnowledgeBase) -> bool:
    """Return whether a change of an entry may change what is worked out about a circuit."""
    if ref is None or ref == circuit or ref.kind in (Kind.DEVICE, Kind.CIRCUIT):
        return True
    if ref.kind is Kind.EQUIPMENT:
        found = base.circuit(circuit.id)
        return found is not None and found.equipment == ref.id
    return ref.kind is Kind.FIELD_NOTE


def work_out(base: KnowledgeBase, store: Store, circuit: str) -> Mapping[str, Worked]:
    """Work a circuit out in every size of its plant, by the size's title; without sizes by an empty one.

    Raises:
        UnknownName: The circuit is on no plant.
    """
    study = Study(base, store)
    about = base.circuit(circuit)
    plant = base.equipment(about.equipment) if about else None
    if plant is None:
        raise UnknownName("circuit", circuit, ())
    sizes = {size.title: size.id for size in plant.sizes} or {"": ""}
    return {title: _worked(base, study, circuit, size) for title, size in sizes.items()}


def _worked(base: KnowledgeBase, study: Study, circuit: str, size: str) -> Worked:
    studied = study.of(circuit, State(size=size))
    probing, table = studied.probing, studied.probing.table
    bands, back = table.bands, table.network.back
    supply = bands.supply
    shown = [row for row, fault in enumerate(table.faults) if fault.kind != "open-pair" and table.points]
    return Worked(
        full={
            mark: f"{bands.full(HIGH_Z, port, bands.volts[1])[0]:.0f} V"
            for port, mark in enumerate(table.points)
            if mark != back
        },
        figures={
            _SUPPLY: f"{supply[0]:.0f} V to {supply[1]:.0f} V",
            _NONE: f"{bands.none_to:g} V",
            "A made contact is bad above": f"{bands.bad_contact:g} V",
            "The input needs at least": f"{bands.least_full:g} V",
        },
        reads={fault_name(base, table.faults[row]): _read(table, row) for row in shown},
        input={fault_name(base, table.faults[row]): table.made[row] for row in shown if table.made},
        tests=tuple(dict.fromkeys(probing.task.tests[node.test].name for node in _nodes(studied.order.tree))),
        looks=tuple(
            dict.fromkeys(base.title(Ref(Kind.DEVICE, look.device)) for look in studied.order.look_first)
        ),
        gates={setup.title: setup.gate for setup in probing.setups if setup.gate},
        minutes=f"{studied.order.expected_minutes:.0f} min",
    )


def _read(table: Table, row: int) -> str:
    high, low = (called(table, mode, row) for mode in (HIGH_Z, LOW_Z))
    said = runs(table, high)
    return said if high == low else f"{said}; in low impedance {runs(table, low)}"


def _nodes(tree: Tree) -> Iterator[Node]:
    if not isinstance(tree, Leaf):
        yield tree
        for _, below in tree.outcomes:
            yield from _nodes(below)


def differences(
    before: Mapping[str, Worked], after: Mapping[str, Worked]
) -> Iterator[tuple[str, Weight, str]]:
    """Yield what differs: the kind of figure, its weight, one sentence; what goes for every size once."""
    found: dict[tuple[str, Weight, str], list[str]] = defaultdict(list)
    both = [size for size in after if size in before]
    for size in both:
        for each in _of_size(before[size], after[size]):
            found[each].append(size)
    for (kind, weight, said), sizes in found.items():
        where = "" if len(sizes) == len(both) else f" ({', '.join(sizes)})"
        yield kind, weight, f"{said}{where}"


def _of_size(before: Worked, after: Worked) -> Iterator[tuple[str, Weight, str]]:
    moved = _moved(before.figures.get(_SUPPLY, ""), after.figures.get(_SUPPLY, ""))
    for kind in ("full", "figures", "reads", "input", "gates"):
        yield from _figures(kind, getattr(before, kind), getattr(after, kind), moved)
    for kind in ("tests", "looks"):
        was, now = getattr(before, kind), getattr(after, kind)
        if was != now:
            row = FIGURES[kind]
            times = f" ({after.minutes} expected, was {before.minutes})" if kind == "tests" else ""
            said = row.says.format(now=_begins(now, was), was=_begins(was, now))
            yield kind, row.changed, said + times


def _begins(names: tuple[str, ...], other: tuple[str, ...]) -> str:
    """Say an order as far as it is another; where something came or went, that alone."""
    if set(names) != set(other):
        return listed([each for each in names if each not in other], _FEW) or "none of these"
    same = next((k for k, pair in enumerate(zip(names, other, strict=False)) if pair[0] != pair[1]), 0)
    start = max(0, same - 1)
    return ("… " if start else "") + listed(names[start:], _FEW) if names else "none"


def _moved(was: str, now: str) -> bool:
    """Return whether the supply is another one: neither holds all that the other held."""
    return was != now and Weight.LESS_SAFE not in (wider_is_worse(was, now), wider_is_worse(now, was))


def _weighed(kind: str, what: str, was: str, now: str, moved: bool) -> Weight:
    """Weigh a figure that is another: what makes more count as full, made or none lets a fault pass."""
    if what == _SUPPLY:
        return wider_is_worse(was, now)
    way = _FEWER if kind == "full" else _COUNTS.get(what, 0) if kind == "figures" else 0
    # From where full and none begin follows the supply; with another one they are neither looser nor tighter.
    if not way or (moved and (kind == "full" or what == _NONE)):
        return FIGURES[kind].changed
    one, other = span(was), span(now)
    more = one is not None and other is not None and (other[0] - one[0]) * way > 0
    return Weight.LESS_SAFE if more else FIGURES[kind].changed


def _figures(kind: str, before: Figures, after: Figures, moved: bool) -> Iterator[tuple[str, Weight, str]]:
    row = FIGURES[kind]
    changed: dict[tuple[str, str], list[str]] = defaultdict(list)
    for what, was in before.items():
        if what in after and after[what] != was:
            changed[after[what], was].append(what)
    for number, ((now, was), alike) in enumerate(changed.items()):
        if kind == "reads" and number == _MOST:
            rest = len([each for group in changed.values() for each in group]) - number
            yield kind, row.changed, f"With {rest} more faults the points read otherwise than before"
            break
        names = listed(alike, _FEW)
        verb = " is" if kind == "full" and len(alike) == 1 else " are" if kind == "full" else ""
        weight = _weighed(kind, alike[0], was, now, moved)
        yield kind, weight, row.says.format(what=names + verb, now=now, was=was)
    for one, other, weight, how in ((before, after, row.gone, "no longer"), (after, before, row.new, "now")):
        others = [what for what in one if what not in other]
        # What the controller takes a fault for comes and goes with what the points read.
        if others and kind != "input":
            yield kind, weight, f"{_ABOUT[kind]} {how} told: {listed(others, _MOST)}"


_ABOUT = {
    "full": "From where a point is full is",
    "figures": "A figure is",
    "reads": "What the points read with a fault is",
    "gates": "What must be so before somebody goes there is",
}
