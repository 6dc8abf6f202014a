"""What a step does to the plant.

What takes energy away or proves something counts only where the step and its answer say so; what is not
understood proves nothing. What brings energy back counts from the moment it is done.
"""

from __future__ import annotations

from typing import assert_never

from kbgen.compute.walk import state as s
from kbgen.compute.walk.plant import (
    AT_WHAT_TURNS,
    BRIDGING,
    DEAD,
    ELECTRIC,
    LET_BY,
    SIGNALS,
    Plant,
    expects_nothing,
)
from kbgen.compute.walk.said import helper_is_back, tells_everybody, turns_to_volts
from kbgen.compute.walk.settings import at_its_value, is_limit, is_mixture, nobody_changes
from kbgen.compute.walk.state import Changing, Fact, Noted, State, facts, without
from kbgen.compute.walk.strings import devices
from kbgen.model import action as act
from kbgen.model.answers import Answer
from kbgen.model.energies import Back
from kbgen.model.procedure import ProcedureStep

_NO_ANSWER = Answer("", "")
_ONLY_IN_DANGER = (s.FITTED, s.LIVE, s.COVER, s.FAILED)


def after(plant: Plant, state: State, index: int, answer: Answer | None) -> State:
    """Return the state after a step and the answer to its question.

    Args:
        plant: What the names stand for.
        state: The state before.
        index: The step.
        answer: The answer that is given; ``None`` without a question.
    """
    if (s.SENT, "") in state and helper_is_back(plant.says[index]):
        state = without(state, s.SENT)
    if s.has(state, s.AT_OHMS) and turns_to_volts(plant.says[index]):
        state = without(state, s.AT_OHMS)
    if index in plant.sends:
        return _after(plant, state, index, answer) | {(s.SENT, "")}
    return _after(plant, state, index, answer)


def becomes(plant: Plant, state: int, index: int, answer: int | None) -> int:
    """Return the state after a step and the answer to its question, both as numbers.

    A step is taken once for all states in which everything it asks for or changes is alike.

    Args:
        answer: The index of the answer.
    """
    bits, known = plant.bits, plant.changed[index, answer]
    found = known.found.get(known.part_of(bits, state))
    if found is None:
        seen: set[Fact] = set()
        given = None if answer is None else plant.answers[index][answer]
        then = after(plant, Changing(bits.state(state), seen), index, given)
        now = bits.of(then.plain if isinstance(then, Noted) else then)
        found = state & ~now, now & ~state
        known.learn(bits, seen)
        known.found[known.part_of(bits, state)] = found
    ended, begun = found
    return state & ~ended | begun


