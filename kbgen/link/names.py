"""Names inside entries: sizes, stages, sources, places, covers, valves, points, steps, settings.

They are ids of the equipment (or marks of a circuit, or ids of steps) rather than of entries, so
the schemas cannot say which are valid; this module can.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from kbgen.link.base import KnowledgeBase
from kbgen.link.references import UNKNOWN_NAME
from kbgen.model import action as act
from kbgen.model.circuit import Circuit, Coil, Contact, Point, parts
from kbgen.model.device import Device
from kbgen.model.entry import Entry
from kbgen.model.equipment import Equipment, Setting, Source, Stage
from kbgen.model.field_note import FieldNote
from kbgen.model.procedure import Procedure
from kbgen.model.symptom import Symptom
from kbgen.nearest import nearest
from kbgen.position import Route, Spot
from kbgen.problems import Problem


@dataclass(frozen=True, slots=True)
class Use:
    """One inner name in an entry.

    Attributes:
        what: What it names, in the reader's words.
        known: The names that would be right.
        owner: Where they are listed, in the reader's words.
    """

    route: Route
    name: str
    what: str
    known: tuple[str, ...]
    owner: str


def names_in(base: KnowledgeBase, entry: Entry) -> Iterator[Problem]:
    """Report the inner names of one entry that nothing defines."""
    for use in _uses(base, entry):
        if use.name in use.known:
            continue
        near = nearest(use.name, use.known)
        if near:
            hint = f"Did you mean `{near}`?"
        elif use.known:
            hint = f"Known there: {', '.join(sorted(use.known)[:8])}."
        else:
            hint = f"List it in {use.owner} first."
        yield UNKNOWN_NAME.at(
            Spot(entry.path, use.route), f"{use.owner} has no {use.what} called `{use.name}`", hint
        )


def _uses(base: KnowledgeBase, entry: Entry) -> Iterator[Use]:
    match entry.record:
        case Equipment() as equipment:
            yield from _in_equipment(equipment)
            yield from _devices_of(base, entry.ref.id, equipment)
        case Circuit() as circuit:
            yield from _in_circuit(base, circuit)
        case Device() as device:
            yield from _in_device(base, device)
        case Symptom() as symptom:
            yield from _in_symptom(base, symptom)
        case Procedure() as procedure:
            yield from _in_procedure(base, procedure)
        case FieldNote() as note:
            plant = base.equipment(note.equipment)
            if plant and note.size:
                yield Use(("size",), note.size, "size", _ids(plant.sizes), note.equipment)
            yield from _foreign_device(base, ("device",), note.device, (note.equipment,), note.equipment)


def _ids(named: Iterable[object]) -> tuple[str, ...]:
    return tuple(getattr(item, "id") for item in named)  # noqa: B009 - several record types share the field


def _sizes(plant: Equipment, names: Iterable[str], route: Route, owner: str) -> Iterator[Use]:
    for index, name in enumerate(names):
        yield Use((*route, "sizes", index), name, "size", _ids(plant.sizes), owner)


def _in_equipment(plant: Equipment) -> Iterator[Use]:
    owner = "this equipment"
    places = _ids(plant.places)
    for cover in plant.covers:
        yield Use((*cover.route, "place"), cover.place, "place", places, owner)
    for valve in plant.fuel_valves:
        if valve.place:
            yield Use((*valve.route, "place"), valve.place, "place", places, owner)
    sized: tuple[Source | Setting | Stage, ...] = (*plant.sources, *plant.settings, *plant.sequence)
    for part in sized:
        yield from _sizes(plant, part.sizes, part.route, owner)
    shown = tuple(display.shows for display in plant.displays)
    for stage in plant.sequence:
        for index, name in enumerate(stage.displays):
            yield Use((*stage.route, "displays", index), name, "display", shown, owner)
        for passing in stage.passes:
            yield Use((*passing.route, "shows"), passing.shows, "display", shown, owner)


def _devices_of(base: KnowledgeBase, plant_id: str, plant: Equipment) -> Iterator[Use]:
    """Yield the devices and circuits a plant names; they must be its own."""
    listed: list[tuple[Route, str]] = []
    for opening in (plant.covers, plant.fuel_valves):
        listed += [((*o.route, "opens", i), name) for o in opening for i, name in enumerate(o.opens)]
    for named in (plant.settings, plant.memory):
        listed += [((*one.route, "device"), one.device) for one in named]
    for stage in plant.sequence:
        for field in ("made", "open", "ignored"):
            names = enumerate(getattr(stage, field))
            listed += [((*stage.route, field, index), name) for index, name in names]
        for index, name in enumerate(stage.strings_made):
            if base.circuit(name):
                route = (*stage.route, "strings_made", index)
                yield Use(route, name, "circuit", _circuits(base, {plant_id}), plant_id)
    for route, name in listed:
        yield from _foreign_device(base, route, name, (plant_id,), plant_id)


def _foreign_device(
    base: KnowledgeBase, route: Route, name: str, families: tuple[str, ...], owner: str
) -> Iterator[Use]:
    """Yield a device of other plants only; one of no plant in particular may stand anywhere."""
    device = base.device(name) if name else None
    theirs = device.equipment if device is not None else ()
    if not theirs or set(theirs) & set(families):
        return
    # Where a plant cannot be found, that is the cause.
    if all(base.equipment(plant) for plant in (*theirs, *families)):
        yield Use(route, name, "device", _devices(base, set(families)), owner)


def _in_circuit(base: KnowledgeBase, circuit: Circuit) -> Iterator[Use]:
    plant = base.equipment(circuit.equipment)
    if plant is None:
        return
    owner = circuit.equipment
    if circuit.supply.source:
        electric = _ids(source for source in plant.sources if source.electric)
        yield Use(("supply", "source"), circuit.supply.source, "electric source", electric, owner)
    for part in parts(circuit.path):
        yield from _sizes(plant, part.sizes, part.route, owner)
        # Broken settings list no region.
        for index, region in enumerate(part.regions if base.shop.shop else ()):
            yield Use((*part.route, "regions", index), region, "region", base.shop.regions, "kb.yaml")
        if isinstance(part, Coil):
            yield from _foreign_device(base, (*part.route, "coil"), part.coil, (owner,), owner)
        if isinstance(part, Contact):
            yield from _foreign_device(base, (*part.route, "contact"), part.contact, (owner,), owner)
            device = base.device(part.contact)
            if device is not None and part.which:
                yield Use((*part.route, "which"), part.which, "contact", _ids(device.contacts), part.contact)
        if part.option:
            yield Use((*part.route, "option"), part.option, "option", _ids(plant.options), owner)
        if isinstance(part, Point):
            if part.place:
                yield Use((*part.route, "place"), part.place, "place", _ids(plant.places), owner)
            if part.cover:
                yield Use((*part.route, "cover"), part.cover, "cover", _ids(plant.covers), owner)


def _in_device(base: KnowledgeBase, device: Device) -> Iterator[Use]:
    for plant_id in device.equipment:
        plant = base.equipment(plant_id)
        if plant is None:
            continue
        yield from _sizes(plant, device.sizes, (), plant_id)
        if device.place:
            yield Use(("place",), device.place, "place", _ids(plant.places), plant_id)


def _in_symptom(base: KnowledgeBase, symptom: Symptom) -> Iterator[Use]:
    families = symptom.equipment
    owner = " or ".join(families)
    if families and symptom.circuit and base.circuit(symptom.circuit):
        yield Use(("circuit",), symptom.circuit, "circuit", _circuits(base, set(families)), owner)
    for named in (symptom.suspects, symptom.look_first) if families else ():
        for one in named:
            yield from _foreign_device(base, (*one.route, "device"), one.device, families, owner)
    for plant_id in symptom.equipment:
        plant = base.equipment(plant_id)
        if plant is None:
            continue
        yield from _sizes(plant, symptom.sizes, (), plant_id)
        if symptom.stage:
            yield Use(("stage",), symptom.stage, "stage", _ids(plant.sequence), plant_id)


def _in_procedure(base: KnowledgeBase, procedure: Procedure) -> Iterator[Use]:
    steps = tuple(step.id for step in procedure.steps if step.id)
    for step in procedure.steps:
        if step.go:
            yield Use((*step.route, "go"), step.go, "step", steps, "this procedure")
        for outcome in step.outcomes:
            yield Use((*outcome.route, "go"), outcome.go, "step", steps, "this procedure")
        if isinstance(step.action, act.Undo):
            fitted = tuple(s.action.name for s in procedure.steps if isinstance(s.action, act.Fit))
            yield Use((*step.route, "undo"), step.action.undo, "alteration", fitted, "this procedure")
        if isinstance(step.action, act.HandOver) and step.action.next_step:
            other = base.procedure(step.action.next) if step.action.next else procedure
            if other is not None:
                there = tuple(s.id for s in other.steps if s.id)
                route = (*step.route, "next_step")
                yield Use(route, step.action.next_step, "step", there, step.action.next or "this procedure")
    for plant_id in procedure.equipment:
        plant = base.equipment(plant_id)
        if plant is not None:
            yield from _sizes(plant, procedure.sizes, (), plant_id)
            for step in procedure.steps:
                yield from _on_plant(plant, plant_id, step.action, step.route)
    yield from _of_this_plant(base, procedure)
    yield from _points(base, procedure)


_DEVICE_FIELDS = ("across", "over", "prove_trip", "check_real")


def _of_this_plant(base: KnowledgeBase, procedure: Procedure) -> Iterator[Use]:
    """Yield circuits and devices that exist; they must be those of the plant the procedure is about."""
    families = set(procedure.equipment)
    owner = " or ".join(procedure.equipment)
    circuits = _circuits(base, families)
    named = [((), procedure)] + [(step.route, step.action) for step in procedure.steps]
    for route, holder in named:
        circuit = getattr(holder, "circuit", "")
        if circuit and base.circuit(circuit):
            yield Use((*route, "circuit"), circuit, "circuit", circuits, owner)
        for field in _DEVICE_FIELDS if holder is not procedure else ():
            name = getattr(holder, field, "")
            yield from _foreign_device(base, (*route, field), name, procedure.equipment, owner)


def _circuits(base: KnowledgeBase, families: set[str]) -> tuple[str, ...]:
    return tuple(entry.ref.id for entry, circuit in base.of(Circuit) if circuit.equipment in families)


def _devices(base: KnowledgeBase, families: set[str]) -> tuple[str, ...]:
    return tuple(entry.ref.id for entry, device in base.of(Device) if families & set(device.equipment))


_ON_PLANT: dict[type, tuple[str, str, Callable[[Equipment], tuple[str, ...]]]] = {
    act.Isolate: ("isolate", "source", lambda plant: _ids(plant.sources)),
    act.Lock: ("lock", "source", lambda plant: _ids(plant.sources)),
    act.ProveDead: ("prove_dead", "source", lambda plant: _ids(plant.sources)),
    act.Unlock: ("unlock", "source", lambda plant: _ids(plant.sources)),
    act.Restore: ("restore", "source", lambda plant: _ids(plant.sources)),
    act.OpenCover: ("open_cover", "cover", lambda plant: _ids(plant.covers)),
    act.CloseCover: ("close_cover", "cover", lambda plant: _ids(plant.covers)),
    act.ShutValve: ("shut_valve", "fuel valve", lambda plant: _ids(plant.fuel_valves)),
    act.OpenValve: ("open_valve", "fuel valve", lambda plant: _ids(plant.fuel_valves)),
    act.Adjust: ("adjust", "setting", lambda plant: tuple(s.id for s in plant.settings if s.id)),
}


def _on_plant(plant: Equipment, owner: str, action: act.AnyAction | None, route: Route) -> Iterator[Use]:
    if type(action) in _ON_PLANT:
        field, what, known = _ON_PLANT[type(action)]
        yield Use((*route, field), getattr(action, field), what, known(plant), owner)


def _points(base: KnowledgeBase, procedure: Procedure) -> Iterator[Use]:
    for step in procedure.steps:
        action = step.action
        if not isinstance(action, act.Measure | act.Watch | act.Fit):
            continue
        circuit_id = action.circuit or procedure.circuit
        known, owner = _marks(base, circuit_id, procedure.equipment)
        fields = ("from_", "to") if isinstance(action, act.Fit) else ("at", "to")
        for field in fields:
            mark = getattr(action, field)
            if mark and known:
                yield Use((*step.route, field.removesuffix("_")), mark, "test point", known, owner)


def _marks(base: KnowledgeBase, circuit_id: str, equipment: tuple[str, ...]) -> tuple[tuple[str, ...], str]:
    """Return the marks a step may name: its circuit's, else those of all circuits of the plant."""
    circuit = base.circuit(circuit_id) if circuit_id else None
    circuits = (
        [circuit]
        if circuit
        else [c for _, c in base.of(Circuit) if not circuit_id and c.equipment in equipment]
    )
    marks = tuple(p.point for c in circuits for p in parts(c.path) if isinstance(p, Point))
    return marks, circuit_id or "the circuits of this plant"
