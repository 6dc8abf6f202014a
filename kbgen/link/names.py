"""Names inside entries: sizes, stages, sources, places, covers, valves, points, steps, settings.

They are ids of the equipment (or marks of a circuit, or ids of steps) rather than of entries, so
the schemas cannot say which are valid; this module can.
"""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.link.action_names import in_procedure
from kbgen.link.base import KnowledgeBase
from kbgen.link.known import Use, circuits, foreign_device, ids, sizes
from kbgen.link.references import UNKNOWN_NAME
from kbgen.model.circuit import Circuit, Coil, Contact, Load, Point, parts
from kbgen.model.device import Device
from kbgen.model.entry import Entry
from kbgen.model.equipment import Equipment, FuelPoint, FuelValve, Setting, Source, Stage, Zone
from kbgen.model.field_note import FieldNote
from kbgen.model.plant import Machine
from kbgen.model.procedure import Procedure, places_of
from kbgen.model.proof import Proof
from kbgen.model.symptom import Symptom
from kbgen.nearest import nearest
from kbgen.position import Route, Spot
from kbgen.problems import Problem
from kbgen.ref import Ref


def names_in(base: KnowledgeBase, entry: Entry, broken: frozenset[Ref] = frozenset()) -> Iterator[Problem]:
    """Report the inner names of one entry that nothing defines.

    Args:
        broken: Entries whose files could not be read; a name that one of them may define is not judged.
    """
    for use in _uses(base, entry):
        if use.name in use.known or any(use.may_be_in(ref) for ref in broken):
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
            yield from in_procedure(base, procedure)
        case FieldNote() as note:
            plant = base.equipment(note.equipment)
            if plant and note.size:
                yield Use(("size",), note.size, "size", ids(plant.sizes), note.equipment)
            yield from foreign_device(base, ("device",), note.device, (note.equipment,), note.equipment)
            for remark in note.remarks:
                page = base.procedure(remark.page)
                # What was answered may well be of a step that is gone.
                if page and not remark.answer:
                    yield Use((*remark.route, "step"), remark.step, "step", places_of(page), remark.page)
        case Machine() as machine:
            yield from _in_machine(base, machine)


def _in_machine(base: KnowledgeBase, machine: Machine) -> Iterator[Use]:
    if machine.site:
        yield Use(("site",), machine.site, "site", ids(base.shop.sites), "kb.yaml")
    family = base.equipment(machine.equipment)
    if family is None:
        return
    owner = machine.equipment
    if machine.size:
        yield Use(("size",), machine.size, "size", ids(family.sizes), owner)
    for field in ("options", "without"):
        for index, name in enumerate(getattr(machine, field)):
            yield Use((field, index), name, "option", ids(family.options), owner)
    for left in machine.settings:
        own = ids(each for each in family.settings if each.id and fits(each, machine.size))
        yield Use((*left.route, "setting"), left.setting, "setting of this size", own, owner)
    for proved in machine.proofs:
        yield from foreign_device(base, (*proved.route, "device"), proved.device, (owner,), owner)
        where = base.device(proved.device) if proved.device else family
        if where is not None and proved.proof:
            of = proved.device or owner
            yield Use((*proved.route, "proof"), proved.proof, "proof", ids(where.proofs), of)


def fits(setting: Setting, size: str) -> bool:
    """Return whether a setting holds for a size; where that is not said, it may."""
    return not size or not setting.sizes or size in setting.sizes


def _in_equipment(plant: Equipment) -> Iterator[Use]:
    owner = "this equipment"
    places = ids(plant.places)
    for cover in plant.covers:
        yield Use((*cover.route, "place"), cover.place, "place", places, owner)
        for index, name in enumerate(cover.reached_by):
            yield Use((*cover.route, "reached_by", index), name, "source", ids(plant.sources), owner)
    for source in plant.sources:
        for index, name in enumerate(source.off_after):
            yield Use((*source.route, "off_after", index), name, "source", ids(plant.sources), owner)
    for valve in plant.fuel_valves:
        if valve.fuel:
            fuels = ids(each for each in plant.sources if each.energy == "fuel")
            yield Use((*valve.route, "fuel"), valve.fuel, "fuel source", fuels, owner)
    placed: tuple[FuelValve | FuelPoint | Zone, ...] = (*plant.fuel_valves, *plant.fuel_points, *plant.zones)
    for each in placed:
        if each.place:
            yield Use((*each.route, "place"), each.place, "place", places, owner)
    yield from _in_handling(plant, owner)
    yield from _in_proofs(plant, plant.proofs, owner)
    for zone in plant.zones:
        for field in ("reached_by", "beside"):
            for index, name in enumerate(getattr(zone, field)):
                yield Use((*zone.route, field, index), name, "source", ids(plant.sources), owner)
        for index, name in enumerate(zone.behind):
            yield Use((*zone.route, "behind", index), name, "cover", ids(plant.covers), owner)
    sized: tuple[Source | Setting | Stage, ...] = (*plant.sources, *plant.settings, *plant.sequence)
    for part in sized:
        yield from sizes(plant, part.sizes, part.route, owner)
    shown = tuple(display.shows for display in plant.displays)
    for stage in plant.sequence:
        for index, name in enumerate(stage.displays):
            yield Use((*stage.route, "displays", index), name, "display", shown, owner)
        for passing in stage.passes:
            yield Use((*passing.route, "shows"), passing.shows, "display", shown, owner)


