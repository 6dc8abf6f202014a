"""Names in the steps of a procedure, each by what the table of actions says that its field holds."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import assert_never

from kbgen.link.base import KnowledgeBase
from kbgen.link.known import (
    Use,
    anywhere,
    circuits,
    devices,
    foreign_device,
    has_every_circuit,
    ids,
    marks,
    sizes,
)
from kbgen.model import action as act
from kbgen.model.answers import answers
from kbgen.model.circuit import Circuit, Fuse, parts
from kbgen.model.equipment import Equipment
from kbgen.model.procedure import Procedure
from kbgen.model.takes import Names
from kbgen.position import Route


def in_procedure(base: KnowledgeBase, procedure: Procedure) -> Iterator[Use]:
    """Yield every name in a procedure: steps it leads to, sizes, its circuit, and what its actions name."""
    steps = _steps(procedure)
    for step in procedure.steps:
        if step.go:
            yield Use((*step.route, "go"), step.go, "step", steps, "this procedure")
        for answer in answers(step):
            if answer.go:
                yield Use(answer.route, answer.go, "step", steps, "this procedure")
        for outcome in step.outcomes:
            for at, name in enumerate(outcome.are_on):
                for family in filter(None, map(base.equipment, procedure.equipment)):
                    route = (*outcome.route, "are_on", at)
                    yield Use(route, name, "source", ids(family.sources), family.head.title)
        if step.action is not None:
            yield from _in_action(base, procedure, step.action, step.route)
    families = procedure.equipment
    for plant_id in families:
        plant = base.equipment(plant_id)
        if plant is not None:
            yield from sizes(plant, procedure.sizes, (), plant_id)
    if procedure.circuit and base.circuit(procedure.circuit):
        owner = " or ".join(families)
        yield Use(("circuit",), procedure.circuit, "circuit", circuits(base, set(families)), owner)


def _in_action(base: KnowledgeBase, page: Procedure, action: act.AnyAction, route: Route) -> Iterator[Use]:
    """Yield every name in an action, by what the table says that its fields hold."""
    for key, takes in act.row(action).takes.items():
        if takes.names is None:
            continue
        value = getattr(action, key if hasattr(action, key) else f"{key}_")
        named = [((*route, key), value)] if isinstance(value, str) else _each(value, (*route, key))
        for where, name in named:
            if name:
                yield from _meant(base, page, action, takes.names, where, name)


def _each(values: tuple[str, ...], route: Route) -> list[tuple[Route, str]]:
    return [((*route, index), name) for index, name in enumerate(values)]


_OF_PLANT: dict[Names, Callable[[Equipment], tuple[str, ...]]] = {
    Names.SOURCE: lambda plant: ids(plant.sources),
    Names.ELECTRIC: lambda plant: tuple(each.id for each in plant.sources if each.electric),
    Names.COVER: lambda plant: ids(plant.covers),
    Names.VALVE: lambda plant: ids(plant.fuel_valves),
    Names.FUEL_POINT: lambda plant: ids(plant.fuel_points),
    Names.ZONE: lambda plant: ids(plant.zones),
    Names.SETTING: lambda plant: tuple(s.id for s in plant.settings if s.id),
}


def _meant(
    base: KnowledgeBase, page: Procedure, action: act.AnyAction, names: Names, route: Route, name: str
) -> Iterator[Use]:
    """Yield one name of an action with what would be right in its place."""
    owner = " or ".join(page.equipment)
    match names:
        case (
            Names.SOURCE
            | Names.ELECTRIC
            | Names.COVER
            | Names.VALVE
            | Names.FUEL_POINT
            | Names.ZONE
            | Names.SETTING
        ):
            # A page for several plants is followed on each of them.
            for plant_id in page.equipment:
                plant = base.equipment(plant_id)
                if plant is not None:
                    yield Use(route, name, str(names), _OF_PLANT[names](plant), plant_id)
        case Names.DEVICE:
            yield from foreign_device(base, route, name, page.equipment, owner)
        case Names.TRIPPED:
            yield from _tripped(base, page, route, name)
        case Names.PART:
            if _LIKE_AN_ID.fullmatch(name):
                yield Use(route, name, str(Names.DEVICE), devices(base, set(page.equipment)), owner)
        case Names.CIRCUIT:
            if base.circuit(name):
                yield Use(route, name, str(names), circuits(base, set(page.equipment)), owner)
        case Names.POINT:
            known, where = marks(base, getattr(action, "circuit", "") or page.circuit, page.equipment)
            if known and name not in EARTH:
                yield Use(route, name, str(names), known, where)
        case Names.PAIR:
            yield from _pair(base, page, action, route, name)
        case Names.FITTED:
            yield Use(route, name, str(names), _made(base, page, act.Fit, name), "this procedure")
        case Names.CLIPPED:
            yield Use(route, name, str(names), _made(base, page, act.Clip, name), "this procedure")
        case Names.STEP:
            there = getattr(action, "next", "")
            other = base.procedure(there) if there else page
            if other is not None:
                yield Use(route, name, str(names), _steps(other), there or "this procedure")
        case Names.PROCEDURE:
            return  # a reference to an entry; linking looks it up
        case _:
            assert_never(names)


def _made(
    base: KnowledgeBase, page: Procedure, record: type[act.Fit | act.Clip], name: str
) -> tuple[str, ...]:
    """Return the names of alterations or leads that a page may find in: its own, or handed over by pages before it."""
    own = _named_by(page, record)
    if name in own:
        return own
    others = (
        other for plant in page.equipment for _, other in base.of(Procedure, plant=plant) if _leads_on(other)
    )
    return (*own, *(each for other in others for each in _named_by(other, record)))


def _named_by(page: Procedure, record: type[act.Fit | act.Clip]) -> tuple[str, ...]:
    made = (step.action for step in page.steps if isinstance(step.action, record))
    return tuple(each.name if isinstance(each, act.Fit) else each.clip for each in made)


def _leads_on(page: Procedure) -> bool:
    return any(isinstance(step.action, act.HandOver) and step.action.next for step in page.steps)


_LIKE_AN_ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)+")


def _steps(procedure: Procedure) -> tuple[str, ...]:
    return tuple(step.id for step in procedure.steps if step.id)


def _tripped(base: KnowledgeBase, page: Procedure, route: Route, name: str) -> Iterator[Use]:
    """Yield a name of what tripped: a device, a memory or a fuse of each of the plants."""
    for plant_id in page.equipment:
        plant = base.equipment(plant_id)
        if plant is not None:
            fuses = tuple(
                part.fuse
                for _, circuit in base.of(Circuit, plant=plant_id)
                for part in parts(circuit.path)
                if isinstance(part, Fuse)
            )
            known = (*devices(base, {plant_id}), *anywhere(base), *ids(plant.memory), *fuses)
            yield Use(route, name, str(Names.TRIPPED), known, plant_id)


EARTH = ("earth", "ground", "PE")
_PAIR = re.compile(r"(\S+) to (\S+)")


def pair(text: str) -> tuple[str, str] | None:
    """Return the two points of a pair as an author writes it, ``None`` where it is no pair.

    >>> pair("T19 to T90"), pair("T19, T90")
    (('T19', 'T90'), None)
    """
    found = _PAIR.fullmatch(text.strip())
    return (found[1], found[2]) if found else None


def _pair(
    base: KnowledgeBase, page: Procedure, action: act.AnyAction, route: Route, text: str
) -> Iterator[Use]:
    """Yield the points of a pair: conductors of the source, terminals of the plant's circuits, earth."""
    name = getattr(action, "prove_dead", "")
    for plant_id in page.equipment:
        plant = base.equipment(plant_id)
        source = next((each for each in plant.sources if each.id == name), None) if plant else None
        if source is None or (page.circuit and base.circuit(page.circuit) is None):
            continue  # what cannot be looked up is told where it stands
        terminals = marks(base, "", page.equipment)[0]
        known = tuple(dict.fromkeys((*source.conductors, *terminals, *EARTH)))
        ends = pair(text)
        if ends is None:
            yield Use(route, text, "pair (written like `X3:1 to N`)", (), plant_id)
        elif source.conductors and has_every_circuit(base):
            for mark in ends:
                yield Use(route, mark, str(Names.POINT), known, plant_id)