def _after(plant: Plant, state: State, index: int, answer: Answer | None) -> State:
    step = plant.procedure.steps[index]
    action = step.action
    if answer is not None and any(s.has(state, what) for what in _ONLY_IN_DANGER):
        # Only who leaves because of danger may leave an alteration in, an open box, or a fire that no limit stopped.
        state = state | {(s.DANGER, "")} if answer.danger else without(state, s.DANGER)
    if answer is not None and index in plant.asks_danger:
        state = state | {(s.DANGER_ASKED, "")}
    if answer is not None and not answer.verdict and plant.for_faulty:
        state = state | facts(s.BLAMED, plant.blamed(answer.when))
    if action is None:
        return state
    answer = answer or _NO_ANSWER
    verdicts = act.verdicts_of(action)
    passed = verdicts is not None and answer.verdict == verdicts.passing
    match action:
        case act.Identify():
            return without(state, s.IDENTIFIED, s.ANOTHERS) | {(s.IDENTIFIED if passed else s.ANOTHERS, "")}
        case act.Record(record=what):
            noted = without(state, s.UNNOTED) if "settings" in what else state
            noted = without(noted, s.STALE) if {"display", "resets"} & set(what) else noted
            return noted | facts(s.RECORDED, what)
        case act.Inform():
            told = state | {(s.INFORMED, ""), (s.WARNED, "")}
            if not tells_everybody(action.inform):
                return told
            return without(told, s.SENT) | {(s.EVERYBODY, "")}
        case act.Isolate() | act.Lock() | act.Unlock() | act.Restore():
            return _supply(plant, state, action)
        case act.ProveDead() | act.ProveGone() | act.TryStart():
            return _proved(plant, state, action) if passed else _not_proved(plant, state, action, answer)
        case act.OpenCover(open_cover=name):
            return without(state, s.WARNED, s.EVERYBODY) | {(s.COVER, name)}
        case act.CloseCover(close_cover=name):
            # What was guarded is looked at anew when something is opened again.
            closed = (
                without(state, s.GUARDED)
                - {(s.COVER, name), (s.UNSEEN, name), (s.LEFT_OPEN, name)}
                - plant.hands_behind(name)
            )
            closed |= facts(
                s.SHUT_IN,
                (
                    where
                    for where, clip in plant.clipped(closed)
                    if name in {cover.id for cover in plant.cover_of(clip)}
                ),
            )
            return closed if s.has(closed, s.COVER) else without(closed, s.LIVE)
        case act.Guard(guard=name):
            return state | {(s.GUARDED, name)}
        case act.ShutValve() | act.OpenValve():
            return _valve(plant, state, action)
        case act.Clip() | act.Unclip() | act.Replace():
            return _hands(plant, state, action, index)
        case act.Measure() | act.Watch():
            return _reading(plant, state, action, answer)
        case act.Fit() | act.Undo() | act.ProveTrip():
            return _alteration(plant, state, action, index, passed=passed)
        case act.OpenGasTrain() | act.Cap() | act.LeakCheck():
            return _gas(plant, state, action, answer)
        case act.FindCause(find_cause=name):
            if not passed:
                return state
            mended = {(s.FAULTY, name), (s.OWED, name)} if (s.FAULTY, name) in state else set()
            return s.never(state - {(s.REAL, name), (s.FAILED, name)} - mended, s.RESET, name) | {
                (s.CAUSE, name)
            }
        case act.CheckReal(check_real=name):
            # What opened without a reason is mended or changed, and then seen to trip.
            state = state - {(s.BLAMED, name)}
            return (
                state - {(s.REAL, name)} | _faulty(state, name)
                if answer.verdict == "faulty"
                else state | {(s.REAL, name)}
            )
        case act.Reset() | act.Observe() | act.StartDemand() | act.StopDemand():
            return _running(plant, state, action, answer)
        case act.Adjust():
            return _adjusted(plant, state, step, action)
        case act.WorkIn(work_in=zone):
            # Who was told before the hands went in does not know when they are out again.
            return without(state, s.INFORMED, s.WARNED, s.EVERYBODY) | {(s.HANDS, zone)}
        case act.Wait(wait=time):
            return _cooled(plant, state) if time is not None and plant.ran_on(time) else state
        case act.Hold() | act.Inspect():
            return state
        case act.HandOver() | act.End():
            return state
        case _:
            assert_never(action)


def _faulty(state: State, device: str) -> State:
    owed = (s.OWED, device) in state
    return frozenset({(s.OWED, device)} if owed else {(s.OWED, device), (s.FAULTY, device)})


def _supply(
    plant: Plant,
    state: State,
    action: act.Isolate | act.Lock | act.Unlock | act.Restore,
) -> State:
    match action:
        case act.Isolate(isolate=name):
            new = without(state - {(s.LEFT_OFF, name)}, s.MOVING) | {(s.OFF, name), (s.CYCLE_OWED, "")}
            if name in plant.control or name in plant.fuel_sources:
                new = without(new, s.RUNNING, s.MOVING, s.FLAME, s.LEAK_DUE) | {(s.STOPPED, "")}
            return without(new, s.FULL) if name in plant.control else new
        case act.Lock(lock=name):
            return without(state, s.INFORMED) - {(s.LEFT_LOCKED, name)} | {(s.LOCKED, name)}
        case act.Unlock(unlock=name):
            return state - {(s.LOCKED, name), (s.LEFT_LOCKED, name), (s.PROVED, name), (s.TRIED, name)}
        case act.Restore(restore=name):
            new = state - {
                (s.OFF, name),
                (s.LEFT_OFF, name),
                (s.PROVED, name),
                (s.TRIED, name),
                (s.GUARDED, name),
            }
            if name in plant.fuel_sources:
                new -= plant.opened_with(name)
            if name in plant.control:
                new = without(new, s.FULL)
                if (s.OFF, name) in state:
                    new |= facts(s.CLEARED, plant.forgets_with_supply)
            if name in plant.sources and plant.sources[name].electric:
                new = _comes_back(plant, new, Back.SUPPLY)
            return _may_light(plant, state, new)
        case _:
            assert_never(action)


