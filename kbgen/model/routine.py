"""The table of routines: one line of a procedure that stands for many steps.

What a routine writes follows from the plant's entry, its circuits and its devices. Schema, names and documentation
read this table; ``kbgen/compose/`` writes the steps. Their records stand in ``routines_*.py``, in the order of the
documentation.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, cast

from kbgen.model.build import build
from kbgen.model.routine_row import ALL, ALTERED, OPENED, ROUTINES, RoutineRow
from kbgen.model.routines_energy import (
    Arrive,
    BringBack,
    BurnerOff,
    BurnerOn,
    Close,
    LockOff,
    MakeSafe,
    Open,
    Prove,
)
from kbgen.model.routines_finding import (
    AirOut,
    AirTest,
    CheckLeaks,
    DoPage,
    DoRoutine,
    FullCycle,
    HandTo,
    Hunt,
    HuntDead,
    JobCheck,
    OpenJoint,
    ProveTrips,
    PutBack,
    ResetOnce,
    Vent,
)

__all__ = [
    "ALL",
    "ALTERED",
    "BY_NAME",
    "OPENED",
    "ROUTINES",
    "AirOut",
    "AirTest",
    "AnyRoutine",
    "Arrive",
    "BringBack",
    "BurnerOff",
    "BurnerOn",
    "CheckLeaks",
    "Close",
    "DoPage",
    "DoRoutine",
    "FullCycle",
    "HandTo",
    "Hunt",
    "HuntDead",
    "JobCheck",
    "LockOff",
    "MakeSafe",
    "Open",
    "OpenJoint",
    "Prove",
    "ProveTrips",
    "PutBack",
    "ResetOnce",
    "RoutineRow",
    "Vent",
    "routine_of",
    "row_of",
]

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
    | Vent
    | OpenJoint
    | AirTest
    | AirOut
    | DoPage
    | DoRoutine
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
