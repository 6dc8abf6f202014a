"""From a stage of a run to the contacts it needs, to suspects, and to displays that pass by themselves."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from kbgen.compute.circuit.faults import device_of
from kbgen.compute.circuit.state import State, UnknownName, settle
from kbgen.compute.circuit.variant import make_variant
from kbgen.compute.statistics import device_weights
from kbgen.link.base import KnowledgeBase
from kbgen.model.circuit import Circuit, Contact, parts
from kbgen.model.equipment import Equipment, Stage


@dataclass(frozen=True, slots=True)
class Need:
    """A device a stage looks at.

    Attributes:
        must: ``made``, ``open`` or ``ignored``.
        circuits: The circuits its contact stands in.
        newly: Whether the stage before did not ask the same of it.
    """

    device: str
    must: str
    circuits: tuple[str, ...]
    newly: bool

    def to_json(self) -> dict[str, object]:
        """Return plain data."""
        return {
            "device": self.device,
            "must": self.must,
            "circuits": list(self.circuits),
            "newly": self.newly,
        }


@dataclass(frozen=True, slots=True)
class Suspect:
    """A device that may have stopped the plant in a stage, its share and the notes behind it."""

    need: Need
    share: float
    notes: int

    def to_json(self) -> dict[str, object]:
        """Return plain data."""
        return {**self.need.to_json(), "share": round(self.share, 4), "notes": self.notes}


@dataclass(frozen=True, slots=True)
class PassingDisplay:
    """A display that is normal in its stage and passes by itself: nobody should chase it."""

    stage: str
    shows: str
    lasts: str
    how_often: str
    why: str

    def to_json(self) -> dict[str, str]:
        """Return plain data."""
        return {
            "stage": self.stage,
            "shows": self.shows,
            "lasts": self.lasts,
            "how_often": self.how_often,
            "why": self.why,
        }


NEW_FACTOR = 4.0
"""What a device asked for anew in a stage is suspected more than one the stage before asked for too:
the one was good a moment ago, the other has shown nothing yet. A judgement, not a count."""


def stages_of(base: KnowledgeBase, equipment: str, size: str = "") -> tuple[Stage, ...]:
    """Return the stages a size goes through, in order.

    Raises:
        UnknownName: There is no such equipment.
    """
    return tuple(s for s in _plant(base, equipment).sequence if not size or not s.sizes or size in s.sizes)


def needs(
    base: KnowledgeBase, equipment: str, stage: str, size: str = "", options: frozenset[str] = frozenset()
) -> tuple[Need, ...]:
    """Return the devices a stage looks at, in the order of circuits and path, then the others.

    Raises:
        UnknownName: There is no such equipment, stage, size or option.
    """
    listed = stages_of(base, equipment, size)
    place = next((k for k, s in enumerate(listed) if s.id == stage), None)
    if place is None:
        raise UnknownName("stage", stage, tuple(s.id for s in listed))
    strings = _strings(base, equipment, State(size=size, options=options))
    before = _asked(listed[place - 1], strings) if place else {}
    fitted = _fitted(base, size)
    return tuple(
        Need(
            device,
            must,
            tuple(c for c, devices in strings.items() if device in devices),
            before.get(device) != must,
        )
        for device, must in _asked(listed[place], strings).items()
        if fitted(device)
    )


def suspects(
    base: KnowledgeBase, equipment: str, stage: str, size: str = "", options: frozenset[str] = frozenset()
) -> tuple[Suspect, ...]:
    """Return who may have stopped the plant in a stage, the likeliest first.

    Raises:
        UnknownName: There is no such equipment, stage, size or option.
    """
    asked = [need for need in needs(base, equipment, stage, size, options) if need.must != "ignored"]
    weights = device_weights(base, equipment, [need.device for need in asked])
    weighed = [(need, weights[need.device].weight * (NEW_FACTOR if need.newly else 1.0)) for need in asked]
    total = sum(weight for _, weight in weighed)
    found = [Suspect(need, weight / total, weights[need.device].notes) for need, weight in weighed]
    return tuple(sorted(found, key=lambda s: -s.share))


def passing(
    base: KnowledgeBase, equipment: str, stage: str = "", size: str = ""
) -> tuple[PassingDisplay, ...]:
    """Return the displays that pass by themselves, in a stage or in all of them.

    Raises:
        UnknownName: There is no such equipment.
    """
    return tuple(
        PassingDisplay(s.id, p.shows, p.lasts.text, p.how_often, p.why)
        for s in stages_of(base, equipment, size)
        if not stage or s.id == stage
        for p in s.passes
    )


def evaluated_in(base: KnowledgeBase, circuit_id: str) -> tuple[str, ...]:
    """Return the stages in which a circuit is looked at: as a whole, or at a contact in it.

    A plant whose stages name no circuit and no device says nothing about it: then none is returned,
    and that is no reason to doubt a symptom.

    Raises:
        UnknownName: There is no such circuit.
    """
    circuit = base.circuit(circuit_id)
    if circuit is None:
        raise UnknownName("circuit", circuit_id, tuple(entry.ref.id for entry, _ in base.of(Circuit)))
    plant = base.equipment(circuit.equipment)
    devices = {part.contact for part in parts(circuit.path) if isinstance(part, Contact)}
    return tuple(
        stage.id
        for stage in (plant.sequence if plant else ())
        if circuit_id in stage.strings_made or devices & {*stage.made, *stage.open} - set(stage.ignored)
    )


def _plant(base: KnowledgeBase, equipment: str) -> Equipment:
    plant = base.equipment(equipment)
    if plant is None:
        raise UnknownName("plant", equipment, tuple(entry.ref.id for entry, _ in base.of(Equipment)))
    return plant


def _fitted(base: KnowledgeBase, size: str) -> Callable[[str], bool]:
    def fitted(device_id: str) -> bool:
        device = base.device(device_id)
        return not (size and device and device.sizes) or size in device.sizes

    return fitted


def _strings(base: KnowledgeBase, equipment: str, state: State) -> dict[str, tuple[str, ...]]:
    """Return the devices in each circuit of a plant, as this size and these options have it."""
    found = {}
    for entry, _ in base.of(Circuit, plant=equipment):
        labels = make_variant(settle(base, entry.ref.id, state)).contacts
        found[entry.ref.id] = tuple(dict.fromkeys(device_of(label) for label in labels))
    return found


def _asked(stage: Stage, strings: dict[str, tuple[str, ...]]) -> dict[str, str]:
    """Return what a stage asks of each device; what is open or ignored comes before what is made."""
    asked: dict[str, str] = {}
    for device, must in _listed(stage, strings):
        asked.setdefault(device, must)
    ordered = [device for devices in strings.values() for device in devices if device in asked]
    return {device: asked[device] for device in dict.fromkeys([*ordered, *asked])}


def _listed(stage: Stage, strings: dict[str, tuple[str, ...]]) -> Iterator[tuple[str, str]]:
    yield from ((device, "open") for device in stage.open)
    yield from ((device, "ignored") for device in stage.ignored)
    yield from ((device, "made") for device in stage.made)
    for circuit in stage.strings_made:
        yield from ((device, "made") for device in strings.get(circuit, ()))
