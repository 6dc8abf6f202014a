"""The ways each fault can look electrically: changes of admittance in the network."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product

import numpy as np

from kbgen.compute.circuit import defaults
from kbgen.compute.circuit.faults import Fault
from kbgen.compute.circuit.network import EARTH
from kbgen.compute.circuit.solve import Change, Complex, Grid, closed_admittance, gap_admittance, see


def cases_of(grid: Grid, fault: Fault) -> list[tuple[Change, ...]]:
    """Return the ways a fault can look electrically; the reading may be any of them."""
    network = grid.network
    match fault.kind:
        case "healthy":
            return [()]
        case "open":
            return [(change,) for change in _opened(grid, network.contacts[fault.where[0]])]
        case "open-pair":
            both = [_opened(grid, network.contacts[label]) for label in fault.where]
            return list(product(*both))
        case "stuck" | "jumper":
            return [(_bridged(grid, network.contacts[fault.where[0]], fault.kind),)]
        case "resistance":
            return [(change,) for change in _worn(grid, network.contacts[fault.where[0]])]
        case "fuse":
            return [(change,) for change in _opened(grid, network.fuses[fault.where[0]])]
        case "load":
            return [(change,) for change in _opened(grid, network.loads[fault.where[0]])]
        case "wire":
            return [(c,) for wire in network.runs[fault.where[0]] for c in _opened(grid, wire)]
        case "return":
            return [(c,) for wire in network.return_run for c in _opened(grid, wire)]
        case "no-supply":
            return [(c,) for wire in network.supply_run for c in _opened(grid, wire)]
        case _:
            raise ValueError(fault.kind)


def _change(grid: Grid, index: int, new: Complex) -> Change:
    element = grid.network.elements[index]
    return Change(element.p, element.q, grid.y[:, index], new, grid.left[:, index])


def _joined(grid: Grid, p: int, q: int, ohms: float) -> Change:
    """Tie two nodes together that nothing tied before."""
    every = np.ones(len(grid.corners), dtype=np.complex128)
    return Change(p, q, 0 * every, every / ohms, every)


def _opened(grid: Grid, index: int) -> list[Change]:
    element = grid.network.elements[index]
    every = np.ones(len(grid.corners), dtype=np.complex128)
    return [
        _change(grid, index, every * gap_admittance(element, which, grid.network.omega)) for which in (0, 1)
    ]


def _bridged(grid: Grid, index: int, kind: str) -> Change:
    element = grid.network.elements[index]
    if kind == "jumper":
        return _joined(grid, element.p, element.q, defaults.LINK)
    return _change(grid, index, closed_admittance([element], grid.corners, grid.network.omega)[:, 0])


def _worn(grid: Grid, index: int) -> list[Change]:
    element = grid.network.elements[index]
    # A contact that stands open anyway cannot show that it is worn.
    standing = [corner.closes(index, element) for corner in grid.corners]
    return [
        _change(grid, index, np.where(standing, 1 / ohms, grid.y[:, index]))
        for ohms in (defaults.WORN_CONTACT.lo, defaults.WORN_CONTACT.hi)
    ]


def grounded_cases(grid: Grid, amperes: Complex, nodes: Sequence[int]) -> Iterator[list[tuple[Change, ...]]]:
    """Tie each point to earth; where that blows a fuse, it is open by the time anybody measures."""
    network = grid.network
    fuses = [(index, network.fuse_amperes[name]) for name, index in network.fuses.items()]
    resistances = (defaults.EARTH_FAULT.lo, defaults.EARTH_FAULT.hi)
    faults = [_joined(grid, node, EARTH, ohms) for node in nodes for ohms in resistances]
    if not fuses or not faults:
        for k in range(0, len(faults), 2):
            yield [(fault,) for fault in faults[k : k + 2]]
        return
    ends = [network.elements[index] for index, _ in fuses]
    leads = (np.array([e.p for e in ends], dtype=np.intp), np.array([e.q for e in ends], dtype=np.intp))
    drops = see(grid, amperes, leads, [(fault,) for fault in faults]).volts
    siemens = np.stack([grid.y[:, index] / amperes for index, amperes in fuses], axis=1)
    loading = np.abs(drops * siemens[:, :, None])
    worst = loading.max(axis=0).argmax(axis=0)
    opened = [_opened(grid, index) for index, _ in fuses]
    for k in range(0, len(faults), 2):
        yield [
            (faults[n], c._replace(new=np.where(loading[:, worst[n], n] > defaults.FUSE_BLOWS, c.new, c.old)))
            for n in (k, k + 1)
            for c in opened[worst[n]]
        ]
