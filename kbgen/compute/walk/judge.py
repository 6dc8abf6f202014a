"""Every hazard that a step can be, asked in the order in which they matter."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from kbgen.compute.walk import (
    alterations,
    at_the_door,
    energies,
    firing,
    found_live,
    gas,
    hands,
    leaving,
    limits,
    near,
    readings,
    resets,
    supply,
)
from kbgen.compute.walk.finding import Finding, Moment
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.state import Fact, Noted, State

_HAZARDS: tuple[Callable[[Moment], Iterator[Finding]], ...] = (
    at_the_door.findings,
    supply.findings,
    hands.findings,
    energies.findings,
    readings.findings,
    alterations.findings,
    gas.findings,
    resets.findings,
    limits.findings,
    firing.findings,
    near.findings,
    leaving.findings,
    found_live.findings,
)


Judged = tuple[tuple[Finding, ...], frozenset[Fact]]
"""What the rules found, and what they asked for."""


def judge(plant: Plant, state: State, index: int) -> Iterable[Finding]:
    """Return every rule that taking a step in a state breaks.

    The rules are asked once for all states in which everything they ask for at this step is alike.
    """
    if isinstance(state, Noted):
        return _judged(plant, state, index)
    return judged(plant, plant.bits.of(state), index)


def judged(plant: Plant, state: int, index: int) -> tuple[Finding, ...]:
    """Return the same of a state that is a number."""
    return _found(plant, state, index)[0]


def asked_for(plant: Plant, state: int, index: int) -> frozenset[Fact]:
    """Return the facts that the rules ask for at a step; ``(kind, "*")`` where all of a kind are."""
    known = plant.judged[index]
    found = known.found.get(known.part_of(plant.bits, state))
    return (found or _found(plant.untitled, state, index))[1]


def _found(plant: Plant, state: int, index: int) -> Judged:
    known = plant.judged[index]
    found = known.found.get(known.part_of(plant.bits, state))
    if found is None:
        seen: set[Fact] = set()
        broken = tuple(_judged(plant, Noted(plant.bits.state(state), seen), index))
        found = broken, frozenset(seen)
        known.learn(plant.bits, seen)
        known.found[known.part_of(plant.bits, state)] = found
    return found


def _judged(plant: Plant, state: State, index: int) -> Iterator[Finding]:
    moment = Moment(plant, state, index)
    for hazard in _HAZARDS:
        yield from hazard(moment)
