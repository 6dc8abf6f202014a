"""Actions that take energy off and bring it back, and those of hands at what it reaches."""

from __future__ import annotations

from typing import Annotated

from kbgen.model import verdicts as v
from kbgen.model.action_row import At, Device, ItsCircuit, Source, To, action
from kbgen.model.takes import Names, line, named, new_name, one_of


@action(
    "Make sure that panel, isolator and valve belong to the same plant.",
    gives="the plant is identified",
    verdicts=v.SAME,
)
class Identify:
    """Make sure panel, isolator and valve belong to the same plant."""

    identify: Annotated[
        str,
        line("What must carry the same mark.", "Number plate on the panel, the isolator and the gas cock"),
    ]


@action("Note evidence before it is lost.", gives="the evidence is noted")
class Record:
    """Note evidence before it is lost."""

    record: Annotated[
        tuple[str, ...],
        one_of(
            "One kind of evidence: what the display says, which contact was first out, the history, which resets "
            "stand out, gauges, readings, settings, valves and switches as found.",
            *("display", "first-out", "history", "resets", "gauges", "readings", "settings", "state"),
            example=["display", "first-out", "resets", "gauges"],
        ),
    ]


@action(
    "Switch or shut off one energy source.",
    needs="the display noted, where a fault is looked for",
    gives="the source is off",
    owes="a full cycle before the plant is returned to service",
    situation="isolating",
    said_by="the source",
)
class Isolate:
    """Switch or shut off a source."""

    isolate: Source


@action(
    "Lock and tag one isolated source.",
    needs="the source off",
    gives="the source is locked",
    situation="isolating",
    said_by="the source",
)
class Lock:
    """Lock and tag an isolated source."""

    lock: Source


@action(
    "Prove a source gone: meter on a known source, all conductors to each other and to earth, meter on the known "
    "source again.",
    needs="the plant identified, the source off and locked",
    gives="on `dead`: the source is proved dead",
    situation="live-measurement",
    verdicts=v.DEAD,
    hands=True,
    said_by="the source",
)
class ProveDead:
    """Live, dead, live: prove a source gone."""

    prove_dead: Annotated[str, named(Names.ELECTRIC, "Id of the electric source.", "control")]
    known_source: Annotated[str, line("What the meter is checked on before and after.", "Proving unit")] = ""
    between: Annotated[
        tuple[str, ...],
        named(
            Names.PAIR,
            "Pairs that are measured besides every conductor of the source to every other and to earth.",
            ["X3:1 to N", "X3:1 to earth"],
        ),
    ] = ()


@action(
    "Prove a source gone that is not electric, each with its own proof: pressure, air and water at gauge and vent, heat "
    "with a thermometer, motion with the wheel at rest, a spring relaxed or pinned, a load down or propped, a charge with "
    "a meter. Time alone proves nothing; a wait is a step before it.",
    needs="the source off, and locked where it can be; heat: no fire; motion and charge without a lock of their own: the "
    "plant's own electricity off and locked",
    gives="on `gone`: the source is proved gone, until it, or what brings it back, comes on again",
    verdicts=v.AWAY,
    said_by="the source",
)
class ProveGone:
    """Prove steam, heat, motion, water or fuel gone."""

    prove_gone: Source
    by: Annotated[
        str,
        line(
            "What shows it; without it, `prove` of the source in the equipment entry.",
            "Boiler vent open, nothing comes out, gauge at 0 psi",
        ),
    ] = ""
    point: Annotated[
        str, named(Names.FUEL_POINT, "Of fuel: the point of the train where its pressure is read.", "p2")
    ] = ""


@action(
    "Take the lock off, after the area is clear and the people are told.",
    needs="`inform` after the last `lock`",
    gives="the source is no longer locked or proved dead",
    situation="restoring",
    said_by="the source",
)
class Unlock:
    """Take the lock off a source."""

    unlock: Source


@action(
    "Switch one source on again.",
    needs="no lock on it, no alteration that must not be in when it comes",
    gives="the source is on",
    situation="restoring",
    said_by="the source",
)
class Restore:
    """Switch a source on again."""

    restore: Source