def _proved(plant: Plant, state: State, action: act.ProveDead | act.ProveGone | act.TryStart) -> State:
    match action:
        case act.ProveDead(prove_dead=name):
            new = state - {(s.LIVE, name)}
            return new | {(s.PROVED, name)} if not plant.unheld(state, name) else new
        case act.ProveGone(prove_gone=name):
            if plant.unheld(state, name):
                return state
            gone = {(s.SEEN_GONE, plant.section(action.point))} if name in plant.fuel_sources else set()
            rest = without(state, s.SPINS) if name in plant.sources and plant.sources[name].moves else state
            rest = (
                without(rest, s.HOT)
                if name in plant.sources and plant.sources[name].energy == "heat"
                else rest
            )
            return rest - {(s.LIVE, name), (s.STILL_THERE, name)} | {(s.PROVED, name)} | gone
        case act.TryStart():
            return without(state - {(s.LIVE, "")}, s.SPINS) | facts(s.TRIED, s.names(state, s.LOCKED))
        case _:
            assert_never(action)


def _not_proved(
    plant: Plant, state: State, action: act.ProveDead | act.ProveGone | act.TryStart, answer: Answer
) -> State:
    """Note what is still there, and whether an open cover lies before it; behind a closed one its lock and tag stand for it."""
    if answer.verdict not in ("live", "still-there"):
        return state
    name = ""
    match action:
        case act.ProveDead(prove_dead=name):
            before = s.has(state, s.COVER)
        case act.ProveGone(prove_gone=name):
            before = any(plant.reaches_behind(name, cover) for cover in s.names(state, s.COVER))
        case _:
            before = s.has(state, s.COVER)
    if isinstance(action, act.ProveGone):
        state = state | {(s.STILL_THERE, name)}
    return without(state, s.DANGER) | {(s.LIVE, name)} if before else state


def _valve(plant: Plant, state: State, action: act.ShutValve | act.OpenValve) -> State:
    if isinstance(action, act.OpenValve):
        new = state - {(s.SHUT, action.open_valve), (s.LEFT_SHUT, action.open_valve)}
        if plant.first_cock(action.open_valve):
            # The cock is the isolation: once it is open the fuel is there, whatever its source was called.
            new -= {(s.OFF, name) for name in plant.fuel_sources if (s.LOCKED, name) not in new}
        return _may_light(plant, state, new)
    new = without(state, s.LEAK_DUE) - {(s.LEFT_SHUT, action.shut_valve)} | {
        (s.SHUT, action.shut_valve),
        (s.CYCLE_OWED, ""),
    }
    if plant.fuel_shut(new):
        new = without(new, s.RUNNING, s.FLAME) | {(s.STOPPED, "")}
    return new


def _may_light(plant: Plant, before: State, after_: State) -> State:
    """Note what follows when gas or supply come back: gas in an untested train, a start by itself."""
    new = after_ if plant.train_shut(after_) else without(after_, s.SEEN_GONE)
    if s.has(new, s.UNTESTED) and plant.train_shut(before) and not plant.train_shut(new):
        new |= {(s.LEAK_DUE, "")}
    if plant.can_fire(new) and not plant.can_fire(before):
        if (s.IDLE, "") not in new:
            new |= _heat(plant)
        if (s.DEMAND, "") in new:
            new |= {(s.UNPURGED, "")}
            new = _comes_back(plant, new, Back.FIRE)
    return new


def _heat(plant: Plant) -> State:
    """Return what a fire leaves behind it: heat that is carried off for a while after it is out."""
    return frozenset({(s.HOT, "")}) if plant.runs_on else s.NOTHING


def _cooled(plant: Plant, state: State) -> State:
    """Forget the heat of a fire that has been out for long, where none may have followed it."""
    out = (s.IDLE, "") in state or not plant.can_fire(state)
    return without(state, s.HOT) if out else state


