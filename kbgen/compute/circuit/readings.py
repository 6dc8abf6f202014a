"""The expected reading of every test point and across every contact, for every fault."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from kbgen.compute.circuit import defaults
from kbgen.compute.circuit.cases import cases_of, grounded_cases
from kbgen.compute.circuit.faults import Fault, list_faults
from kbgen.compute.circuit.lay import make_network
from kbgen.compute.circuit.network import EARTH, Network
from kbgen.compute.circuit.solve import (
    Change,
    Complex,
    Floats,
    Grid,
    Ints,
    make_grid,
    read,
    see,
)
from kbgen.compute.circuit.state import State, settle
from kbgen.compute.circuit.variant import Variant, make_variant
from kbgen.link.base import KnowledgeBase

HIGH_Z, LOW_Z = 0, 1
MODES = ("high_z", "low_z")
_METERS = (defaults.METER_HIGH_Z, defaults.METER_LOW_Z)


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
    """

    variant: Variant
    network: Network
    faults: tuple[Fault, ...]
    points: tuple[str, ...]
    devices: tuple[str, ...]
    bounds: Floats
    earth: Floats
    made: tuple[str, ...]

    def interval(self, fault: str, port: str, mode: str = "high_z") -> tuple[float, float]:
        """Return the interval of one fault at a mark, or across a contact, in a meter mode."""
        row = next(i for i, f in enumerate(self.faults) if f.id == fault)
        column = (*self.points, *self.devices).index(port)
        lo, hi = self.bounds[MODES.index(mode), row, column]
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
            mark: {mode: _pair(self.bounds[m, row, i]) for m, mode in enumerate(MODES)}
            for i, mark in enumerate(self.points)
        }
        shown["across"] = {
            label: {"high_z": _pair(self.bounds[HIGH_Z, row, count + i])}
            for i, label in enumerate(self.devices)
        }
        if self.earth.shape[2]:
            shown["earth"] = {
                mark: {mode: _pair(self.earth[m, row, i]) for m, mode in enumerate(MODES)}
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
    raw = _hulls(grid, amperes, leads, faults)
    shown = _as_shown(raw, network.volts)
    count = len(points) + len(devices)
    return Table(
        variant=variant,
        network=network,
        faults=faults,
        points=points,
        devices=devices,
        bounds=shown[:, :, :count],
        earth=shown[:, :, count : count + len(to_earth)],
        made=_made(network, raw, count + len(to_earth)),
    )


def _as_shown(raw: Floats, volts: tuple[float, float, float]) -> Floats:
    """Widen true volts at nominal supply by the supply's range and by what the meter may be off."""
    least, nominal, greatest = volts
    lo = raw[..., 0] * (least / nominal) * (1 - defaults.METER_SHARE) - defaults.METER_DIGITS
    hi = raw[..., 1] * (greatest / nominal) * (1 + defaults.METER_SHARE) + defaults.METER_DIGITS
    return np.stack([np.maximum(lo, 0.0), hi], axis=-1)


def _made(network: Network, raw: Floats, column: int) -> tuple[str, ...]:
    """Say what the input takes each fault for, by its thresholds and the voltage across it."""
    part = network.input[0] if network.input else None
    if part is None or part.on_above is None or part.off_below is None:
        return ()
    least, nominal, greatest = network.volts
    lo = raw[HIGH_Z, :, column, 0] * least / nominal
    hi = raw[HIGH_Z, :, column, 1] * greatest / nominal
    return tuple(
        "made" if low >= part.on_above.hi else "open" if high <= part.off_below.lo else "undecided"
        for low, high in zip(lo, hi, strict=True)
    )


@dataclass(frozen=True, slots=True)
class _Cases:
    """Cases of one rank: the fault each belongs to, its changes, and whether the supply is dead."""

    owner: list[int]
    changes: list[tuple[Change, ...]]


def _hulls(grid: Grid, amperes: Complex, leads: tuple[Ints, Ints], faults: Sequence[Fault]) -> Floats:
    """Return least and greatest true volts as meter × fault × port × 2."""
    out = np.empty((2, len(faults), len(leads[0]), 2))
    out[..., 0], out[..., 1] = np.inf, -np.inf
    own = np.array([source.own for source in grid.network.sources])
    by_rank: dict[int, _Cases] = {}
    grounded = grounded_cases(
        grid, amperes, [grid.network.points[f.where[0]] for f in faults if f.kind == "ground"]
    )
    for row, fault in enumerate(faults):
        for changes in next(grounded) if fault.kind == "ground" else cases_of(grid, fault):
            cases = by_rank.setdefault(len(changes), _Cases([], []))
            cases.owner.append(row)
            cases.changes.append(changes)
        if fault.kind == "no-supply":
            _widen(out, [row], [()], grid, amperes * ~own, leads)
    for rank in sorted(by_rank):
        cases = by_rank[rank]
        _widen(out, cases.owner, cases.changes, grid, amperes, leads)
    return np.sqrt(out)


def _widen(
    out: Floats,
    owner: Sequence[int],
    changes: Sequence[tuple[Change, ...]],
    grid: Grid,
    amperes: Complex,
    leads: tuple[Ints, Ints],
) -> None:
    seen = see(grid, amperes, leads, changes)
    rows = np.asarray(owner)
    starts = np.flatnonzero(np.r_[True, rows[1:] != rows[:-1]])
    for mode, ohms in enumerate(_METERS):
        shown = read(seen, ohms)
        lo = np.minimum.reduceat(shown.min(axis=0), starts, axis=1).T
        hi = np.maximum.reduceat(shown.max(axis=0), starts, axis=1).T
        here = rows[starts]
        out[mode, here, :, 0] = np.minimum(out[mode, here, :, 0], lo)
        out[mode, here, :, 1] = np.maximum(out[mode, here, :, 1], hi)
