"""Look at every step in every state it can be reached in, nearest first."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

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
from kbgen.compute.walk.effects import after
from kbgen.compute.walk.finding import Finding
from kbgen.compute.walk.going_on import NEXT_NOT_READY
from kbgen.compute.walk.graph import Edge, Graph, make_graph
from kbgen.compute.walk.hazard import LEAVING, LOTO
from kbgen.compute.walk.judge import judge
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
from kbgen.model.action import AnyAction, End, HandOver, Reset, StartDemand
from kbgen.model.procedure import Procedure
from kbgen.rule import Rule

MOST_STATES = 10_000
"""A procedure with more states than this cannot be followed by a person either; it is refused."""

Node = tuple[int, State]
"""A step, and the state it is reached in."""
CANNOT, USED_UP = "cannot be", "used up"
"""Why a way is not taken: what was done denies the answer, or it was taken as often as it may be."""


@dataclass(frozen=True, slots=True)
class Explored:
    """What the exploration found.

    Attributes:
        violations: By step, then rule.
        states: For each step, the states in which it is reached, in the order they were found.
        exits: Every way out.
        complete: Whether every state was looked at.
        changes: What each step changes; see ``rests``.
        ways: Where each step leads in each state, one for each way of the graph: the node it leads to, or why it
            cannot be taken.
    """

    violations: tuple[Violation, ...]
    states: tuple[tuple[State, ...], ...]
    exits: tuple[Exit, ...]
    complete: bool
    changes: Mapping[int, set[Fact]]
    ways: Mapping[Node, list[Node | str]]


@dataclass(slots=True)
class _Search:
    """One exploration under way."""

    plant: Plant
    graph: Graph
    came: dict[Node, tuple[Node, Edge] | None]
    found: dict[tuple[Rule, object], tuple[Finding, Node]]
    reached: list[list[State]]
    exits: list[Exit]
    counted: Mapping[str, int]
    begins: State
    owed: State
    others: list[tuple[Node, list[Fact]]]
    given: dict[tuple[int, int], tuple[Node, list[bool]]]
    changes: defaultdict[int, set[Fact]]
    ways: dict[Node, list[Node | str]]
    # What is so for certain and at most in a state that a step led to: a state is taken apart once.
    bounds: dict[State, tuple[State, State]]


def _counted(plant: Plant, graph: Graph) -> dict[str, int]:
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
            found[f"{index}.{number}"] = edge.at_most if 0 < edge.at_most <= most + 1 else most
    return found


def explore(plant: Plant, graph: Graph, begin: Node | None = None, arrival: Arrival = AS_FOUND) -> Explored:
    """Explore a procedure from its first step, or from a step and the state it is reached in.

    Args:
        arrival: What the pages before it leave.
    """
    owed = owed_by(arrival.brings)
    first = start(plant, arrival.brings - owed)
    begin = begin or (0, between(first, first | arrived(arrival.finds, plant.name)))
    search = _Search(
        plant,
        graph,
        {begin: None},
        {},
        [[] for _ in plant.procedure.steps],
        [],
        _counted(plant, graph),
        first,
        arrived(owed, plant.name),
        [],
        {},
        defaultdict(set),
        {},
        {},
    )
    waiting = deque([begin])
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
        states=tuple(tuple(states) for states in search.reached),
        exits=tuple(dict.fromkeys(search.exits)),
        complete=not waiting,
        changes=search.changes,
        ways=search.ways,
    )


def _taken(search: _Search, node: Node) -> Iterator[Node]:
    """Take a step in a state: judge it, and yield where it leads that was not seen yet."""
    plant, (index, state) = search.plant, node
    action = plant.procedure.steps[index].action
    search.reached[index].append(state)
    low, high = search.bounds.get(state) or (at_least(state), at_most(state))
    for finding in judge(plant, low, index):
        # Breadth first: the first time a rule is broken is the shortest way to break it.
        search.found.setdefault((finding.rule, finding.about), (finding, node))
        # From here on the walk takes it as mended, so that consequences are not listed beside their cause.
        low = (low - finding.clears) | finding.grants
        high = (high - finding.clears) | finding.grants
    facts = by_others(plant, index, low, _answered(plant, action, low, high))
    if facts:
        search.others.append((node, facts))
        high = asked(low, high, facts)
    if isinstance(action, End | HandOver) and not (
        isinstance(action, HandOver) and search.graph.edges[index]
    ):
        search.exits.append(_exit(search, index, action, low, high))
    if low != high:
        now = answered_for(plant, action)
        low, high = low | now, high | now
    ways = search.ways.setdefault(node, [])
    for number, edge in enumerate(search.graph.edges[index]):
        way = f"{index}.{number}"
        if way in search.counted and count(low, TAKEN, way) >= search.counted[way]:
            ways.append(USED_UP)
            continue
        answer = None if edge.answer is None else plant.answers[index][edge.answer]
        least = after(plant, low, index, answer)
        most = least if low == high else after(plant, high, index, answer)
        for finding in claimed_away(plant, index, answer, least - search.begins):
            search.found.setdefault((finding.rule, finding.about), (finding, node))
        following = believed(plant, least, most, answer, search.begins, search.owed)
        if answer is not None and answer.claims:
            given = search.given.setdefault((index, edge.answer or 0), (node, []))
            given[1].append(following is not None)
        if following is None:
            ways.append(CANNOT)
            continue
        least, most = following
        if least != low:
            search.changes[index] |= least ^ low
        if most != high:
            search.changes[index] |= most ^ high
        if way in search.counted:
            once = once_more(low, TAKEN, way, search.counted[way])
            least, most = least | once, most | once
        following_state = least if least is most else between(least, most)
        target = (edge.target, following_state)
        ways.append(target)
        if target not in search.came:
            search.came[target] = (node, edge)
            search.bounds[following_state] = (least, most if least is most else least | most)
            yield target


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
        for state in search.reached[index]:
            begin = (at, handed(left_standing(plant, state), plant.name, action.next))
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
                search.found.setdefault((finding.rule, finding.about), (finding, (index, state)))


def _in_the_middle(plant: Plant, action: HandOver) -> tuple[Procedure | None, int]:
    """Return the other page a colleague is sent into, and the step; no page where it is done from its start."""
    page = plant.base.procedure(action.next) if action.next and action.next_step else None
    if page is None or page is plant.procedure:
        return None, 0
    at = next((i for i, each in enumerate(page.steps) if each.id and each.id == action.next_step), 0)
    return (page, at) if at else (None, 0)


def _starts_needed(plant: Plant, found: Iterable[tuple[Finding, Node]]) -> set[object]:
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
    return not explore(
        Plant(plant.base, unready, following, alone=True), make_graph(unready, following)
    ).violations


def _violation(
    plant: Plant, came: dict[Node, tuple[Node, Edge] | None], finding: Finding, node: Node
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
