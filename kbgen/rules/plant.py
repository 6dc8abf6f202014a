"""Rules about the plant itself: stages that can be, covers and valves that open what they can, phases."""

from __future__ import annotations

import re
from collections.abc import Iterator

from kbgen.compute.circuit.state import State, settle
from kbgen.compute.circuit.variant import blocked_at, fitted_path
from kbgen.link.base import KnowledgeBase
from kbgen.model.circuit import Circuit, Contact
from kbgen.model.equipment import Equipment, Stage
from kbgen.position import Route, Spot
from kbgen.problems import Problem, Related
from kbgen.rule import Family
from kbgen.rules.circuit_parts import repeated
from kbgen.rules.material import Check, Material

PLANT = Family(
    "Plant",
    "Plain logic: what excludes itself cannot be on the plant, so one of the two was typed wrong.",
    follows_names=True,
)

_LISTS = {"made": "must be made", "open": "must be open", "ignored": "is not checked"}
_THREE_PHASE = re.compile(r"\bL3\b|\b(?:three|3)[- ]?phase\b|\b3~", re.IGNORECASE)
_FELT_AT_A_VALVE = ("gas-pressure", "flame", "valve-closure")


FIRING_WITHOUT_STRING = PLANT.warning(
    "firing-without-string",
    "Whoever reads why the flame went out is shown no suspect.",
    "- {id: firing, title: Firing, firing: true}",
    "- {id: firing, title: Firing, firing: true, strings_made: [limits]}",
    rests_on="`firing` and `strings_made` of the stage.",
)


def _stages(material: Material) -> Iterator[Problem]:
    for entry, plant in material.base.of(Equipment):
        drawn = any(circuit.equipment == entry.ref.id for _, circuit in material.base.of(Circuit))
        told: set[tuple[str, Route]] = set()
        for stage in plant.sequence:
            twice = list(_twice(material.base, entry.path, stage))
            yield from twice or _strings(material.base, entry.path, plant, stage, told)
            if drawn and stage.firing and not stage.strings_made and not stage.made:
                yield FIRING_WITHOUT_STRING.at(
                    Spot(entry.path, (*stage.route, "firing")),
                    f"there may be a flame in this stage, and no string must be made: {stage.title}",
                    "List under `strings_made` the circuits that shut the fuel off when they open.",
                )


STAGE_CONTRADICTS = PLANT.error(
    "stage-contradicts",
    "The reader is told of the same contact that it is right and that it is the fault.",
    "made: [air-switch]\nopen: [air-switch]",
    "open: [air-switch]",
    rests_on="`made`, `open` and `ignored` of the stage.",
)


def _twice(base: KnowledgeBase, path: str, stage: Stage) -> Iterator[Problem]:
    first: dict[str, tuple[str, Route]] = {}
    for field, says in _LISTS.items():
        for index, name in enumerate(getattr(stage, field)):
            earlier, route = first.setdefault(name, (field, (*stage.route, field, index)))
            if earlier != field:
                device = base.device(name)
                yield STAGE_CONTRADICTS.at(
                    Spot(path, (*stage.route, field, index)),
                    f"{device.head.title if device else name} {_LISTS[earlier]} in this stage and {says} too",
                    "Take it out of one of the two lists.",
                    Related(Spot(path, route), "the other list"),
                )


STRING_CANNOT_MAKE = PLANT.error(
    "string-cannot-make",
    "The table of this stage shows the sound string as open, and a good contact is replaced.",
    "strings_made: [running]\nopen: [air-switch]  # stands in the running string",
    "strings_made: [running]",
    rests_on="The string's `path` and the contacts that the stage says are open.",
)


