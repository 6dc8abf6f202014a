"""Actions that read, alter and prove."""

from __future__ import annotations

from typing import Annotated

from kbgen.model import verdicts as v
from kbgen.model.action_row import At, Device, ItsCircuit, To, action
from kbgen.model.takes import Names, line, named, new_name, one_of, time
from kbgen.quantity import Quantity


@action(
    "Take one reading, at a point to another point or across a device.",
    needs="ohms: proved dead; volts: supply on, hands clear of a burner that can light",
    gives="what its verdict says of the reading",
    situation={
        "ohms": "dead-measurement",
        "insulation": "dead-measurement",
        "volts": "live-measurement",
        "amps": "live-measurement",
        "microamps": "live-measurement",
    },
    verdicts={
        "volts": v.VOLTS,
        "pressure": v.GONE,
        "flue-gas": v.AGREES,
        "gas-rate": v.AGREES,
        "amps": v.WITHIN,
        "microamps": v.WITHIN,
        "temperature": v.WITHIN,
        "ohms": v.WITHIN,
        "insulation": v.WITHIN,
    },
)
class Measure:
    """Take one reading, between two points or across a device."""

    measure: Annotated[
        str,
        one_of(
            "What is measured.",
            *(
                "volts",
                "ohms",
                "amps",
                "microamps",
                "pressure",
                "temperature",
                "flue-gas",
                "gas-rate",
                "insulation",
            ),
        ),
    ]
    circuit: ItsCircuit = ""
    at: At = ""
    to: To = ""
    across: Annotated[
        str,
        named(
            Names.DEVICE, "Device whose two sides are measured, in place of two points.", "first-low-water"
        ),
    ] = ""
    point: Annotated[
        str, named(Names.FUEL_POINT, "Point of the fuel train where a pressure is measured.", "p2")
    ] = ""
    place: Annotated[str, line("Where, when it is not at terminals.", "Test nipple at the manifold")] = ""
    meter: Annotated[
        str,
        one_of(
            "Meter mode. Without it, high-impedance.",
            "high-impedance",
            "low-impedance",
            example="low-impedance",
        ),
    ] = "high-impedance"
    leads: Annotated[
        str,
        one_of(
            "Whether the leads are held, or were clipped on while dead (`clip`) so that hands are clear. Without it, "
            "held.",
            *("held", "clipped-dead"),
            example="clipped-dead",
        ),
    ] = "held"
    reads: Annotated[str, line("What is expected, with its unit.", "108 V to 132 V")] = ""


@action(
    "Watch a reading over a time, least and most.",
    needs="as for one reading; leads clipped on dead",
    gives="what its verdict says of the reading",
    situation={
        "volts": "live-measurement",
        "amps": "live-measurement",
        "microamps": "live-measurement",
    },
    verdicts={
        "volts": v.WATCHED,
        "pressure": v.GONE,
        "amps": v.WITHIN,
        "microamps": v.WITHIN,
        "temperature": v.WITHIN,
        "level": v.WITHIN,
        "flame": v.WITHIN,
        "display": v.WITHIN,
    },
)
class Watch:
    """Watch a reading over a time."""

    watch: Annotated[
        str,
        one_of(
            "What is watched.",
            *("volts", "amps", "microamps", "pressure", "temperature", "level", "flame", "display"),
        ),
    ]
    circuit: ItsCircuit = ""
    at: At = ""
    to: To = ""
    across: Annotated[
        str, named(Names.DEVICE, "Device whose two sides are watched.", "operating-pressure")
    ] = ""
    point: Annotated[
        str, named(Names.FUEL_POINT, "Point of the fuel train where a pressure is watched.", "p2")
    ] = ""
    leads: Annotated[
        str,
        one_of(
            "Whether the leads were clipped on while dead (`clip`). Without it, clipped-dead.",
            *("held", "clipped-dead"),
            example="clipped-dead",
        ),
    ] = "clipped-dead"
    for_: Annotated[Quantity | None, time("For how long.", "10 min")] = None
    reads: Annotated[str, line("What is expected, with its unit.", "never under 100 V")] = ""


