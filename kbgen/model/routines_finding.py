"""Routines that hunt, prove, put back and hand over."""

from __future__ import annotations

from typing import Annotated

from kbgen.model.routine_row import Found, Size, Unsure, or_stop, routine
from kbgen.model.takes import Names, line, named, new_name, one_of


@routine(
    "Hunt the open contact of a circuit live, in the order that `kbgen order` gives, as far as the open covers let; a "
    "reading that is neither full nor nothing is repeated in low impedance, and the two points of what is found are read once more.",
    deeds="`COVER.live` or `live`, `lead` or `held`; `MARK`, `MARK.low` and `MARK.above` of test points; `open.FROM-TO`, `open.FROM-TO.again`, `open.FROM-TO.then`, `fuse` (a second one `fuse.MARK`), `no-supply`, "
    "`weak`, `bridged`",
    title="Trace the open contact",
)
class Hunt:
    """Hunt an open contact."""

    hunt: Annotated[str, named(Names.CIRCUIT, "Id of the circuit.", "limits")]
    found: Found
    made: Annotated[str, new_name("Where it leads when the whole circuit is made.", "all-made")]
    supply: Annotated[
        str,
        new_name(
            "Where it leads when supply, return or fuse is missing. Without it, the ending `electrician`.",
            "electrician",
        ),
    ] = "electrician"
    unsure: Unsure = "stop-here"
    live_because: Annotated[
        str,
        line(
            "Why it is read live, where dead plant could answer too. Without it, the contacts that dead plant does not "
            "show.",
            "The burner must fire for it",
        ),
    ] = ""
    size: Size = ""
    return_at: Annotated[
        tuple[str, ...],
        new_name(
            "Ids of other places that the return is led to; points there are read to it there.", ["roof"]
        ),
    ] = ()


@routine(
    "Hunt the open contact of a circuit with ohms, on plant that is proved dead, in the order that the tests of dead plant "
    "have, operating controls last, fuses before them; what dead plant does not show is named at its end.",
    deeds="the id of each device, the mark of each fuse; `open.DEVICE`, `open.FUSE`, `weak`, `not-shown`",
    title="Trace with ohms",
)
class HuntDead:
    """Hunt an open contact on dead plant."""

    hunt_dead: Annotated[str, named(Names.CIRCUIT, "Id of the circuit.", "limits")]
    found: Found
    made: Annotated[str, new_name("Where it leads when no contact reads open.", "all-made")]
    supply: Annotated[
        str,
        new_name(
            "Where it leads when a fuse does not read whole. Without it, the ending `electrician`.",
            "electrician",
        ),
    ] = "electrician"
    unsure: Unsure = "stop-here"
    size: Size = ""


@routine(
    "Watch a full cycle, and go on where all of it was seen.",
    deeds="`seen`",
    title="A full cycle",
)
class FullCycle:
    """Watch a full cycle."""

    full_cycle: Annotated[str, new_name("Where it leads when not all of it was seen.", "stop-here")]


@routine(
    "Press a reset once, after its cause. `press` of the memory in the equipment entry says how.",
    deeds="`press`",
    title="Reset once",
)
class ResetOnce:
    """Reset once."""

    reset_once: Annotated[str, new_name("Id of the memory.", "lockout")]
    stays: Annotated[str, or_stop("Where it leads when it does not go.")] = "stop-here"


@routine(
    "Prove trips: every device named, or with `altered` every one that this page bridged, moved or replaced and has not "
    "seen trip. `trip` of the device's entry says how.",
    deeds="the id of each device",
    title="Prove that it trips",
)
class ProveTrips:
    """Prove trips."""

    prove_trips: Annotated[
        tuple[str, ...], named(Names.DEVICE, "Ids of devices, or `altered`.", ["altered"], besides="altered")
    ]
    fails: Annotated[str, or_stop("Where it leads when one does not trip.")] = "stop-here"


@routine(
    "Prove the gas train tight with gas: every point named, or with `opened` every one that this page opened and has not "
    "checked. `leak_check` of the equipment entry says how.",
    deeds="`tight`",
    title="Leak check",
)
class CheckLeaks:
    """Prove the train tight."""

    check_leaks: Annotated[
        tuple[str, ...], new_name("Ids of points of the fuel train, or `opened`.", ["opened"])
    ]
    leaks: Annotated[
        str,
        new_name("Where it leads when one is not tight. Without it, the ending `leaks`.", "leaks"),
    ] = "leaks"


Leaks = Annotated[
    str, new_name("Where it leads when gas passes or air is lost. Without it, the ending `leaks`.", "leaks")
]


