"""Routines that stop, lock, prove and bring back."""

from __future__ import annotations

from typing import Annotated

from kbgen.model.routine_row import Live, Sources, or_stop, routine
from kbgen.model.takes import new_name, one_of


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
    title="Stop",
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
    title="Start",
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
    title="Prove dead, cold or still",
)
class Prove:
    """Prove sources gone."""

    prove: Sources
    live: Live = "not-dead"


@routine(
    "Make safe: tell, burner off with the valves nearest to the flame, lock sources off, prove them gone.",
    deeds="`tell`, `demand`, `still`; the id of each valve, source and cover; `SOURCE.lock`, `SOURCE.wait`, `SOURCE.gone`",
    title="Make safe",
)
class MakeSafe:
    """Make the plant safe."""

    make_safe: Sources
    live: Live = "not-dead"


@routine(
    "Bring sources back in the order written here: is one of them off, tags and foreign locks, tell, locks off, on again; "
    "of a fuel its valves that stop all of it are opened last.",
    deeds="`off`, `tags`, `tell`; `SOURCE.unlock`, the id of each source and valve",
    title="Restore supplies",
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
        str, or_stop("Where it leads when a lock is another's, a tag forbids it, or nobody is sure.")
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