@action(
    "Try to start with everything off and locked: nobody at the plant, work the controls, put them back to off.",
    needs="the control supply off and locked (without one, the fuel), then `inform` that all stand clear, after the last "
    "cover was opened",
    gives="on `dead`: every locked source is tried, until its lock comes off",
    situation="isolating",
    verdicts=v.DEAD,
)
class TryStart:
    """Try to start what is off and locked."""

    try_start: Annotated[str, line("What is worked, and put back to off.", "Burner switch and hand switch")]


@action(
    "Open a door or cover.",
    needs="every source in `reached_by` of the cover off, locked and proved gone; where something can move there (motion, "
    "spring, load, air, three phases), its supplies tried (`try_start`); before a zone where something turns: the plant "
    "stopped (`stop_demand`) or its supply off",
    gives="the cover is open",
    owes="the cover closed before the plant is returned to service",
    situation="opening-covers",
    said_by="the cover",
)
class OpenCover:
    """Open a door or cover."""

    open_cover: Annotated[str, named(Names.COVER, "Id of the cover.", "panel-door")]


@action(
    "Close a door or cover.",
    gives="the cover is closed",
    said_by="the cover",
)
class CloseCover:
    """Close a door or cover."""

    close_cover: Annotated[str, named(Names.COVER, "Id of the cover.", "panel-door")]


@action(
    "Put a guard over what stays live beside the work, or see that its fixed shroud is whole. Nobody takes that "
    "shroud off.",
    gives="the source is guarded where it lies beside a zone, until a cover is closed or the source restored",
    situation="opening-covers",
)
class Guard:
    """Shroud what stays live beside the work."""

    guard: Annotated[str, named(Names.ELECTRIC, "Id of the electric source.", "control")]
    with_: Annotated[str, line("What guards it.", "Clear shroud over the upper terminals")]


@action(
    "Shut a named fuel valve.",
    gives="the valve is shut",
    owes="a full cycle before the plant is returned to service",
    situation="gas-valve",
    said_by="the valve",
)
class ShutValve:
    """Shut a fuel valve."""

    shut_valve: Annotated[str, named(Names.VALVE, "Id of the valve.", "burner-cock")]


@action(
    "Open a named fuel valve.",
    needs="no opening in the train, no jumper in",
    gives="the valve is open",
    situation="gas-valve",
    said_by="the valve",
)
class OpenValve:
    """Open a fuel valve."""

    open_valve: Annotated[str, named(Names.VALVE, "Id of the valve.", "burner-cock")]


@action(
    "Clip the leads of a meter on, with the circuit proved dead.",
    needs="the circuit proved dead, its capacitors proved gone",
    gives="the leads are on",
    owes="the leads off before the page ends",
    situation="dead-measurement",
    hands=True,
)
class Clip:
    """Clip leads on dead."""

    clip: Annotated[
        str, new_name("Name of the meter or its leads on this page, such as `meter-1`.", "meter-1")
    ]
    at: At
    to: To = ""
    circuit: ItsCircuit = ""


@action(
    "Take the leads of a meter off by their insulation, with the circuit off and locked.",
    needs="what feeds the circuit off and locked",
    gives="the leads are off",
    situation="dead-measurement",
    hands=True,
)
class Unclip:
    """Take leads off dead."""

    unclip: Annotated[
        tuple[str, ...], named(Names.CLIPPED, "Names of the meters whose leads come off.", ["meter-1"])
    ]


@action(
    "Work with hands or head inside a zone of the plant.",
    needs="every source that reaches the zone off, locked and proved gone; what only lies beside it gone or guarded; where "
    "something can move there (motion, spring, load, air, three phases), its supplies tried (`try_start`)",
    owes="people told once hands are out (`inform`), and its covers closed, before anything that reaches there comes back",
    situation="opening-covers",
    hands=True,
)
class WorkIn:
    """Put hands where something can move, burn or shock."""

    work_in: Annotated[str, named(Names.ZONE, "Id of the zone.", "fan-housing")]


@action(
    "Take a device out and put a new one in.",
    needs="its circuits and the electricity of its place proved dead, and every source in its `reached_by` proved gone",
    gives="the device is new",
    owes="its trip proved, where it guards something, and a full cycle",
    situation="opening-covers",
    hands=True,
)
class Replace:
    """Change a device for a new one."""

    replace: Device
