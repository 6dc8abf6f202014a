"""The state of the plant a circuit is measured in: part of every question about it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from kbgen.link.base import KnowledgeBase
from kbgen.model.circuit import Circuit
from kbgen.model.equipment import Equipment, Stage
from kbgen.nearest import nearest


class UnknownName(ValueError):  # noqa: N818 - it is what the reader is told, not a fault of the program
    """A size, stage, option, valve, cover, point or device that the plant does not have."""

    def __init__(self, what: str, name: str, known: tuple[str, ...]) -> None:
        near = nearest(name, sorted(known))
        hint = f"Did you mean `{near}`?" if near else f"Known: {', '.join(known) or 'none'}."
        super().__init__(f"`{name}` is not {'an' if what[0] in 'aeiou' else 'a'} {what}. {hint}")


@dataclass(frozen=True, slots=True)
class State:
    """How the plant stands while somebody measures.

    Attributes:
        size: Id of a size; empty for the first size of the plant.
        stage: Id of a stage; empty for the first in which the circuit is judged.
        options: Ids of the options fitted.
        region: Id of a region; empty for all regions of the shop.
        valves_shut: Ids of the fuel valves that are shut.
        covers_off: Ids of the covers that are open.
        supply_on: Whether the circuit's own supply is on.
    """

    size: str = ""
    stage: str = ""
    options: frozenset[str] = frozenset()
    region: str = ""
    valves_shut: frozenset[str] = frozenset()
    covers_off: frozenset[str] = frozenset()
    supply_on: bool = True

    def to_json(self) -> dict[str, object]:
        """Return plain data in a stable order."""
        return {
            "size": self.size,
            "stage": self.stage,
            "options": sorted(self.options),
            "region": self.region,
            "valves_shut": sorted(self.valves_shut),
            "covers_off": sorted(self.covers_off),
            "supply_on": self.supply_on,
        }


@dataclass(frozen=True, slots=True)
class Setting:
    """A circuit, its plant and the state, with every name in it known to exist.

    Attributes:
        asked: The state as it was given; ``state`` names the size and the stage that stand for it.
        stages: Ids of the stages the circuit is judged in, on this size.
        opened: Devices whose contact is open because a valve is shut or a cover is off.
    """

    base: KnowledgeBase
    circuit_id: str
    circuit: Circuit
    plant: Equipment
    state: State
    stage: Stage | None
    opened: frozenset[str]
    asked: State
    stages: tuple[str, ...]


def settle(base: KnowledgeBase, circuit_id: str, state: State) -> Setting:
    """Look up a circuit and everything its state names.

    Raises:
        UnknownName: The circuit, or a name in the state, does not exist.
    """
    circuit = base.circuit(circuit_id)
    if circuit is None:
        raise UnknownName("circuit", circuit_id, tuple(e.ref.id for e, _ in base.of(Circuit)))
    plant = base.equipment(circuit.equipment)
    if plant is None:
        raise UnknownName("plant", circuit.equipment, tuple(e.ref.id for e, _ in base.of(Equipment)))
    _known("size", (state.size,), tuple(s.id for s in plant.sizes))
    _known("stage", (state.stage,), tuple(s.id for s in plant.sequence))
    _known("option", state.options, tuple(o.id for o in plant.options))
    _known("region", (state.region,), base.shop.regions)
    _known("fuel valve", state.valves_shut, tuple(v.id for v in plant.fuel_valves))
    _known("cover", state.covers_off, tuple(c.id for c in plant.covers))
    size = state.size or (plant.sizes[0].id if plant.sizes else "")
    opened = {d for v in plant.fuel_valves if v.id in state.valves_shut for d in v.opens}
    opened |= {d for c in plant.covers if c.id in state.covers_off for d in c.opens}
    stages = judged_in(circuit_id, circuit, plant, size)
    stage = state.stage or next(iter(stages), "")
    return Setting(
        base=base,
        circuit_id=circuit_id,
        circuit=circuit,
        plant=plant,
        state=replace(state, size=size, stage=stage),
        stage=next((s for s in plant.sequence if s.id == stage), None),
        opened=frozenset(opened),
        asked=state,
        stages=stages,
    )


def judged_in(circuit_id: str, circuit: Circuit, plant: Equipment, size: str) -> tuple[str, ...]:
    """Return the stages a circuit is judged in, in their order: those it names, else those that name it.

    Args:
        size: Id of the size; empty for all sizes.
    """
    return tuple(
        stage.id
        for stage in plant.sequence
        if (stage.id in circuit.stages if circuit.stages else circuit_id in stage.strings_made)
        and (not size or not stage.sizes or size in stage.sizes)
    )


def _known(what: str, names: tuple[str, ...] | frozenset[str], known: tuple[str, ...]) -> None:
    for name in sorted(names):
        if name and name not in known:
            raise UnknownName(what, name, known)
