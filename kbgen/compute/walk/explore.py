"""Look at every step in every state it can be reached in, nearest first."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from kbgen.compute.walk.effects import after
from kbgen.compute.walk.finding import Finding
from kbgen.compute.walk.going_on import NEXT_NOT_READY
from kbgen.compute.walk.graph import Edge, Graph, make_graph
from kbgen.compute.walk.hazard import LEAVING, LOTO
from kbgen.compute.walk.judge import judge
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.result import Turn, Violation
from kbgen.compute.walk.start import start
from kbgen.compute.walk.state import FITTED, State, without
from kbgen.model.action import HandOver
from kbgen.rule import Rule

MOST_STATES = 10_000
"""A procedure with more states than this cannot be followed by a person either; it is refused."""

_Node = tuple[int, State]


@dataclass(frozen=True, slots=True)
class Explored:
    """What the exploration found.

    Attributes:
        violations: By step, then rule.
        states: For each step, the states in which it is reached, in the order they were found.
        complete: Whether every state was looked at.
    """

    violations: tuple[Violation, ...]
    states: tuple[tuple[State, ...], ...]
    complete: bool


def explore(plant: Plant, graph: Graph, begin: _Node | None = None) -> Explored:
    """Explore a procedure from its first step, or from a step and the state it is reached in."""
    steps = plant.procedure.steps
    begin = begin or (0, start(plant))
    came: dict[_Node, tuple[_Node, Edge] | None] = {begin: None}
    waiting = deque([begin])
    reached: list[list[State]] = [[] for _ in steps]
    found: dict[tuple[Rule, object], tuple[Finding, _Node]] = {}
    while waiting and len(came) < MOST_STATES:
        node = waiting.popleft()
        index, state = node
        reached[index].append(state)
        for finding in judge(plant, state, index):
            # Breadth first: the first time a rule is broken is the shortest way to break it.
            found.setdefault((finding.rule, finding.about), (finding, node))
            # From here on the walk takes it as mended, so that consequences are not listed beside their cause.
            state = (state - finding.clears) | finding.grants
        for edge in graph.edges[index]:
            answer = None if edge.answer is None else plant.answers[index][edge.answer]
            following = (edge.target, after(plant, state, index, answer))
            if following not in came:
                came[following] = (node, edge)
                waiting.append(following)
    if not plant.alone:
        for finding, node in _sent_into_the_middle(plant, reached):
            found.setdefault((finding.rule, finding.about), (finding, node))
    needed = _starts_needed(plant, found.values())
    violations = [
        _violation(plant, came, finding, node)
        for finding, node in found.values()
        if finding.rule is not NEXT_NOT_READY or finding.about in needed
    ]
    return Explored(
        violations=tuple(sorted(violations, key=lambda each: (each.step, each.rule.name, each.message))),
        states=tuple(tuple(states) for states in reached),
        complete=not waiting,
    )


SENT_INTO_THE_MIDDLE = LEAVING.on(LOTO).hazard(
    "sent-into-the-middle",
    "The colleague begins where the page takes for done what nobody did.",
    "hand_over: Electrician\nnext: make-safe\nnext_step: prove-control",
    "hand_over: Electrician\nnext: make-safe\nnext_step: identify",
)


def _sent_into_the_middle(plant: Plant, reached: list[list[State]]) -> Iterator[tuple[Finding, _Node]]:
    """Yield hand-overs to a step of another page whose earlier steps would have been needed.

    The colleague finds the plant as it is left; the page is walked on from there.
    """
    for index, step in enumerate(plant.procedure.steps):
        action = step.action
        if not isinstance(action, HandOver) or not action.next_step:
            continue
        page = plant.base.procedure(action.next) if action.next else None
        at = next((i for i, each in enumerate(page.steps) if each.id == action.next_step), 0) if page else 0
        if page is None or page is plant.procedure or not at:
            continue
        there = Plant(plant.base, page, alone=True)
        ways = make_graph(page, action.next)
        for state in reached[index]:
            # Alterations are named by the steps of the page that fits them; their list is handed over as such.
            broken = explore(there, ways, (at, without(state, FITTED))).violations
            if broken:
                first = broken[0]
                about = f"step {first.step + 1} there: {first.message}"
                finding = SENT_INTO_THE_MIDDLE.finding(
                    index,
                    "next_step",
                    f"a colleague is sent to step {at + 1} of {page.head.title} past what comes before it; {about}",
                    "Name an earlier step of that page, or bring it about before the hand-over.",
                )
                yield finding, (index, state)
                break


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
    return not explore(Plant(plant.base, unready, alone=True), make_graph(unready, following)).violations


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
