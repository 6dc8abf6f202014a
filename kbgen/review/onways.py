"""What is so, what was done and what may follow, on every way through a page or on any."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.walk import state as s
from kbgen.compute.walk.explore import Explored
from kbgen.compute.walk.graph import Graph
from kbgen.compute.walk.plant import Plant
from kbgen.model import action as act
from kbgen.model.answers import Answer, words_for
from kbgen.model.procedure import ProcedureStep
from kbgen.review.deeds import Key
from kbgen.review.facts import FACTS, TARGETS, named
from kbgen.review.naming import keys
from kbgen.review.said import AHEAD, PageSaid, Target, Way
from kbgen.text import words

_ONLY_DONE = (
    act.Wait,
    act.Inspect,
    act.Measure,
    act.Watch,
    act.Observe,
    act.CheckReal,
    act.FindCause,
    act.Record,
    act.TryStart,
)
"""What no fact of the walk tells on every way; whether it is done before something is asked of the ways alone."""


def hunt(step: ProcedureStep) -> str:
    """Name the search along a circuit that a step belongs to; empty for any other step.

    Its order is worked out, and another one finds the same: what counts is where the search can lead.
    """
    origin = step.origin
    if origin is None or origin.routine not in ("hunt", "hunt_dead"):
        return ""
    return f"the search along {origin.circuit or 'the circuit'}, by the lines of the page"


def targets(said: PageSaid, plant: Plant, graph: Graph, explored: Explored) -> None:
    """Write into a page what is so, may be so and was done before each of its deeds that matter."""
    done = _done(plant, graph, explored)
    for index, step in enumerate(plant.procedure.steps):
        states = explored.states[index]
        if step.action is None or not states or type(step.action) not in TARGETS:
            continue
        kind = type(step.action)
        if hunt(step) and kind in (act.Measure, act.Watch):
            continue
        sure = {
            found
            for fact in frozenset.intersection(*(s.at_least(each) for each in states))
            if (found := _named(said, plant, fact, kind, keeps=True))
        }
        maybe = {
            found
            for fact in frozenset.union(*(s.at_most(each) for each in states))
            if (found := _named(said, plant, fact, kind, keeps=False))
        }
        for key in keys(plant, step.action):
            here = Target(frozenset(sure), frozenset(maybe), done[index])
            known = said.targets.get(key)
            said.targets[key] = (
                Target(known.sure & here.sure, known.maybe | here.maybe, known.done & here.done)
                if known
                else here
            )


def _named(said: PageSaid, plant: Plant, fact: s.Fact, kind: type, *, keeps: bool) -> s.Fact | None:
    """Return a fact that is compared before an action, by a name that means the same in both versions."""
    row = FACTS.get(fact[0])
    if row is None or row.keeps is not keeps or kind not in row.at:
        return None
    name = named(plant, fact)
    found = (fact[0], name) if fact[0] in (s.FITTED, s.CLIPPED) else fact
    said.facts[found] = name
    return found


def _done(plant: Plant, graph: Graph, explored: Explored) -> list[frozenset[Key]]:
    """Return for each step what was done on every way to it, of what no fact tells."""
    steps = plant.procedure.steps
    own = [
        frozenset(keys(plant, step.action))
        if isinstance(step.action, _ONLY_DONE) and not hunt(step)
        else frozenset()
        for step in steps
    ]
    every = frozenset().union(*own)
    found: list[frozenset[Key]] = [every if index else frozenset() for index in range(len(steps))]
    changed = True
    while changed:
        changed = False
        for index, step in enumerate(steps):
            if not explored.states[index]:
                continue
            asked = plant.answers[index]
            for edge in graph.edges[index]:
                answer = asked[edge.answer] if edge.answer is not None else None
                behind = found[index] | (own[index] if _counts(step, answer) else frozenset())
                both = found[edge.target] & behind
                if edge.target and both != found[edge.target]:
                    found[edge.target], changed = both, True
    return found


def _counts(step: ProcedureStep, answer: Answer | None) -> bool:
    """Return whether a step is done once it is answered so: what was not seen, found or tried was not done."""
    if answer is None or not answer.verdict or isinstance(step.action, act.Measure | act.Watch):
        return True
    verdicts = words_for(step)
    return verdicts is None or answer.verdict == verdicts.passing or isinstance(step.action, act.CheckReal)


def ways(plant: Plant, graph: Graph, labels: list[str]) -> Iterator[tuple[tuple[str, str], Way]]:
    """Yield each answer by its step and its word, with what follows."""
    steps = plant.procedure.steps
    index_of = {step.id: index for index, step in enumerate(steps) if step.id}
    for index, step in enumerate(steps):
        if searched := hunt(step):
            for edge in graph.edges[index]:
                if hunt(steps[edge.target]) != searched:
                    yield (searched, labels[edge.target]), _out_of(plant, graph, labels, index, edge.target)
            continue
        verdicts = words_for(step)
        for edge in graph.edges[index]:
            if edge.answer is None:
                continue
            answer = plant.answers[index][edge.answer]
            failing = verdicts is not None and bool(answer.verdict) and answer.verdict != verdicts.passing
            yield (
                (labels[index], answer.verdict or answer.when.casefold()),
                Way(
                    next=labels[index_of[answer.go]],
                    ahead=frozenset(_ahead(plant, graph, index, edge.target)),
                    fails=failing or answer.doubt,
                    passes=bool(answer.verdict) and not failing,
                    at_most=answer.at_most,
                    claims=tuple(sorted(answer.claims)),
                    danger=answer.danger,
                    shown=answer.when,
                    step=index,
                ),
            )


def _out_of(plant: Plant, graph: Graph, labels: list[str], index: int, target: int) -> Way:
    ahead = frozenset(_ahead(plant, graph, index, target))
    return Way(
        labels[target], ahead, False, False, 0, (), False, words(plant.procedure.steps[target].do), index
    )


def _ahead(plant: Plant, graph: Graph, without: int, start: int) -> Iterator[Key]:
    """Yield the deeds and ends that a way can lead to before it asks the same once more."""
    found, waiting = {without, start}, [start]
    while waiting:
        at = waiting.pop()
        action = plant.procedure.steps[at].action
        ends = isinstance(action, act.End | act.HandOver)
        if action is not None and (isinstance(action, AHEAD) or ends):
            yield from keys(plant, action)
        for edge in graph.edges[at]:
            if edge.target not in found:
                found.add(edge.target)
                waiting.append(edge.target)
