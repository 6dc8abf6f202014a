"""The plant that a procedure is about, in the words that a change of it needs.

Everything comes from the entries of that plant. So a changed procedure names only what is there: no
mutant is refused because it shuts a cock that this plant does not have, and none passes because it
left alone what this plant calls by another name.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from kbgen.link.base import KnowledgeBase
from kbgen.model.circuit import AnyPart, Circuit, Coil, Contact, Input, Load, Parallel, Point, parts
from kbgen.model.device import Device
from kbgen.model.equipment import Equipment, FuelValve, Setting
from kbgen.model.procedure import Procedure
from tests.mutants.draft import Draft, Step


@dataclass(frozen=True)
class Gap:
    """Two neighbouring terminals of a circuit and the device between them."""

    circuit: str
    one: str
    other: str
    device: str


@dataclass(frozen=True)
class Site:
    """One family of plant with its circuits, devices and procedures."""

    base: KnowledgeBase
    name: str

    @cached_property
    def equipment(self) -> Equipment:
        """The family."""
        found = self.base.equipment(self.name)
        assert found is not None
        return found

    @cached_property
    def circuits(self) -> dict[str, Circuit]:
        """Its circuits by id."""
        return {entry.ref.id: each for entry, each in self.base.of(Circuit) if each.equipment == self.name}

    @cached_property
    def families(self) -> list[str]:
        """Every family of plant of the knowledge base."""
        return sorted(entry.ref.id for entry, _ in self.base.of(Equipment))

    def of_family(self, name: str) -> Site:
        """Return another plant of the knowledge base."""
        return Site(self.base, name)

    @cached_property
    def devices(self) -> list[str]:
        """Its devices, and those of any plant."""
        return [
            entry.ref.id
            for entry, each in self.base.of(Device)
            if not each.equipment or self.name in each.equipment
        ]

    def device(self, name: str) -> Device | None:
        """Return a device by its id."""
        return self.base.device(name)

    # Sources.

    @cached_property
    def control(self) -> str:
        """The source that feeds every control circuit."""
        (source,) = {circuit.supply.source for circuit in self.circuits.values()}
        return source

    @cached_property
    def fuel(self) -> str:
        """The fuel, as a source."""
        return next(each.id for each in self.equipment.sources if each.energy == "fuel")

    @cached_property
    def electric(self) -> list[str]:
        """Electricity of every origin; what ``made-safe`` says is off and locked."""
        return [each.id for each in self.equipment.sources if each.electric]

    @cached_property
    def others(self) -> list[str]:
        """Sources beside control and fuel that have a lock of their own.

        Heat and motion without one cannot be left locked; leaving them alone is no mutant.
        """
        return [
            each.id
            for each in self.equipment.sources
            if (each.lock or each.electric)
            and each.energy not in ("motion", "heat")
            and each.id not in (self.control, self.fuel)
        ]

    # Fuel valves.

    @cached_property
    def valves(self) -> list[str]:
        """Every fuel valve."""
        return [each.id for each in self.equipment.fuel_valves]

    @cached_property
    def pilots(self) -> list[str]:
        """Valves that stop the pilot only."""
        return [each.id for each in self.equipment.fuel_valves if each.stops == "pilot-fuel"]

    @cached_property
    def train_valves(self) -> list[FuelValve]:
        """Valves before the whole train."""
        return [each for each in self.equipment.fuel_valves if each.stops in ("", "all-fuel")]

    # Covers.

    @cached_property
    def live_covers(self) -> list[str]:
        """Covers with terminals of a control circuit behind them."""
        behind = {
            part.cover
            for circuit in self.circuits.values()
            for part in parts(circuit.path)
            if isinstance(part, Point)
        }
        return [cover.id for cover in self.equipment.covers if cover.id in behind]

    @cached_property
    def plain_covers(self) -> list[str]:
        """Covers that no contact watches: the plant runs with them open."""
        return [cover.id for cover in self.equipment.covers if not cover.opens]

    @cached_property
    def watched_covers(self) -> dict[str, tuple[str, ...]]:
        """Covers whose contact opens with them, and the devices it belongs to."""
        return {cover.id: cover.opens for cover in self.equipment.covers if cover.opens}

    # Settings.

    @cached_property
    def limits(self) -> list[Setting]:
        """Settings of devices that trip when something is unsafe, where somebody may change them."""
        return [
            each
            for each in self._changed
            if each.device and (device := self.device(each.device)) and device.role != "operating"
        ]

    @cached_property
    def mixture(self) -> list[Setting]:
        """Gas pressures at the burner and before it, set by the licensed."""
        return [
            each
            for each in self._changed
            if not each.device and "gas" in each.title.casefold() and each.quantity == "pressure"
        ]

    @cached_property
    def operating(self) -> list[Setting]:
        """Settings that may stay changed, as long as somebody wrote it down."""
        mixture = {each.id for each in self.mixture} | {each.id for each in self.limits}
        return [
            each
            for each in self._changed
            if each.id not in mixture and each.quantity in ("time", "temperature")
        ]

    @cached_property
    def fixed(self) -> list[Setting]:
        """Settings that nobody may change."""
        return [each for each in self.equipment.settings if each.id and each.changed_by == "nobody"]

    @cached_property
    def _changed(self) -> list[Setting]:
        return [each for each in self.equipment.settings if each.id and _somebody(each.changed_by)]

    # Circuits.

    @cached_property
    def gaps(self) -> list[Gap]:
        """Every device of its circuits that lies alone between two neighbouring terminals."""
        return [gap for name, circuit in self.circuits.items() for gap in _gaps(name, circuit)]

    @cached_property
    def gaps_elsewhere(self) -> list[Gap]:
        """The same on the other families' plant."""
        return [
            gap
            for entry, circuit in self.base.of(Circuit)
            if circuit.equipment != self.name
            for gap in _gaps(entry.ref.id, circuit)
        ]

    def circuit_of(self, draft: Draft, step: Step | None = None) -> str:
        """Return the circuit of a step, else of its procedure, else the first one that has its terminals."""
        named = (step or {}).get("circuit") or draft.data.get("circuit", "")
        marks = {step[key] for key in ("at", "to") if key in step} if step else set()
        if named and marks <= self.marks(named):
            return named
        return next((name for name in self.circuits if marks <= self.marks(name)), named)

    def marks(self, circuit: str) -> set[str]:
        """The terminals of a circuit."""
        return {part.point for part in parts(self.circuits[circuit].path) if isinstance(part, Point)}

    def supply(self, circuit: str) -> list[str]:
        """Terminals before the first contact."""
        found = []
        for part in self.circuits[circuit].path:
            if isinstance(part, Contact | Parallel | Coil | Load | Input):
                break
            if isinstance(part, Point):
                found.append(part.point)
        return found

    def returns(self, circuit: str) -> str:
        """The terminal of the return."""
        last = self.circuits[circuit].path[-1]
        assert isinstance(last, Point)
        return last.point

    def with_input(self) -> str:
        """The first circuit that ends in an input of the controller."""
        return next(
            name
            for name, circuit in self.circuits.items()
            if any(isinstance(part, Input) for part in circuit.path)
        )

    def upstream(self, circuit: str, mark: str) -> set[str]:
        """Devices on the way from the supply to a terminal, as far as they lie in the string itself."""
        found = set()
        for part in self.circuits[circuit].path:
            if isinstance(part, Point) and part.point == mark:
                return found
            if isinstance(part, Contact):
                found.add(part.contact)
        return set()

    @cached_property
    def trip(self) -> str:
        """A device that stops the burner."""
        contacts = [
            p.contact for c in self.circuits.values() for p in parts(c.path) if isinstance(p, Contact)
        ]
        return next(name for name in contacts if (found := self.device(name)) and found.role == "limit")

    # Procedures.

    @cached_property
    def procedures(self) -> dict[str, Procedure]:
        """Its procedures by id."""
        return {entry.ref.id: each for entry, each in self.base.of(Procedure) if self.name in each.equipment}

    def starting(self, *facts: str) -> list[str]:
        """Its procedures that begin with the plant in this state."""
        return [name for name, each in self.procedures.items() if set(facts) <= set(each.starts)]


def _gaps(name: str, circuit: Circuit) -> list[Gap]:
    path: list[AnyPart] = [part for part in circuit.path if isinstance(part, Point | Contact)]
    return [
        Gap(name, one.point, other.point, part.contact)
        for one, part, other in zip(path, path[1:], path[2:], strict=False)
        if isinstance(one, Point) and isinstance(part, Contact) and isinstance(other, Point)
    ]


def _somebody(changed_by: str) -> bool:
    return changed_by not in ("", "nobody")
