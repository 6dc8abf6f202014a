"""What is due on a family of plant, by the shop's own scheme: the proofs of its devices and of the whole."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import groupby

from kbgen.link.base import KnowledgeBase
from kbgen.model.device import Device
from kbgen.model.equipment import Equipment
from kbgen.model.procedure import Procedure
from kbgen.model.proof import Proof
from kbgen.ref import Kind, Ref


@dataclass(frozen=True, slots=True)
class Due:
    """One proof of a plant.

    Attributes:
        of: The device, or the plant, whose entry asks for it.
        must: What must be found, as typed: each setting with its tolerance and the ids of its sizes, else the value.
    """

    of: Ref
    proof: Proof
    must: tuple[tuple[str, tuple[str, ...]], ...]


def due_list(base: KnowledgeBase, plant_id: str) -> tuple[Due, ...]:
    """Return all that is due on a family of plant: what is due most often first, then in the order of the entries."""
    plant = base.equipment(plant_id)
    if plant is None:
        return ()
    found = list(_of(Ref(Kind.EQUIPMENT, plant_id), plant, plant.proofs))
    for entry, device in base.of(Device):
        if plant_id in device.equipment:
            found += _of(entry.ref, plant, device.proofs)
    return tuple(sorted(found, key=lambda due: _often(due.proof)))


@dataclass(frozen=True, slots=True)
class DueOn:
    """One proof of one machine; days in ISO 8601.

    Attributes:
        last: The day it was proved last; empty for never, as far as is known.
        next: The day it falls due; empty where it never was proved, or is due with the season.
    """

    due: Due
    last: str
    next: str


def due_on(
    base: KnowledgeBase, plant_id: str, size: str, proved: Mapping[tuple[str, str], str]
) -> tuple[DueOn, ...]:
    """Return what is due on one machine, in the order of the list of its family.

    Args:
        size: Its size; empty where that is not known.
        proved: The day of the last proof by device, or family of plant, and id of the proof.
    """
    found = []
    for due in due_list(base, plant_id):
        if not size or not due.proof.sizes or size in due.proof.sizes:
            last = proved.get((due.of.id, due.proof.id), "")
            found.append(DueOn(due, last, due.proof.every.after(last) if last else ""))
    return tuple(found)


def pages_done(ref: Ref, procedure: Procedure) -> frozenset[str]:
    """Return the ids of the pages that whoever does a page has done: itself, the one before it, those on its way."""
    taken = {step.origin.page for step in procedure.steps if step.origin is not None}
    return frozenset({ref.id, procedure.after, *taken} - {""})


def by_interval(found: Iterable[Due]) -> Iterator[tuple[str, tuple[Due, ...]]]:
    """Yield what is due together, under what a heading says of it; the season starts behind what has a date."""
    for (*_, said), dues in groupby(
        sorted(found, key=lambda due: _often(due.proof)), lambda d: _often(d.proof)
    ):
        yield said, tuple(dues)


def _often(proof: Proof) -> tuple[bool, float, str]:
    return proof.every.at_season_start, proof.every.days, proof.every.said


def _of(ref: Ref, plant: Equipment, proofs: tuple[Proof, ...]) -> Iterator[Due]:
    settings = {each.id: each for each in plant.settings if each.id}
    for proof in proofs:
        named = [settings[name] for name in proof.settings if name in settings]
        must = [(each.with_tolerance, each.sizes) for each in named]
        if proof.value:
            must.append((proof.value, ()))
        yield Due(ref, proof, tuple(must))
