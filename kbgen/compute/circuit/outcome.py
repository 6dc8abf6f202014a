"""Readings in a technician's words: nothing, some, full."""

from __future__ import annotations

from kbgen.compute.circuit import defaults
from kbgen.compute.circuit.readings import Table

NONE, SOME, FULL = 1, 2, 4
"""Bits of a set of words."""
_WHOLE_VOLTS = 20.0
"""From this supply voltage the limits are told in whole volts, below it in tenths."""
WORDS = {NONE: "none", SOME: "some", FULL: "full"}


def limits(table: Table) -> tuple[float, float]:
    """Return up to which voltage a reading is called nothing, and from which it is called full.

    In volts a page can print as they are: what is told a reader is what his reading is judged by.
    """
    least, nominal, _ = table.network.volts
    digits = 0 if nominal >= _WHOLE_VOLTS else 1
    return round(defaults.NONE_SHARE * nominal, digits), round(defaults.FULL_SHARE * least, digits)


def words(lo: float, hi: float, none_to: float, full_from: float) -> int:
    """Return the words an interval of readings can be called, as a set of bits."""
    found = NONE if lo <= none_to else 0
    if hi > none_to and lo < full_from:
        found |= SOME
    if hi >= full_from:
        found |= FULL
    return found


def word(volts: float, none_to: float, full_from: float) -> int:
    """Return the word for one reading."""
    return NONE if volts <= none_to else FULL if volts >= full_from else SOME
