"""What each action of the table is to a short form: which lines may be run together, and which stand alone."""

from __future__ import annotations

from enum import StrEnum

from kbgen.model import action as act
from kbgen.model.action import TABLE, AnyAction


class Role(StrEnum):
    """What a step is there for."""

    GATE = "gate"
    """Nobody goes on without it."""
    LOOK = "look"
    ACT = "act"
    PROVE = "prove"
    BACK = "bring back"


ROLES: dict[type, Role] = {
    act.Identify: Role.GATE,
    act.Record: Role.GATE,
    act.Isolate: Role.ACT,
    act.Lock: Role.ACT,
    act.ProveDead: Role.PROVE,
    act.ProveGone: Role.PROVE,
    act.Unlock: Role.BACK,
    act.Restore: Role.BACK,
    act.TryStart: Role.PROVE,
    act.OpenCover: Role.ACT,
    act.CloseCover: Role.BACK,
    act.Guard: Role.GATE,
    act.ShutValve: Role.ACT,
    act.OpenValve: Role.BACK,
    act.Clip: Role.ACT,
    act.Unclip: Role.BACK,
    act.WorkIn: Role.ACT,
    act.Replace: Role.ACT,
    act.Measure: Role.LOOK,
    act.Watch: Role.LOOK,
    act.Fit: Role.ACT,
    act.Undo: Role.BACK,
    act.Hold: Role.ACT,
    act.ProveTrip: Role.PROVE,
    act.CheckReal: Role.GATE,
    act.OpenGasTrain: Role.ACT,
    act.Cap: Role.BACK,
    act.LeakCheck: Role.PROVE,
    act.Reset: Role.ACT,
    act.FindCause: Role.GATE,
    act.Observe: Role.PROVE,
    act.StartDemand: Role.BACK,
    act.StopDemand: Role.ACT,
    act.Adjust: Role.ACT,
    act.Inspect: Role.LOOK,
    act.Wait: Role.GATE,
    act.Inform: Role.GATE,
    act.HandOver: Role.GATE,
    act.End: Role.GATE,
}


def role_of(action: AnyAction | None) -> Role:
    """Return the role of a step; one without an action is somebody's deed."""
    return Role.ACT if action is None else ROLES[type(action)]


if missing := [each.__name__ for each in TABLE if each not in ROLES]:
    raise TypeError(f"no role for {', '.join(missing)}")
