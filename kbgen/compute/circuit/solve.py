"""Complex nodal analysis of a network at the corners of its uncertain parameters.

The node equations are solved once per corner: ``Z`` is the inverse of the node admittance matrix. A
fault changes one or two elements and a meter adds one, so that every further reading follows from
``Z`` by the matrix inversion lemma (Sherman, Morrison and Woodbury, 1950):

    Z' = Z - Z A (D^-1 + A^T Z A)^-1 A^T Z

with ``A`` the incidence of the changed elements and ``D`` their change of admittance. The meter sees
the circuit as a voltage behind an impedance (Thévenin) between its two leads.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import chain, combinations, product
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from kbgen.compute.circuit import defaults
from kbgen.compute.circuit.network import EARTH, REF, Element, Network, Varies

Complex = npt.NDArray[np.complex128]
Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]

BOND = 0.01
"""Ohms of the bond that ties the return to earth."""
_ADRIFT = 200e3
"""Ohms above which a port is tied down by stray capacitance and insulation alone."""
_SPREAD = 3.0
"""How much less than its corners say such an impedance may be."""
_EVERY_WAY = 3
"""Contacts nobody looks at of which every combination is tried."""


class Corner(NamedTuple):
    """One combination of the uncertain parameters; 0 is the least, 1 the greatest value.

    Attributes:
        contact, load, leak, series, source, gap: Resistance of contacts and wires, impedance of loads,
            capacitance and leakage, resistors in the path, impedance of the supplies, capacitance of what
            stands open.
        ignored: Which of the contacts the controller does not look at are closed, by their element.
        swapped: Whether the plug stands the other way round.
    """

    contact: int
    load: int
    leak: int
    series: int
    source: int
    gap: int
    ignored: frozenset[int]
    swapped: bool

    def closes(self, index: int, element: Element) -> bool:
        """Say whether an element of the network is closed here when nothing is wrong."""
        return index in self.ignored if element.closed is None else element.closed


@dataclass(frozen=True, slots=True)
class Grid:
    """The solved network.

    Attributes:
        y: Admittance of each element at each corner.
        left: ``1 - y zaa`` of each element: how little of its current finds another way round.
        mutual: ``a_k^T Z a_l`` between contacts and sources, in the order of the network.
        z: Node impedance matrices, one a corner; the row and column of ``REF`` are zero.
        amperes: What each source drives, at its nominal voltage (corners × sources).
    """

    network: Network
    corners: tuple[Corner, ...]
    y: Complex
    left: Complex
    mutual: Complex
    z: Complex
    amperes: Complex


class Change(NamedTuple):
    """A change of admittance between two nodes from ``old`` to ``new``, at each corner.

    ``left`` is ``1 - old zaa``, which cannot be taken from ``zaa`` without losing all its digits: a
    closed contact of milliohms stands in a string of megohms.
    """

    p: int
    q: int
    old: Complex
    new: Complex
    left: Complex


@dataclass(frozen=True)
class Seen:
    """What a pair of leads sees: corners × ports × cases."""

    volts: Complex
    ohms: Complex

    @cached_property
    def squared(self) -> Floats:
        """The square of the volts."""
        return np.asarray(self.volts.real**2 + self.volts.imag**2)

    @cached_property
    def loose(self) -> npt.NDArray[np.bool_]:
        """Where stray capacitance and insulation alone tie a port down."""
        return np.asarray(self.ohms.real**2 + self.ohms.imag**2 > _ADRIFT**2)


def corners_of(network: Network) -> tuple[Corner, ...]:
    """Return the corner combinations that matter to a network."""
    gaps = (0, 1) if any(e.closed is not True for e in network.elements) else (0,)
    ignored = _either_way([k for k, e in enumerate(network.elements) if e.closed is None])
    swapped = (False, True) if network.earthing == "reversible" else (False,)
    series = (0, 1) if any(e.varies is Varies.SERIES for e in network.elements) else (0,)
    source = (0, 1) if any(s.ohms[0] < s.ohms[1] for s in network.sources) else (0,)
    return tuple(
        Corner(*bits) for bits in product((0, 1), (0, 1), (0, 1), series, source, gaps, ignored, swapped)
    )


def _either_way(ignored: Sequence[int]) -> list[frozenset[int]]:
    """Return which contacts nobody looks at are taken as closed at the same time.

    Each stands as it likes. Beyond a few of them not every combination is tried, but those with which a
    string reads most and least: closed up to one of them and open from there on, and one alone open.
    """
    if len(ignored) <= _EVERY_WAY:
        listed = chain.from_iterable(combinations(ignored, n) for n in range(len(ignored), -1, -1))
        return [frozenset(closed) for closed in listed]
    upstream = [frozenset(ignored[:n]) for n in range(len(ignored) + 1)]
    return list(dict.fromkeys([*upstream, *(frozenset(ignored) - {one} for one in ignored)]))


def gap_admittance(element: Element, which: int, omega: float) -> complex:
    """Return what is left of an element when it opens: its capacitance and insulation."""
    insulation = (defaults.INSULATION.hi, defaults.INSULATION.lo)[which]
    return 1 / insulation + 1j * omega * element.gap[which]


def closed_admittance(elements: Sequence[Element], corners: Sequence[Corner], omega: float) -> Complex:
    """Return the admittance of elements that are closed, as corners × elements."""
    ohms = np.array([e.ohms for e in elements])
    farads = np.array([e.farads for e in elements])
    varies = np.array([e.varies.value for e in elements], dtype=np.intp)
    bits = np.array([corner[:5] for corner in corners], dtype=np.intp)[:, varies]
    row = np.arange(len(elements))
    return np.asarray(1 / ohms[row, bits] + 1j * omega * farads[row, bits], dtype=np.complex128)


def _earth_elements(network: Network) -> tuple[Element, ...]:
    ohms = (defaults.FLOATING.hi, defaults.FLOATING.lo)
    farads = (defaults.FLOATING_FARADS.lo, defaults.FLOATING_FARADS.hi)
    sides = (REF, network.sources[0].node)
    return tuple(Element(side, EARTH, ohms, Varies.LEAK, farads) for side in sides)


def make_grid(network: Network) -> Grid:
    """Solve the network as it stands when nothing is wrong, at every corner."""
    corners = corners_of(network)
    omega = network.omega
    sides = _earth_elements(network)
    elements = (*network.elements, *sides)
    y = closed_admittance(elements, corners, omega)
    for index, element in enumerate(elements):
        if element.closed is not True:
            for row, corner in enumerate(corners):
                if not corner.closes(index, element):
                    y[row, index] = gap_admittance(element, corner.gap, omega)
    if network.earthing != "ungrounded":
        first = len(network.elements)
        for row, corner in enumerate(corners):
            y[row, first + corner.swapped] += 1 / BOND
    n = network.nodes
    p = np.array([e.p for e in elements], dtype=np.intp)
    q = np.array([e.q for e in elements], dtype=np.intp)
    matrix = np.zeros((n * n, len(corners)), dtype=np.complex128)
    for where, sign in ((p * n + p, 1), (q * n + q, 1), (p * n + q, -1), (q * n + p, -1)):
        np.add.at(matrix, where, sign * y.T)
    full = np.ascontiguousarray(matrix.T).reshape(len(corners), n, n)
    amperes = np.zeros((len(corners), len(network.sources)), dtype=np.complex128)
    for column, source in enumerate(network.sources):
        for row, corner in enumerate(corners):
            siemens = 1 / source.ohms[corner.source]
            full[row, source.node, source.node] += siemens
            amperes[row, column] = source.volts * siemens
    z = np.zeros((len(corners), n, n), dtype=np.complex128)
    z[:, 1:, 1:] = np.linalg.inv(full[:, 1:, 1:])
    left, mutual = _couplings(network, corners, elements, y, z)
    return Grid(network, corners, y, left, mutual, z, amperes)


def _couplings(
    network: Network, corners: Sequence[Corner], elements: Sequence[Element], y: Complex, z: Complex
) -> tuple[Complex, Complex]:
    """Return ``left`` and ``mutual`` of a grid.

    With ``c_jk = a_j^T Z a_k``, the identity ``Z Y Z = Z`` gives for a failing element ``k``

        z_kk (1 - y_k z_kk) = sum of y_j c_jk^2 over all other j

    and for two of them

        z_kl (1 - y_k z_kk - y_l z_ll) = sum of y_j c_jk c_jl over all other j,

    sums in which next to nothing cancels.
    """
    sources = [[1 / source.ohms[c.source] for source in network.sources] for c in corners]
    siemens = np.concatenate([y, np.array(sources)], axis=1)
    count = y.shape[1]
    p = np.array([*(e.p for e in elements), *(s.node for s in network.sources)], dtype=np.intp)
    q = np.array([*(e.q for e in elements), *(REF for _ in network.sources)], dtype=np.intp)
    feeding = np.arange(count, count + len(network.sources))
    failing = np.concatenate([np.array(network.failing, dtype=np.intp), feeding])
    rows = z.take(p[failing], axis=1) - z.take(q[failing], axis=1)
    shared = rows.take(p, axis=2) - rows.take(q, axis=2)
    row = np.arange(len(failing))
    own = shared[:, row, failing]
    shared[:, row, failing] = 0
    left = np.ones(siemens.shape, dtype=np.complex128)
    left[:, failing] = np.einsum("cke,cke,ce->ck", shared, shared, siemens) / own
    exact = np.concatenate([np.array(list(network.contacts.values()), dtype=np.intp), feeding])
    among = shared[:, np.searchsorted(failing, exact), :]
    sums = (among * siemens[:, None, :]) @ among.transpose(0, 2, 1)
    s = left[:, exact]
    return left[:, :count], sums / (s[:, :, None] + s[:, None, :] - 1)


class Sight:
    """What leads see of a network while nothing is wrong; every case is worked out from it.

    Args:
        grid: The solved network.
        amperes: What each source drives (corners × sources).
        leads: The two nodes of each port.
    """

    def __init__(self, grid: Grid, amperes: Complex, leads: tuple[Ints, Ints]) -> None:
        self._grid, self._amperes = grid, amperes
        z = grid.z
        volts = np.einsum("cns,cs->cn", z[:, :, [s.node for s in grid.network.sources]], amperes)
        self._volts = volts
        self._before = volts[:, leads[0]] - volts[:, leads[1]]
        # Rows of nodes, so that those of a changed element are taken as a whole.
        self._rows = z.take(leads[0], axis=1) - z.take(leads[1], axis=1)
        self._ohms = _between(self._rows, leads)

    @property
    def corners(self) -> int:
        """How many corners there are."""
        return len(self._grid.corners)

    def of(self, cases: Sequence[tuple[Change, ...]]) -> Seen:
        """Work out what the leads see in each case.

        Args:
            cases: Up to two changes each; all of the same number.
        """
        rank = len(cases[0]) if cases else 0
        if rank == 0:
            count = len(cases)
            return Seen(
                np.repeat(self._before[:, :, None], count, 2), np.repeat(self._ohms[:, :, None], count, 2)
            )
        grid, volts, z = self._grid, self._volts, self._grid.z
        ends = [
            (
                np.array([c[k].p for c in cases], dtype=np.intp),
                np.array([c[k].q for c in cases], dtype=np.intp),
            )
            for k in range(rank)
        ]
        old, new, left = (
            [np.stack([c[k][i] for c in cases], axis=1) for k in range(rank)] for i in (2, 3, 4)
        )
        dy = [new[k] - old[k] for k in range(rank)]
        va = [volts[:, p] - volts[:, q] for p, q in ends]
        g = [self._rows.take(p, axis=2) - self._rows.take(q, axis=2) for p, q in ends]
        zaa = [z[:, p, p] - z[:, p, q] - z[:, q, p] + z[:, q, q] for p, q in ends]
        before, ohms = self._before[:, :, None], self._ohms[:, :, None]
        if rank == 1:
            s = dy[0] / (left[0] + new[0] * zaa[0])
            # Large arrays: each is made once and written over.
            drop = g[0] * (s * va[0])[:, None, :]
            np.subtract(before, drop, out=drop)
            less = g[0]
            less *= less
            less *= s[:, None, :]
            np.subtract(ohms, less, out=less)
            return Seen(drop, less)
        (p1, q1), (p2, q2) = ends
        z12 = z[:, p1, p2] - z[:, p1, q2] - z[:, q1, p2] + z[:, q1, q2]
        contact = {(e.p, e.q): k for k, e in enumerate(grid.network.contact_elements)}
        known = [(contact.get(c[0][:2], -1), contact.get(c[1][:2], -1)) for c in cases]
        both = np.array([k for k, pair in enumerate(known) if -1 not in pair], dtype=np.intp)
        first, second = (np.array([known[k][i] for k in both], dtype=np.intp) for i in (0, 1))
        z12[:, both] = grid.mutual[:, first, second]
        drops = np.einsum("cks,cs->ck", grid.mutual[:, :, len(contact) :], self._amperes)
        va[0][:, both], va[1][:, both] = drops[:, first], drops[:, second]
        a, b = left[0] + new[0] * zaa[0], dy[0] * z12
        c, d = dy[1] * z12, left[1] + new[1] * zaa[1]
        det = a * d - b * c
        m11, m12 = d * dy[0] / det, -b * dy[1] / det
        m21, m22 = -c * dy[0] / det, a * dy[1] / det
        x1, x2 = m11 * va[0] + m12 * va[1], m21 * va[0] + m22 * va[1]
        g1, g2 = g
        return Seen(
            before - g1 * x1[:, None, :] - g2 * x2[:, None, :],
            ohms
            - g1 * (g1 * m11[:, None, :] + g2 * m12[:, None, :])
            - g2 * (g1 * m21[:, None, :] + g2 * m22[:, None, :]),
        )


def _between(rows: Complex, leads: tuple[Ints, Ints]) -> Complex:
    index = np.arange(len(leads[0]))
    return rows[:, index, leads[0]] - rows[:, index, leads[1]]


def read(
    seen: Seen, meter_ohms: float, nominal: float, earth: npt.NDArray[np.bool_] | None = None
) -> tuple[Floats, Floats]:
    """Return the square of the least and greatest volts a meter of a given input resistance shows.

    Where next to nothing ties a port down, capacitances nobody knows divide the supply as they like: what
    is shown there is anything up to what so much impedance lets through. A port to earth is tied down by
    insulation whose range is known; ``earth`` says which of the ports these are.
    """
    shown = seen.squared / _loaded(seen.ohms, meter_ohms)
    adrift = seen.loose if earth is None else seen.loose & ~earth[None, :, None]
    if not adrift.any():
        return shown, shown
    least, most = shown.copy(), shown
    least[adrift] = 0.0
    through = nominal**2 / _loaded(seen.ohms[adrift], _SPREAD * meter_ohms)
    most[adrift] = np.maximum(shown[adrift], through)
    return least, most


def _loaded(ohms: Complex, meter_ohms: float) -> Floats:
    """Return the square of how many times more there is at a port without the meter."""
    share = 1 / meter_ohms
    real, imag = ohms.real * share, ohms.imag * share
    real += 1
    real *= real
    imag *= imag
    real += imag
    return real
