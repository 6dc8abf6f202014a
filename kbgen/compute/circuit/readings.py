"""The expected reading of every test point and across every contact, for every fault."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from kbgen.compute.circuit import defaults
from kbgen.compute.circuit.bands import Bands, made_shares
from kbgen.compute.circuit.cases import Case, Corners, along_fault, grounded_pieces, pieces_of
from kbgen.compute.circuit.faults import Fault, list_faults
from kbgen.compute.circuit.lay import make_network
from kbgen.compute.circuit.meter import ROW, SOLVED, digits
from kbgen.compute.circuit.network import EARTH, Network
from kbgen.compute.circuit.solve import (
    Complex,
    Floats,
    Grid,
    Ints,
    Sight,
    make_grid,
    read,
)
from kbgen.compute.circuit.state import State, settle
from kbgen.compute.circuit.variant import Variant, make_variant
from kbgen.link.base import KnowledgeBase

_ADRIFT = 2.0
"""How much more or less than at the corners may stand between two open contacts; found by drawing plants."""
_AT_ONCE = 2**16
"""Readings worked out together: corners by ports by cases. More of them leave the processor's cache and take longer."""


@dataclass(frozen=True, slots=True)
class Pieces:
    """The pieces of all faults; within one, the supply and all readings go together.

    Attributes:
        owner: The fault of each piece, as its index in the table, ascending.
        swing: Least and greatest supply of each piece, as shares of the nominal one.
        volts: True volts at the nominal supply as meter mode × piece × port × (least, greatest), in whole
            ``unit`` rounded outwards, so that the browser judges by the very same figures.
    """

    owner: Ints
    swing: Floats
    volts: Ints
    unit: float


@dataclass(frozen=True, slots=True)
class Table:
    """Reading intervals of a circuit in one state.

    Attributes:
        points: Marks, read to the return.
        devices: Labels of contacts, read across at the device's own terminals.
        bounds: Volts as meter mode × fault × port × (least, greatest); ports are the points, then
            the devices. What the meter may be off is in it.
        earth: The same for the points read to earth; without ports where the return is tied to it.
        made: What the controller's input takes each fault for: ``made``, ``open`` or ``undecided``;
            empty without an input with thresholds.
        bands: What is called none, some and full at each port.
        words: What each fault can be called at the nominal supply, as meter mode × fault × port, bits.
    """

    variant: Variant
    network: Network
    faults: tuple[Fault, ...]
    points: tuple[str, ...]
    devices: tuple[str, ...]
    bounds: Floats
    earth: Floats
    made: tuple[str, ...]
    pieces: Pieces
    bands: Bands
    words: Ints

    @property
    def ports(self) -> tuple[str, ...]:
        """The points, then the contacts to be read across."""
        return (*self.points, *self.devices)

    def interval(self, fault: str, port: str, mode: str = "high_z") -> tuple[float, float]:
        """Return the interval of one fault at a mark, or across a contact, in a meter mode."""
        row = next(i for i, f in enumerate(self.faults) if f.id == fault)
        lo, hi = self.bounds[ROW[mode], row, self.ports.index(port)]
        return float(lo), float(hi)

    def to_json(self) -> dict[str, object]:
        """Return the JSON object of ``kbgen readings``, without version and edition."""
        setting = self.variant.setting
        return {
            "circuit": setting.circuit_id,
            "size": setting.state.size or None,
            "stage": setting.state.stage or None,
            "state": setting.state.to_json(),
            "return": self.network.back or None,
            "points": list(self.points),
            "devices": list(self.devices),
            "faults": [self._row(row, fault) for row, fault in enumerate(self.faults)],
        }

    def _row(self, row: int, fault: Fault) -> dict[str, object]:
        count = len(self.points)
        shown: dict[str, object] = fault.to_json()
        if self.made:
            shown["input"] = self.made[row]
        shown["points"] = {
            mark: {mode.id: _pair(self.bounds[m, row, i]) for m, mode in enumerate(SOLVED)}
            for i, mark in enumerate(self.points)
        }
        shown["across"] = {
            label: {"high_z": _pair(self.bounds[ROW["high_z"], row, count + i])}
            for i, label in enumerate(self.devices)
        }
        if self.earth.shape[2]:
            shown["earth"] = {
                mark: {mode.id: _pair(self.earth[m, row, i]) for m, mode in enumerate(SOLVED)}
                for i, mark in enumerate(self.points)
            }
        return shown


def _pair(bounds: Floats) -> list[float]:
    return [round(float(bounds[0]), 2), round(float(bounds[1]), 2)]


def readings(
    base: KnowledgeBase, circuit_id: str, state: State | None = None, *, pairs: bool = True
) -> Table:
    """Work out the reading table of a circuit.

    Args:
        base: The knowledge base.
        circuit_id: Id of the circuit.
        state: How the plant stands.
        pairs: Whether to add every pair of open contacts.

    Raises:
        UnknownName: The circuit or a name in the state does not exist.
    """
    variant = make_variant(settle(base, circuit_id, state or State()))
    return tabulate(variant, make_network(variant), pairs=pairs)