def _in_proofs(plant: Equipment, proofs: tuple[Proof, ...], owner: str) -> Iterator[Use]:
    known = tuple(each.id for each in plant.settings if each.id)
    for proof in proofs:
        yield from sizes(plant, proof.sizes, proof.route, owner)
        for index, name in enumerate(proof.settings):
            yield Use((*proof.route, "settings", index), name, "setting", known, owner)


def _in_handling(plant: Equipment, owner: str) -> Iterator[Use]:
    """Yield what the words and orders for handling a plant name."""
    for source in plant.sources:
        if source.behind:
            yield Use((*source.route, "behind"), source.behind, "cover", ids(plant.covers), owner)
    for index, name in enumerate(plant.off_order):
        yield Use(("off_order", index), name, "source", ids(plant.sources), owner)
    for asked in plant.arrive:
        yield Use((*asked.route, "otherwise"), asked.otherwise, "ending", ids(plant.endings), owner)


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
                yield Use(route, name, "circuit", circuits(base, {plant_id}), plant_id)
    for route, name in listed:
        yield from foreign_device(base, route, name, (plant_id,), plant_id)


def _in_circuit(base: KnowledgeBase, circuit: Circuit) -> Iterator[Use]:
    plant = base.equipment(circuit.equipment)
    if plant is None:
        return
    owner = circuit.equipment
    if circuit.supply.source:
        electric = ids(source for source in plant.sources if source.electric)
        yield Use(("supply", "source"), circuit.supply.source, "electric source", electric, owner)
    for index, stage in enumerate(circuit.stages):
        yield Use(("stages", index), stage, "stage", ids(plant.sequence), owner)
    for part in parts(circuit.path):
        yield from sizes(plant, part.sizes, part.route, owner)
        # Broken settings list no region.
        for index, region in enumerate(part.regions if base.shop.shop else ()):
            yield Use((*part.route, "regions", index), region, "region", base.shop.regions, "kb.yaml")
        if isinstance(part, Coil):
            yield from foreign_device(base, (*part.route, "coil"), part.coil, (owner,), owner)
        if isinstance(part, Load) and part.drives:
            yield from foreign_device(base, (*part.route, "drives"), part.drives, (owner,), owner)
        if isinstance(part, Contact):
            yield from foreign_device(base, (*part.route, "contact"), part.contact, (owner,), owner)
            device = base.device(part.contact)
            if device is not None and part.which:
                yield Use((*part.route, "which"), part.which, "contact", ids(device.contacts), part.contact)
        if part.option:
            yield Use((*part.route, "option"), part.option, "option", ids(plant.options), owner)
        if isinstance(part, Point):
            if part.place:
                yield Use((*part.route, "place"), part.place, "place", ids(plant.places), owner)
            if part.cover:
                yield Use((*part.route, "cover"), part.cover, "cover", ids(plant.covers), owner)


def _in_device(base: KnowledgeBase, device: Device) -> Iterator[Use]:
    for plant_id in device.equipment:
        plant = base.equipment(plant_id)
        if plant is None:
            continue
        yield from sizes(plant, device.sizes, (), plant_id)
        if device.place:
            yield Use(("place",), device.place, "place", ids(plant.places), plant_id)
        for index, name in enumerate(device.reached_by):
            yield Use(("reached_by", index), name, "source", ids(plant.sources), plant_id)
        yield from _in_proofs(plant, device.proofs, plant_id)


def _in_symptom(base: KnowledgeBase, symptom: Symptom) -> Iterator[Use]:
    families = symptom.equipment
    owner = " or ".join(families)
    if families and symptom.circuit and base.circuit(symptom.circuit):
        yield Use(("circuit",), symptom.circuit, "circuit", circuits(base, set(families)), owner)
    for named in (symptom.suspects, symptom.look_first) if families else ():
        for one in named:
            yield from foreign_device(base, (*one.route, "device"), one.device, families, owner)
    for plant_id in symptom.equipment:
        plant = base.equipment(plant_id)
        if plant is None:
            continue
        yield from sizes(plant, symptom.sizes, (), plant_id)
        if symptom.stage:
            yield Use(("stage",), symptom.stage, "stage", ids(plant.sequence), plant_id)
