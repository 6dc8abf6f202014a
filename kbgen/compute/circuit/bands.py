"""What is called none, some and full, in volts.

All of it hangs on the supply as it was read: *full* is what a string whose contacts are made would read
there, less an allowance, and never less than the input needs; *none* is what an open contact can show
in low impedance, with the same allowance; between them lies *some*, and above full is *over*.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import floor

import numpy as np

from kbgen.compute.circuit import defaults
from kbgen.compute.circuit.faults import OPENS, Fault
from kbgen.compute.circuit.lay import make_network
from kbgen.compute.circuit.meter import LOW_Z, ROW, SOLVED, allowance, digits
from kbgen.compute.circuit.network import Network
from kbgen.compute.circuit.solve import Floats, Grid, Ints, Sight, make_grid, read
from kbgen.compute.circuit.variant import Variant

NONE, SOME, FULL, OVER = 1, 2, 4, 8
"""Bits of a set of words."""
WORDS = {NONE: "none", SOME: "some", FULL: "full", OVER: "over"}
_MADE = 0.96
"""A point that a made string holds above this share of the supply shows what the supply is."""


def tenths(volts: float) -> float:
    """Round to what a meter shows, the same way as the browser does."""
    return floor(volts * 10 + 0.5) / 10


@dataclass(frozen=True, slots=True)
class Bands:
    """The words of one circuit in one state.

    Attributes:
        volts: Least, nominal and greatest supply.
        shares: What a made string holds at each port, as shares of the supply: meter mode × port ×
            (least, greatest), the ports across a contact with that of an open one.
        points: How many of the ports are points; the rest are read across.
        none_to: Up to how many volts a point reads none.
        sag: What a made string leaves of the supply where it is read; 1 where it takes next to nothing.
        bad_contact: The same across a contact; above it a made contact is bad.
        least_full: What the input needs at least; 0 where nobody says.
        loss: Volts lost along a string from which the loss is looked for.
    """

    volts: tuple[float, float, float]
    shares: tuple[tuple[tuple[float, float], ...], ...]
    points: int
    none_to: float
    sag: tuple[float, float]
    bad_contact: float
    least_full: float
    loss: float

    @staticmethod
    def of(network: Network, faults: Sequence[Fault], shares: Floats, shown: Floats) -> Bands:
        """Work the words of a network out.

        Args:
            network: The circuit.
            faults: Its faults.
            shares: See ``made_shares``.
            shown: The reading intervals as meter mode × fault × port × 2.
        """
        nominal = network.volts[1]
        need, drop = network.thresholds
        opened = [
            row for row, fault in enumerate(faults) if fault.kind in OPENS and fault.kind != "open-pair"
        ]
        points = list(network.points.values())
        ghosts = shown[ROW[LOW_Z], opened, : len(points), 1]
        ghosts = ghosts[ghosts < defaults.GHOST_SHARE * nominal]
        none_to = (float(ghosts.max()) if ghosts.size else 0.0) + allowance(nominal, nominal)
        low = nominal < defaults.METER_RANGE
        rounded = np.round(shares, 4)
        return Bands(
            volts=network.volts,
            shares=tuple(tuple((float(lo), float(hi)) for lo, hi in mode) for mode in rounded),
            points=len(points),
            none_to=tenths(min(none_to, drop) if drop else none_to),
            sag=_sag(network, rounded),
            bad_contact=network.bad_contact,
            least_full=need,
            loss=defaults.LOSS_LOW if low else defaults.LOSS,
        )

    @property
    def supply(self) -> tuple[float, float]:
        """Between which volts the supply itself is as it should be, as a meter shows it."""
        least, nominal, greatest = self.volts
        lo = least * self.sag[0] * (1 - defaults.METER_SHARE) - digits(nominal)
        return max(tenths(lo), self.least_full), tenths(
            greatest * (1 + defaults.METER_SHARE) + digits(nominal)
        )

    def shows_supply(self, mode: str, port: int) -> bool:
        """Say whether a port reads the supply while the string is made."""
        return port < self.points and self.shares[ROW[mode]][port][0] >= _MADE * self.sag[0]

    def full(self, mode: str, port: int, supply: float | None) -> tuple[float, float]:
        """Return between which volts a port reads full.

        Args:
            mode: Id of the meter's mode.
            port: Index of the port.
            supply: The supply as read; without it full begins where it begins at the greatest supply.
        """
        volts = self.volts[2] if supply is None else supply
        return self._full(mode, port, volts, (1.0, 1.0) if supply is None else self.sag)

    def _full(self, mode: str, port: int, volts: float, sag: tuple[float, float]) -> tuple[float, float]:
        """Return between which volts a port reads full while the supply is so, as its string leaves it."""
        least, most = (share / left for share, left in zip(self.shares[ROW[mode]][port], sag, strict=True))
        within = allowance(self.volts[1], volts)
        lo, hi = tenths(volts * least - within), tenths(volts * most + within)
        if port < self.points and mode != LOW_Z:
            lo = max(lo, self.least_full)
        return lo, max(lo, hi)

    def nothing(self, port: int) -> float:
        """Return up to which volts a port reads none."""
        return self.none_to if port < self.points else self.bad_contact

    def stray(self, port: int) -> float:
        """Return up to which volts a meter may show anything at a port that has nothing.

        Only where a made string holds more than nothing: on the way back a few tenths of a volt are a loss.
        """
        holds = port < self.points and self.shares[0][port][0] * self.volts[1] > self.none_to
        low = self.volts[1] < defaults.METER_RANGE
        return min(defaults.STRAY_LOW if low else defaults.STRAY, self.none_to) if holds else 0.0

    def word(self, volts: float, mode: str, port: int, supply: float | None) -> int:
        """Return the word for a reading."""
        if volts <= self.nothing(port):
            return NONE
        lo, hi = self.full(mode, port, supply)
        return SOME if volts < lo else FULL if volts <= hi else OVER

    def band(self, word: int, mode: str, port: int) -> tuple[float, float]:
        """Return the volts of a word at the nominal supply."""
        lo, hi = self._full(mode, port, self.volts[1], (1.0, 1.0))
        none = self.nothing(port)
        return {NONE: (0.0, none), SOME: (none, lo), FULL: (lo, hi)}.get(word, (hi, defaults.HIGHEST))

    def spoken(self, volts: Floats) -> Ints:
        """Return what intervals at the nominal supply can be called, as meter mode × row × port, bits."""
        none = np.array([self.nothing(port) for port in range(volts.shape[2])])
        ports, unloaded = range(volts.shape[2]), (1.0, 1.0)
        full = np.array([[self._full(m.id, p, self.volts[1], unloaded) for p in ports] for m in SOLVED])
        full = full[:, None]
        lo, hi = volts[..., 0], volts[..., 1]
        called = np.where(lo <= none, NONE, 0) | np.where((hi > none) & (lo < full[..., 0]), SOME, 0)
        called |= np.where((hi >= full[..., 0]) & (lo <= full[..., 1]), FULL, 0)
        return np.asarray(called | np.where(hi > full[..., 1], OVER, 0), dtype=np.intp)


def _sag(network: Network, shares: Floats) -> tuple[float, float]:
    """Return what a made string leaves of the supply at its first point, where that is worth the name."""
    if not network.main_points:
        return 1.0, 1.0
    least, most = shares[0, list(network.points).index(network.main_points[0])]
    return (float(least), float(most)) if least < _MADE else (1.0, 1.0)


def made_shares(
    variant: Variant, network: Network, grid: Grid, leads: tuple[Ints, Ints], count: int
) -> Floats:
    """Return what each port holds of the supply while all contacts are made, as meter mode × port × 2.

    Contacts and wires are taken at their least resistance: what they drop belongs to the allowance.
    """
    if any(element.closed is not True for element in network.elements):
        made = replace(variant, closed=dict.fromkeys(variant.contacts, True))
        network = make_network(made)
        grid = make_grid(network)
    rows = [row for row, corner in enumerate(grid.corners) if not corner.contact and not corner.swapped]
    points = len(network.points)
    there = (leads[0][:points], leads[1][:points])
    seen = Sight(grid, grid.amperes, there).of([()])
    found = np.ones((len(SOLVED), count, 2))
    for row, mode in enumerate(SOLVED):
        shown = np.sqrt(read(seen, mode.ohms, network.volts[1])[0][rows, :, 0]) / network.volts[1]
        found[row, :points, 0], found[row, :points, 1] = shown.min(axis=0), shown.max(axis=0)
    return found
