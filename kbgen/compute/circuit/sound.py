"""What the sound circuit draws, and what reaches its loads with all contacts made or a string open."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from kbgen.compute.circuit.cases import cases_of
from kbgen.compute.circuit.faults import Fault
from kbgen.compute.circuit.lay import make_network
from kbgen.compute.circuit.network import REF
from kbgen.compute.circuit.solve import Change, Floats, Grid, Sight, make_grid
from kbgen.compute.circuit.state import State, settle
from kbgen.compute.circuit.variant import Variant, make_variant
from kbgen.link.base import KnowledgeBase
from kbgen.model.circuit import Circuit, Contact, Parallel, parts

Bounds = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Sound:
    """A circuit with all contacts made; least and greatest over the corners and the supply's range.

    Attributes:
        loads: Volts across each load, by its label.
        fuses: Amperes through each fuse, by its mark.
        drawn: Volt-amperes taken from the supply.
        opened: Volts left across the controller's input while a contact, or all branches of a parallel
            group, stand open; by the contact's label. Empty without an input.
    """

    loads: Mapping[str, Bounds]
    fuses: Mapping[str, Bounds]
    drawn: Bounds
    opened: Mapping[str, Bounds]


def fitted_variants(base: KnowledgeBase, circuit_id: str, circuit: Circuit) -> Iterator[Variant]:
    """Yield a circuit as each size has it, without and with all options; what looks alike only once."""
    plant = base.equipment(circuit.equipment)
    if plant is None:
        return
    options = frozenset(option.id for option in plant.options)
    seen = set()
    for size in [each.id for each in plant.sizes] or [""]:
        for fitted in (frozenset[str](), options):
            variant = make_variant(settle(base, circuit_id, State(size=size, options=fitted)))
            if variant.path not in seen:
                seen.add(variant.path)
                yield variant


def work_out(variant: Variant) -> Sound | None:
    """Solve a variant with every contact made, and its string once with each contact open.

    What several strings feed together depends on all of them; then nothing is said.
    """
    grid, swing = _solve(variant, frozenset())
    network = grid.network
    if network.fed_together:
        return None
    source = network.sources[0]
    pairs = [(network.elements[e].p, network.elements[e].q) for e in network.loads.values()]
    fused = list(network.fuses.values())
    pairs += [(network.elements[e].p, network.elements[e].q) for e in fused]
    volts = _volts(grid, [*pairs, (source.node, REF)], [()])[:, :, 0]
    loads, fuses = volts[:, : len(network.loads)], volts[:, len(network.loads) : -1]
    through = fuses * np.abs(grid.y[:, fused])
    ohms = np.array([source.ohms[corner.source] for corner in grid.corners])
    drawn = source.volts * np.abs(source.volts - volts[:, -1:]) / ohms[:, None]
    return Sound(
        loads=dict(zip(network.loads, _bounds(loads, swing), strict=True)),
        fuses=dict(zip(network.fuses, _bounds(through, swing), strict=True)),
        drawn=_bounds(drawn, (swing[0] ** 2, swing[1] ** 2))[0],
        opened=_opened(variant, grid, swing),
    )


def _opened(variant: Variant, grid: Grid, swing: Bounds) -> dict[str, Bounds]:
    network = grid.network
    if network.input is None:
        return {}
    element = network.elements[network.input[1]]
    across = [(element.p, element.q)]
    labels = {id(contact): label for label, contact in variant.contacts.items()}
    found = {}
    for part in variant.path:
        match part:
            case Contact():
                label = labels[id(part)]
                volts = _volts(grid, across, cases_of(grid, Fault(f"open:{label}", "open", (label,))))
            case Parallel():
                inside = [labels[id(p)] for p in parts((part,)) if isinstance(p, Contact)]
                if not inside:
                    continue
                label = inside[0]
                volts = _volts(_solve(variant, frozenset(inside))[0], across, [()])
            case _:
                continue
        found[label] = _bounds(volts.reshape(-1, 1), swing)[0]
    return found


def _solve(variant: Variant, opened: frozenset[str]) -> tuple[Grid, Bounds]:
    """Solve a variant with all contacts made but some, and say how far the supply swings."""
    standing = {label: label not in opened for label in variant.contacts}
    network = make_network(replace(variant, closed=standing))
    least, nominal, greatest = network.volts
    return make_grid(network), (least / nominal, greatest / nominal)


def _volts(grid: Grid, pairs: Sequence[tuple[int, int]], cases: Sequence[tuple[Change, ...]]) -> Floats:
    """Return volts between pairs of nodes as corners × pairs × cases, at the nominal supply."""
    leads = (np.array([p for p, _ in pairs], dtype=np.intp), np.array([q for _, q in pairs], dtype=np.intp))
    return np.abs(Sight(grid, grid.amperes, leads).of(cases).volts)


def _bounds(values: Floats, swing: Bounds) -> list[Bounds]:
    lows, highs = values.min(axis=0) * swing[0], values.max(axis=0) * swing[1]
    return [(float(lo), float(hi)) for lo, hi in zip(lows, highs, strict=True)]
