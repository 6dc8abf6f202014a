"""Resets and their causes."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.walk.finding import Finding, Moment
from kbgen.compute.walk.hazard import EVIDENCE, LOTO, RESETS
from kbgen.compute.walk.state import (
    BLAMED,
    CAUSE,
    CLEARED,
    DEMAND,
    INFORMED,
    LOCKED,
    OFF,
    RECORDED,
    RESET,
    SHUT,
    STALE,
    TESTED,
    TRIES,
    WARNED,
    State,
    count,
    facts,
    holds,
    names,
)
from kbgen.model import action as act

TOO_MANY_STARTS = RESETS.hazard(
    "too-many-starts",
    "Page after page tries once more, and every try that does not light leaves gas in the furnace.",
    "- do: Try again.\n  start_demand: Burner on  # the fourth time, and no flame was seen",
    "- do: Leave the fuel shut and locked.\n  end: left-safe",
    rests_on="The starts and resets on every way, over pages too, and how many the shop allows.",
)


FAULTY_UNCHECKED = RESETS.hazard(
    "faulty-unchecked",
    "The limit was right to open; it is changed for a new one, and the danger stays.",
    "- do: Which one is open?\n  ask: Which?\n  outcomes:\n    - {when: Float, go: change}\n"
    "    - {when: Limit, go: check-limit}\n- id: check-limit\n  check_real: limit\n  real: stop\n  faulty: change",
    "- do: Which one is open?\n  ask: Which?\n  outcomes:\n    - {when: Float, go: check-float}\n"
    "    - {when: Limit, go: check-limit}\n- id: check-limit\n  check_real: limit\n  real: stop\n  faulty: change",
    rests_on="The steps that `faulty` leads to, the limits that answers before them name by title or alias, and their `check_real`.",
)


def _unchecked(moment: Moment) -> Iterator[Finding]:
    """Yield a way past the job check to the step that follows its `faulty`."""
    for name in names(moment.state, BLAMED) if moment.index in moment.plant.for_faulty else ():
        yield FAULTY_UNCHECKED.finding(
            (moment.index, name),
            "do",
            f"this step is for a device that opened without a reason, and no job check said so of {moment.plant.title(name)}",
            f"Put a step with `check_real: {name}` on this way, and lead only its `faulty` here.",
            clears=frozenset({(BLAMED, name)}),
        )


def findings(moment: Moment) -> Iterator[Finding]:
    """Yield what is wrong with a reset, or with one start more."""
    yield from _unchecked(moment)
    match moment.step.action:
        case act.StartDemand():
            yield from _told(moment)
            if moment.plant.can_fire(moment.state):
                yield from _started(moment, "start_demand")
        case act.Reset(reset=name):
            yield from _reset(moment, name, "reset")
            if (DEMAND, "") in moment.state and moment.plant.can_fire(moment.state):
                yield from _started(moment, "reset")
        case act.Restore(restore=source) if (OFF, source) in moment.state and source in moment.plant.control:
            following = moment.state - {(OFF, source), (LOCKED, source)}
            # Where power clears a lockout, switching on lets the burner try again.
            for name in sorted(moment.plant.forgets_with_supply) if moment.plant.can_fire(following) else ():
                yield from _reset(moment, name, "restore")
        case act.Restore(restore=source) if (OFF, source) in moment.state:
            yield from _cleared(moment, moment.state - {(OFF, source), (LOCKED, source)})
        case act.OpenValve(open_valve=valve):
            opened = moment.state - {(SHUT, valve)}
            if moment.plant.first_cock(valve):
                opened -= facts(OFF, moment.plant.fuel_sources)
            yield from _cleared(moment, opened)


def _cleared(moment: Moment, following: State) -> Iterator[Finding]:
    """Yield a lockout that the supply cleared before its fuel came back: the burner tries again all the same."""
    plant, state = moment.plant, moment.state
    if plant.can_fire(state) or not plant.can_fire(following):
        return
    for name in names(state, CLEARED):
        if not _caused(moment, name):
            yield from _again(moment, name, moment.field, "is cleared by the supply that was off")


START_WITHOUT_TELLING = RESETS.on(LOTO).hazard(
    "start-without-telling",
    "The fan starts beside somebody who knows of nothing.",
    "- do: Turn the switch to ON.\n  start_demand: Burner switch to ON",
    "- do: See that everybody is clear, and tell them.\n  inform: Everybody at the boiler\n"
    "- do: Turn the switch to ON.\n  start_demand: Burner switch to ON",
    rests_on="`inform` before the first start on every way, and after hands were in; that they heard it is the reader's word.",
)


def _told(moment: Moment) -> Iterator[Finding]:
    plant, state = moment.plant, moment.state
    motors = [
        name for name, source in plant.sources.items() if source.electric and source.moves
    ] or plant.control
    if plant.off(state) or not (plant.can_fire(state) or any((OFF, name) not in state for name in motors)):
        return
    if not (holds(state, (INFORMED, "")) or holds(state, (WARNED, ""))):
        yield START_WITHOUT_TELLING.finding(
            moment.index,
            "start_demand",
            "the plant is started and nobody was told",
            "Put a step with `inform:` before it: everybody is clear and knows what starts.",
            grants=frozenset({(INFORMED, "")}),
        )


def _started(moment: Moment, field: str) -> Iterator[Finding]:
    most = moment.plant.base.shop.most_starts
    if count(moment.state, TRIES, "start") >= most:
        yield TOO_MANY_STARTS.finding(
            "starts",
            field,
            f"the burner is started more than {most} times on one visit and was not seen firing in between",
            f"See it fire (`observe: firing`, its `seen`), let a way back be taken `at_most: {most - 1}`, or lead to a page that "
            "finds the cause or leaves it safe; on arrival, ask for it with an outcome that `claims: [not-tried]`.",
            clears=facts(TRIES, names(moment.state, TRIES)),
        )


RESET_BEFORE_EVIDENCE = RESETS.on(EVIDENCE).hazard(
    "reset-before-evidence",
    "The reset wipes out which device it was.",
    "- do: Press the button.\n  reset: high-gas",
    "- do: Note which button stands out.\n  record: [resets]\n- do: Press it.\n  reset: high-gas",
    rests_on="The plant's `memory` and the steps with `record` before the reset.",
)
RESET_WITHOUT_CAUSE = RESETS.hazard(
    "reset-without-cause",
    "Low water, high pressure: the device did its job, and is told to try once more.",
    "- do: Press the button.\n  reset: second-low-water",
    "- do: Find why the water fell.\n  find_cause: second-low-water\n"
    "- do: Press the button.\n  reset: second-low-water",
    rests_on="`find_cause` of the device and its verdict on every way; `guards` says which devices need one.",
)
SECOND_RESET = RESETS.hazard(
    "second-reset",
    "Every start that does not light leaves gas in the furnace.",
    "- do: Reset again.\n  reset: lockout",
    "- do: Leave the fuel locked.\n  end: left-safe",
    rests_on="The resets on every way, over pages too, and `power_resets` of what a supply clears that was off; what was done "
    "before the first page is asked by `claims`.",
)
ONE_SHOT_RESET = RESETS.hazard(
    "one-shot-reset",
    "A thermal fuse is replaced with its cause mended; there is nothing to press.",
    "reset: thermal-fuse",
    "find_cause: thermal-fuse",
    rests_on="`reset: one-shot` of the device.",
)


def _what(moment: Moment, name: str) -> str:
    """Return what people call what is reset."""
    memory = moment.plant.memory.get(name)
    device = memory.device if memory and memory.device else name
    if memory is not None and moment.plant.device(device) is None:
        return memory.what
    return moment.plant.title(device)


def _reset(moment: Moment, name: str, field: str) -> Iterator[Finding]:
    plant, state = moment.plant, moment.state
    memory = plant.memory.get(name)
    device = plant.device(memory.device if memory and memory.device else name)
    if (TESTED, name) in state:
        return  # the test tripped it, and that is seen
    evidence = "resets" if device else "display"
    noted = (RECORDED, evidence) in state and (STALE, "") not in state
    if not noted and (device is None or device.reset != "automatic"):
        yield RESET_BEFORE_EVIDENCE.finding(
            moment.index,
            field,
            f"{_what(moment, name)} is reset before {'its button or flag' if device else 'the display'} is noted",
            f"Put a step with `record: [{evidence}]` before it; the reset wipes it out.",
            grants=frozenset({(RECORDED, evidence)}),
            clears=frozenset({(STALE, "")}),
        )
    if device is not None and device.reset == "one-shot":
        yield ONE_SHOT_RESET.finding(
            moment.index,
            field,
            f"{_what(moment, name)} is a one-shot device; there is nothing to reset",
            "Find the cause, then replace it.",
        )
    if _caused(moment, name):
        return
    if device is not None and device.role == "limit" and device.reset != "automatic":
        yield RESET_WITHOUT_CAUSE.finding(
            moment.index,
            field,
            f"{_what(moment, name)} is reset and the cause of the trip was not found",
            "Put a step with `find_cause:` before it, and stop where the cause is not found.",
            grants=frozenset({(CAUSE, name)}),
        )
    else:
        yield from _again(moment, name, field, "is reset")


def _caused(moment: Moment, name: str) -> bool:
    memory = moment.plant.memory.get(name)
    return (CAUSE, name) in moment.state or (memory is not None and (CAUSE, memory.device) in moment.state)


def _again(moment: Moment, name: str, field: str, how: str) -> Iterator[Finding]:
    most = moment.plant.base.shop.most_resets
    if 0 < most <= count(moment.state, RESET, name):
        yield SECOND_RESET.finding(
            moment.index,
            field,
            f"{_what(moment, name)} {how} again and the cause was not found",
            f"After {'one reset' if most == 1 else f'{most} resets'}, find the cause (`find_cause: {name}`) or stop and "
            "leave it safe.",
            grants=frozenset({(CAUSE, name)}),
        )
