"""The table of the facts of the safety walk, in the words a reviewer reads when one is so no longer, or may be so now.

A fact that keeps somebody whole is compared where it is so on every way; one that may hurt, where it may be so on any.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from kbgen.compute.walk import state as s
from kbgen.compute.walk.plant import Plant
from kbgen.model import action as act

Namer = Callable[[Plant, str], str]


@dataclass(frozen=True, slots=True)
class Fact:
    """One row.

    Attributes:
        keeps: Whether it keeps somebody whole.
        says: What is so, ``{}`` for what it is true of.
        at: The actions before which it is compared; ends among them.
        name: What it is true of, as people call it.
    """

    keeps: bool
    says: str
    at: frozenset[type]
    name: Namer | None = None


_HANDS = frozenset({act.OpenCover, act.WorkIn, act.Replace, act.Clip, act.Unclip, act.Fit, act.Undo})
_GAS = frozenset({act.OpenGasTrain})
_ENERGY = frozenset({act.Unlock, act.Restore, act.OpenValve, act.StartDemand})
_ENDS = frozenset({act.End, act.HandOver})
_PROOFS = frozenset({act.ProveDead, act.ProveGone, act.TryStart})
_READINGS = frozenset({act.Measure, act.Watch})
_RISKS = _HANDS | _GAS | _ENERGY | _ENDS | frozenset({act.Reset, act.Adjust, act.Hold})
TARGETS = _RISKS | _PROOFS | _READINGS | frozenset({act.Isolate, act.Observe, act.LeakCheck})
"""The actions before which anything is compared."""


def _title(things: str) -> Namer:
    def name(plant: Plant, what: str) -> str:
        found = getattr(plant, things).get(what)
        return found.title if found else what

    return name


def _device(plant: Plant, name: str) -> str:
    name = name.partition(" ")[0]
    return plant.memory[name].what if name in plant.memory else plant.title(name)


def _by_step(plant: Plant, where: str) -> str:
    action = plant.action_at(where)
    match action:
        case act.Fit():
            return " ".join(filter(None, (action.fit.replace("-", " "), _over(plant, action))))
        case act.Clip():
            return f"{action.at} to {action.to}" if action.to else action.at
    return where


def _over(plant: Plant, action: act.Fit) -> str:
    where = action.from_ or action.point or action.name
    return f"over {plant.title(action.over)}" if action.over else where


def _gas_check(_: Plant, name: str) -> str:
    return {"gas-rate": "gas rate or working pressure", "air-supply": "air supply"}.get(name, name)


def _reading(_: Plant, name: str) -> str:
    return name.replace(" ", " to ", 1)


def _words(_: Plant, name: str) -> str:
    return name.replace("-", " ")


_SOURCE, _VALVE, _COVER = _title("sources"), _title("valves"), _title("covers")
_ZONE, _POINT, _SETTING = _title("zones"), _title("fuel_points"), _title("settings")

FACTS: dict[str, Fact] = {
    s.OFF: Fact(True, "{} is off", _HANDS | _GAS | _ENDS | _PROOFS, _SOURCE),
    s.LOCKED: Fact(True, "{} is locked off", _HANDS | _GAS | _ENDS | _PROOFS, _SOURCE),
    s.PROVED: Fact(
        True, "{} is proved dead or gone", _HANDS | _GAS | frozenset({act.HandOver, act.End}), _SOURCE
    ),
    s.TRIED: Fact(True, "a start was tried with {} locked", _HANDS | _ENDS, _SOURCE),
    s.GUARDED: Fact(True, "{}, which stays live, is covered", _HANDS, _SOURCE),
    s.SHUT: Fact(True, "{} is shut", _HANDS | _GAS | _READINGS | _ENDS, _VALVE),
    s.IDENTIFIED: Fact(True, "it is sure to be the right plant", _RISKS | _PROOFS | frozenset({act.Isolate})),
    s.DANGER_ASKED: Fact(
        True, "gas, smoke and alarm were asked for first", _RISKS | _PROOFS | frozenset({act.Isolate})
    ),
    s.RECORDED: Fact(
        True, "the evidence is noted ({})", frozenset({act.Isolate, act.Reset, act.Adjust}), _words
    ),
    s.INFORMED: Fact(True, "the people concerned are told", frozenset({act.Unlock}) | _ENDS),
    s.WARNED: Fact(
        True, "the people at the plant are told", frozenset({act.StartDemand, act.TryStart, act.Restore})
    ),
    s.EVERYBODY: Fact(True, "everybody at the plant is told to stand clear", frozenset({act.TryStart})),
    s.TRIP_SEEN: Fact(True, "{} was seen to trip", frozenset({act.Adjust, act.StartDemand}), _device),
    s.SEEN_GONE: Fact(True, "the gas pressure was seen gone ({})", _GAS | _HANDS, _words),
    s.IDLE: Fact(True, "the plant is stopped", frozenset({act.OpenCover, act.WorkIn, act.Isolate})),
    s.FULL: Fact(True, "{} was read full", _READINGS, _reading),
    s.CAUSE: Fact(True, "the cause of the trip of {} is found and mended", frozenset({act.Reset}), _device),
    s.COVER: Fact(False, "{} is open", _ENERGY | _ENDS | frozenset({act.Observe}), _COVER),
    s.UNSEEN: Fact(False, "{} was left open before", _ENERGY | _ENDS, _COVER),
    s.LEFT_OPEN: Fact(False, "{} was left open by the page before", _ENERGY, _COVER),
    s.LEFT_OFF: Fact(False, "{} was left off before", _ENDS, _SOURCE),
    s.LEFT_LOCKED: Fact(False, "{} was left locked before", _ENDS, _SOURCE),
    s.LEFT_SHUT: Fact(False, "{} was left shut before", _ENDS, _VALVE),
    s.RUNNING: Fact(False, "the plant runs", _HANDS | frozenset({act.Isolate})),
    s.SPINS: Fact(False, "something that was started was not seen to stand still", _HANDS),
    s.MOVING: Fact(False, "something turns", _HANDS),
    s.DEMAND: Fact(False, "the plant may start by itself", _HANDS | _READINGS | _GAS),
    s.UNPURGED: Fact(False, "no purge was seen", frozenset({act.Observe}) | _ENDS),
    s.HANDS: Fact(False, "hands are in {}", _ENERGY | frozenset({act.TryStart}), _ZONE),
    s.STANDS: Fact(False, "somebody may stand at {}", _ENERGY | frozenset({act.TryStart}), _ZONE),
    s.SENT: Fact(
        False, "a helper is at work in the plant, and is not told", _ENERGY | frozenset({act.TryStart})
    ),
    s.STILL_THERE: Fact(False, "{} was not found gone", frozenset({act.OpenCover}), _SOURCE),
    s.AT_OHMS: Fact(False, "a meter is left at ohms ({})", frozenset({act.Restore}), _by_step),
    s.CLEARED: Fact(False, "{} was cleared by its supply", frozenset({act.Restore, act.OpenValve}), _device),
    s.LIVE: Fact(False, "{} was found live before an open cover", _ENERGY | _ENDS, _SOURCE),
    s.STOPPED: Fact(False, "people whose plant stopped are not told", _ENDS),
    s.ANOTHERS: Fact(False, "it is another plant", _RISKS - _ENDS | _PROOFS | frozenset({act.Isolate})),
    s.FITTED: Fact(
        False,
        "an alteration is still in ({})",
        _ENERGY | _ENDS | _READINGS | frozenset({act.Observe}),
        _by_step,
    ),
    s.CLIPPED: Fact(False, "leads are still on ({})", _ENDS, _by_step),
    s.OWED: Fact(False, "{} is not proved to trip", _ENDS, _device),
    s.OPENING: Fact(
        False, "the gas train is open at {}", _ENERGY | _ENDS | frozenset({act.LeakCheck}), _POINT
    ),
    s.UNTESTED: Fact(
        False,
        "the gas train is not proved tight at {}",
        _ENDS | frozenset({act.StartDemand, act.Observe}),
        _POINT,
    ),
    s.LEAK_DUE: Fact(
        False,
        "gas stands in a train that is not proved tight",
        _ENDS | frozenset({act.StartDemand, act.Observe}),
    ),
    s.LEAKS: Fact(False, "gas leaks at {}", _ENDS | frozenset({act.StartDemand}), _POINT),
    s.MIDDLE: Fact(
        False,
        "a reading between ({}) was not repeated in low impedance",
        _ENDS | frozenset({act.Replace}),
        _reading,
    ),
    s.ZERO: Fact(
        False,
        "a reading of nothing ({}) counts without a full one before it",
        _ENDS | frozenset({act.Replace}),
        _reading,
    ),
    s.STALE: Fact(False, "the evidence may be older than the trip", frozenset({act.Reset})),
    s.BLAMED: Fact(False, "{} was named as open, and its job is not checked", _ENERGY | _ENDS, _device),
    s.REAL: Fact(False, "{} was right to open, and its cause is left", _ENERGY | _ENDS, _device),
    s.FAULTY: Fact(False, "{} opened without a reason, and is not mended", _ENERGY | _ENDS, _device),
    s.RESET: Fact(False, "{} was reset without its cause found", _ENDS | frozenset({act.Reset}), _device),
    s.CYCLE_OWED: Fact(False, "no full cycle was seen since the work", _ENDS),
    s.MOVED: Fact(
        False,
        "{} stands elsewhere than at its setting",
        _ENDS | frozenset({act.StartDemand, act.Observe}),
        _SETTING,
    ),
    s.ANALYSER_OWED: Fact(False, "the flue gas was not read since the work", _ENDS),
    s.GAS_OWED: Fact(False, "{} was not checked since the gas work", _ENDS, _gas_check),
    s.TRIES: Fact(False, "a start was tried and no flame was seen", _ENDS),
    s.UNNOTED: Fact(False, "{} was changed and is not written down", _ENDS, _SETTING),
}
"""A row for each kind of fact that is compared."""

WAIVED: dict[str, str] = {
    s.SHUT_IN: "of leads that are on, which are compared; that they need a new proof is told by the rule",
    s.SHORT: "of the air supply on this page alone; that the burner fires short of it is told by the rule",
    s.WITHOUT_FIRE: "of its own start; that fuel is opened under it is told by the rule",
    s.FLAME: "it ends what is owed, and what is owed is compared",
    s.FAILED: "it says that a device did not trip; that its trip is owed is compared",
    s.TESTED: "it says why a device tripped; whether its reset needs a cause is compared as a rule",
    s.CAUSED: "it keeps count of resets, which are compared",
    s.UNDER_LOCK: "it says which locks an alteration went in under; that the alteration is in is compared",
    s.NOTHING_READ: "it is what a reading is answered by; where that leads is compared at the answers",
    s.TAKEN: "it keeps count of ways back; their limits are compared at the answers",
    s.DANGER: "it says that somebody leaves at once; the end is compared",
    s.PERHAPS: "it marks what earlier pages may have left, which is compared under its own kind",
    s.HOT: "it says that what runs on may not go off yet; a switch-off that is too early is compared as a rule",
    s.ENERGISED: "it says for what a page answers; what it answers for is compared",
}
"""Each kind of fact that is not compared, and why."""


def named(plant: Plant, fact: s.Fact) -> str:
    """Return what a fact is true of, as people call it; empty where it says it all."""
    name = FACTS[fact[0]].name
    return name(plant, fact[1]) if name else ""
