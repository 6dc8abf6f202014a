"""What crosses the border of a page: left behind at an end, found by whoever comes next.

No end discharges anything. What keeps hands whole (off, locked, proved) is asked for by the next page itself,
under ``starts``; what can hurt (altered, open, owed, untested, reset) is carried on until a step discharges it.
"""

from __future__ import annotations

from collections.abc import Collection

from kbgen.compute.walk import state as s
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.result import Arrival
from kbgen.compute.walk.state import State
from kbgen.model import action as act
from kbgen.model.answers import Answer
from kbgen.model.energies import Back
from kbgen.model.procedure import Procedure

_BRINGS_BACK = (act.Restore, act.OpenValve, act.StartDemand)
_FIRES = (*_BRINGS_BACK, act.Observe, act.Reset, act.ProveTrip)
_TOUCHED_BY: dict[str, tuple[type, ...]] = {
    s.FITTED: (*_FIRES, act.Fit, act.Undo, act.Measure),
    s.CLIPPED: (act.Clip, act.Unclip, act.Measure, act.Watch),
    s.OPENING: (*_BRINGS_BACK, act.OpenGasTrain, act.Cap, act.LeakCheck),
    s.UNTESTED: (*_FIRES, act.OpenGasTrain, act.LeakCheck, act.Undo),
    s.OWED: (*_BRINGS_BACK, act.ProveTrip, act.Fit, act.Replace),
    s.MOVED: (*_FIRES, act.Adjust),
    s.RESET: (act.Reset, act.FindCause, act.Observe, act.Restore),
    s.TRIES: (act.StartDemand, act.Reset, act.Observe, act.ProveTrip, act.Watch),
    s.CYCLE_OWED: (*_BRINGS_BACK, act.Observe),
    s.ANALYSER_OWED: (act.Measure, act.Adjust),
    s.GAS_OWED: (act.Measure, act.Watch, act.Observe),
    s.UNNOTED: (act.Record, act.Adjust),
    s.UNSEEN: (act.OpenCover, act.CloseCover),
    s.STOPPED: (act.Inform,),
    s.STANDS: (*_BRINGS_BACK, act.TryStart, act.CloseCover),
    s.LEFT_OFF: (act.Isolate, act.Restore),
    s.LEFT_LOCKED: (act.Lock, act.Unlock),
    s.LEFT_SHUT: (act.ShutValve, act.OpenValve),
}
"""What is carried from page to page, and the actions that write it or whose rules read it."""

_CLAIMED: dict[str, tuple[str, ...]] = {
    "nothing-altered": (s.FITTED, s.CLIPPED, s.MOVED),
    "trips-proved": (s.OWED,),
    "train-tight": (s.OPENING, s.UNTESTED, s.LEAKS, s.LEAK_DUE),
    "not-reset": (s.RESET,),
    "covers-closed": (s.COVER, s.UNSEEN, s.STANDS),
    "cycle-seen": (s.CYCLE_OWED,),
    "flue-gas-read": (s.ANALYSER_OWED,),
    "gas-work-checked": (s.GAS_OWED,),
    "not-tried": (s.TRIES,),
    "settings-noted": (s.UNNOTED,),
    "people-told": (s.STOPPED,),
    "all-on": (s.LEFT_OFF, s.LEFT_LOCKED, s.LEFT_SHUT, s.OFF, s.LOCKED, s.SHUT),
}
"""What an outcome says is not so, by the word of its claim."""


def left(state: State, plant: Plant) -> State:
    """Return what a page leaves behind in a state, in names that mean the same on every page."""
    behind = {_named(fact, plant.name) for fact in state if fact[0] in _TOUCHED_BY}
    for found, as_ in _AS_LEFT.items():
        behind |= s.facts(as_, s.names(state, found))
    # Heat and what ran down come back with the fire and the motor; nobody switches them on.
    behind -= s.facts(s.LEFT_OFF, filter(plant.leaves_by_itself, plant.sources))
    if s.has(state, s.INFORMED):
        behind -= {(s.STOPPED, "")}
    return frozenset(behind)


_AS_LEFT = {
    s.COVER: s.UNSEEN,
    s.OFF: s.LEFT_OFF,
    s.LOCKED: s.LEFT_LOCKED,
    s.SHUT: s.LEFT_SHUT,
    # What leaks is mended before it is tried again; until then it is a joint that nobody has proved tight.
    s.LEAKS: s.UNTESTED,
}
"""What is so at an end, and what the next page makes of it: it relies on nothing that it did not see."""


