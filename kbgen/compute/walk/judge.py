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
from kbgen.compute.walk.known import Known
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


def judge(plant: Plant, state: State, index: int) -> Iterable[Finding]:
    """Return every rule that taking a step in a state breaks.

    The rules are asked once for all states in which everything they ask for at this step is alike.
    """
    if isinstance(state, Noted):
        return _judged(plant, state, index)
    known = plant.judged.setdefault(index, Known())
    alike = known.part_of(state)
    if alike not in known.found:
        seen: set[Fact] = set()
        found = tuple(_judged(plant, Noted(state, seen), index))
        if known.learn(seen):
            alike = known.part_of(state)
        known.found[alike] = found
    return known.found[alike]


def _judged(plant: Plant, state: State, index: int) -> Iterator[Finding]:
    moment = Moment(plant, state, index)
    for hazard in _HAZARDS:
        yield from hazard(moment)