def _comes_back(plant: Plant, state: State, by: Back) -> State:
    """Forget that what has no lock was proved gone: heat once it fires, motion and charge once there is supply.

    What a fire brings back is no longer off either: it cools anew before anything may count on it.
    """
    back = [
        name
        for name, source in plant.sources.items()
        if source.kind.back is by and (s.LOCKED, name) not in state
    ]
    gone = facts(s.PROVED, back)
    return state - (gone | facts(s.OFF, back) if by is Back.FIRE else gone)


def _hands(plant: Plant, state: State, action: act.Clip | act.Unclip | act.Replace, index: int) -> State:
    match action:
        case act.Clip():
            return state | {(s.CLIPPED, str(index))}
        case act.Unclip(unclip=meters):
            off = [where for where, clip in plant.clipped(state) if clip.clip in meters]
            return state - facts(s.CLIPPED, off) - facts(s.AT_OHMS, off) - facts(s.SHUT_IN, off)
        case act.Replace(replace=name):
            device = plant.device(name)
            owed = facts(s.OWED, [name]) if device is not None and device.guards else s.NOTHING
            # As with `work_in`: who was told before does not know when the hands are out again.
            rest = without(state, s.INFORMED, s.WARNED, s.EVERYBODY) - {(s.FAULTY, name), (s.FAILED, name)}
            return rest | owed | {(s.CYCLE_OWED, "")}
        case _:
            assert_never(action)


def _reading(plant: Plant, state: State, action: act.Measure | act.Watch, answer: Answer) -> State:
    quantity = action.measure if isinstance(action, act.Measure) else action.watch
    if quantity in ELECTRIC | DEAD and action.leads == "clipped-dead":
        mine = facts(s.AT_OHMS, (where for where, clip in plant.clipped(state) if plant.lie_at(clip, action)))
        state = state | mine if quantity in DEAD else state - mine
    match quantity:
        case "volts":
            return _volts(plant, state, action, answer)
        case "flame" if plant.can_fire(state) and answer.verdict == "within":
            return without(state, s.TRIES) | {(s.FLAME, "")}
        case "flue-gas":
            # What reads badly is owed as after work on gas or air, also where nobody touched either.
            rest = without(state, s.ANALYSER_OWED)
            return rest if answer.verdict == "within" else state | _read_badly(answer)
        case "gas-rate" | "pressure" if answer.verdict == "within" and (s.FLAME, "") in state:
            at_train = quantity == "gas-rate" or bool(action.point)
            return state - {(s.GAS_OWED, "gas-rate")} if at_train else state
        case "gas-rate" if answer.verdict == "outside":
            return state | {(s.GAS_OWED, "gas-rate")}
        case "pressure" if action.point and answer.verdict in ("no-pressure", "pressure-left"):
            here = {(s.SEEN_GONE, plant.section(action.point))}
            gone = answer.verdict == "no-pressure" and plant.train_shut(state) and not _a_glance(action)
            return state | here if gone else state - here
    return state


def _read_badly(answer: Answer) -> State:
    return frozenset({(s.ANALYSER_OWED, "")}) if answer.verdict == "outside" else s.NOTHING


def _a_glance(action: act.Measure | act.Watch) -> bool:
    """Return whether a pressure is watched too shortly to see a cock that lets through: it shows in minutes."""
    return isinstance(action, act.Watch) and action.for_ is not None and action.for_.hi < LET_BY


def _volts(plant: Plant, state: State, action: act.Measure | act.Watch, answer: Answer) -> State:
    # What has no verdict is no reading: it neither proves nor settles anything.
    if not (answer.verdict and action.at and action.to) or plant.off(state, plant.circuit_of(action)):
        return state
    here = f"{action.at} {action.to}"
    new = state - {(s.MIDDLE, here), (s.ZERO, here), (s.NOTHING_READ, here)}
    if answer.verdict == "some" and plant.unsettled(action, answer):
        new |= {(s.MIDDLE, here)}
    elif answer.verdict == "full":
        behind = plant.readings_behind(new, s.ZERO, action)
        new = (new - behind) | {(s.FULL, here)}
    elif answer.verdict == "none" or (answer.verdict == "outside" and not expects_nothing(action.reads)):
        if not devices(plant.upstream(action)):
            # Nothing at the supply itself explains every zero behind it.
            new -= plant.readings_behind(new, s.ZERO, action)
        elif not plant.read_full_before(new, action):
            new |= {(s.ZERO, here)}
        if not expects_nothing(action.reads):
            new |= {(s.NOTHING_READ, here)}
    return new


