"""What a change is about, the most dangerous first: so that one comment can tell many changes."""

from __future__ import annotations

from enum import StrEnum

from kbgen.compute.walk import state as s
from kbgen.model import action as act


class About(StrEnum):
    """What a change is about, in the order in which it is told."""

    PEOPLE = "Danger asked first, the right plant, people told"
    ENERGY = "Energy off, locked, shut and proved gone"
    HANDS = "Covers, hands and what is left in"
    BACK = "Energy that comes back, starts and full cycles"
    GUARDS = "Safeguards held, bridged, moved, reset and proved"
    GAS = "Work on the gas train"
    CAUTIONS = "Cautions"
    WAYS = "Where answers lead"
    LEFT = "What pages leave to each other"
    ENDS = "Ends and handing over"
    READINGS = "Readings and looks"
    FIELDS = "What entries say"
    ANSWERS = "Answers that can be given"
    RULES = "Problems of the check"
    WORDS = "Words"


_DEEDS: dict[About, tuple[type, ...]] = {
    About.PEOPLE: (act.Identify, act.Inform, act.Record),
    About.ENERGY: (
        act.Isolate,
        act.Lock,
        act.ProveDead,
        act.ProveGone,
        act.TryStart,
        act.ShutValve,
        act.StopDemand,
        act.Guard,
        act.Wait,
    ),
    About.HANDS: (act.OpenCover, act.CloseCover, act.Clip, act.Unclip, act.WorkIn, act.Replace),
    About.BACK: (act.Unlock, act.Restore, act.OpenValve, act.StartDemand, act.Observe),
    About.GUARDS: (
        act.Fit,
        act.Undo,
        act.Hold,
        act.ProveTrip,
        act.CheckReal,
        act.Reset,
        act.FindCause,
        act.Adjust,
    ),
    About.GAS: (act.OpenGasTrain, act.Cap, act.LeakCheck),
    About.ENDS: (act.End, act.HandOver),
    About.READINGS: (act.Measure, act.Watch, act.Inspect),
}
OF_DEED = {act.TABLE[action].name: about for about, actions in _DEEDS.items() for action in actions}
"""What each deed is about, by its head."""

_FACTS: dict[About, tuple[str, ...]] = {
    About.PEOPLE: (s.IDENTIFIED, s.DANGER_ASKED, s.RECORDED, s.INFORMED, s.WARNED, s.STOPPED, s.ANOTHERS),
    About.ENERGY: (
        s.OFF,
        s.LOCKED,
        s.PROVED,
        s.TRIED,
        s.GUARDED,
        s.SHUT,
        s.SEEN_GONE,
        s.IDLE,
        s.RUNNING,
        s.SPINS,
        s.MOVING,
        s.DEMAND,
    ),
    About.HANDS: (
        *(s.COVER, s.UNSEEN, s.LEFT_OPEN, s.HANDS, s.STANDS, s.LIVE, s.CLIPPED, s.FITTED),
        *(s.EVERYBODY, s.SENT, s.STILL_THERE, s.AT_OHMS),
    ),
    About.BACK: (s.UNPURGED, s.CYCLE_OWED, s.TRIES, s.LEFT_OFF, s.LEFT_LOCKED, s.LEFT_SHUT),
    About.GUARDS: (
        s.TRIP_SEEN,
        s.CAUSE,
        s.OWED,
        s.BLAMED,
        s.REAL,
        s.FAULTY,
        s.RESET,
        s.CLEARED,
        s.MOVED,
        s.UNNOTED,
        s.STALE,
    ),
    About.GAS: (s.OPENING, s.UNTESTED, s.LEAK_DUE, s.LEAKS, s.ANALYSER_OWED, s.GAS_OWED),
    About.READINGS: (s.FULL, s.MIDDLE, s.ZERO),
}
OF_FACT = {kind: about for about, kinds in _FACTS.items() for kind in kinds}
"""What each fact is about."""
