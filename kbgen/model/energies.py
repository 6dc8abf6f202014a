"""The table of energies: what each source can be, and how it is proved gone.

Off and locked is not gone: what was stored stays until its own proof. A wait lets it go; only the proof says that it
went.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Back(Enum):
    """What brings an energy back that nobody can lock by itself."""

    NOTHING = ""
    FIRE = "fire"
    SUPPLY = "supply"


@dataclass(frozen=True, slots=True)
class Energy:
    """One kind of energy.

    Attributes:
        title: What a page calls it.
        gone: What shows it gone, as an author writes it under ``by``.
        dead: Whether it is proved with a meter on its conductors (``prove_dead``), not with ``prove_gone``.
        back: What brings it back where it has no lock of its own.
        moves: Whether a part moves by it.
    """

    title: str
    gone: str
    dead: bool = False
    back: Back = Back.NOTHING
    moves: bool = False


ENERGIES: dict[str, Energy] = {
    "electric": Energy("Electricity", "Every conductor to every other and to earth", dead=True),
    "foreign-fed": Energy("Electricity fed from elsewhere", "The same at its own terminals", dead=True),
    "fuel": Energy("Fuel", "Gauge of that section at 0, its vent open"),
    "pressure": Energy("Pressure", "Gauge at 0 and the vent open with nothing coming out"),
    "heat": Energy("Heat, hot surfaces", "Contact thermometer below 45 °C", back=Back.FIRE),
    "motion": Energy(
        "Motion", "The wheel stands still and does not turn by hand or wind", back=Back.SUPPLY, moves=True
    ),
    "water": Energy("Water", "Drain open and nothing coming out"),
    "spring": Energy("Spring under tension", "Spring relaxed, or its pin in and pulled at", moves=True),
    "load": Energy("Held load", "The load rests on its stop, or on a prop that was tried", moves=True),
    "air": Energy("Compressed air", "Gauge at 0 and the vent open with nothing coming out", moves=True),
    "charge": Energy(
        "Charge in capacitors", "Meter across the terminals below 5 V, after the wait", back=Back.SUPPLY
    ),
}
"""Every kind, in the order of the documentation."""