def left_standing(plant: Plant, state: State) -> State:
    """Return a state with the zones at whose open cover whoever hands the job over may stay.

    Who had hands in and has told nobody since may have them in yet: the keys go to somebody else meanwhile.
    """
    zones = (
        zone
        for zone in s.names(state, s.HANDS)
        if any(plant.stands_before(cover, zone) for cover in s.names(state, s.COVER))
    )
    told = s.has(state, s.INFORMED) or s.has(state, s.WARNED)
    sent = set() if told or not s.has(state, s.HANDS) else {(s.SENT, "")}
    return state | s.facts(s.STANDS, zones) | sent


def _named(fact: s.Fact, page: str) -> s.Fact:
    kind, name = fact
    return (kind, f"{page}#{name}") if kind.removeprefix(s.PERHAPS) in _BY_STEP and name.isdigit() else fact


_OWN = (
    s.ENERGISED,
    s.DANGER,
    s.DANGER_ASKED,
    s.IDENTIFIED,
    s.FULL,
    s.MIDDLE,
    s.ZERO,
    s.NOTHING_READ,
    s.TAKEN,
    s.HANDS,
)
"""What is true of one reader's way through one page only."""

_BY_STEP = (s.FITTED, s.CLIPPED, s.AT_OHMS, s.SHUT_IN)
"""Facts that are named by the step that brings them about."""


def handed(state: State, page: str, to: str) -> State:
    """Return the state a colleague goes on in with another page, without what only its own reader saw."""
    named = (_named(fact, page) for fact in s.without(state, *_OWN))
    return arrived(frozenset(named), to)


def arrived(facts: State, page: str) -> State:
    """Return facts in the names of a page: what its own steps brought about is called by those again."""
    own = f"{page}#"
    return frozenset((kind, name.removeprefix(own)) for kind, name in facts)


def brought(plant: Plant, low: State, high: State, owed: State, *, to_another: bool) -> State:
    """Return what whoever goes on with the job relies on where an end leads to the next page.

    That is what a lock holds: off, locked, a start tried, the cock under its plate shut. Who goes on himself has seen it proved gone as well;
    a colleague proves it anew, and makes sure that it is the right plant. A cause that was found and mended stays
    found while the plant cannot run: nothing trips anew.

    What it owes for certain is said along with it, so that no answer denies it.

    Args:
        owed: What the pages before it left for certain.
        to_another: Whether the job is handed to a colleague.
    """
    held = [name for name in s.names(low, s.LOCKED) if (s.OFF, name) in low]
    kinds = (s.OFF, s.LOCKED, s.TRIED) if to_another else (s.OFF, s.LOCKED, s.TRIED, s.PROVED)
    relied = {(kind, name) for kind in kinds for name in held if (kind, name) in low}
    relied |= s.facts(s.SHUT, plant.locked_cocks(low))
    if plant.fuel_locked(low):
        # Heat comes back with the fire alone; behind a locked fuel it only gets less. Hands prove it anew.
        heat = [name for name, source in plant.sources.items() if source.kind.back is Back.FIRE]
        relied |= {(s.OFF, name) for name in heat if (s.OFF, name) in low or (s.PROVED, name) in low}
        # Who goes on himself has felt it cold.
        relied |= {(s.PROVED, name) for name in heat if not to_another and (s.PROVED, name) in low}
    if not s.has(high, s.STALE):
        relied |= s.facts(s.RECORDED, s.names(low, s.RECORDED))
    relied |= {_named(fact, plant.name) for fact in low | (owed & high) if fact[0] in _DEBTS}
    relied |= s.facts(s.UNSEEN, s.names(low, s.COVER)) | s.facts(s.LEFT_OPEN, s.open_covers(low))
    # Nobody is asked for these: only what a step does ends them.
    relied |= {_named(fact, plant.name) for fact in low if fact[0] in (s.SENT, s.AT_OHMS, s.CLEARED, s.REAL)}
    if not to_another:
        known = (s.IDENTIFIED, s.DANGER_ASKED, s.SEEN_GONE, *(() if plant.can_run(high) else (s.CAUSE,)))
        relied |= {fact for fact in low if fact[0] in known}
    return frozenset(relied)


_DEBTS = (
    s.FITTED,
    s.CLIPPED,
    s.OPENING,
    s.UNTESTED,
    s.OWED,
    s.MOVED,
    s.ANALYSER_OWED,
    s.GAS_OWED,
    s.UNNOTED,
    s.RESET,
    s.UNSEEN,
    s.STANDS,
)
"""What the page before leaves for certain and its own job discharges; "nothing else is owed" does not."""


def owed_by(brings: State) -> State:
    """Return what every way to a page leaves undone, of what it begins with.

    Leads that every way there clips on are no debt alone: the page reads by them, and takes them off.
    """
    return frozenset(fact for fact in brings if fact[0] in _DEBTS and fact[0] != s.CLIPPED)


