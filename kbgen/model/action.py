"""The table of actions: what a step does to the plant, each said once.

Every action is registered with its fields and what each name may stand for, what it needs, gives and
owes, the situation of cautions it makes, and the verdict words that answer it. Schema, names, walk,
cautions, pages, editor and documentation read this table.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from typing import Annotated, Any, TypeVar, cast, dataclass_transform

from kbgen.model import verdicts as v
from kbgen.model.build import head_key, note_of, variants
from kbgen.model.takes import Names, Takes, line, named, new_name, one_of, time
from kbgen.model.verdicts import Verdicts
from kbgen.quantity import Quantity

R = TypeVar("R")
ByWord = Mapping[str, R]
"""Something that hangs on the word an action says: its quantity, what is observed."""


@dataclass(frozen=True, slots=True)
class Row:
    """One action of the table.

    Attributes:
        record: The record that holds its fields; its head key is the name of the action.
        says: What it does, for schema and documentation.
        needs: What must be so before it.
        gives: What is so afterwards, or after its passing verdict.
        owes: What must follow sooner or later.
        situation: The word of a caution's ``applies_to`` that it makes, one for all or by its own word.
        verdicts: The words that answer it, one row for all or by its own word.
        hands: Whether somebody's hands are inside or at terminals.
    """

    record: type
    says: str
    needs: str = ""
    gives: str = ""
    owes: str = ""
    situation: str | ByWord[str] = ""
    verdicts: Verdicts | ByWord[Verdicts] | None = None
    hands: bool = False

    @property
    def name(self) -> str:
        """Its head key, e.g. ``prove_dead``."""
        return head_key(self.record)

    @property
    def takes(self) -> dict[str, Takes]:
        """What each field takes, in order; a field named like a Python keyword without its underscore."""
        return {key.removesuffix("_"): note_of(self.record, key) for key in _keys(self.record)}


TABLE: dict[type, Row] = {}
"""Every action, by its record, in the order of the documentation."""


@dataclass_transform(frozen_default=True)
def action(
    says: str,
    *,
    needs: str = "",
    gives: str = "",
    owes: str = "",
    situation: str | ByWord[str] = "",
    verdicts: Verdicts | ByWord[Verdicts] | None = None,
    hands: bool = False,
) -> Callable[[type[R]], type[R]]:
    """Make a record an action and enter it into the table; for the arguments see ``Row``."""

    def enter(record: type[R]) -> type[R]:
        made = dataclass(frozen=True, slots=True)(record)
        TABLE[made] = Row(made, says, needs, gives, owes, situation, verdicts, hands)
        return made

    return enter


def _keys(record: type) -> list[str]:
    return [field.name for field in fields(cast(Any, record))]


Source = Annotated[str, named(Names.SOURCE, "Id of the source.", "control")]
Device = Annotated[str, named(Names.DEVICE, "Id of the device.", "first-low-water")]
ItsCircuit = Annotated[
    str, named(Names.CIRCUIT, "The circuit, where it is not the procedure's own.", "limits")
]
At = Annotated[str, named(Names.POINT, "A test point of the circuit, by its terminal mark.", "X3:5")]
To = Annotated[str, named(Names.POINT, "The other point; the return in most cases.", "N")]


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
)
class Isolate:
    """Switch or shut off a source."""

    isolate: Source


@action(
    "Lock and tag one isolated source.",
    needs="the source off",
    gives="the source is locked",
    situation="isolating",
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
)
class Unlock:
    """Take the lock off a source."""

    unlock: Source


@action(
    "Switch one source on again.",
    needs="no lock on it, no alteration that must not be in when it comes",
    gives="the source is on",
    situation="restoring",
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
)
class OpenCover:
    """Open a door or cover."""

    open_cover: Annotated[str, named(Names.COVER, "Id of the cover.", "panel-door")]


@action("Close a door or cover.", gives="the cover is closed")
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
)
class ShutValve:
    """Shut a fuel valve."""

    shut_valve: Annotated[str, named(Names.VALVE, "Id of the valve.", "burner-cock")]


@action(
    "Open a named fuel valve.",
    needs="no opening in the train, no jumper in",
    gives="the valve is open",
    situation="gas-valve",
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


@action(
    "Break a joint, plug or part of the gas train.",
    needs="somebody licensed for gas, the plant identified, gas shut off and its pressure seen gone in that section",
    gives="the train is open there",
    owes="its `cap`, its leak check once gas is back, and what `after_gas_work` in kb.yaml lists: `measure: flue-gas`, "
    "`observe: air-supply`, `measure: gas-rate` (or `measure: pressure` with `point` and `within`, with the burner seen "
    "firing), `observe: purge` before the flame",
    situation="gas-train-open",
    hands=True,
)
class OpenGasTrain:
    """Break a joint or plug of the gas train."""

    open_gas_train: Annotated[
        str, named(Names.FUEL_POINT, "Id of the point of the fuel train that is opened.", "test-nipple")
    ]


@action(
    "Close the opening in the gas train again.", gives="the train is closed there", situation="gas-train-open"
)
class Cap:
    """Close an opening of the gas train."""

    cap: Annotated[str, named(Names.FUEL_POINT, "Id of the point that is closed.", "test-nipple")]


@action(
    "Prove points of the gas train tight.",
    needs="every opening closed; with gas: gas in the train; with air: gas shut off",
    gives="on `tight`, with gas: the points are proved tight",
    verdicts=v.TIGHT,
)
class LeakCheck:
    """Prove the gas train tight."""

    leak_check: Annotated[
        tuple[str, ...],
        named(
            Names.FUEL_POINT,
            "Ids of the points that are checked: every one that was opened.",
            ["test-nipple"],
        ),
    ]
    with_: Annotated[
        str,
        one_of(
            "What fills the train during the check. Pumped air is a first test; only gas ends it. Without it, gas.",
            *("gas", "air"),
            example="air",
        ),
    ] = "gas"


@action(
    "Reset a device or the controller.",
    needs="evidence noted; low water, steam limits: cause found and mended; a lockout without its cause not oftener than "
    "`most_resets` in kb.yaml",
    gives="the device or controller is reset",
    owes="a full cycle; where the device `backs_up` one that did not stop the burner, the trip of that one",
    situation="reset",
)
class Reset:
    """Reset a device or the controller."""

    reset: Annotated[
        str,
        named(
            Names.TRIPPED,
            "Id of the device, or of the controller's memory in the equipment entry.",
            "second-low-water",
        ),
    ]


@action(
    "Look for the cause of a trip, and mend it.",
    gives="on `cause-mended`: the cause is found and mended",
    verdicts=v.CAUSE,
)
class FindCause:
    """Look for the cause of a trip and mend it."""

    find_cause: Annotated[
        str, named(Names.TRIPPED, "Id of the device or memory that tripped.", "second-low-water")
    ]


@action(
    "Watch the plant itself.",
    gives="on `seen`: purge, firing, a full cycle or a free air supply was seen",
    situation={"start": "firing", "full-cycle": "firing", "firing": "firing"},
    verdicts={
        "purge": v.SEEN,
        "air-supply": v.SEEN,
        "full-cycle": v.SEEN,
        "start": v.MAYBE_SEEN,
        "firing": v.MAYBE_SEEN,
        "shutdown": v.MAYBE_SEEN,
        "standstill": v.MAYBE_SEEN,
    },
)
class Observe:
    """Watch the plant itself."""

    observe: Annotated[
        str,
        one_of(
            "What is watched. start: fan or pump runs, also as it was found; purge before every flame; firing: the flame; "
            "full-cycle from demand through a full purge and firing to a normal stop; air-supply: the openings and ducts "
            "that bring the burner its air are free.",
            *("start", "purge", "full-cycle", "firing", "shutdown", "standstill", "air-supply"),
            example="full-cycle",
        ),
    ]


@action(
    "Let the plant start: demand on, burner switch on.",
    needs="people told (`inform`), again after hands were in; nothing that must not be in when it fires; not oftener than "
    "`most_starts` in kb.yaml without being seen to fire",
    gives="the plant may fire, unpurged until a purge is seen",
    situation="firing",
)
class StartDemand:
    """Let the plant start."""

    start_demand: Annotated[str, line("How.", "Burner switch on")]


@action("Let the plant stop: demand off, burner switch off.", gives="the plant is stopped")
class StopDemand:
    """Let the plant stop."""

    stop_demand: Annotated[str, line("How.", "Burner switch off")]


@action(
    "Change a setting.",
    needs="a setting that may be changed, by whom it may; a limit never to the side that lets more through; an operating control above its value only under a limit proved on this page, with a second gauge",
    gives="the setting is changed",
    owes="limits put back and seen to trip, while they stand earlier or after; gas or air: flue gas measured; a full cycle",
    situation="adjusting",
)
class Adjust:
    """Change a setting."""

    adjust: Annotated[
        str, named(Names.SETTING, "Id of the setting in the equipment entry.", "operating-opens")
    ]
    from_: Annotated[str, line("The value found.", "90 psi")]
    to: Annotated[str, line("The value left.", "95 psi")]
    gauge: Annotated[
        str, line("The second gauge that is watched while it stands above its value.", "Gauge at the header")
    ] = ""


@action("Look at a device or a part.")
class Inspect:
    """Look at a device or part."""

    inspect: Annotated[str, named(Names.PART, "Id of a device, or a part in plain words.", "first-low-water")]


@action("Let time pass: cool down, bleed off, discharge.", situation="waiting")
class Wait:
    """Let time pass."""

    wait: Annotated[Quantity, time("How long.", "15 min")]
    for_: Annotated[str, line("What for.", "The boiler cools below boiling point")] = ""


@action("Tell the people concerned, or get their permission.", gives="the people are told")
class Inform:
    """Tell the people concerned."""

    inform: Annotated[str, line("Who.", "Laundry manager")]


Next = Annotated[str, named(Names.PROCEDURE, "Procedure to go on with.", "is-it-doing-its-job")]


@action(
    "Hand the job to a colleague, with the list of everything that is still altered.",
    needs="nothing open or untested in the gas train; for every alteration a step that takes it out",
)
class HandOver:
    """Hand the job to a colleague with everything that is still altered."""

    hand_over: Annotated[str, line("To whom.", "The next technician")]
    next: Annotated[
        str, named(Names.PROCEDURE, "Procedure the colleague goes on with.", "find-open-contact")
    ] = ""
    next_step: Annotated[str, named(Names.STEP, "Step the colleague goes on with.", "remove-jumper")] = ""
    still_on: Annotated[
        tuple[str, ...],
        named(
            Names.CLIPPED, "Meters whose leads may still be clipped on; the colleague is told.", ["meter-1"]
        ),
    ] = ()


@action("The procedure ends here.", needs="everything in order that this end says")
class End:
    """The procedure ends here."""

    end: Annotated[
        str,
        one_of(
            "How it ends. left-safe: fuel or control supply is off and locked by then. unsafe-left-off: what was found "
            "is dangerous, the fuel is off and locked; `label`, `notice` and `tell` say what hangs there and who "
            "knows it. found: the contact is known "
            "and the plant stays safe for the procedure named next. Plant that is left as it was found is no end: "
            "hand it over (`hand_over`) to whoever decides.",
            *(
                "returned-to-service",
                "left-safe",
                "unsafe-left-off",
                "handed-over",
                "not-reproduced",
                "evacuated",
                "found",
            ),
        ),
    ]
    next: Next = ""
    label: Annotated[
        str,
        line("Of `unsafe-left-off`: what the label on the plant says.", "UNSAFE, gas leak at P2, do not use"),
    ] = ""
    notice: Annotated[
        str,
        line(
            "Of `unsafe-left-off`: the written notice, and who gets it.", "Warning notice to the shift lead"
        ),
    ] = ""
    tell: Annotated[
        str, line("Of `unsafe-left-off`: who else must be told.", "Lead technician and the gas supplier")
    ] = ""


AnyAction = (
    Identify
    | Record
    | Isolate
    | Lock
    | ProveDead
    | ProveGone
    | Unlock
    | Restore
    | TryStart
    | OpenCover
    | CloseCover
    | Guard
    | ShutValve
    | OpenValve
    | Clip
    | Unclip
    | WorkIn
    | Replace
    | Measure
    | Watch
    | Fit
    | Undo
    | Hold
    | ProveTrip
    | CheckReal
    | OpenGasTrain
    | Cap
    | LeakCheck
    | Reset
    | FindCause
    | Observe
    | StartDemand
    | StopDemand
    | Adjust
    | Inspect
    | Wait
    | Inform
    | HandOver
    | End
)
Action = Annotated[AnyAction | None, variants(*TABLE)]


def row(act: AnyAction) -> Row:
    """Return the action's row of the table."""
    return TABLE[type(act)]


def verdicts_of(act: AnyAction | None) -> Verdicts | None:
    """Return the verdict words that can answer a step; ``None`` where no answer means anything."""
    if act is None:
        return None
    found = row(act).verdicts
    return found.get(_word(act)) if isinstance(found, Mapping) else found


def row_verdicts(about: Row) -> tuple[Verdicts, ...]:
    """Return every row of verdict words that an action may be answered with."""
    found = about.verdicts
    if found is None:
        return ()
    rows = tuple(dict.fromkeys(found.values())) if isinstance(found, Mapping) else (found,)
    return tuple(dict.fromkeys((*rows, v.WITHIN))) if v.GONE in rows else rows


def situation_of(act: AnyAction | None) -> str:
    """Return the situation of cautions that an action makes; empty for none."""
    if act is None:
        return ""
    found = row(act).situation
    return found.get(_word(act), "") if isinstance(found, Mapping) else found


def _word(act: AnyAction) -> str:
    return str(getattr(act, head_key(type(act))))
