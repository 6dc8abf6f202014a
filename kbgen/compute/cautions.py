"""Which safety messages stand before which step.

A caution stands before a step because the step names it, or by itself because the step does
something the caution is about, or opens or switches off what has it in the plant's entry. By itself it stands once in a procedure, where it begins to matter:
a warning repeated on twelve steps is read on none.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from kbgen.link.base import KnowledgeBase
from kbgen.model import action as act
from kbgen.model.caution import Caution
from kbgen.model.equipment import Cover, Equipment, FuelValve, Source
from kbgen.model.procedure import Procedure, ProcedureStep
from kbgen.ref import Kind, Ref

SIGNALS = ("DANGER", "WARNING", "CAUTION", "NOTICE")
"""Signal words, the worst first."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A caution before a step; ``brief`` when its full text stood earlier in the procedure."""

    ref: Ref
    brief: bool


def situations(base: KnowledgeBase, step: ProcedureStep) -> frozenset[str]:
    """Return the kinds of step a step is, in the words of a caution's ``applies_to``."""
    found = {act.situation_of(step.action)} - {""}
    match step.action:
        case act.ProveTrip(prove_trip=device_id) | act.Hold(hold=device_id):
            device = base.device(device_id)
            if device is not None and device.guards == "water-level":
                found.add("low-water-test")
    return frozenset(found)


def place_cautions(base: KnowledgeBase, procedure: Procedure) -> tuple[tuple[Placed, ...], ...]:
    """Place cautions before the steps of a procedure.

    Returns:
        For each step, the cautions directly before it, the worst first; of one signal word those it names in its
        own order, then those that stand there by themselves, by id.
    """
    by_itself = _by_situation(base, procedure)
    plants = [plant for name in procedure.equipment if (plant := base.equipment(name))]
    shown = set(procedure.cautions)
    placed = []
    for step in procedure.steps:
        here: list[Placed] = []
        for name in step.cautions:
            here.append(Placed(_ref(name), brief=name in shown))
            shown.add(name)
        due = {name for situation in situations(base, step) for name in by_itself.get(situation, ())}
        due |= {name for plant in plants for name in _of_thing(plant, step)}
        for name in sorted(due - shown):
            here.append(Placed(_ref(name), brief=False))
            shown.add(name)
        placed.append(tuple(sorted(here, key=lambda each: rank(base, each.ref))))
    return tuple(placed)


def _of_thing(plant: Equipment, step: ProcedureStep) -> Iterator[str]:
    """Yield the cautions of what a step opens or switches off, whoever worded it: those of its cover, source or valve."""
    things: Sequence[Cover | Source | FuelValve]
    match step.action:
        case act.OpenCover(open_cover=name):
            things = plant.covers
        case act.Isolate(isolate=name) | act.ProveDead(prove_dead=name):
            things = plant.sources
        case act.OpenValve(open_valve=name):
            things = plant.fuel_valves
        case _:
            return
    for each in things:
        yield from each.cautions if each.id == name else ()


def rank(base: KnowledgeBase, ref: Ref) -> int:
    """Return how early a caution is read among those of one place: DANGER above WARNING above CAUTION."""
    entry = base.entries.get(ref)
    return SIGNALS.index(entry.record.signal) if entry and isinstance(entry.record, Caution) else len(SIGNALS)


def _by_situation(base: KnowledgeBase, procedure: Procedure) -> Mapping[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for entry, caution in base.of(Caution):
        if caution.equipment and not set(caution.equipment) & set(procedure.equipment):
            continue
        for situation in caution.applies_to:
            found[situation] = (*found.get(situation, ()), entry.ref.id)
    return found


def _ref(caution_id: str) -> Ref:
    return Ref(Kind.CAUTION, caution_id)
