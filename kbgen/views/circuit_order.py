"""The order of tests as numbered lines a person can follow."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kbgen.compute.circuit.meter import LOW_Z
from kbgen.compute.circuit.order import Order, before, over_at
from kbgen.compute.circuit.plan import Leaf, Node, Probe, Tree
from kbgen.compute.circuit.probing import Probing
from kbgen.compute.circuit.reading import supply_mark
from kbgen.compute.circuit.suspicion import Suspicion
from kbgen.link.base import KnowledgeBase
from kbgen.ref import Kind, Ref
from kbgen.views.blocks import Block, Facts, Goto, Item, Items, Line, Mark, Plain
from kbgen.views.circuit_words import OUTCOMES, contact_name, fault_name, listed, ours, stage_line, where_is
from kbgen.views.compose import fact, facts, plain

SHORT = 8
"""Lines of the short list."""
_LOOKS = 6
_NAMED = 2
MIDDLE = (
    "Some decides nothing: repeat it at the same point in low impedance, to the return. None decides only "
    "while the supply reads full. Over, where no line leads on: hands and leads out. Before a part is changed, "
    "read once more another way."
)

ALL_MADE = "all made as far as read; look for wires that do not belong"
ON = "go on point by point"


def order_blocks(base: KnowledgeBase, order: Order) -> tuple[Block | None, ...]:
    """Put the short list of a circuit together, with what it costs beside walking and halving."""
    return (costs(order), numbered_tests(base, order, SHORT), Items((Item(plain(MIDDLE)),)))


def costs(order: Order) -> Facts | None:
    """Say the minutes of the order beside the two habits, and what comes on top of them."""
    gap = f" It may be off by {order.gap:.0%}; no order takes less than {order.lower_bound:.1f} min."
    steps = before(order.probing)
    gates = [f"{setup.title}: {setup.gate}" for setup in order.probing.setups if setup.gate]
    return facts(
        fact("Stage", stage_line(order.probing.table)),
        fact("In this order", f"{order.expected_minutes:.1f} min expected"),
        fact("Along the strip", f"{order.walk_minutes:.1f} min"),
        fact("By halving", f"{order.halving_minutes:.1f} min"),
        fact("So", order.advice + (gap if order.gap > 0 else "")),
        fact("Comes first", *[f"{s.what}, {s.minutes:.0f} min each {s.each}" for s in steps]),
        fact("Mind", *gates),
    )


def numbered_tests(base: KnowledgeBase, order: Order, most: int | None = None) -> Items | None:
    """Return the tests as numbered lines that name each other; with ``most`` only the likeliest."""
    rows = order_lines(base, order, most)
    return (
        Items(tuple(Item(_test_line(base, order.probing, row)) for row in rows), ordered=True)
        if rows
        else None
    )


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One test of an order, and what each outcome leads to, in words."""

    test: Probe
    then: tuple[tuple[str, str], ...]
    over: str


def order_lines(base: KnowledgeBase, order: Order, most: int | None = None) -> tuple[OrderLine, ...]:
    """Return the tests in their order; with ``most`` only the likeliest."""
    if isinstance(order.tree, Leaf):
        return ()
    probing = order.probing
    nodes = list(_nodes(order.tree))
    shown = nodes
    if most is not None and len(nodes) > most:
        # A test is at least as likely to be reached as those behind it, so the likeliest hang together.
        ranked = sorted(range(len(nodes)), key=lambda k: (-_weight(probing, nodes[k]), k))
        shown = [nodes[k] for k in sorted(ranked[:most])]
    number = {id(node): k for k, node in enumerate(shown, start=1)}
    return tuple(
        OrderLine(
            probing.task.tests[node.test],
            tuple((outcome, _then(base, probing, below, number)) for outcome, below in _in_turn(node)),
            _over(base, *above) if (above := over_at(probing, probing.task.tests[node.test])) else "",
        )
        for node in shown
    )


def _nodes(tree: Tree) -> Iterator[Node]:
    if isinstance(tree, Node):
        yield tree
        for _, below in _in_turn(tree):
            yield from _nodes(below)


def _in_turn(node: Node) -> list[tuple[str, Tree]]:
    return sorted(node.outcomes, key=lambda pair: list(OUTCOMES).index(pair[0]))


