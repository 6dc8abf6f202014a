"""What a tablet needs to lead through a page one step at a time: nodes, ways between them, what stands at each.

A node is a step in exactly one state. What stands at it is counted to the dangerous side: what takes energy away or
proves something counts once its step is confirmed, what brings energy back or changes the plant from the moment its
step is shown. So every node holds what is so before its step and after each of its answers.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from kbgen.compute.walk import state as s
from kbgen.compute.walk.arriving import arrived, touched
from kbgen.compute.walk.explore import CANNOT, Node, explore
from kbgen.compute.walk.graph import make_graph
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.result import Arrival
from kbgen.compute.walk.start import start
from kbgen.compute.walk.state import Fact, State

CANNOT_BE, NO_MORE = -1, -2
"""In place of the node a way leads to: what was done denies the answer; it was taken as often as it may be."""

PROOFS = (s.PROVED, s.TRIED, s.SEEN_GONE)
"""Proofs; after a break nobody knows whether they still hold."""
HOLDS = (s.LOCKED, s.OFF, s.SHUT, s.GUARDED)
"""What keeps energy away and can be looked at."""
CHANGES = (s.CLIPPED, s.FITTED, s.COVER, s.UNSEEN, s.OPENING)
"""What was changed on the plant and is still to undo."""
OUTSTANDING = (
    s.OWED,
    s.UNTESTED,
    s.LEAKS,
    s.MOVED,
    s.RESET,
    s.CYCLE_OWED,
    s.ANALYSER_OWED,
    s.GAS_OWED,
    s.UNNOTED,
)
"""What must follow sooner or later."""
UNDER_WAY = "under way "
"""Before the kind of what holds: its step is shown, and nobody has said yet that it is done."""
MAY_BE_LIVE = "may be live"


@dataclass(frozen=True, slots=True)
class Place:
    """One node.

    Attributes:
        step: Index of the step.
        holds: What stands there, counted to the dangerous side; alterations and leads by the step that made them.
        ways: For each answer of the step, or its one way on, the index of the node it leads to, ``CANNOT_BE`` or
            ``NO_MORE``.
    """

    step: int
    holds: frozenset[Fact]
    ways: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Nodes:
    """The nodes of a page.

    Attributes:
        places: The first is where the page begins.
        needs: What must be so where it begins; that the evidence is noted, its page done before says.
        brings: Of each step that ends the page, what the next page may rely on.
        left: How many steps may remain at each node.
    """

    places: tuple[Place, ...]
    needs: frozenset[Fact]
    brings: Mapping[int, frozenset[Fact]]
    left: tuple[int, ...]


def make_nodes(plant: Plant, arrival: Arrival) -> Nodes:
    """Return the nodes of a page.

    Args:
        arrival: What the pages before it leave.

    Raises:
        ValueError: The walk does not cover the page, so that there is nothing to go by.
    """
    graph = make_graph(plant.procedure, plant.name)
    explored = explore(plant, graph, arrival=touched(plant.procedure, arrival))
    if explored.violations or not explored.complete:
        raise ValueError(f"{plant.name} is not safe to be led through")
    ways = explored.ways
    stand = {node: _stands(plant, s.at_least(node[1])) for node in ways}
    shown = {node: _worst(stand, node, ways[node]) for node in ways}
    places = _folded(list(ways), ways, shown)
    brings: dict[int, frozenset[Fact]] = {}
    for out in explored.exits:
        before = brings.get(out.step)
        now = frozenset(fact for fact in out.brings if fact[0] in _BROUGHT)
        brings[out.step] = now if before is None else before & now
    first = start(plant, arrived(arrival.brings, plant.name))
    needs = frozenset(fact for fact in first if fact[0] in _BROUGHT)
    return Nodes(places, needs, brings, _left(places))


_BROUGHT = (s.OFF, s.LOCKED, s.PROVED, s.TRIED, s.SEEN_GONE, s.IDENTIFIED, s.DANGER_ASKED)


def _stands(plant: Plant, state: State) -> frozenset[Fact]:
    """Return what of a state stands on the tablet."""
    kept = (*PROOFS, *HOLDS, *CHANGES, *OUTSTANDING)
    found = {fact for fact in state if fact[0] in kept}
    live = {name for name, source in plant.sources.items() if source.electric and (s.OFF, name) not in state}
    return frozenset(found | s.facts(MAY_BE_LIVE, live))


def _worst(stand: Mapping[Node, frozenset[Fact]], node: Node, ways: Iterable[Node | str]) -> frozenset[Fact]:
    """Join what is so before a step with what is so after each of its answers, to the dangerous side."""
    each = [stand[node], *(stand[to] for to in ways if not isinstance(to, str))]
    always, ever = frozenset.intersection(*each), frozenset.union(*each)
    good = (*PROOFS, *HOLDS)
    under_way = {
        (UNDER_WAY + kind, name)
        for kind, name in ever - always
        if kind in (s.LOCKED, s.OFF, s.SHUT) and ((s.LOCKED, name) not in always)
    }
    return frozenset(
        {fact for fact in always if fact[0] in good} | {f for f in ever if f[0] not in good} | under_way
    )


def _folded(
    nodes: Sequence[Node],
    ways: Mapping[Node, Sequence[Node | str]],
    shown: Mapping[Node, frozenset[Fact]],
) -> tuple[Place, ...]:
    """Put nodes together that show the same now and wherever they lead to."""
    classes = _numbered({node: (node[0], shown[node]) for node in nodes})
    count = 0
    while count < (count := len(set(classes.values()))):
        classes = _numbered({node: (classes[node], _onward(ways[node], classes)) for node in nodes})
    first: dict[int, Node] = {}
    for node in nodes:
        first.setdefault(classes[node], node)
    index = {which: number for number, which in enumerate(first)}
    return tuple(
        Place(node[0], shown[node], tuple(index.get(to, to) for to in _onward(ways[node], classes)))
        for node in first.values()
    )


def _onward(ways: Sequence[Node | str], classes: Mapping[Node, int]) -> tuple[int, ...]:
    return tuple(_reason(to) if isinstance(to, str) else classes[to] for to in ways)


def _numbered(keys: Mapping[Node, Hashable]) -> dict[Node, int]:
    numbers: dict[Hashable, int] = {}
    return {node: numbers.setdefault(key, len(numbers)) for node, key in keys.items()}


def _reason(why: str) -> int:
    return CANNOT_BE if why == CANNOT else NO_MORE


def _left(places: Sequence[Place]) -> tuple[int, ...]:
    """Return how many steps may remain at each node, without going round a loop."""
    depth = {0: 0}
    order = [0]
    for at in order:
        for to in places[at].ways:
            if to >= 0 and to not in depth:
                depth[to] = depth[at] + 1
                order.append(to)
    left = [1] * len(places)
    for at in reversed(order):
        onward = [left[to] for to in places[at].ways if to >= 0 and depth[to] > depth[at]]
        left[at] = 1 + max(onward, default=0)
    return tuple(left)
