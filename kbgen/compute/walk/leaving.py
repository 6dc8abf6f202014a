"""What must be in order when somebody walks away."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.walk.finding import Finding, Moment
from kbgen.compute.walk.firing import left_firing
from kbgen.compute.walk.going_on import call_begins, handed_over, next_begins
from kbgen.compute.walk.hazard import BYPASS, GAS, GAS_WORK, LEAVING, LOTO
from kbgen.compute.walk.in_service import (
    COVER_LEFT_OPEN,
    LIMIT_LEFT_CHANGED,
    TRIP_NOT_PROVED,
    in_service,
    proved,
)
from kbgen.compute.walk.result import because
from kbgen.compute.walk.state import (
    ANOTHERS,
    COVER,
    CYCLE_OWED,
    DANGER,
    FITTED,
    LEAKS,
    LOCKED,
    MOVED,
    OFF,
    OPENING,
    OWED,
    SHUT,
    UNTESTED,
    has,
    holds,
    names,
)
from kbgen.model import action as act


def findings(moment: Moment) -> Iterator[Finding]:
    """Yield what is wrong where one page meets the next. Who leaves because of danger leaves everything as it is."""
    yield from call_begins(moment)
    match moment.step.action:
        case act.HandOver() as action:
            yield from handed_over(moment, action)
            yield from _gas(moment)
            yield from _can_fire(moment, "hand_over")
            yield from _unlocked(moment, "hand_over")
        case act.End(end="evacuated"):
            if (DANGER, "") not in moment.state:
                yield from _alterations(moment, "or mark the outcome that leads here with `danger: true`")
                yield from _open_and_live(moment)
                yield from left_firing(moment)
        case act.End(end=end, next=following) as action:
            yield from _alterations(moment)
            # Plant that is locked off may wait with a limit that trips earlier; the debt goes along on tag and record.
            yield from _limits(moment) if end not in ("left-safe", "unsafe-left-off") else ()
            yield from _gas(moment)
            yield from next_begins(moment, following)
            if end == "returned-to-service" or (end == "not-reproduced" and not has(moment.state, LOCKED)):
                yield from in_service(moment, end)
            if end == "returned-to-service":
                yield from proved(moment)
            if end in ("left-safe", "unsafe-left-off"):
                yield from _left_safe(moment)
            yield from _leaks(moment, action)
            if end == "unsafe-left-off":
                yield from _unsafe(moment, action)
            if end != "returned-to-service":
                yield from _unlocked(moment, "end")
                yield from _can_fire(moment, "end")
            if end == "found":
                yield from _found(moment, action)


ALTERATION_LEFT = LEAVING.on(BYPASS).hazard(
    "alteration-left",
    "The most dangerous thing a service visit can leave behind.",
    "- {when: Not sure, go: leave}\n- id: leave\n  end: left-safe",
    "- {when: Not sure, go: take-out}\n- id: take-out\n  undo: jumper-1",
    rests_on="The alterations that are in at an end.",
)


def _alterations(moment: Moment, otherwise: str = "") -> Iterator[Finding]:
    plant = moment.plant
    otherwise = f", {otherwise}" if otherwise else ""
    for where, fit in plant.fitted(moment.state):
        over = f" ({plant.title(fit.over)})" if fit.over else f" ({fit.at})" if fit.at else ""
        yield ALTERATION_LEFT.finding(
            where,
            "end",
            f"`{fit.name}`{over} is still in",
            f"Lead this way through a step with `undo: {fit.name}` before it ends{otherwise}.",
            because(where, f"`{fit.name}` is fitted here"),
        )


GAS_LEFT_OPEN = GAS_WORK.hazard(
    "gas-left-open",
    "An opening that waits for the next person, with or without gas behind it.",
    "- do: Hang the tag.\n  end: left-safe",
    "- do: Cap it.\n  cap: Plug\n- do: Hang the tag.\n  end: left-safe",
    rests_on="The joints and points open at an end.",
)
GAS_LEFT_UNTESTED = GAS_WORK.hazard(
    "gas-left-untested",
    "The next person opens the cock on joints that nobody has tested.",
    "- do: Go.\n  end: left-safe",
    "- do: Lock the cock; the tag says untested.\n  lock: gas\n- do: Go.\n  end: left-safe",
    rests_on="The joints closed and not checked at an end, and whether the fuel is locked off there.",
)


def _gas(moment: Moment) -> Iterator[Finding]:
    state, field = moment.state, moment.field
    for opening in names(state, OPENING):
        yield GAS_LEFT_OPEN.finding(
            opening,
            field,
            f"`{opening}` of the gas train is left open",
            "Close it with `cap:` on every way out, in the same words as it was opened.",
        )
    untested = names(state, UNTESTED)
    unchecked = _unchecked(moment, untested)
    if untested and (unchecked or not moment.plant.gas_locked(state)):
        yield GAS_LEFT_UNTESTED.finding(
            "untested",
            field,
            "the gas train was opened and is not proved tight"
            + (
                ", and the next procedure does not know it"
                if unchecked
                else ", and the fuel is not locked off"
            ),
            f"Prove it tight (`leak_check: [{', '.join(untested)}]`); or lock the fuel, and end with `left-safe`, or lead to "
            "a page that lets the gas in and has that step directly after it.",
        )


def _unchecked(moment: Moment, joints: list[str]) -> list[str]:
    """Return the joints that whoever goes on with the job is sent past: the next page does not check them."""
    action = moment.step.action
    if not isinstance(action, act.End) or action.end in ("left-safe", "unsafe-left-off"):
        return []
    checked = moment.plant.base.page_says(action.next, "checks_tight") if joints and action.next else None
    return [joint for joint in joints if joint not in (checked or ())]


OFF_WITHOUT_LOCK = LEAVING.on(LOTO).hazard(
    "off-without-lock",
    "Off and not locked is on again when somebody looks for his fault.",
    "- do: Switch Q1 off.\n  isolate: fan\n- end: left-safe",
    "- do: Switch Q1 off.\n  isolate: fan\n- do: Lock Q1.\n  lock: fan\n- end: left-safe",
    rests_on="What is off without a lock at an end.",
)


def _unlocked(moment: Moment, field: str) -> Iterator[Finding]:
    """Yield sources that stay off without a lock although they can be locked."""
    plant, state = moment.plant, moment.state
    for name in names(state, OFF):
        source = plant.sources.get(name)
        # Nobody brings back a wheel at rest or what has cooled; what drives them has its own lock.
        held = source and (source.electric or (source.lock and source.energy not in ("motion", "heat")))
        if source and held and (LOCKED, name) not in state:
            yield OFF_WITHOUT_LOCK.finding(
                name,
                field,
                f"{source.title} stays off and is not locked; anybody can bring it back",
                f"Put a step with `lock: {name}` after it is switched off.",
                grants=frozenset({(LOCKED, name)}),
            )


LEFT_UNLOCKED = LEAVING.on(LOTO).hazard(
    "left-unlocked",
    "Left off, and the next person switches it on.",
    "- do: Hang the tag.\n  end: left-safe",
    "- do: Shut and lock the cock.\n  isolate: gas\n- lock: gas\n- do: Hang the tag.\n  end: left-safe",
    rests_on="The state of supplies, fuel and locks at an end.",
)


def _left_safe(moment: Moment) -> Iterator[Finding]:
    plant, state = moment.plant, moment.state
    for name in names(state, COVER) if plant.control and not plant.off(state) else ():
        title = plant.covers[name].title if name in plant.covers else name
        yield COVER_LEFT_OPEN.finding(
            name,
            "end",
            f"{title} is left open with the control supply on",
            f"Put a step with `close_cover: {name}` before it, or switch off and lock the supply.",
        )
    if (ANOTHERS, "") in state and not any(has(state, what) for what in (OFF, SHUT, COVER, FITTED)):
        return  # the marks differ and nothing was done: another's plant is not locked
    ways = [each for each in (plant.fuel_sources, plant.control) if each]
    if ways and not any(all(holds(state, (OFF, name), (LOCKED, name)) for name in each) for each in ways):
        yield LEFT_UNLOCKED.finding(
            "locked",
            "end",
            "the plant is called left safe and neither its fuel nor its control supply is locked off",
            "Isolate and lock one of them on every way here and hang the tag; plant that is left as found is handed "
            "over (`hand_over`).",
        )


def _open_and_live(moment: Moment) -> Iterator[Finding]:
    """Yield a live cover that somebody leaves open who is in no danger."""
    plant, state = moment.plant, moment.state
    for name in filter(plant.bares_live, names(state, COVER)) if not plant.off(state) else ():
        title = plant.covers[name].title if name in plant.covers else name
        yield COVER_LEFT_OPEN.finding(
            name,
            "end",
            f"{title} is left open with the control supply on, and nobody was in danger",
            f"Put a step with `close_cover: {name}` before it, hand it over, or mark the outcome that leads here with "
            "`danger: true`.",
        )


UNSAFE_NOT_SAID = LEAVING.on(GAS).hazard(
    "unsafe-not-said",
    "The plant is off because it is dangerous, and the next person sees a plant that is off.",
    "end: unsafe-left-off",
    "- lock: gas\n- end: unsafe-left-off\n  label: UNSAFE, leaks at P2, do not use\n"
    "  notice: Warning notice to the shift lead\n  tell: Lead technician and the gas supplier",
    rests_on="`end: unsafe-left-off` with its fields, and what is shut, locked and owed there.",
)

LEAK_LEFT_SAFE = LEAVING.on(GAS).hazard(
    "leak-left-safe",
    "A leak was found, and the next person reads a tag that says locked and not why.",
    "leaks: lock-it\n# ...\n- do: Tag it.\n  end: left-safe",
    "leaks: lock-it\n# ...\n- do: Label it.\n  end: unsafe-left-off\n  label: UNSAFE, leaks at P2, do not use\n"
    "  notice: Warning notice to the shift lead\n  tell: Lead technician and the gas supplier",
    rests_on="The verdict `leaks` of `leak_check` on every way, and the `end` it comes to.",
)


def _leaks(moment: Moment, end: act.End) -> Iterator[Finding]:
    leaks = names(moment.state, LEAKS)
    if leaks and end.end in ("left-safe", "found", "not-reproduced"):
        yield LEAK_LEFT_SAFE.finding(
            moment.index,
            "end",
            f"`{min(leaks)}` was found leaking and the end does not say so",
            "Write `end: unsafe-left-off` with `label`, `notice` and `tell`, or mend it and check it again before.",
        )


def _unsafe(moment: Moment, end: act.End) -> Iterator[Finding]:
    plant, state = moment.plant, moment.state
    lacking = [field for field in ("label", "notice", "tell") if not getattr(end, field)]
    if lacking:
        yield UNSAFE_NOT_SAID.finding(
            (moment.index, "said"),
            "end",
            f"the plant is left unsafe and nothing says its {' and '.join(f'`{each}`' for each in lacking)}",
            "Write `label` (what hangs on the plant), `notice` (what is given in writing, and to whom) and `tell` "
            "(who else must know).",
        )
    if plant.fuel_sources and not all(
        holds(state, (OFF, each), (LOCKED, each)) for each in plant.fuel_sources
    ):
        yield UNSAFE_NOT_SAID.finding(
            (moment.index, "locked"),
            "end",
            "the plant is left unsafe and its fuel is not off and locked",
            f"Write `isolate: {min(plant.fuel_sources)}` and `lock: {min(plant.fuel_sources)}` before it.",
        )


FOUND_LEADS_NOWHERE = LEAVING.hazard(
    "found-leads-nowhere",
    "The fault is known, the plant is half open, and the page ends.",
    "end: found",
    "end: found\nnext: is-it-doing-its-job",
    rests_on="`end: found` and its `next`.",
)
LEFT_ABLE_TO_FIRE = LEAVING.on(LOTO).hazard(
    "left-able-to-fire",
    "Between two pages the burner lights by itself.",
    "- do: Write it down.\n  end: found",
    "- do: Shut the burner cock.\n  shut_valve: burner-cock\n- do: Write it down.\n  end: found",
    rests_on="The state of supply and fuel between two pages, and the work under way.",
)


def _found(moment: Moment, action: act.End) -> Iterator[Finding]:
    if not action.next:
        yield FOUND_LEADS_NOWHERE.finding(
            moment.index,
            "end",
            "the fault is found and nothing says what comes next",
            "Name the procedure that goes on with it under `next`.",
        )


def _can_fire(moment: Moment, field: str) -> Iterator[Finding]:
    """Yield what is under way or unproved on plant that can light by itself while nobody answers for it."""
    plant, state = moment.plant, moment.state
    action = moment.step.action
    goes_on = isinstance(action, act.HandOver) or (
        isinstance(action, act.End) and action.end in ("found", "not-reproduced")
    )
    for name in names(state, COVER) if goes_on and not plant.off(state) else ():
        title = plant.covers[name].title if name in plant.covers else name
        yield COVER_LEFT_OPEN.finding(
            name,
            field,
            f"{title} is left open and live to whoever goes on",
            f"Close it (`close_cover: {name}`), or switch off and lock the supply.",
        )
    if not plant.can_fire(state):
        return
    if has(state, CYCLE_OWED):
        yield LEFT_ABLE_TO_FIRE.finding(
            "fire",
            field,
            "work is under way on the plant and its burner can light by itself",
            "Leave its fuel shut or its control supply off until the next procedure begins.",
        )
    for name in names(state, OWED) if not _proves_next(moment) else ():
        yield TRIP_NOT_PROVED.finding(
            name,
            field,
            f"{plant.title(name)} was jumped, changed or did not trip, was not proved since, and the burner can light",
            f"Prove it (`prove_trip: {name}`), or leave the fuel shut and locked.",
        )


def _proves_next(moment: Moment) -> bool:
    """Return whether the plant is handed to a page that proves something of what is owed.

    Trips that it does not prove stay owed: they travel on, and contract and tag name them.
    """
    action, owed = moment.step.action, set(names(moment.state, OWED))
    if not owed or not isinstance(action, act.HandOver):
        return False
    return not owed.isdisjoint(moment.plant.base.page_says(action.next, "proves_trips") or ())


def _limits(moment: Moment) -> Iterator[Finding]:
    """Yield limits that stand elsewhere than the plant's own setting; no end takes them."""
    for name in names(moment.state, MOVED):
        setting = moment.plant.settings[name]
        yield LIMIT_LEFT_CHANGED.finding(
            name,
            "end",
            f"{setting.title} is not back at {setting.value}",
            f"Adjust it back to {setting.value} on every way here.",
        )
