"""Look at every step in every state it can be reached in, nearest first."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from kbgen.compute.walk.arriving import (
    answered_for,
    answering,
    arrived,
    believed,
    brought,
    handed,
    left,
    left_standing,
    owed_by,
)
from kbgen.compute.walk.bits import Bits, Pair, Reached
from kbgen.compute.walk.effects import becomes
from kbgen.compute.walk.finding import Finding
from kbgen.compute.walk.going_on import NEXT_NOT_READY
from kbgen.compute.walk.graph import Edge, Graph, make_graph
from kbgen.compute.walk.hazard import LEAVING, LOTO
from kbgen.compute.walk.judge import judged
from kbgen.compute.walk.left_by_others import asked, by_others, claimed_away, never_given, told
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.result import AS_FOUND, Arrival, Exit, Turn, Violation
from kbgen.compute.walk.start import start
from kbgen.compute.walk.state import (
    ANOTHERS,
    MOVED,
    NOTHING,
    STANDS,
    TAKEN,
    TRIES,
    Fact,
    State,
    at_least,
    at_most,
    between,
    count,
    once_more,
    without,
)
from kbgen.link.kept import remembered
from kbgen.model.action import AnyAction, End, HandOver, Reset, StartDemand
from kbgen.model.answers import Answer
from kbgen.model.procedure import Procedure
from kbgen.rule import Rule

MOST_STATES = 10_000
"""A procedure with more states than this cannot be followed by a person either; it is refused."""

Node = tuple[int, State]
"""A step, and the state it is reached in."""
CANNOT, USED_UP = "cannot be", "used up"
"""Why a way is not taken: what was done denies the answer, or it was taken as often as it may be."""
_Node = tuple[int, int, int]
"""The same while it is looked for: a step, what is so for certain, and what may be so with it."""


@dataclass(frozen=True)
class Explored:
    """What the exploration found.

    Attributes:
        violations: By step, then rule.
        states: For each step, the states in which it is reached, in the order they were found.
        exits: Every way out.
        complete: Whether every state was looked at.
        changes: What each step changes; see ``rests``.
        led: Where each step leads in each state, one for each way of the graph; see ``ways``.
    """

    violations: tuple[Violation, ...]
    states: tuple[Reached, ...]
    exits: tuple[Exit, ...]
    complete: bool
    changes: Mapping[int, set[Fact]]
    led: Mapping[_Node, list[_Node | str]]

    @cached_property
    def ways(self) -> Mapping[Node, list[Node | str]]:
        """Where each step leads in each state: the node it leads to, or why it cannot be taken."""
        bits = self.states[0].bits
        named = {node: (node[0], between(bits.state(node[1]), bits.state(node[2]))) for node in self.led}
        return {
            named[node]: [to if isinstance(to, str) else named[to] for to in ways]
            for node, ways in self.led.items()
        }


@dataclass(slots=True)
class _Way:
    """A way of the graph.

    Attributes:
        name: What it is counted by.
        most: How often it may be taken; ``None`` where nobody counts.
    """

    edge: Edge
    answer: Answer | None
    name: str
    most: int | None


@dataclass(slots=True)
class _Search:
    """One exploration under way."""

    plant: Plant
    bits: Bits
    came: dict[_Node, tuple[_Node, Edge] | None]
    found: dict[tuple[Rule, object], tuple[Finding, _Node]]
    reached: list[list[Pair]]
    exits: list[Exit]
    ways: list[list[_Way]]
    begins: State
    owed: State
    others: list[tuple[_Node, list[Fact]]]
    given: dict[tuple[int, int], tuple[_Node, list[bool]]]
    changes: defaultdict[int, int]
    led: dict[_Node, list[_Node | str]]

    def state(self, node: _Node) -> State:
        """Return the state of a node."""
        return between(self.bits.state(node[1]), self.bits.state(node[2]))


def _counted(plant: Plant, graph: Graph) -> dict[tuple[int, int], int]:
    """Return the ways back to one more start, and how often each is taken; without a limit as often as the shop lets."""
    most = plant.base.shop.most_starts - 1
    starts = [
        i for i, step in enumerate(plant.procedure.steps) if isinstance(step.action, StartDemand | Reset)
    ]
    ways = [
        (index, number, edge)
        for index, edges in enumerate(graph.edges)
        for number, edge in enumerate(edges)
        if edge.at_most or (edge.answer is not None and edge.target <= index)
    ]
    found = {}
    for index, number, edge in ways if starts else ():
        before = graph.leading_to([index])
        if any(start in before and edge.target in graph.leading_to([start]) for start in starts):
            found[index, number] = edge.at_most if 0 < edge.at_most <= most + 1 else most
    return found


def _ways(plant: Plant, graph: Graph) -> list[list[_Way]]:
    """Return the ways of a graph, by step."""
    counted = _counted(plant, graph)
    return [
        [
            _Way(
                edge,
                None if edge.answer is None else plant.answers[index][edge.answer],
                f"{index}.{number}",
                counted.get((index, number)),
            )
            for number, edge in enumerate(edges)
        ]
        for index, edges in enumerate(graph.edges)
    ]


def explore(plant: Plant, graph: Graph, begin: Node | None = None, arrival: Arrival = AS_FOUND) -> Explored:
    """Explore a procedure from its first step, or from a step and the state it is reached in.

    Args:
        arrival: What the pages before it leave.
    """
    owed = owed_by(arrival.brings)
    first = start(plant, arrival.brings - owed)
    index, state = begin or (0, between(first, first | arrived(arrival.finds, plant.name)))
    bits = plant.bits
    node = (index, bits.of(at_least(state)), bits.of(at_most(state)))
    search = _Search(
        plant=plant,
        bits=bits,
        came={node: None},
        found={},
        reached=[[] for _ in plant.procedure.steps],
        exits=[],
        ways=_ways(plant, graph),
        begins=first,
        owed=arrived(owed, plant.name),
        others=[],
        given={},
        changes=defaultdict(int),
        led={},
    )
    waiting = deque([node])
    while waiting and len(search.came) < MOST_STATES:
        waiting += _taken(search, waiting.popleft())
    _of_claims(search)
    if not plant.alone:
        _sent_into_the_middle(search)
    needed = _starts_needed(plant, search.found.values())
    violations = [
        _violation(plant, search.came, finding, node)
        for finding, node in search.found.values()
        if finding.rule is not NEXT_NOT_READY or finding.about in needed
    ]
    return Explored(
        violations=tuple(sorted(violations, key=lambda each: (each.step, each.rule.name, each.message))),
        states=tuple(Reached(bits, pairs) for pairs in search.reached),
        exits=tuple(dict.fromkeys(search.exits)),
        complete=not waiting,
        changes={step: set(bits.state(changed)) for step, changed in search.changes.items()},
        led=search.led,
    )


def _taken(search: _Search, node: _Node) -> Iterator[_Node]:
    """Take a step in a state: judge it, and yield where it leads that was not seen yet."""
    plant, bits, (index, low, high) = search.plant, search.bits, node
    action = plant.procedure.steps[index].action
    search.reached[index].append((low, high))
    for finding in judged(plant, low, index):
        # Breadth first: the first time a rule is broken is the shortest way to break it.
        search.found.setdefault((finding.rule, finding.about), (finding, node))
        # From here on the walk takes it as mended, so that consequences are not listed beside their cause.
        cleared, granted = ~bits.of(finding.clears), bits.of(finding.grants)
        low, high = low & cleared | granted, high & cleared | granted
    if low != high:
        facts = _of_others(search, index, low, high)
        if facts:
            search.others.append((node, facts))
            high = bits.of(asked(bits.state(low), bits.state(high), facts))
    if isinstance(action, End | HandOver) and not (isinstance(action, HandOver) and search.ways[index]):
        search.exits.append(_exit(search, index, action, bits.state(low), bits.state(high)))
    if low != high:
        now = bits.of(answered_for(plant, action))
        low, high = low | now, high | now
    led = search.led[node] = []
    for way in search.ways[index]:
        edge, answer = way.edge, way.answer
        if way.most is not None and count(_taken_before(bits, low), TAKEN, way.name) >= way.most:
            led.append(USED_UP)
            continue
        least = becomes(plant, low, index, edge.answer)
        most = least if low == high else becomes(plant, high, index, edge.answer)
        if answer is not None and (answer.claims or answer.are_on):
            following = _believed(search, node, way, least, most)
            if following is None:
                led.append(CANNOT)
                continue
            least, most = following
        search.changes[index] |= least ^ low | most ^ high
        if way.most is not None:
            once = bits.of(once_more(_taken_before(bits, low), TAKEN, way.name, way.most))
            least, most = least | once, most | once
        target = (edge.target, least, least | most)
        led.append(target)
        if target not in search.came:
            search.came[target] = (node, edge)
            yield target


def _taken_before(bits: Bits, state: int) -> State:
    """Return how often each way was taken, of a state."""
    return bits.state(state & bits.kinds[TAKEN])


def _of_others(search: _Search, index: int, low: int, high: int) -> list[Fact]:
    """Return what a step must not be taken with and only earlier pages may have left."""
    plant, bits = search.plant, search.bits
    action = plant.procedure.steps[index].action
    held = high
    if isinstance(action, End | HandOver):
        held = bits.of(_answered(plant, action, bits.state(low), bits.state(high)))
    if not judged(plant, held, index):
        return []
    return by_others(plant, index, bits.state(low), bits.state(held))


def _believed(search: _Search, node: _Node, way: _Way, least: int, most: int) -> tuple[int, int] | None:
    """Return what is and what may be so after an answer that claims something; ``None`` where it cannot be given truthfully."""
    plant, bits, answer, index = search.plant, search.bits, way.answer, node[0]
    for finding in claimed_away(plant, index, answer, bits.state(least) - search.begins):
        search.found.setdefault((finding.rule, finding.about), (finding, node))
    following = believed(plant, bits.state(least), bits.state(most), answer, search.begins, search.owed)
    if answer is not None and answer.claims:
        given = search.given.setdefault((index, way.edge.answer or 0), (node, []))
        given[1].append(following is not None)
    return following and (bits.of(following[0]), bits.of(following[1]))


def _answered(plant: Plant, action: AnyAction | None, low: State, high: State) -> State:
    """Return what a step is held to: an end that leaves the plant to somebody else, to what is its own."""
    if isinstance(action, HandOver) or (isinstance(action, End) and action.end != "returned-to-service"):
        held = answering(plant, low, high)
        # A limit that others moved goes on to whoever calls the plant ready; only plant left running is held to it.
        runs = isinstance(action, End) and action.end == "not-reproduced"
        return held if runs else held - {fact for fact in held - low if fact[0] == MOVED}
    return high


def _of_claims(search: _Search) -> None:
    """Say once what others may have left, and which answers can be given on no way."""
    for (index, answer), (node, given) in search.given.items():
        if not any(given):
            finding = never_given(index, search.plant.answers[index][answer])
            search.found.setdefault((finding.rule, finding.about), (finding, node))
    if search.others:
        node, _ = search.others[0]
        every = {fact for _, facts in search.others for fact in facts}
        finding = told(search.plant, node[0], every, search.owed)
        search.found[(finding.rule, finding.about)] = (finding, node)


def _exit(search: _Search, index: int, action: End | HandOver, low: State, high: State) -> Exit:
    plant = search.plant
    end = action.end if isinstance(action, End) else "handed-over"
    if isinstance(action, HandOver):
        low, high = left_standing(plant, low), left_standing(plant, high)
    else:
        # Who breaks off or goes on alone takes nobody's place; only a hand-over sends a second person.
        low, high = without(low, STANDS), without(high, STANDS)
    behind = NOTHING if end == "returned-to-service" else left(high, plant)
    if end not in ("found", "not-reproduced") or not action.next:
        behind = without(behind, TRIES)  # the visit is over
    if (ANOTHERS, "") in low and not action.next:
        end = ANOTHERS  # the job was not begun: it was not this plant
    brings = brought(plant, low, high, search.owed, to_another=isinstance(action, HandOver))
    return Exit(index, end, action.next, behind, brings)


SENT_INTO_THE_MIDDLE = LEAVING.on(LOTO).hazard(
    "sent-into-the-middle",
    "The colleague begins where the page takes for done what nobody did.",
    "hand_over: Electrician\nnext: make-safe\nnext_step: prove-control",
    "hand_over: Electrician\nnext: make-safe\nnext_step: identify",
    rests_on="`starts` of the page and the step a hand-over names.",
)


def _sent_into_the_middle(search: _Search) -> None:
    """Find hand-overs to a step of another page whose earlier steps would have been needed.

    The colleague finds the plant as it is left; the page is walked on from there, and what that leaves is
    left by this one.
    """
    plant = search.plant
    told: set[int] = set()
    for index, step in enumerate(plant.procedure.steps):
        action = step.action
        page, at = _in_the_middle(plant, action) if isinstance(action, HandOver) else (None, 0)
        if page is None or not isinstance(action, HandOver):
            continue
        search.exits = [each for each in search.exits if each.step != index]
        there = Plant(plant.base, page, action.next, alone=True)
        ways = make_graph(page, action.next)
        seen = set()
        for low, high in search.reached[index]:
            node = (index, low, high)
            begin = (at, handed(left_standing(plant, search.state(node)), plant.name, action.next))
            if begin in seen:
                continue
            seen.add(begin)
            explored = explore(there, ways, begin)
            search.exits += [replace(each, step=index) for each in explored.exits]
            if explored.violations and index not in told:
                told.add(index)
                first = explored.violations[0]
                about = f"step {first.step + 1} there: {first.message}"
                finding = SENT_INTO_THE_MIDDLE.finding(
                    index,
                    "next_step",
                    f"a colleague is sent to step {at + 1} of {page.head.title} past what comes before it; {about}",
                    "Name an earlier step of that page, or bring it about before the hand-over.",
                )
                search.found.setdefault((finding.rule, finding.about), (finding, node))


def _in_the_middle(plant: Plant, action: HandOver) -> tuple[Procedure | None, int]:
    """Return the other page a colleague is sent into, and the step; no page where it is done from its start."""
    page = plant.base.procedure(action.next) if action.next and action.next_step else None
    if page is None or page is plant.procedure:
        return None, 0
    at = next((i for i, each in enumerate(page.steps) if each.id and each.id == action.next_step), 0)
    return (page, at) if at else (None, 0)


def _starts_needed(plant: Plant, found: Iterable[tuple[Finding, _Node]]) -> set[object]:
    """Return which missing starts of following procedures matter.

    That plant is proved dead always does: hands rely on it in steps that are text and nothing else. The
    others do where the following procedure is not safe without them.
    """
    asked = [finding.about for finding, _ in found if finding.rule is NEXT_NOT_READY]
    return {
        about
        for about in asked
        if isinstance(about, tuple) and (about[1] == "proved-dead" or not _safe_without(plant, *about))
    }


def _safe_without(plant: Plant, following: str, missing: str) -> bool:
    procedure = plant.base.procedure(following)
    if procedure is None:
        return True
    # What is not off and locked is not proved dead either.
    lacking = ("made-safe", "proved-dead") if missing == "made-safe" else (missing,)
    unready = replace(procedure, starts=tuple(each for each in procedure.starts if each not in lacking))

    def safe() -> bool:
        there = Plant(plant.base, unready, following, alone=True)
        return not explore(there, make_graph(unready, following)).violations

    return remembered(plant.base, ("safe without", following, *lacking), safe)


def _violation(
    plant: Plant, came: dict[_Node, tuple[_Node, Edge] | None], finding: Finding, node: _Node
) -> Violation:
    turns: list[Turn] = []
    at = node
    while (link := came[at]) is not None:
        at, edge = link
        if edge.answer is not None:
            turns.append(Turn(at[0] + 1, plant.answers[at[0]][edge.answer].when))
    return Violation(
        rule=finding.rule,
        step=node[0],
        field=finding.field,
        message=finding.message,
        hint=finding.hint,
        path=tuple(reversed(turns)),
        because=finding.because,
    )
