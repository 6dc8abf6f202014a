"""The table of routines: one line of a procedure that stands for many steps.

What a routine writes follows from the plant's entry, its circuits and its devices. Schema, names and documentation
read this table; ``kbgen/compose/`` writes the steps.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from typing import Annotated, Any, TypeVar, cast, dataclass_transform

from kbgen.model.build import build, head_key, note_of
from kbgen.model.takes import Names, Takes, line, named, new_name, one_of

R = TypeVar("R")
ALL = "all"
"""Stands for everything there is, in place of names."""
ALTERED, OPENED = "altered", "opened"
"""Stand for what the page has done by then."""


@dataclass(frozen=True, slots=True)
class RoutineRow:
    """One routine of the table.

    Attributes:
        record: The record that holds its fields; its head key is its name.
        says: What it does, for schema and documentation.
        deeds: The steps it writes, as their ids name them behind the routine's own id.
        title: Its title on a page.
    """

    record: type
    says: str
    deeds: str
    title: str

    @property
    def name(self) -> str:
        """Its head key, e.g. ``lock_off``."""
        return head_key(self.record)

    @property
    def takes(self) -> dict[str, Takes]:
        """What each field takes, in order."""
        keys = [each.name for each in fields(cast(Any, self.record))]
        return {key: note_of(self.record, key) for key in keys}


ROUTINES: dict[type, RoutineRow] = {}
"""Every routine, by its record, in the order of the documentation."""


@dataclass_transform(frozen_default=True)
def routine(says: str, *, deeds: str, title: str) -> Callable[[type[R]], type[R]]:
    """Make a record a routine and enter it into the table; for the arguments see ``RoutineRow``."""

    def enter(record: type[R]) -> type[R]:
        made = dataclass(frozen=True, slots=True)(record)
        ROUTINES[made] = RoutineRow(made, says, deeds, title)
        return made

    return enter


def _or_stop(says: str) -> Takes:
    """Return a place to lead to that may be left out."""
    return new_name(f"{says} Without it, the ending `stop-here`.", "stop-here")


Sources = Annotated[
    tuple[str, ...],
    new_name("Ids of the sources, or `all`; they go off in the order of `off_order`.", ["fan", "control"]),
]
Live = Annotated[
    str,
    new_name(
        "Where it leads when one is not gone, or nobody is sure. Without it, the ending `not-dead`.",
        "not-dead",
    ),
]
Found = Annotated[str, new_name("Where it leads once the place is known.", "found")]
Unsure = Annotated[str, _or_stop("Where it leads when a reading is not trusted.")]
Size = Annotated[
    str,
    new_name(
        "The size whose order it takes. Without it, the one of the page's sizes with most parts.", "sb-3"
    ),
]


@routine(
    "Ask the plant's questions at the door (`arrive` of the equipment entry), in the order written here.",
    deeds="the id of each question",
    title="At the door",
)
class Arrive:
    """Ask at the door."""

    arrive: Annotated[
        tuple[str, ...], new_name("Ids of the questions, or `all`.", ["smell", "identify", "water"])
    ]
    otherwise: Annotated[
        str,
        new_name(
            "Where every answer but the good one leads, in place of what the plant's entry says; never for one that says "
            "danger.",
            "dry-first",
        ),
    ] = ""


@routine(
    "Stop the burner: demand off. `valves`: then shut the fuel valves nearest to the flame.",
    deeds="`demand`, and the id of each valve; `still`",
    title="Burner off",
)
class BurnerOff:
    """Stop the burner."""

    burner_off: Annotated[str, one_of("How far.", "demand", "valves", example="valves")]
    still: Annotated[
        str, one_of("Whether one waits until it stands still. Without it, no.", "yes", "no", example="yes")
    ] = "no"


@routine(
    "Let the burner start: demand on; or let it run without fire (`cold`), on plant that can. Who must know is told first, "
    "where this page has not told them on every way.",
    deeds="`tell`, `demand`",
    title="Burner on",
)
class BurnerOn:
    """Let the burner start."""

    burner_on: Annotated[str, one_of("How far.", "demand", "cold", example="demand")]


@routine(
    "Switch sources off, lock and tag them. Of a fuel its valves that stop all of it are shut first; an electric source "
    "that keeps a charge is waited for, every other one where it is proved gone.",
    deeds="the id of each source; `SOURCE.lock`, `SOURCE.wait`; the id of each valve",
    title="Lock off",
)
class LockOff:
    """Lock sources off."""

    lock_off: Sources


@routine(
    "Prove sources gone, each behind its cover: live, dead, live on every conductor, or by what shows it.",
    deeds="the id of each source; the id of each cover that is opened",
    title="Prove it gone",
)
class Prove:
    """Prove sources gone."""

    prove: Sources
    live: Live = "not-dead"


@routine(
    "Make safe: tell, burner off with the valves nearest to the flame, lock sources off, prove them gone.",
    deeds="`tell`, `demand`, `still`, `leads`; the id of each valve, source and cover; `SOURCE.lock`, `SOURCE.wait`, `SOURCE.gone`",
    title="Make safe",
)
class MakeSafe:
    """Make the plant safe."""

    make_safe: Sources
    live: Live = "not-dead"
    leads: Annotated[
        tuple[str, ...],
        new_name(
            "Meters whose leads earlier pages may have left on; they come off as soon as the circuits are dead.",
            ["meter-1"],
        ),
    ] = ()


@routine(
    "Bring sources back in the order written here: is one of them off, tags and foreign locks, tell, locks off, on again; "
    "of a fuel its valves that stop all of it are opened last.",
    deeds="`off`, `tags`, `tell`; `SOURCE.unlock`, the id of each source and valve",
    title="Bring back",
)
class BringBack:
    """Bring sources back."""

    bring_back: Annotated[
        tuple[str, ...],
        new_name("Ids of the sources, in the order in which they come back.", ["control", "gas"]),
    ]
    when: Annotated[
        str,
        one_of(
            "Whether it is asked first if one of them is off at all. Without it, where this page did not switch one off.",
            *("needed", "always"),
            example="always",
        ),
    ] = "needed"
    foreign: Annotated[
        str, _or_stop("Where it leads when a lock is another's, a tag forbids it, or nobody is sure.")
    ] = "stop-here"


@routine("Open covers and fuel valves.", deeds="the id of each", title="Open")
class Open:
    """Open covers and valves."""

    open: Annotated[tuple[str, ...], new_name("Ids of covers and fuel valves.", ["panel-door"])]


@routine("Close covers, shut fuel valves.", deeds="the id of each", title="Close")
class Close:
    """Close covers, shut valves."""

    close: Annotated[
        tuple[str, ...], new_name("Ids of covers and fuel valves, or `all` for every cover.", ["panel-door"])
    ]


@routine(
    "Hunt the open contact of a circuit live, in the order that `kbgen order` gives, as far as the open covers let; a "
    "reading that is neither full nor nothing is repeated in low impedance, and what is found is read once more across.",
    deeds="`COVER.live` or `live`, `lead` or `held`; `MARK`, `MARK.low` and `MARK.above` of test points; `open.FROM-TO`, `open.FROM-TO.again`, `fuse` (a second one `fuse.MARK`), `no-supply`, "
    "`weak`, `bridged`",
    title="Hunt along the circuit",
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
    title="Hunt with ohms",
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
    stays: Annotated[str, _or_stop("Where it leads when it does not go.")] = "stop-here"


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
    fails: Annotated[str, _or_stop("Where it leads when one does not trip.")] = "stop-here"


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


AnyRoutine = (
    Arrive
    | BurnerOff
    | BurnerOn
    | LockOff
    | Prove
    | MakeSafe
    | BringBack
    | Open
    | Close
    | Hunt
    | HuntDead
    | FullCycle
    | ResetOnce
    | ProveTrips
    | CheckLeaks
    | DoPage
    | PutBack
    | JobCheck
    | HandTo
)
BY_NAME: dict[str, RoutineRow] = {row.name: row for row in ROUTINES.values()}


def routine_of(data: Mapping[str, Any]) -> AnyRoutine | None:
    """Read the routine of a line; ``None`` for a step of the author's own."""
    if "do" in data:
        return None
    found = next((BY_NAME[key] for key in data if key in BY_NAME), None)
    return None if found is None else cast(AnyRoutine, build(found.record, data))


def row_of(made: AnyRoutine) -> RoutineRow:
    """Return a routine's row of the table."""
    return ROUTINES[type(made)]
