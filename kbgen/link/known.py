"""Inner names: what each stands for where it is used, and what would be right there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from kbgen.link.base import NO_PLANT, KnowledgeBase
from kbgen.model.circuit import Circuit, Point, parts
from kbgen.model.device import Device
from kbgen.model.equipment import Equipment
from kbgen.model.takes import Names
from kbgen.position import Route
from kbgen.ref import Kind, Ref


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

    def may_be_in(self, ref: Ref) -> bool:
        """Whether an entry that could not be read may define this name."""
        match ref.kind:
            case Kind.DEVICE:
                return self.name == ref.id and self.what in (Names.DEVICE, Names.TRIPPED)
            case Kind.CIRCUIT:
                return self.what in (Names.POINT, Names.TRIPPED)
            case Kind.PROCEDURE:
                return self.what in (Names.FITTED, Names.CLIPPED)
            case _:
                return False


def ids(named: Iterable[object]) -> tuple[str, ...]:
    """Return the ids of records that have one."""
    return tuple(getattr(item, "id") for item in named)  # noqa: B009 - several record types share the field


def sizes(plant: Equipment, names: Iterable[str], route: Route, owner: str) -> Iterator[Use]:
    """Yield names of sizes."""
    for index, name in enumerate(names):
        yield Use((*route, "sizes", index), name, "size", ids(plant.sizes), owner)


def foreign_device(
    base: KnowledgeBase, route: Route, name: str, families: tuple[str, ...], owner: str
) -> Iterator[Use]:
    """Yield a device of other plants only; one of no plant in particular may stand anywhere."""
    device = base.device(name) if name else None
    theirs = device.equipment if device is not None else ()
    if not theirs or set(theirs) & set(families):
        return
    # Where a plant cannot be found, that is the cause.
    if all(base.equipment(plant) for plant in (*theirs, *families)):
        yield Use(route, name, "device", devices(base, set(families)), owner)


def circuits(base: KnowledgeBase, families: set[str]) -> tuple[str, ...]:
    """Return the circuits of some families of plant."""
    return tuple(entry.ref.id for entry, _ in base.of_plants(Circuit, families))


def devices(base: KnowledgeBase, families: set[str]) -> tuple[str, ...]:
    """Return the devices of some families of plant."""
    return tuple(entry.ref.id for entry, _ in base.of_plants(Device, families))


def anywhere(base: KnowledgeBase) -> tuple[str, ...]:
    """Return the devices of no plant in particular, which may stand anywhere."""
    return tuple(entry.ref.id for entry, _ in base.of(Device, plant=NO_PLANT))


def has_every_circuit(base: KnowledgeBase) -> bool:
    """Return whether every circuit that is named can be read; otherwise nobody knows what it lists."""
    return all(ref in base.entries for ref in base.backlinks if ref.kind is Kind.CIRCUIT)


def marks(base: KnowledgeBase, circuit_id: str, equipment: tuple[str, ...]) -> tuple[tuple[str, ...], str]:
    """Return the marks a step may name: its circuit's, else those of all circuits of the plant.

    None where a circuit cannot be found.
    """
    if not circuit_id and not has_every_circuit(base):
        return (), ""
    circuit = base.circuit(circuit_id) if circuit_id else None
    circuits = [circuit] if circuit else [c for _, c in base.of_plants(Circuit, equipment) if not circuit_id]
    marks = tuple(p.point for c in circuits for p in parts(c.path) if isinstance(p, Point))
    return marks, circuit_id or "the circuits of this plant"