@routine(
    "Empty a section of the fuel train through a hose at a test point, watch that no gas comes after, and close the point "
    "again. `train_tests` of the equipment entry says how.",
    deeds="`on`, `out`, `empty`, `off`; `passes`",
    title="Empty the section",
)
class Vent:
    """Empty a section of the train."""

    vent: Annotated[str, new_name("Id of the point of the fuel train.", "p2")]
    fails: Leaks = "leaks"


@routine(
    "Open a joint of the fuel train for the work that the work order names, and close it; where the work is not finished, "
    "every opening is capped.",
    deeds="`open`, `work`, `closed`; `capped`",
    title="Work at the joint",
)
class OpenJoint:
    """Open a joint, work, close it."""

    open_joint: Annotated[str, new_name("Id of the point of the fuel train.", "joint")]
    unfinished: Annotated[str, new_name("Where it leads when the work is not finished.", "unfinished")]


@routine(
    "Test a section of the fuel train with air at a test point: pressure held, joints brushed, the point closed again. "
    "`train_tests` of the equipment entry says how.",
    deeds="`on`, `up`, `holds`, `brush`, `off`; `fell`",
    title="Test it with air",
)
class AirTest:
    """Test a section of the train with air."""

    air_test: Annotated[str, new_name("Id of the point of the fuel train.", "p2")]
    joints: Annotated[tuple[str, ...], new_name("Ids of the joints that are brushed.", ["joint"])] = ()
    fails: Leaks = "leaks"


@routine(
    "Let the air that a test has left out of a section through a hose, until gas comes, and brush the point that was opened. "
    "What stops all fuel is shut while the hose goes on and comes off. `train_tests` of the equipment entry says how.",
    deeds="`before.VALVE`, `on`, `gas.VALVE`, `out`, `after.VALVE`, `off`, `again.VALVE`, `tight`",
    title="Let the air out",
)
class AirOut:
    """Let air out of a section."""

    air_out: Annotated[str, new_name("Id of the point of the fuel train.", "p2")]
    fails: Leaks = "leaks"


@routine(
    "Do another page and go on: its lines stand here, under the id of this line. Its ends in `goes_on` lead to the line below; "
    "every other end ends the job. What was asked at the door already is not asked again.",
    deeds="those of the page",
    title="Another page",
)
class DoPage:
    """Do another page and go on."""

    do_page: Annotated[str, named(Names.PROCEDURE, "Id of the page.", "prove-low-water")]
    goes_on: Annotated[
        tuple[str, ...],
        one_of(
            "The ends of that page with which this one goes on. Without it, found alone.",
            *("found", "not-reproduced", "returned-to-service"),
            example=["found"],
        ),
    ] = ("found",)


@routine(
    "Do a routine of the plant's own, as `routines` of the equipment entry writes it: its lines stand here, under the id of "
    "this line. In them `go: fails` leads where this line says, `go: done` to the line below.",
    deeds="those of its lines",
    title="Routine of the plant",
)
class DoRoutine:
    """Do a routine of the plant's own."""

    do_routine: Annotated[str, new_name("Id of the routine.", "gas-rate")]
    fails: Annotated[str, or_stop("Where it leads when it does not come out well.")] = "stop-here"


@routine(
    "Put back what this page opened, fitted or clipped on, the last thing first, and stop what it let start; with `if` "
    "where that is so on some ways only. Sources and valves come back with `bring_back` and `open`.",
    deeds="`demand`, `lead`; the id of each cover, alteration and meter",
    title="Put back",
)
class PutBack:
    """Put back what was done."""

    put_back: Annotated[
        tuple[str, ...], new_name("Names of covers, alterations and meters, or `all`.", ["all"])
    ]


@routine(
    "Is the open contact doing its job? The independent check of the device's entry; doubt is `real`.",
    deeds="`check`",
    title="Is it doing its job?",
)
class JobCheck:
    """Ask whether a device does its job."""

    job_check: Annotated[str, named(Names.DEVICE, "Id of the device.", "first-low-water")]
    real: Annotated[str, new_name("Where it leads when it was right to open.", "stop-here")]
    faulty: Annotated[str, new_name("Where it leads when it had no reason to.", "mend")]


@routine(
    "Hand the job over: the tag, and to whoever comes what is off, locked, shut, open, altered or clipped on by then. One "
    "stays until they come.",
    deeds="`tag`, `over`",
    title="Hand over",
)
class HandTo:
    """Hand the job over."""

    hand_to: Annotated[str, line("Who comes.", "Licensed electrician")]
    tag: Annotated[
        str,
        line(
            "What the tag says beside the name, in place of the date and what was found.",
            "Found low, do not fill",
        ),
    ] = ""
    next: Annotated[str, named(Names.PROCEDURE, "Page that they go on with.", "make-safe")] = ""
