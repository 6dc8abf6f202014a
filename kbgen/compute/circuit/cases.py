"""The ways each fault can look electrically: changes of admittance in the network.

A fault has one *piece* or several. Within a piece a reading moves between its least and its greatest
value together with all the others, so that all readings of one visit must fit one and the same piece.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise, product

import numpy as np
import numpy.typing as npt

from kbgen.compute.circuit import defaults
from kbgen.compute.circuit.faults import Fault, moved_by
from kbgen.compute.circuit.network import EARTH
from kbgen.compute.circuit.solve import (
    BOND,
    Change,
    Complex,
    Floats,
    Grid,
    Ints,
    closed_admittance,
    gap_admittance,
)

Case = tuple[Change, ...]
Corners = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Piece:
    """Cases between which a fault moves.

    Attributes:
        corners: The corners at which they can be; all of them without any.
        ohms: Of an earth fault whose fuse holds, its least and greatest resistance.
    """

    cases: list[Case]
    corners: Corners | None = None
    ohms: tuple[float, float] | None = None


_HALVINGS = 40
_STEPS = 5
"""Pieces of an earth fault that blows no fuse."""
_FED = 1e3
"""Ohms to the return below which a point is fed."""
_ALIKE = 6.0
"""Impedances of a loop that differ by less are taken as one."""


def pieces_of(grid: Grid, fault: Fault) -> list[Piece]:
    """Return the pieces of a fault but an earth fault's; the reading may be that of any case between."""
    if fault.kind == "resistance":
        return _worn(grid, grid.network.contacts[fault.where[0]])
    return [Piece(cases_of(grid, fault))]


def cases_of(grid: Grid, fault: Fault) -> list[Case]:
    """Return the cases of a fault that has one piece."""
    network = grid.network
    match fault.kind:
        case "healthy" | "low-supply" | "foreign":
            return [()]
        case "open":
            return [(change,) for change in _opened(grid, network.contacts[fault.where[0]])]
        case "open-pair" | "seal-in":
            each = [_opened(grid, network.contacts[label]) for label in fault.where]
            return list(product(*each))
        case "stuck" | "jumper":
            return [(_bridged(grid, network.contacts[fault.where[0]], fault.kind),)]
        case "bridged":
            element = network.elements[network.loads[fault.where[0]]]
            return [(_joined(grid, element.p, element.q, defaults.LINK),)]
        case "stalled":
            return [(change,) for change in _opened(grid, network.contacts[fault.where[1]])]
        case "fuse":
            return [(change,) for change in _opened(grid, network.fuses[fault.where[0]])]
        case "load":
            # A motor that has failed never moves its end switch.
            still = [_opened(grid, network.contacts[c]) for c in moved_by(network, fault.where[0])]
            return list(product(_opened(grid, network.loads[fault.where[0]]), *still))
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


def _joined(grid: Grid, p: int, q: int, ohms: float | Floats) -> Change:
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


def _worn(grid: Grid, index: int) -> list[Piece]:
    """Go through the resistances of a bad contact, as shares of the impedance of its own loop."""
    element = grid.network.elements[index]
    # A contact that stands open anyway cannot show that it is worn.
    standing = np.array([corner.closes(index, element) for corner in grid.corners])
    if not standing.any():
        return [Piece([()])]
    z = grid.z
    p, q = element.p, element.q
    # Its loop runs through the loads, also where another contact of it stands open for the moment.
    loads = sum(grid.network.elements[load].ohms[1] for load in grid.network.loads.values())
    seen = np.abs((z[:, p, p] - z[:, p, q] - z[:, q, p] + z[:, q, q]) / grid.left[:, index])[standing]
    seen = np.minimum(seen, loads or np.inf)
    shares = defaults.WORN_SHARES
    least, greatest = float(seen.min()), float(seen.max())
    if greatest < _ALIKE * least:
        ohms = [share * float(np.sqrt(least * greatest)) for share in shares]
    else:
        # Beside another branch it is one thing while that is made and another while it is open.
        ohms = list(np.geomspace(shares[0] * least, shares[-1] * greatest, len(shares)))
    ohms = [max(each, element.ohms[1]) for each in ohms]
    worn = [(_change(grid, index, np.where(standing, 1 / r, grid.y[:, index])),) for r in ohms]
    return [Piece(list(ends)) for ends in pairwise(worn)]