def _hypotheses(tree: Tree) -> int:
    if isinstance(tree, Leaf):
        return tree.hypotheses
    bits = 0
    for _, below in tree.outcomes:
        bits |= _hypotheses(below)
    return bits


def _weight(probing: Probing, tree: Tree) -> float:
    return probing.task.weight(_hypotheses(tree))


def _test_line(base: KnowledgeBase, probing: Probing, row: OrderLine) -> Line:
    test = row.test
    line: list[Plain | Mark | Goto] = []
    if test.device:
        line.append(Plain(f"Read {_name(base, test)}"))
    else:
        line += [Plain("Read "), Mark(test.name)]
        place = where_is(probing.table, test.name)
        line.append(Plain(f" ({place})" if place else ""))
    line.append(Plain((", low impedance" if test.meter == LOW_Z else "") + "."))
    line += [Plain(f" {OUTCOMES[outcome].capitalize()} → {then}.") for outcome, then in row.then]
    if row.over:
        line.append(Plain(f" Over → {row.over}."))
    return tuple(line)


def _name(base: KnowledgeBase, test: Probe) -> str:
    return f"across {contact_name(base, test.name)}" if test.device else test.name


def _then(base: KnowledgeBase, probing: Probing, tree: Tree, number: dict[int, int]) -> str:
    if isinstance(tree, Node):
        return f"line {number[id(tree)]}" if id(tree) in number else ON
    return left_words(base, probing, tree)


def left_words(base: KnowledgeBase, probing: Probing, leaf: Leaf) -> str:
    """Name what is left at the end of the tests, the likeliest first."""
    if any(0 in group for h, group in enumerate(probing.groups) if leaf.hypotheses >> h & 1):
        return ALL_MADE
    return _any_of(base, probing, leaf.hypotheses)


def _over(base: KnowledgeBase, probing: Probing, tree: Tree) -> str:
    """Name what an open string leaves standing before it, and where that is told apart."""
    names = _any_of(base, probing, _hypotheses(tree))
    return names if isinstance(tree, Leaf) else f"{names}; read {_name(base, probing.task.tests[tree.test])}"


def _any_of(base: KnowledgeBase, probing: Probing, hypotheses: int) -> str:
    weights = probing.suspicion.weights
    rows = [row for h, group in enumerate(probing.groups) if hypotheses >> h & 1 for row in group]
    rows.sort(key=lambda row: (-weights[row], row))
    return listed([fault_name(base, probing.table.faults[row], ours(probing.table)) for row in rows], _NAMED)


def first_points(order: Order, most: int) -> tuple[str, ...]:
    """Return the first tests along the likeliest way through the order, the supply left out."""
    found: list[str] = []
    tree = order.tree
    supply = supply_mark(order.probing.table)
    while isinstance(tree, Node) and len(found) < most:
        name = order.probing.task.tests[tree.test].name
        if name != supply:
            found.append(name)
        tree = max((below for _, below in tree.outcomes), key=lambda t: _weight(order.probing, t))
    return tuple(found)


def likeliest(order: Order, most: int) -> tuple[tuple[int, float, int], ...]:
    """Return the faults to suspect before any reading: index, share, field notes; sound circuits aside.

    The shares are those of ``kbgen order``.
    """
    probing = order.probing
    suspicion: Suspicion = probing.suspicion
    single = [row for row, fault in enumerate(probing.table.faults) if fault.kind != "open-pair"]
    total = sum(suspicion.weights[row] for row in single)
    wrong = [row for row in single if row and not suspicion.hidden[row]]
    wrong.sort(key=lambda row: (-suspicion.weights[row], row))
    return tuple((row, suspicion.weights[row] / total, suspicion.notes[row]) for row in wrong[:most])


def look_lines(base: KnowledgeBase, order: Order) -> Items | None:
    """List what can be looked at before the meter, a device a line, the likeliest for its minutes first."""
    looks: dict[str, list[str]] = {}
    for look in order.look_first:
        looks.setdefault(look.device, []).append(look.look)
    rows = tuple(
        Item((Goto(base.title(Ref(Kind.DEVICE, device)), Ref(Kind.DEVICE, device)), Plain(f": {said[-1]}")))
        for device, said in list(looks.items())[:_LOOKS]
    )
    return Items(rows, ordered=True) if rows else None
