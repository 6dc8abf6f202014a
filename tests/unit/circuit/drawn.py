"""Draws of plants, solved independently, held against the intervals that are shown."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np

from kbgen.compute.circuit import defaults
from kbgen.compute.circuit.meter import SOLVED, digits
from kbgen.compute.circuit.readings import Table, readings
from kbgen.compute.circuit.state import State
from kbgen.link.base import KnowledgeBase
from tests.unit.circuit.independent import Netlist, Plant, draw, netlist, spice

_HAIR = 5e-3
"""Volts by which a shown interval is rounded."""


@dataclass
class Checked:
    """What was held against the intervals.

    Attributes:
        outside: By kind of fault, how many readings lie outside.
        examples: The first of these, in words.
        apart: Greatest share by which ngspice and the dense solver differ.
    """

    circuits: set[str] = field(default_factory=set)
    states: int = 0
    plants: int = 0
    readings: int = 0
    outside: Counter[str] = field(default_factory=Counter)
    examples: list[str] = field(default_factory=list)
    simulated: int = 0
    apart: float = 0.0


def ports_of(table: Table, net: Netlist) -> list[tuple[int, int]]:
    """Return where the leads stand for each port of a table, in the independent netlist."""
    back = net.marks[net.back] if net.back else 0
    contacts = {part.name: part for part in net.parts if part.kind == "contact"}
    found = [(net.marks[mark], back) for mark in table.points]
    return found + [(contacts[label].p, contacts[label].q) for label in table.devices]


def check(table: Table, plants: int, rng: np.random.Generator, into: Checked, simulate: float = 0.0) -> None:
    """Draw plants with each fault in turn and hold every reading against what is shown for it.

    Args:
        table: The circuit in one state.
        plants: How many to draw.
        rng: Where the values come from.
        into: What to count in.
        simulate: Share of the plants of which one reading is taken with ngspice too.
    """
    net = netlist(table.variant)
    ports = ports_of(table, net)
    nominal = table.network.volts[1]
    singles = [row for row, fault in enumerate(table.faults) if fault.kind != "open-pair"]
    pairs = [row for row, fault in enumerate(table.faults) if fault.kind == "open-pair"]
    into.states += 1
    into.circuits.add(table.variant.setting.circuit_id)
    for _ in range(plants):
        rows = pairs if pairs and rng.random() < 0.1 else singles
        row = int(rng.choice(rows))
        fault = table.faults[row]
        plant = draw(net, fault.id, rng, volts=_supply(fault.kind, net, rng))
        into.plants += 1
        for m, mode in enumerate(SOLVED):
            true = plant.read_all(ports, mode.ohms)
            off = 1 + rng.uniform(-defaults.METER_SHARE, defaults.METER_SHARE, len(ports))
            shown = true * off + rng.uniform(-1, 1, len(ports)) * digits(nominal)
            bounds = table.bounds[m, row]
            wrong = (shown < bounds[:, 0] - _HAIR) & (bounds[:, 0] > 0) | (shown > bounds[:, 1] + _HAIR)
            into.readings += len(ports)
            for port in np.flatnonzero(wrong):
                into.outside[fault.kind] += 1
                if len(into.examples) < 8:
                    setting = table.variant.setting
                    into.examples.append(
                        f"{setting.circuit_id} {setting.state.to_json()} {fault.id} {mode.id}"
                        f" {table.ports[port]}: {shown[port]:.2f} V outside {bounds[port]}"
                    )
        if simulate and rng.random() < simulate:
            _simulate(plant, ports, rng, into)


def _simulate(
    plant: Plant, ports: Sequence[tuple[int, int]], rng: np.random.Generator, into: Checked
) -> None:
    p, q = ports[int(rng.integers(len(ports)))]
    if p == q:
        return
    meter = SOLVED[int(rng.integers(len(SOLVED)))].ohms
    ours, theirs = plant.read(p, q, meter), spice(plant, p, q, meter)
    into.simulated += 1
    into.apart = max(into.apart, abs(ours - theirs) / max(abs(ours), 1.0))


def _supply(kind: str, net: Netlist, rng: np.random.Generator) -> float | None:
    """Draw the volts of a fault that is one of the supply itself."""
    least, nominal, greatest = net.volts
    match kind:
        case "low-supply":
            return float(rng.uniform(defaults.LOW_SUPPLY * nominal, least))
        case "foreign":
            return float(rng.uniform(greatest, defaults.HIGHEST))
        case _:
            return None


def tables(base: KnowledgeBase, circuit_id: str, states: Iterable[State]) -> list[Table]:
    """Return the reading tables of a circuit in some states."""
    return [readings(base, circuit_id, state) for state in states]
