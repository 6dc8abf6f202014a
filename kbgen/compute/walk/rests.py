"""What a green rests on: which steps somebody relies on, and which rules would speak without them.

While a page is walked it is noted what each step changes. Every rule is then asked once more at every step, of a state
that notes what it is asked for: a step was relied on where a rule or an end after it asks for what it changed. Two locks
on one supply are both relied on; a proof that nobody asks for is not.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import TypeVar

from kbgen.compute.walk import state as s
from kbgen.compute.walk.bits import Reached
from kbgen.compute.walk.graph import Graph
from kbgen.compute.walk.judge import asked_for, judge
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.result import Rests
from kbgen.compute.walk.state import Fact, Noted, State
from kbgen.model import action as act

T = TypeVar("T")

Changes = Mapping[int, set[Fact]]
"""By step: the facts that it brings about or does away with."""

_STATES = 2
"""How many of the states of a step are asked about: the first and the last that were found."""
_DEBTS = frozenset(
    {
        s.FITTED,
        s.CLIPPED,
        s.OPENING,
        s.UNTESTED,
        s.LEAKS,
        s.OWED,
        s.MOVED,
        s.RESET,
        s.CYCLE_OWED,
        s.ANALYSER_OWED,
    }
    | {
        s.GAS_OWED,
        s.UNNOTED,
        s.COVER,
        s.UNSEEN,
        s.STANDS,
        s.STOPPED,
        s.LEFT_OFF,
        s.LEFT_LOCKED,
        s.LEFT_SHUT,
        s.TRIES,
    }
)
"""What an end hands on: its contract relies on whoever did away with it."""


_LAYERS = ((s.SHUT, s.OFF), (s.LOCKED,))


def rests(plant: Plant, graph: Graph, reached: Sequence[Reached], changes: Changes) -> Rests:
    """Say what a page without a finding rests on.

    Args:
        reached: For each step the states it is reached in.
        changes: What each step changes.
    """
    asked = [_asked(plant, index, states) for index, states in enumerate(reached)]
    steps = plant.procedure.steps
    idle = tuple(
        index
        for index, step in enumerate(steps)
        if step.action is not None
        and reached[index]
        and not isinstance(step.action, act.End | act.HandOver)
        and not _listed(plant, step.action)
        and not _relied_on(graph, index, changes.get(index, set()), asked)
    )
    answers = [answer for each in plant.answers for answer in each]
    return Rests(
        idle=idle,
        claims=sum(bool(answer.claims) for answer in answers),
        verdicts=sum(bool(answer.verdict) for answer in answers),
        told=sum(step.action is None for step in steps),
    )


def _listed(plant: Plant, action: act.AnyAction) -> bool:
    """Return whether a page says under ``tests`` that it proves this trip: the device's own page relies on it."""
    return isinstance(action, act.ProveTrip) and action.prove_trip in plant.procedure.tests


def _few(states: Sequence[T]) -> Sequence[T]:
    return states if len(states) <= _STATES else (states[0], states[-1])


def _asked(plant: Plant, index: int, states: Reached) -> set[Fact]:
    """Return the facts that rules or an end ask for at a step; ``(kind, "*")`` where all of a kind are."""
    each = {state for pair in _few(states.pairs) for state in pair}
    seen = set().union(*(asked_for(plant, state, index) for state in each))
    # Who asks for one valve, lock or isolator is content with another: they lie behind one another.
    kinds = {kind for kind, _ in seen}
    seen |= {(kind, "*") for layers in _LAYERS if not kinds.isdisjoint(layers) for kind in layers}
    if isinstance(plant.procedure.steps[index].action, act.End | act.HandOver):
        seen |= {(kind, "*") for kind in _DEBTS}
    return seen


def _relied_on(graph: Graph, step: int, changed: set[Fact], asked: Sequence[set[Fact]]) -> bool:
    """Return whether something after a step asks for what it changed."""
    if not changed:
        return True  # it does again what is done: who arrives takes nothing for granted
    wanted = changed | {(kind, "*") for kind, _ in changed} | {s.ANYTHING}
    return any(not wanted.isdisjoint(asked[index]) for index in graph.after(step))


def resting(
    plant: Plant, reached: Sequence[Sequence[State]], changes: Changes
) -> tuple[tuple[str, int], ...]:
    """Return the rules that would speak if one change of the page were not made, and at how many places each."""
    plant = plant.untitled
    every = {fact for each in changes.values() for fact in each}
    counted: Counter[str] = Counter()
    for index, states in enumerate(reached):
        done: set[Fact] = set()
        for state in _few(states):
            low = s.at_least(state)
            seen: set[Fact] = set()
            known = {(each.rule, each.about) for each in judge(plant, Noted(low, seen), index)}
            for fact in every - done:
                if not seen.isdisjoint({fact, (fact[0], "*"), s.ANYTHING}):
                    other = low - {fact} if fact in low else low | {fact}
                    broken = [
                        each for each in judge(plant, other, index) if (each.rule, each.about) not in known
                    ]
                    counted.update({each.rule.name for each in broken})
                    done |= {fact} if broken else set()
    return tuple(sorted(counted.items(), key=lambda each: (-each[1], each[0])))
