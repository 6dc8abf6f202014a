"""What is due on a family of plant, by the shop's own scheme: the proofs of its devices and of the whole."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby

from kbgen.link.base import KnowledgeBase
from kbgen.model.device import Device
from kbgen.model.equipment import Equipment, Setting
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
        must = [(_figure(each), each.sizes) for each in named]
        if proof.value:
            must.append((proof.value, ()))
        yield Due(ref, proof, tuple(must))


def _figure(setting: Setting) -> str:
    return " ".join(each for each in (setting.value, setting.tolerance) if each)
