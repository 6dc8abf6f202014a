"""What is assumed of a circuit where its author says nothing, and where the figures come from.

Every range can be narrowed by the author (`resistance`, `impedance`, `length`, a tolerance behind
the voltage). They are wide on purpose: a reading table that is too narrow rejects a true reading.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Assumed:
    """A range in base units, and its source in one line."""

    lo: float
    hi: float
    source: str


METER_HIGH_Z = 10e6
"""Input resistance of a digital multimeter in volts, in Ω: what hand-held meters commonly state."""
METER_LOW_Z = 3e3
"""Input resistance in a low-impedance mode, in Ω: hand-held meters state about 3 kΩ."""
METER_SHARE = 0.015
"""Share of the reading it may be off: 1 % to 1.5 % is usual for alternating volts on hand-held meters."""
METER_DIGITS = 0.3
"""Volts it may be off besides: three counts of 0.1 V."""
METER_DIGITS_LOW = 0.03
"""The same below ``METER_RANGE``: three counts of 0.01 V."""
METER_RANGE = 60.0
"""Volts up to which hand-held meters of 6,000 counts show hundredths."""
STRAY, STRAY_LOW = 2.0, 0.5
"""Volts that a terminal which has nothing may show; below ``METER_RANGE``. Long leads beside live cores pick them up,
and makers of meters for true effective values allow some tens of counts with the leads shorted."""
UNIT, UNIT_LOW = 0.1, 0.01
"""Volts in which intervals are kept, rounded outwards; below ``METER_RANGE``."""

FULL_WITHIN, FULL_WITHIN_SHARE, FULL_WITHIN_LOW = 5.0, 0.05, 1.0
"""How far from the supply as read a reading is still full: volts, share, and volts below ``METER_RANGE``."""
LOSS, LOSS_LOW = 2.0, 0.3
"""Volts lost along a string from which the loss is looked for contact by contact; below ``METER_RANGE``."""
BAD_CONTACT = {"AC": 0.5, "AC low": 0.2, "DC": 0.5, "DC low": 0.1}
"""Volts across a made contact above which it, or a joint beside it, is bad; an entry may state its own."""

SUPPLY_TOLERANCE = 0.1
"""A voltage typed without a range may be this share off (± 10 %, the usual band of public supplies)."""
LOW_SUPPLY = 0.1
"""Share of the nominal supply from which it is called too low and not absent."""
SUPPLY_OHMS = 0.5
"""Impedance of a supply, as the circuit schema promises."""
CONTACT = Assumed(
    0.05, 0.5, "circuit schema; a sound contact of an industrial switch, its terminals included"
)
WORN_SHARES = (0.005, 0.02, 0.06, 0.15, 0.4, 1.0, 3.0, 12.0, 100.0)
"""A bad contact by its share of the impedance of its own loop: from what hardly shows to what reads open.
Between two of these lies one piece of the fault; all readings together must fit one piece."""
FUSE = Assumed(0.05, 0.5, "cold resistance of fuses from 1 A to 10 A")
WIRE = Assumed(0.02, 0.2, "1 m to 10 m of 0.75 mm² to 1.5 mm² copper at 18 Ω·mm²/km, both ends clamped")
LINK = 0.02
"""Resistance of a factory link or jumper lead, in Ω."""
LOAD = Assumed(500.0, 5e3, "lamps, valves and small motors of a control circuit")
COIL = Assumed(300.0, 2e3, "circuit schema")
INPUT = Assumed(10e3, 100e3, "circuit schema")
RUN_METRES = Assumed(2.0, 15.0, "length of an unnamed run in a panel and out to the plant")
CABLE_FARADS = Assumed(
    50e-12, 150e-12, "core to core and core to earth of control cable, per metre (100 pF/m ± 50 %)"
)
GAP_FARADS = Assumed(2e-12, 20e-12, "an open contact with its terminals")
INSULATION = Assumed(
    0.5e9,
    3e9,
    "one terminal to earth, or an open contact; damp but sound, to drier than a 10 MΩ meter can tell",
)
FLOATING = Assumed(
    10e6, 1e9, "either side of an ungrounded supply to earth, as insulation monitors accept it"
)
FLOATING_FARADS = Assumed(
    1e-9, 20e-9, "either side of an ungrounded supply to earth, its transformer included"
)
LIVE_CABLE_METRES = 10.0
"""From this length in one cable a core is taken to lie beside a live one, unless its author says otherwise."""
EARTH_FAULT = Assumed(0.1, 5.0, "a chafed core on bare metal")
FUSE_AMPERES = 3.0
"""Rating of a fuse nobody gave one for; errs on the side of blowing late."""
FUSE_BLOWS = 1.5
"""A fuse is taken to open above this many times its rating."""

GHOST_SHARE = 0.25
"""What reads above this share of the supply in low impedance is fed, and no open contact."""
HIGHEST = 1000.0
"""Volts up to which a foreign supply is thought of; the most a technician's meter is for."""
