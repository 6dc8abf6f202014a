"""The plant's state before a step, in the words of the page."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import NamedTuple

from kbgen.compute.walk.bits import Reached
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.result import Condition
from kbgen.compute.walk.state import (
    CLIPPED,
    COVER,
    FITTED,
    LEAK_DUE,
    LOCKED,
    OFF,
    OPENING,
    OWED,
    PROVED,
    RUNNING,
    SHUT,
    UNTESTED,
    State,
    has,
)
from kbgen.link.base import KnowledgeBase
from kbgen.model.action import Clip, Fit
from kbgen.ref import Kind, Ref


class _Line(NamedTuple):
    what: str
    kind: str
    name: Callable[[Plant, str], str]
    stronger: tuple[str, ...] = ()


def _source(plant: Plant, name: str) -> str:
    return plant.sources[name].title if name in plant.sources else name


def _cover(plant: Plant, name: str) -> str:
    return plant.covers[name].title if name in plant.covers else name


def _alteration(plant: Plant, name: str) -> str:
    action = plant.action_at(name)
    return action.name if isinstance(action, Fit) else name


def _leads(plant: Plant, name: str) -> str:
    action = plant.action_at(name)
    return action.clip if isinstance(action, Clip) else name


def _as_is(_: Plant, name: str) -> str:
    return name


_LINES = (
    _Line("off", OFF, _source, stronger=(LOCKED, PROVED)),
    _Line("locked off", LOCKED, _source, stronger=(PROVED,)),
    _Line("proved dead", PROVED, _source),
    _Line("open", COVER, _cover),
    _Line("alterations in", FITTED, _alteration),
    _Line("leads clipped on", CLIPPED, _leads),
    _Line("still to be proved to trip", OWED, _as_is),
    _Line("gas train open", OPENING, _as_is),
)


_DECIDE = (OFF, SHUT, RUNNING, UNTESTED, LEAK_DUE)
"""The kinds of fact that decide whether fuel is shut, supply there, the plant running and the train tight."""


def conditions(plant: Plant, states: Reached) -> tuple[Condition, ...]:
    """Say what is so before a step, in all of the states it is reached in or in some of them.

    Devices are named by their ids; `with_titles` says what they are called.
    """
    return tuple(_conditions(plant, states)) if states else ()


def with_titles(
    base: KnowledgeBase, before: tuple[tuple[Condition, ...], ...]
) -> tuple[tuple[Condition, ...], ...]:
    """Put in what devices are called: a walk hangs on no title, who shows it does."""
    return tuple(
        tuple(
            replace(
                each, items=tuple(base.title(Ref(Kind.DEVICE, name)) for name in each.items), devices=False
            )
            if each.devices
            else each
            for each in conditions
        )
        for conditions in before
    )


def _conditions(plant: Plant, reached: Reached) -> Iterator[Condition]:
    yield from _listed(plant, reached.always(), reached.ever())
    states = reached.parts(*_DECIDE)
    yield from _either("fuel shut", [plant.fuel_shut(state) for state in states] if plant.burns else [])
    live = [bool(plant.control) and not plant.off(state) for state in states]
    yield from _either("control circuit live", live)
    yield from _either("running", [(RUNNING, "") in state for state in states])
    untested = [has(state, UNTESTED) or has(state, LEAK_DUE) for state in states]
    yield from _either("gas train not proved tight", untested)


def _listed(plant: Plant, always: State, ever: State) -> Iterator[Condition]:
    """Name everything once, by the most that is known of it: what is proved dead is off and locked."""
    known = ((_by_kind(always), True), (_by_kind(ever - always), False))
    for line in _LINES:
        for facts, sure in known:
            items = sorted(facts[line.kind].difference(*(facts[kind] for kind in line.stronger)))
            if items:
                named = tuple(line.name(plant, item) for item in items)
                yield Condition(line.what, named, sure=sure, devices=line.kind == OWED)


def _by_kind(state: State) -> defaultdict[str, set[str]]:
    found: defaultdict[str, set[str]] = defaultdict(set)
    for kind, name in state:
        found[kind].add(name)
    return found


def _either(what: str, found: list[bool]) -> Iterator[Condition]:
    if any(found):
        yield Condition(what, sure=all(found))