def touched(procedure: Procedure, arrival: Arrival) -> Arrival:
    """Return an arrival with the facts that a page's steps or rules read or write; the others pass beside it."""
    actions = {type(step.action) for step in procedure.steps}
    claimed = {
        kind
        for step in procedure.steps
        for outcome in step.outcomes
        for kind in claimed_kinds(outcome.claims)
    }
    every = returns_to_service(procedure)

    def at_hand(fact: s.Fact) -> bool:
        return fact[0] in claimed or not actions.isdisjoint(_TOUCHED_BY[fact[0]])

    finds = frozenset(fact for fact in arrival.finds if every or at_hand(fact))
    beside = {fact for fact in arrival.brings if fact[0] in _DEBTS and not at_hand(fact)}
    return Arrival(finds, arrival.brings - beside)


def returns_to_service(procedure: Procedure) -> bool:
    """Return whether a page can end with the plant returned to service."""
    return any(
        isinstance(step.action, act.End) and step.action.end == "returned-to-service"
        for step in procedure.steps
    )


def claimed_kinds(claims: Collection[str]) -> frozenset[str]:
    """Return the kinds of facts that claims deny."""
    return frozenset(kind for word in claims for kind in _CLAIMED[word])


def claims_against(facts: Collection[s.Fact]) -> list[str]:
    """Return the claims that together deny some facts."""
    kinds = {kind for kind, _ in facts}
    return [word for word, denied in _CLAIMED.items() if kinds & set(denied)]


def believed(
    plant: Plant, low: State, high: State, answer: Answer | None, begins: State, owed: State
) -> tuple[State, State] | None:
    """Return what is and what may be so after an answer and its claims; ``None`` where it cannot be given truthfully.

    Of what is off, locked or shut the answer says which way one is on; that people know is the reader's word. What else
    this page itself brought about nobody can deny; that is told at the answer, and the walk goes on as if mended.
    What the page before has off and locked, and what it owes, stays so: an answer says that nothing else is.

    Args:
        plant: What the names stand for.
        begins: What is so for certain where the page begins.
        owed: What the page before left for certain.
    """
    if answer is not None and answer.are_on:
        cocks = [
            name
            for name, valve in plant.valves.items()
            if valve.fuel in answer.are_on and plant.first_cock(name)
        ]
        off = s.facts(s.OFF, answer.are_on) | s.facts(s.LOCKED, answer.are_on) | s.facts(s.SHUT, cocks)
        if any(fact in low for fact in off):
            return None
        high -= frozenset((_AS_LEFT[kind], name) for kind, name in off)
    if answer is None or not answer.claims:
        return low, high
    denied = claimed_kinds(answer.claims)
    if any(fact[0] in denied and fact[0] in _EITHER_WAY and fact not in begins for fact in low):
        return None
    # One more reset needs a cause of its own, whatever is said of the first.
    own = frozenset(fact for fact in low if fact[0] == s.RESET or (fact in begins and fact[0] in _STAYS))
    return s.without(low, *denied) | own, s.without(high, *denied) | own | (owed & high)


_EITHER_WAY = (s.OFF, s.LOCKED, s.SHUT, s.LEFT_OFF, s.LEFT_LOCKED, s.LEFT_SHUT)
_STAYS = (*_EITHER_WAY, s.CLIPPED)
"""What the page before left for certain, whatever is said of the rest."""


def answered_for(plant: Plant, action: act.AnyAction | None) -> State:
    """Return what a page answers for from this step on, also where it only found it: it brings energy back."""
    match action:
        case act.OpenValve():
            return frozenset({(s.ENERGISED, ""), (s.ENERGISED, "fuel")})
        case act.Restore(restore=name):
            fuel = name in plant.fuel_sources
            return frozenset({(s.ENERGISED, ""), (s.ENERGISED, "fuel")} if fuel else {(s.ENERGISED, "")})
    return s.NOTHING


def answering(plant: Plant, low: State, high: State) -> State:
    """Return the state in which a page is judged that leaves the plant to somebody else.

    Who leaves plant as it was found answers for what this page did; who brought energy back, for what is
    outstanding with it: for the gas train where gas stands in it, for what is open or clipped on where there is
    supply, for the rest where the plant can run.
    """
    if (s.ENERGISED, "") not in low:
        return low
    gas = (s.ENERGISED, "fuel") in low and not plant.train_shut(high)
    live, runs = not plant.off(high), plant.can_run(high)
    return low | {
        fact for fact in high - low if (gas if fact[0] in _OF_GAS else live if fact[0] in _BARES else runs)
    }


_BARES = (s.COVER, s.UNSEEN, s.CLIPPED)
_OF_GAS = (s.OPENING, s.UNTESTED, s.LEAK_DUE)