def _cycle_owed(fit: act.Fit) -> State:
    return s.NOTHING if fit.fit in SIGNALS else frozenset({(s.CYCLE_OWED, "")})


def _alteration(
    plant: Plant, state: State, action: act.Fit | act.Undo | act.ProveTrip, index: int, *, passed: bool
) -> State:
    match action:
        case act.Fit():
            new = state | {(s.FITTED, str(index))} | _cycle_owed(action)
            if action.fit in AT_WHAT_TURNS:
                new |= facts(s.UNDER_LOCK, (f"{index} {name}" for name in plant.locked_movers(state)))
            if action.fit in BRIDGING:
                bridged = plant.bridged(action)
                new = new - facts(s.FAULTY, bridged) | facts(s.OWED, bridged)
            return new
        case act.Undo(undo=name):
            mine = [(where, fit) for where, fit in plant.fitted(state) if fit.name == name]
            out = {where for where, _ in mine}
            new = frozenset(
                fact
                for fact in state - facts(s.FITTED, out)
                if fact[0] != s.UNDER_LOCK or fact[1].partition(" ")[0] not in out
            )
            for _, fit in mine:
                new |= _cycle_owed(fit)
                if plant.opens_gas(fit):
                    new |= {(s.UNTESTED, plant.opened_point(fit))}
                    new |= s.NOTHING if plant.train_shut(new) else {(s.LEAK_DUE, "")}
            return new
        case act.ProveTrip(prove_trip=device):
            spanned = any(device in plant.bridged(fit) for _, fit in plant.bridges(state))
            if spanned:
                return state
            # A device that did not stop the burner owes its trip like one that was jumped.
            return (
                (without(state, s.TRIES, s.FLAME) - {(s.OWED, device), (s.FAILED, device)})
                | {(s.TESTED, device)}
                | _seen(plant, device)
                if passed
                else state | {(s.OWED, device), (s.FAILED, device)}
            )
        case _:
            assert_never(action)


def _seen(plant: Plant, device: str) -> State:
    raises = any(isinstance(step.action, act.Adjust) for step in plant.procedure.steps)
    return frozenset({(s.TRIP_SEEN, device)}) if raises else s.NOTHING


def _gas(
    plant: Plant, state: State, action: act.OpenGasTrain | act.Cap | act.LeakCheck, answer: Answer
) -> State:
    match action:
        case act.OpenGasTrain(open_gas_train=what):
            # Who opens it again mends it; it is proved tight anew.
            opened = state - {(s.LEAKS, what)} | {(s.OPENING, what), (s.UNTESTED, what), (s.CYCLE_OWED, "")}
            return opened | _after_gas(plant)
        case act.Cap(cap=what):
            return state - {(s.OPENING, what)}
        case act.LeakCheck(leak_check=points):
            if answer.verdict != "tight":
                return state | facts(s.LEAKS, points)
            tight = state - facts(s.LEAKS, points)
            # Pumped air is a first test; only gas in the closed train ends what is owed.
            if action.with_ != "gas" or plant.train_shut(state) or s.has(state, s.OPENING):
                return tight
            tested = tight - facts(s.UNTESTED, points)
            return tested if s.has(tested, s.UNTESTED) else without(tested, s.LEAK_DUE)
        case _:
            assert_never(action)


def _after_gas(plant: Plant) -> State:
    """Return what the region's rules ask for once the gas train was opened."""
    asked = plant.base.shop.after_gas_work
    owed = facts(s.GAS_OWED, (name for name in ("air-supply", "gas-rate") if name in asked))
    owed |= {(s.ANALYSER_OWED, "")} if "flue-gas" in asked else s.NOTHING
    return owed | {(s.UNPURGED, "")} if "purge" in asked else owed


