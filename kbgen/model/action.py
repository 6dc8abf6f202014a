"""The table of actions: what a step does to the plant, each said once.

Their records stand in ``actions_*.py``, in the order of the documentation; what a row says in ``action_row.py``.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from kbgen.model import verdicts as v
from kbgen.model.action_row import TABLE, Row
from kbgen.model.actions_off_and_on import (
    Clip,
    CloseCover,
    Guard,
    Identify,
    Isolate,
    Lock,
    OpenCover,
    OpenValve,
    ProveDead,
    ProveGone,
    Record,
    Replace,
    Restore,
    ShutValve,
    TryStart,
    Unclip,
    Unlock,
    WorkIn,
)
from kbgen.model.actions_reading import CheckReal, Fit, Hold, Measure, ProveTrip, Undo, Watch
from kbgen.model.actions_running import (
    Adjust,
    Cap,
    End,
    FindCause,
    HandOver,
    Inform,
    Inspect,
    LeakCheck,
    Observe,
    OpenGasTrain,
    Reset,
    StartDemand,
    StopDemand,
    Wait,
)
from kbgen.model.build import head_key, variants
from kbgen.model.verdicts import Verdicts

__all__ = [
    "TABLE",
    "Action",
    "Adjust",
    "AnyAction",
    "Cap",
    "CheckReal",
    "Clip",
    "CloseCover",
    "End",
    "FindCause",
    "Fit",
    "Guard",
    "HandOver",
    "Hold",
    "Identify",
    "Inform",
    "Inspect",
    "Isolate",
    "LeakCheck",
    "Lock",
    "Measure",
    "Observe",
    "OpenCover",
    "OpenGasTrain",
    "OpenValve",
    "ProveDead",
    "ProveGone",
    "ProveTrip",
    "Record",
    "Replace",
    "Reset",
    "Restore",
    "Row",
    "ShutValve",
    "StartDemand",
    "StopDemand",
    "TryStart",
    "Unclip",
    "Undo",
    "Unlock",
    "Wait",
    "Watch",
    "WorkIn",
    "row",
    "row_verdicts",
    "situation_of",
    "verdicts_of",
]

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