@action(
    "Make a temporary alteration. It has a name, and something undoes it on every way out.",
    needs="wires and jumpers: proved dead; jumpers: the burner's fuel shut and the device allowing it; all but a muted alarm "
    "and an opened test point: nothing that may run; `open-drain`: pressure proved gone; `open-vent`: the fuel shut and what "
    "feeds it off and locked; a setting that the plant lists is an `adjust`; `gag` never",
    gives="the alteration is in",
    owes="its `undo` on every way out; for a bridged device its trip proved",
    situation="temporary-alteration",
    hands=True,
)
class Fit:
    """Make a temporary alteration."""

    fit: Annotated[
        str,
        one_of(
            "What kind of alteration.",
            *(
                "jumper",
                "lifted-wire",
                "unplugged-tube",
                "open-test-point",
                "simulating-resistor",
                "hand-drive",
            ),
            *("damper-in-hand", "muted-alarm", "changed-setting", "taped-switch"),
            *("gag", "blank", "open-drain", "open-vent", "hose", "prop", "belt-off", "other-fuse"),
        ),
    ]
    name: Annotated[str, new_name("Its name, as written on its tag, such as `jumper-1`.", "jumper-1")]
    over: Annotated[str, named(Names.DEVICE, "Device it acts on.", "dirty-filter")] = ""
    from_: Annotated[str, named(Names.POINT, "One end, by its terminal mark.", "X3:7")] = ""
    to: Annotated[str, named(Names.POINT, "The other end.", "X3:8")] = ""
    circuit: ItsCircuit = ""
    point: Annotated[
        str, named(Names.FUEL_POINT, "Point of the fuel train that is opened, for `open-test-point`.", "p2")
    ] = ""
    at: Annotated[
        str, line("Where, when it is not between two terminals.", "Sensing tube at the air switch")
    ] = ""
    back: Annotated[
        str,
        line("How it comes out again, for the routine `put_back`.", "Push the tube home. Take tag 1 off."),
    ] = ""
    back_expect: Annotated[
        str, line("What is seen when it is out again.", "It sits tight and falls towards the vent")
    ] = ""


@action(
    "Take a temporary alteration out again.",
    needs="wires and jumpers: proved dead",
    gives="the alteration is out",
    hands=True,
    said_by="the step that fits it (`back`)",
)
class Undo:
    """Take a temporary alteration out again."""

    undo: Annotated[str, named(Names.FITTED, "Name of the alteration.", "jumper-1")]


@action(
    "Hold a built-in spring-return test button, attended the whole time.",
    needs="no longer than the device allows",
    situation="hold-to-test",
)
class Hold:
    """Hold a built-in spring-return test button."""

    hold: Annotated[str, named(Names.DEVICE, "Id of the device with the button.", "second-low-water")]
    for_: Annotated[Quantity | None, time("For how long at most.", "10 s")] = None


@action(
    "Make the device trip by its own quantity and see the burner stop.",
    needs="supply on, nothing lying over the device",
    gives="on `tripped`: the device is proved to trip",
    owes="on `not-tripped`: its trip, before the plant is returned to service",
    verdicts=v.TRIPPED,
    said_by="the device (`trip`)",
)
class ProveTrip:
    """Make a device trip and see the burner stop."""

    prove_trip: Device


@action(
    "The independent check: is the open contact doing its job?",
    gives="`real`: it was right to open; `faulty`: it was not. Doubt is always `real`",
    owes="on `real`: its cause (`find_cause`) before it fires; on `faulty`: its trip, before the plant is in service",
    verdicts=v.REAL,
)
class CheckReal:
    """The independent check: is the open contact doing its job?"""

    check_real: Device