def grounded_pieces(grid: Grid, amperes: Complex, nodes: Sequence[int]) -> Iterator[list[Piece]]:
    """Tie each point to earth through every resistance; where that blows a fuse, the fuse is open by now.

    What a point reads just before its fuse would blow lies at neither end of the range, so the
    resistance at which it blows is looked for at each corner, at the least and the greatest supply.
    """
    network = grid.network
    least, most = defaults.EARTH_FAULT.lo, defaults.EARTH_FAULT.hi
    every = np.ones(len(grid.corners))
    fuses = [(index, network.fuse_amperes[name]) for name, index in network.fuses.items()]
    swing = (network.volts[0] / network.volts[1], network.volts[2] / network.volts[1])
    blowing = (
        [_blows_at(grid, amperes, nodes, index, rated, swing) for index, rated in fuses] if nodes else []
    )
    opened = [_opened(grid, index) for index, _ in fuses]
    ways = _plugged(grid)
    for column, node in enumerate(nodes):
        holds, blown = np.zeros((2, len(every)))
        if blowing:
            worst = int(np.argmax([limits[1, :, column].max() for limits in blowing]))
            holds, blown = blowing[worst][:, :, column]
        pieces = []
        if (holds < most).any():
            first = np.clip(holds, least, most)
            steps = [first * (most / first) ** (k / _STEPS) for k in range(_STEPS + 1)]
            kept = [((_joined(grid, node, EARTH, ohms),), ohms) for ohms in steps]
            pieces += [
                Piece([case for case, _ in ends], way, (float(ends[0][1].min()), float(ends[1][1].max())))
                for ends in pairwise(kept)
                for way in ways
            ]
        if (blown > least).any():
            whole = blown <= least
            gone = [
                (_joined(grid, node, EARTH, ohms), c._replace(new=np.where(whole, c.old, c.new)))
                for ohms in (least * every, np.clip(blown, least, most))
                for c in opened[worst]
            ]
            pieces += [Piece(list(gone), way) for way in ways]
        yield pieces


def along_fault(
    grid: Grid, node: int, ohms: tuple[float, float], leads: tuple[Ints, Ints]
) -> tuple[Floats, Floats]:
    """Return least and greatest volts while an earth fault draws its current, at the nominal supply.

    The contacts on its way are a good part of its loop, and each has its own resistance: what lies before a
    point may be at its most while what lies behind it is at its least, which no corner has. Where the loop
    is ``S`` ohms up to a point and ``D`` behind it, the point holds ``U D / (S + D)``, and a contact of
    ``r`` ohms drops ``U r / (S + D)``. ``S`` is what the point and the fault have in common: their mutual
    impedance to the return. Without a fed way to the fault the range is empty.
    """
    z, p, q = grid.z[:, :, node].real, *leads
    ohms = (ohms[0] + BOND, ohms[1] + BOND)
    fed = np.array([not corner.swapped for corner in grid.corners]) & (z[:, node] < _FED)
    none = np.full(len(p), np.inf), np.zeros(len(p))
    if grid.network.earthing == "ungrounded" or not fed.any():
        return none
    volts, z = grid.network.volts[1], z[fed]
    before = np.maximum(z[:, p], 0.0)
    behind = np.maximum(z[:, [node]] - before, 0.0)
    lo_s, hi_s = before.min(axis=0), before.max(axis=0)
    lo_d, hi_d = behind.min(axis=0) + ohms[0], behind.max(axis=0) + ohms[1]
    least, most = volts * lo_d / (hi_s + lo_d), volts * hi_d / (lo_s + hi_d)
    # Across a contact: it alone at its most, the rest of the loop at its least, and the other way round.
    drop = np.abs(z[:, q] - z[:, p])
    loop = z[:, [node]]
    rest = loop - drop
    across_lo = volts * drop.min(axis=0) / (drop.min(axis=0) + rest.max(axis=0) + ohms[1])
    across_hi = volts * drop.max(axis=0) / (drop.max(axis=0) + rest.min(axis=0) + ohms[0])
    back = (q == grid.network.return_node) | (q == EARTH)
    # What has less in common with the fault than the supply's own impedance lies on the return.
    ahead = ~back | (lo_s > grid.network.sources[0].ohms[0] / 2)
    return (
        np.where(ahead, np.where(back, least, across_lo), np.inf),
        np.where(ahead, np.where(back, most, across_hi), 0.0),
    )


def _plugged(grid: Grid) -> list[Corners | None]:
    """Return the corners of either way in which a reversible plug can stand."""
    swapped = np.array([corner.swapped for corner in grid.corners])
    return [~swapped, swapped] if swapped.any() else [None]


def _blows_at(
    grid: Grid, amperes: Complex, nodes: Sequence[int], fuse: int, rated: float, swing: tuple[float, float]
) -> Floats:
    """Return the earth fault's ohms below which a fuse blows, at the least and the greatest supply.

    The fuse carries ``y (d + k i)`` with ``d`` the volts across it without the fault, ``k`` the volts
    one ampere into the node leaves across it, and ``i = -U / (Z + R)`` the current of the fault.
    """
    z = grid.z
    at = np.asarray(nodes, dtype=np.intp)
    element = grid.network.elements[fuse]
    volts = np.einsum("cns,cs->cn", z[:, :, [s.node for s in grid.network.sources]], amperes)
    across = (volts[:, element.p] - volts[:, element.q])[:, None]
    one = z[:, element.p] - z[:, element.q]
    drop = one[:, at] - one[:, [EARTH]]
    u = volts[:, at] - volts[:, [EARTH]]
    ohms = z[:, at, at] - z[:, at, EARTH] - z[:, EARTH, at] + z[:, [EARTH], EARTH]
    siemens = grid.y[:, [fuse]]
    found = []
    for scale in swing:
        lo, hi = np.full(u.shape, 1e-3), np.full(u.shape, 1e6)
        for _ in range(_HALVINGS):
            mid = np.sqrt(lo * hi)
            carried = scale * np.abs(siemens * (across - drop * u / (ohms + mid)))
            blows = carried > defaults.FUSE_BLOWS * rated
            lo, hi = np.where(blows, mid, lo), np.where(blows, hi, mid)
        found.append(lo)
    return np.stack(found)