def _running(
    plant: Plant,
    state: State,
    action: act.Reset | act.Observe | act.StartDemand | act.StopDemand,
    answer: Answer,
) -> State:
    fires = plant.can_fire(state)
    match action:
        case act.Reset(reset=name):
            # A cause is good for one reset: what trips again has another. A test is the cause of its own trip.
            new = state - {(s.CAUSE, name), (s.TESTED, name), (s.CAUSED, name), (s.CLEARED, name)}
            new |= {(s.CYCLE_OWED, "")}
            new |= {(s.CAUSED, name)} if (s.CAUSE, name) in state else s.NOTHING
            device = plant.device(name)
            if device is not None and device.backs_up and (s.TESTED, name) not in state:
                # It had to trip because the one before it did not: that one owes its trip.
                new |= {(s.OWED, device.backs_up)}
            if (s.TESTED, name) not in state:
                new |= s.once_more(state, s.RESET, name, plant.base.shop.most_resets)
            if fires and (s.DEMAND, "") in state:
                new |= {(s.UNPURGED, "")} | s.once_more(state, s.TRIES, "start", plant.base.shop.most_starts)
            return new
        case act.StartDemand(start_demand=by):
            new = without(state, s.TESTED, s.FLAME, s.IDLE, s.WITHOUT_FIRE) | {(s.DEMAND, "")}
            new |= {(s.WITHOUT_FIRE, "")} if plant.without_fire(by) else s.NOTHING
            new |= _heat(plant) if fires else s.NOTHING
            new |= s.NOTHING if plant.off(state) else {(s.SPINS, "")}
            new |= s.once_more(state, s.TRIES, "start", plant.base.shop.most_starts) if fires else s.NOTHING
            return _comes_back(plant, new | {(s.UNPURGED, ""), (s.STALE, "")}, Back.FIRE) if fires else new
        case act.StopDemand():
            stopped = without(state, s.DEMAND, s.WITHOUT_FIRE, s.RUNNING, s.MOVING, s.FLAME, s.UNPURGED)
            return stopped | {(s.STOPPED, ""), (s.IDLE, "")}
        case act.Observe(observe="purge"):
            return without(state, s.UNPURGED) if answer.verdict == "seen" else state
        case act.Observe(observe="full-cycle") if answer.verdict == "seen" and plant.can_run(state):
            ran = without(state, s.UNPURGED, s.CYCLE_OWED, s.RUNNING, s.MOVING, s.RESET, s.TRIES)
            return ran - plant.open_in_fire() | {(s.FLAME, "")} | _heat(plant)
        case act.Observe(observe="air-supply"):
            short = frozenset({(s.SHORT, "air-supply"), (s.GAS_OWED, "air-supply")})
            return state - short if answer.verdict == "seen" else state | short if plant.burns else state
        case act.Observe(observe="firing" | "start" | "full-cycle"):
            # Whatever was seen: where it can fire it may be running now.
            flame = (
                s.NOTHING if action.observe == "start" or answer.verdict == "not-seen" else {(s.FLAME, "")}
            )
            seen = without(state, s.TRIES) if flame else state
            if answer.verdict == "seen" and not plant.off(state):
                seen = seen | {(s.MOVING, ""), (s.SPINS, "")}
            return seen | {(s.RUNNING, "")} | flame | _heat(plant) if fires else seen
        case act.Observe():
            stands = without(_cooled(plant, state), s.RUNNING, s.MOVING, s.SPINS)
            return state if answer.verdict == "not-seen" else stands
        case _:
            assert_never(action)


def _adjusted(plant: Plant, state: State, step: ProcedureStep, action: act.Adjust) -> State:
    new = state | {(s.CYCLE_OWED, "")}
    setting = plant.settings.get(action.adjust)
    if setting is None or nobody_changes(setting):
        return new
    new -= {(s.FAILED, setting.device)}
    back = at_its_value(setting, action.to)
    if is_limit(plant.base, setting):
        # Put back after its trip was seen it is proved; whoever found it elsewhere and sets it right proves it then.
        moved = (s.MOVED, setting.id) in state
        new = new - {(s.MOVED, setting.id)} if back else new | {(s.MOVED, setting.id)}
        new |= s.NOTHING if back and moved else {(s.OWED, setting.device)}
    elif is_mixture(setting):
        new |= {(s.ANALYSER_OWED, "")}
    elif back:
        new -= {(s.UNNOTED, setting.id)}
    elif not step.note_down:
        new |= {(s.UNNOTED, setting.id)}
    return new