def tabulate(variant: Variant, network: Network, *, pairs: bool = True) -> Table:
    """Work out the reading table of a network."""
    grid = make_grid(network)
    faults = list_faults(network, pairs=pairs)
    points, devices = tuple(network.points), tuple(network.contacts)
    at = [network.points[mark] for mark in points]
    across = [network.elements[network.contacts[label]] for label in devices]
    ports = [(node, network.return_node) for node in at]
    ports += [(e.p, e.q) for e in across]
    # Where the return is tied to earth, reading to earth tells nothing that reading to it does not.
    to_earth = at if network.earthing != "grounded" else []
    ports += [(node, EARTH) for node in to_earth]
    if network.input is not None:
        element = network.elements[network.input[1]]
        ports.append((element.p, element.q))
    leads = (np.array([p for p, _ in ports], dtype=np.intp), np.array([q for _, q in ports], dtype=np.intp))
    own = np.array([source.own for source in network.sources])
    amperes = grid.amperes * (variant.setting.state.supply_on | ~own)
    owner, swing, by_piece = _hulls(grid, amperes, leads, faults)
    starts = np.flatnonzero(np.r_[True, owner[1:] != owner[:-1]])
    shown = _as_shown(by_piece, swing, starts, network.volts[1])
    count = len(points) + len(devices)
    volts = by_piece[:, :, :count]
    bands = Bands.of(network, faults, made_shares(variant, network, grid, leads, count), shown)
    return Table(
        variant=variant,
        network=network,
        faults=faults,
        points=points,
        devices=devices,
        bounds=shown[:, :, :count],
        earth=shown[:, :, count : count + len(to_earth)],
        made=_made(network, by_piece, swing, starts, count + len(to_earth)),
        pieces=_as_whole(owner, swing, volts, network.volts[1]),
        bands=bands,
        words=bands.spoken(_per_fault(volts, starts)),
    )


def _per_fault(by_piece: Floats, starts: Ints) -> Floats:
    """Return the hull of the pieces of each fault."""
    lo = np.minimum.reduceat(by_piece[..., 0], starts, axis=1)
    hi = np.maximum.reduceat(by_piece[..., 1], starts, axis=1)
    return np.stack([lo, hi], axis=-1)


def _as_shown(by_piece: Floats, swing: Floats, starts: Ints, nominal: float) -> Floats:
    """Widen true volts at nominal supply by the supply's range and by what the meter may be off."""
    true = _per_fault(by_piece * swing[None, :, None, :], starts)
    lo = true[..., 0] * (1 - defaults.METER_SHARE) - digits(nominal)
    hi = true[..., 1] * (1 + defaults.METER_SHARE) + digits(nominal)
    return np.stack([np.maximum(lo, 0.0), hi], axis=-1)


def _as_whole(owner: Ints, swing: Floats, volts: Floats, nominal: float) -> Pieces:
    unit = defaults.UNIT if nominal >= defaults.METER_RANGE else defaults.UNIT_LOW
    lo, hi = np.floor(volts[..., 0] / unit), np.ceil(volts[..., 1] / unit)
    whole = np.stack([lo, hi], axis=-1).astype(np.intp)
    return Pieces(owner, np.round(swing, 6), whole, unit)


def _made(network: Network, by_piece: Floats, swing: Floats, starts: Ints, column: int) -> tuple[str, ...]:
    """Say what the input takes each fault for, by its thresholds and the voltage across it."""
    part = network.input[0] if network.input else None
    if part is None or part.on_above is None or part.off_below is None:
        return ()
    true = _per_fault(by_piece * swing[None, :, None, :], starts)[ROW["high_z"], :, column]
    return tuple(
        "made" if low >= part.on_above.hi else "open" if high <= part.off_below.lo else "undecided"
        for low, high in true
    )


def _swing_of(fault: Fault, volts: tuple[float, float, float]) -> tuple[float, float]:
    """Return the range of the supply a fault is thought of with, as shares of the nominal one."""
    least, nominal, greatest = volts
    match fault.kind:
        case "low-supply":
            return defaults.LOW_SUPPLY, least / nominal
        case "foreign":
            return greatest / nominal, defaults.HIGHEST / nominal
        case _:
            return least / nominal, greatest / nominal


