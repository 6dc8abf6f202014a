"""What must be in order when somebody walks away."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.walk.finding import Finding, Moment
from kbgen.compute.walk.going_on import handed_over, next_begins
from kbgen.compute.walk.result import Because
from kbgen.compute.walk.state import (
    ANALYSER_OWED,
    COVER,
    CYCLE_OWED,
    INFORMED,
    LOCKED,
    MOVED,
    OFF,
    OPENING,
    OWED,
    SHUT,
    STOPPED,
    UNNOTED,
    UNSEEN,
    UNTESTED,
    has,
    names,
)
from kbgen.model import action as act


def findings(moment: Moment) -> Iterator[Finding]:
    """Yield what is wrong with an end. Evacuation is right in any state."""
    match moment.step.action:
        case act.HandOver() as action:
            yield from handed_over(moment, action)
            yield from _gas(moment)
        case act.End(end="evacuated"):
            return
        case act.End(end=end, next=following) as action:
            yield from _alterations(moment)
            yield from _gas(moment)
            yield from next_begins(moment, following)
            if end == "returned-to-service" or (end == "not-reproduced" and not has(moment.state, LOCKED)):
                yield from _in_service(moment, end)
            if end == "returned-to-service":
                yield from _proved(moment)
            if end == "left-safe":
                yield from _left_safe(moment)
            if end != "returned-to-service":
                yield from _unlocked(moment)
            if end == "found":
                yield from _found(moment, action)


def _alterations(moment: Moment) -> Iterator[Finding]:
    plant = moment.plant
    for number, fit in plant.fitted(moment.state):
        over = f" ({plant.title(fit.over)})" if fit.over else f" ({fit.at})" if fit.at else ""
        yield Finding(
            "alteration-left",
            number,
            "end",
            f"`{fit.name}`{over} is still in",
            f"Lead this way through a step with `undo: {fit.name}` before it ends.",
            (Because(number, f"`{fit.name}` is fitted here"),),
        )


def _gas(moment: Moment) -> Iterator[Finding]:
    state, field = moment.state, moment.field
    for opening in names(state, OPENING):
        yield Finding(
            "gas-left-open",
            opening,
            field,
            f"`{opening}` of the gas train is left open",
            "Close it with `cap:` on every way out, in the same words as it was opened.",
        )
    goes_on = isinstance(moment.step.action, act.End) and moment.step.action.end != "left-safe"
    if has(state, UNTESTED) and (goes_on or not moment.plant.fuel_locked(state)):
        yield Finding(
            "gas-left-untested",
            "untested",
            field,
            "the gas train was opened and is not proved tight"
            + (
                ", and the next procedure does not know it" if goes_on else ", and the fuel is not locked off"
            ),
            "Prove it tight (`leak_check:`), or lock the fuel, tag it untested and end with `left-safe`.",
        )


def _in_service(moment: Moment, end: str) -> Iterator[Finding]:
    plant, state = moment.plant, moment.state
    unseen = names(state, UNSEEN) if end == "returned-to-service" else []
    for name in [*names(state, COVER), *unseen]:
        title = plant.covers[name].title if name in plant.covers else name
        yield Finding(
            "cover-left-open",
            name,
            "end",
            f"nobody made sure that {title} is closed" if name in unseen else f"{title} is left open",
            f"Put a step with `close_cover: {name}` before it.",
        )
    for name in names(state, LOCKED):
        title = plant.sources[name].title if name in plant.sources else name
        yield Finding(
            "lock-left-on",
            name,
            "end",
            f"{title} is still locked off in a plant that is called {end.replace('-', ' ')}",
            f"Take the lock off and switch on (`unlock: {name}`, `restore: {name}`), or end with `left-safe`.",
        )
    if end != "returned-to-service":
        return
    left = [(name, plant.valves[name].title) for name in names(state, SHUT) if name in plant.valves]
    left += [
        (name, plant.sources[name].title)
        for name in names(state, OFF)
        if name in plant.sources and (LOCKED, name) not in state
    ]
    for name, title in left:
        yield Finding(
            "left-shut-off",
            name,
            "end",
            f"{title} is still off or shut in a plant that is called returned to service",
            "Bring it back before the full cycle, or end with `left-safe`.",
        )


def _proved(moment: Moment) -> Iterator[Finding]:
    plant, state = moment.plant, moment.state
    for name in names(state, OWED):
        yield Finding(
            "trip-not-proved",
            name,
            "end",
            f"{plant.title(name)} was jumped and was not proved to trip since",
            f"Put a step with `prove_trip: {name}` after the jumper is out.",
        )
    for name in names(state, MOVED):
        yield Finding(
            "limit-left-changed",
            name,
            "end",
            f"{plant.settings[name].title} is not back at {plant.settings[name].value}",
            f"Adjust it back to {plant.settings[name].value} on every way here.",
        )
    for name in names(state, UNNOTED):
        yield Finding(
            "setting-not-noted",
            name,
            "end",
            f"{plant.settings[name].title} was changed and nobody wrote it down",
            "Give the step that adjusts it `note_down`, or record the settings.",
        )
    if has(state, ANALYSER_OWED):
        yield Finding(
            "analyser-missing",
            "analyser",
            "end",
            "gas or air was adjusted and the flue gas was not measured since",
            "Put a step with `measure: flue-gas` before it.",
        )
    if has(state, CYCLE_OWED) and plant.can_run(state):
        yield Finding(
            "cycle-not-seen",
            "cycle",
            "end",
            "no full cycle was seen since the plant was last touched",
            "Put a step with `observe: full-cycle` before it, whose question says that it went as it should.",
        )
    if (
        has(state, STOPPED)
        and not has(state, INFORMED)
        and any(family.also_stops for family in plant.families)
    ):
        yield Finding(
            "others-not-informed",
            "inform",
            "end",
            "other plant stops when this one does, and nobody there was told",
            "Put a step with `inform:` on this way.",
        )


def _unlocked(moment: Moment) -> Iterator[Finding]:
    """Yield sources that stay off without a lock although they can be locked."""
    plant, state = moment.plant, moment.state
    for name in names(state, OFF):
        source = plant.sources.get(name)
        if source and (LOCKED, name) not in state and (source.lock or source.electric):
            yield Finding(
                "off-without-lock",
                name,
                "end",
                f"{source.title} stays off and is not locked; anybody can bring it back",
                f"Put a step with `lock: {name}` after it is switched off.",
                grants=frozenset({(LOCKED, name)}),
            )


def _left_safe(moment: Moment) -> Iterator[Finding]:
    plant, state = moment.plant, moment.state
    for name in names(state, COVER) if plant.control and not plant.off(state) else ():
        title = plant.covers[name].title if name in plant.covers else name
        yield Finding(
            "cover-left-open",
            name,
            "end",
            f"{title} is left open with the control supply on",
            f"Put a step with `close_cover: {name}` before it, or switch off and lock the supply.",
        )
    lockable = plant.fuel_sources | plant.control
    if lockable and not any((LOCKED, name) in state and (OFF, name) in state for name in lockable):
        yield Finding(
            "left-unlocked",
            "locked",
            "end",
            "the plant is called left safe and neither its fuel nor its control supply is locked off",
            "Isolate and lock one of them on every way here, and hang the tag.",
        )


def _found(moment: Moment, action: act.End) -> Iterator[Finding]:
    if not action.next:
        yield Finding(
            "found-leads-nowhere",
            moment.index,
            "end",
            "the fault is found and nothing says what comes next",
            "Name the procedure that goes on with it under `next`.",
        )
    if has(moment.state, CYCLE_OWED) and moment.plant.can_fire(moment.state):
        yield Finding(
            "left-able-to-fire",
            "fire",
            "end",
            "work is under way on the plant and its burner can light by itself",
            "Leave its fuel shut or its control supply off until the next procedure begins.",
        )