def _strings(
    base: KnowledgeBase, path: str, plant: Equipment, stage: Stage, told: set[tuple[str, Route]]
) -> Iterator[Problem]:
    """Find strings that must be made in a stage and cannot, by what it says of their contacts.

    Args:
        base: The knowledge base.
        path: Of the plant's file.
        plant: The plant.
        stage: One of its stages.
        told: Strings with the part that stops them, from the stages before: each is told once.
    """
    options = frozenset(option.id for option in plant.options)
    sizes = stage.sizes or tuple(size.id for size in plant.sizes) or ("",)
    for index, name in enumerate(stage.strings_made):
        circuit = base.circuit(name)
        # Names that lead nowhere, and a contact that stands there twice, are told where they stand.
        if circuit is None or base.equipment(circuit.equipment) is not plant or any(repeated(circuit)):
            continue
        known = [size for size in sizes if not size or size in {each.id for each in plant.sizes}]
        for state in (
            State(size=s, stage=stage.id, options=o) for s in known for o in (frozenset(), options)
        ):
            setting = settle(base, name, state)
            part = blocked_at(setting, fitted_path(setting, circuit))
            if part is None or (name, part.route) in told:
                continue
            told.add((name, part.route))
            where = "none of the parallel branches can"
            if isinstance(part, Contact):
                device = base.device(part.contact)
                says = _LISTS["ignored" if part.contact in stage.ignored else "open"]
                where = f"{device.head.title if device else part.contact} in it {says}"
            yield STRING_CANNOT_MAKE.at(
                Spot(path, (*stage.route, "strings_made", index)),
                f"{circuit.head.title} must be made in this stage, and {where}",
                "Take the string out, or say of the contact that it is made; list the others one by one under `made`.",
            )
            break


def _opened(material: Material) -> Iterator[Problem]:
    yield from _covers(material)
    yield from _valves(material)


OPENS_ELSEWHERE = PLANT.error(
    "opens-elsewhere",
    "The wrong contact counts as open with this cover or valve, and the right one as made.",
    "- {id: unit-door, title: Unit door, place: roof, opens: [overload]}  # in the panel",
    "- {id: unit-door, title: Unit door, place: roof, opens: [door-switch]}",
    rests_on="`opens` of covers and valves, and the circuits of the plant.",
)


def _covers(material: Material) -> Iterator[Problem]:
    for entry, plant in material.base.of(Equipment):
        places = {place.id: place.title for place in plant.places}
        for cover in plant.covers:
            for index, name in enumerate(cover.opens):
                device = material.base.device(name)
                if device and device.place in places and device.place != cover.place:
                    yield OPENS_ELSEWHERE.at(
                        Spot(entry.path, (*cover.route, "opens", index)),
                        f"{device.head.title} is in another place than this cover: {places[device.place]}",
                        "Name the switch at this cover, or correct one of the two places.",
                    )


def _valves(material: Material) -> Iterator[Problem]:
    for entry, plant in material.base.of(Equipment):
        for valve in plant.fuel_valves:
            for index, name in enumerate(valve.opens):
                device = material.base.device(name)
                if device and device.guards and device.guards not in _FELT_AT_A_VALVE:
                    yield OPENS_ELSEWHERE.at(
                        Spot(entry.path, (*valve.route, "opens", index)),
                        f"{device.head.title} watches no gas; shutting this valve does not open its contact",
                        "Name the pressure switch behind the valve, or correct what the device guards.",
                    )


PHASES_NOT_SAID = PLANT.warning(
    "phases-not-said",
    "Proving it dead then asks for two conductors, and the third may be live.",
    "- {id: fan, title: Fan three-phase, energy: electric, isolate: Q1}",
    "- {id: fan, title: Fan three-phase, energy: electric, phases: 3, isolate: Q1}",
    rests_on="`voltage`, `phases` and `conductors` of the source.",
)


def _phases(material: Material) -> Iterator[Problem]:
    for entry, plant in material.base.of(Equipment):
        for source in plant.sources:
            said = next(
                (f for f in ("title", "isolate", "prove") if _THREE_PHASE.search(getattr(source, f))), ""
            )
            if source.electric and source.phases != 3 and said:
                yield PHASES_NOT_SAID.at(
                    Spot(entry.path, (*source.route, said)),
                    "this reads like three phases, and `phases` does not say so",
                    "Write `phases: 3`; then proving it dead asks for every conductor.",
                )


CHECKS: tuple[Check, ...] = (_stages, _opened, _phases)