class _Cases:
    """Cases of one rank, each once, and the pieces that go through them.

    A piece begins with the case that the one before it ends with, and has the same ones either way the plug stands.
    """

    def __init__(self) -> None:
        self.changes: list[Case] = []
        self._column: dict[int, int] = {}
        self._within: list[tuple[int, int, Corners | None]] = []

    def add(self, piece: int, changes: Case, corners: Corners | None) -> None:
        """Let a piece, whose index never falls, go through a case at some corners; at all of them without any."""
        # A case is told by itself: it is kept here for as long as its name is.
        column = self._column.setdefault(id(changes), len(self.changes))
        if column == len(self.changes):
            self.changes.append(changes)
        self._within.append((piece, column, corners))

    def share(self, first: int, end: int) -> Iterator[tuple[Corners | None, Ints, Ints]]:
        """Yield corners with the pieces that are at them, ascending, and the place of a case of theirs from ``first`` on."""
        by_corners: dict[int, tuple[Corners | None, list[int], list[int]]] = {}
        for piece, column, corners in self._within:
            if first <= column < end:
                _, pieces, places = by_corners.setdefault(id(corners), (corners, [], []))
                pieces.append(piece)
                places.append(column - first)
        for corners, pieces, places in by_corners.values():
            yield corners, np.array(pieces, dtype=np.intp), np.array(places, dtype=np.intp)


def _hulls(
    grid: Grid, amperes: Complex, leads: tuple[Ints, Ints], faults: Sequence[Fault]
) -> tuple[Ints, Floats, Floats]:
    """Return the owner and the swing of each piece, and its true volts as meter × piece × port × 2."""
    network = grid.network
    own = np.array([source.own for source in network.sources])
    owner: list[int] = []
    dead: list[int] = []
    adrift: list[int] = []
    grounds: list[tuple[int, int, tuple[float, float]]] = []
    by_rank: dict[int, _Cases] = {}
    grounded = grounded_pieces(
        grid, amperes, [network.points[f.where[0]] for f in faults if f.kind == "ground"]
    )
    for row, fault in enumerate(faults):
        for piece in next(grounded) if fault.kind == "ground" else pieces_of(grid, fault):
            for changes in piece.cases:
                by_rank.setdefault(len(changes), _Cases()).add(len(owner), changes, piece.corners)
            if fault.kind == "no-supply":
                dead.append(len(owner))
            if fault.kind == "open-pair":
                adrift.append(len(owner))
            if piece.ohms:
                grounds.append((len(owner), network.points[fault.where[0]], piece.ohms))
            owner.append(row)
    out = np.empty((len(SOLVED), len(owner), len(leads[0]), 2))
    out[..., 0], out[..., 1] = np.inf, -np.inf
    if dead:
        without = _Cases()
        for at in dead:
            without.add(at, (), None)
        _widen(out, without, Sight(grid, amperes * ~own, leads), leads, network.volts[1])
    sight = Sight(grid, amperes, leads)
    for rank in sorted(by_rank):
        _widen(out, by_rank[rank], sight, leads, network.volts[1])
    if amperes.any():
        for at, node, ohms in grounds:
            least, most = along_fault(grid, node, ohms, leads)
            out[:, at, :, 0] = np.minimum(out[:, at, :, 0], least**2)
            out[:, at, :, 1] = np.maximum(out[:, at, :, 1], most**2)
    at_points = (leads[1] == network.return_node) | (leads[1] == EARTH)
    _set_adrift(out, adrift, ~at_points, network.volts[1])
    swing = np.array([_swing_of(faults[row], network.volts) for row in owner])
    return np.array(owner, dtype=np.intp), swing, np.sqrt(out)


def _set_adrift(out: Floats, pieces: Sequence[int], across: Corners, nominal: float) -> None:
    """Widen what is read across a contact beside what two open ones leave adrift, where it shows little.

    Each of its ties, insulation and stray capacitance, has its own value; the corners have them all alike.
    """
    part = out[:, pieces]
    little = across & (part[..., 1] < (defaults.GHOST_SHARE * nominal) ** 2)
    part[..., 1] = np.where(little, part[..., 1] * _ADRIFT**2, part[..., 1])
    part[..., 0] = np.where(little, part[..., 0] / _ADRIFT**2, part[..., 0])
    out[:, pieces] = part


def _widen(out: Floats, cases: _Cases, sight: Sight, leads: tuple[Ints, Ints], nominal: float) -> None:
    """Widen the pieces by what their cases read, a share of the cases after the other."""
    size = max(1, _AT_ONCE // (sight.corners * len(leads[0])))
    for first in range(0, len(cases.changes), size):
        seen = sight.of(cases.changes[first : first + size])
        within = list(cases.share(first, first + size))
        for mode, meter in enumerate(SOLVED):
            least, most = read(seen, meter.ohms, nominal, leads[1] == EARTH)
            for corners, pieces, places in within:
                there = slice(None) if corners is None else corners
                starts = np.flatnonzero(np.r_[True, pieces[1:] != pieces[:-1]])
                lo = np.minimum.reduceat(least[there].min(axis=0)[:, places], starts, axis=1).T
                hi = np.maximum.reduceat(most[there].max(axis=0)[:, places], starts, axis=1).T
                here = pieces[starts]
                out[mode, here, :, 0] = np.minimum(out[mode, here, :, 0], lo)
                out[mode, here, :, 1] = np.maximum(out[mode, here, :, 1], hi)
