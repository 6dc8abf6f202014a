"""The meter: the modes it is put to, and how far off it may be.

A further mode is a line in ``MODES``; whatever asks about modes asks here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kbgen.compute.circuit import defaults
from kbgen.model.circuit import AnyPart, Circuit, Input, Resistor, parts


@dataclass(frozen=True, slots=True)
class Mode:
    """One setting of the meter.

    Attributes:
        id: As in JSON.
        typed: What stands behind the colon on the command line.
        said: As in "meter in low impedance".
        ohms: Its input resistance.
        own: Whether it is for the kind of current the circuit has; the other kind must read nothing.
        ghost: Whether a voltage that carries no current can show in it.
    """

    id: str
    typed: str
    said: str
    ohms: float
    own: bool = True
    ghost: bool = True


MODES = (
    Mode("high_z", "highz", "high impedance", defaults.METER_HIGH_Z),
    Mode("low_z", "lowz", "low impedance", defaults.METER_LOW_Z, ghost=False),
    Mode("other_current", "other", "the other kind of current", defaults.METER_HIGH_Z, own=False),
)
HIGH_Z, LOW_Z, OTHER = (mode.id for mode in MODES)
SOLVED = tuple(mode for mode in MODES if mode.own)
"""The modes every reading table has, in its order."""
ROW = {mode.id: row for row, mode in enumerate(SOLVED)}
"""Where a mode stands in a reading table."""


def mode_of(mode_id: str) -> Mode:
    """Return a mode by its id."""
    return next(mode for mode in MODES if mode.id == mode_id)


def loads_the_loop(current: str, path: Sequence[AnyPart]) -> bool:
    """Say whether a low-impedance meter takes more than an electronic input's whole loop carries.

    A film on a contact that the loop's own current does not break comes good under such a meter, and is hidden.
    """
    there = tuple(parts(tuple(path)))
    ends = [part for part in there if isinstance(part, Input)]
    if current != "DC" or not ends:
        return False
    ohms = [part.resistance.lo for part in there if isinstance(part, Resistor)]
    ohms = ohms or [part.end_of_line.lo for part in ends if part.end_of_line]
    taken = max(part.impedance.lo if part.impedance else defaults.INPUT.lo for part in ends)
    return taken + sum(ohms) > defaults.METER_LOW_Z


def digits(nominal: float) -> float:
    """Return the volts a meter may be off besides its share: three counts of the range it is in."""
    return defaults.METER_DIGITS if nominal >= defaults.METER_RANGE else defaults.METER_DIGITS_LOW


def allowance(nominal: float, read: float) -> float:
    """Return how far from the supply a reading may lie and still be called full.

    Five volts or 5 %, whichever is less; one volt on extra low voltage. It covers the drop of a string
    whose contacts are made and what one meter is off from one terminal to the next.
    """
    if nominal < defaults.METER_RANGE:
        return defaults.FULL_WITHIN_LOW
    return min(defaults.FULL_WITHIN, defaults.FULL_WITHIN_SHARE * read)


def bad_contact(circuit: Circuit) -> float:
    """Return the volts across a made contact above which it, or a joint beside it, is bad."""
    if circuit.bad_contact:
        return circuit.bad_contact.hi
    supply = circuit.supply
    low = " low" if supply.voltage.value < defaults.METER_RANGE else ""
    return defaults.BAD_CONTACT[supply.current + low]
