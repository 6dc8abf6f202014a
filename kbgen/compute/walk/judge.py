"""Every hazard that a step can be, asked in the order in which they matter."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from kbgen.compute.walk import (
    alterations,
    at_the_door,
    energies,
    firing,
    gas,
    hands,
    leaving,
    limits,
    readings,
    resets,
    supply,
)
from kbgen.compute.walk.finding import Finding, Moment
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.state import State

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
    leaving.findings,
)


def judge(plant: Plant, state: State, index: int) -> Iterator[Finding]:
    """Yield every rule that taking a step in a state breaks."""
    moment = Moment(plant, state, index)
    for hazard in _HAZARDS:
        yield from hazard(moment)
