"""What a step does to the plant."""

from __future__ import annotations

from kbgen.compute.walk import state as s
from kbgen.compute.walk.outcomes import FULL, NO, NONE, NOT_SURE, SOME
from kbgen.compute.walk.plant import BRIDGING, Plant
from kbgen.compute.walk.settings import is_limit, is_mixture
from kbgen.compute.walk.state import State, facts, without
from kbgen.compute.walk.strings import devices
from kbgen.model import action as act
from kbgen.model.procedure import ProcedureStep

_UNDONE = frozenset({NO, NOT_SURE, NONE, SOME})


def after(plant: Plant, state: State, index: int, outcome: frozenset[str] | None) -> State:
    """Return the state after a step and the outcome of its question.

    What a step achieves counts only on an outcome that says so: a proof whose question is answered
    with no, or not sure, proves nothing.

    Args:
        plant: What the names stand for.
        state: The state before.
        index: The step.
        outcome: What its outcome means; ``None`` without a question.
    """
    step = plant.procedure.steps[index]
    done = outcome is None or not outcome & _UNDONE
    match step.action:
        case act.Identify():
            return state | {(s.IDENTIFIED, "")} if done else state
        case act.Record(record=what):
            noted = without(state, s.UNNOTED) if "settings" in what else state
            noted = without(noted, s.STALE) if {"display", "resets"} & set(what) else noted
            return noted | facts(s.RECORDED, what)
        case act.Inform():
            return state | {(s.INFORMED, "")}
        case act.Isolate() | act.Lock() | act.ProveDead() | act.Unlock() | act.Restore():
            return _supply(plant, state, step.action, done=done)
        case act.OpenCover(open_cover=name):
            return state | {(s.COVER, name)}
        case act.CloseCover(close_cover=name):
            return state - {(s.COVER, name), (s.UNSEEN, name)}
        case act.ShutValve() | act.OpenValve():
            return _valve(plant, state, step.action)
        case act.Measure(measure="volts") | act.Watch(watch="volts"):
            return _reading(plant, state, step.action, outcome or frozenset())
        case act.Measure(measure="flue-gas"):
            return without(state, s.ANALYSER_OWED) if done else state
        case act.Measure(measure="pressure") | act.Watch(watch="pressure"):
            return state | {(s.SEEN_GONE, "")} if plant.train_shut(state) else state
        case act.Fit() | act.Undo() | act.ProveTrip():
            return _alteration(plant, state, step.action, index, done=done)
        case act.OpenGasTrain() | act.Cap() | act.LeakCheck():
            return _gas(state, step.action, done=done)
        case act.FindCause(find_cause=name):
            return (state - {(s.RESET, name)}) | {(s.CAUSE, name)} if done else state
        case act.Reset() | act.Observe() | act.StartDemand() | act.StopDemand():
            return _running(plant, state, step.action, done=done)
        case act.Adjust():
            return _adjusted(plant, state, step, step.action)
    return state


def _supply(
    plant: Plant,
    state: State,
    action: act.Isolate | act.Lock | act.ProveDead | act.Unlock | act.Restore,
    *,
    done: bool,
) -> State:
    match action:
        case act.Isolate(isolate=name):
            new = state | {(s.OFF, name), (s.CYCLE_OWED, "")}
            if name in plant.control or name in plant.fuel_sources:
                new = without(new, s.RUNNING, s.LEAK_DUE) | {(s.STOPPED, "")}
            return without(new, s.FULL) if name in plant.control else new
        case act.Lock(lock=name):
            return without(state, s.INFORMED) | {(s.LOCKED, name)}
        case act.ProveDead(prove_dead=name):
            sound = done and {(s.OFF, name), (s.LOCKED, name)} <= state
            return state | {(s.PROVED, name), (s.WAS_DEAD, name)} if sound else state
        case act.Unlock(unlock=name):
            return state - {(s.LOCKED, name), (s.PROVED, name)}
        case act.Restore(restore=name):
            new = state - {(s.OFF, name), (s.PROVED, name)}
            if name in plant.control:
                new = without(new, s.FULL)
            return _may_light(plant, state, new)


def _valve(plant: Plant, state: State, action: act.ShutValve | act.OpenValve) -> State:
    if isinstance(action, act.OpenValve):
        return _may_light(plant, state, state - {(s.SHUT, action.open_valve)})
    new = without(state, s.LEAK_DUE) | {(s.SHUT, action.shut_valve), (s.CYCLE_OWED, "")}
    if plant.fuel_shut(new):
        new = without(new, s.RUNNING) | {(s.STOPPED, "")}
    return new


def _may_light(plant: Plant, before: State, after_: State) -> State:
    """Note what follows when gas or supply come back: gas in an untested train, a start by itself."""
    new = after_ if plant.train_shut(after_) else without(after_, s.SEEN_GONE)
    if s.has(new, s.UNTESTED) and plant.train_shut(before) and not plant.train_shut(new):
        new |= {(s.LEAK_DUE, "")}
    if (s.DEMAND, "") in new and plant.can_fire(new) and not plant.can_fire(before):
        new |= {(s.UNPURGED, "")}
    return new


def _reading(plant: Plant, state: State, action: act.Measure | act.Watch, outcome: frozenset[str]) -> State:
    if not (action.at and action.to) or plant.off(state, plant.circuit_of(action)):
        return state
    here = f"{action.at} {action.to}"
    new = state - {(s.MIDDLE, here), (s.ZERO, here)}
    if outcome & {SOME, NOT_SURE} and plant.unsettled(action, outcome):
        new |= {(s.MIDDLE, here)}
    elif FULL in outcome:
        behind = plant.readings_behind(new, s.ZERO, action)
        new = (new - behind) | {(s.FULL, here)}
    elif NONE in outcome:
        if not devices(plant.upstream(action)):
            # Nothing at the supply itself explains every zero behind it.
            new -= plant.readings_behind(new, s.ZERO, action)
        elif not plant.read_full_before(new, action):
            new |= {(s.ZERO, here)}
    return new


def _alteration(
    plant: Plant, state: State, action: act.Fit | act.Undo | act.ProveTrip, index: int, *, done: bool
) -> State:
    match action:
        case act.Fit():
            new = state | {(s.FITTED, str(index)), (s.CYCLE_OWED, "")}
            if action.fit in BRIDGING:
                new |= facts(s.OWED, plant.bridged(action))
            return new
        case act.Undo(undo=name):
            mine = [(number, fit) for number, fit in plant.fitted(state) if fit.name == name]
            new = state - facts(s.FITTED, (str(number) for number, _ in mine))
            for _, fit in mine:
                if plant.opens_gas(fit):
                    new |= {(s.UNTESTED, fit.name)}
                    new |= s.NOTHING if plant.train_shut(new) else {(s.LEAK_DUE, "")}
            return new | {(s.CYCLE_OWED, "")} if mine else new
        case act.ProveTrip(prove_trip=device):
            spanned = any(device in plant.bridged(fit) for _, fit in plant.bridges(state))
            return state - {(s.OWED, device)} if done and not spanned else state


def _gas(state: State, action: act.OpenGasTrain | act.Cap | act.LeakCheck, *, done: bool) -> State:
    match action:
        case act.OpenGasTrain(open_gas_train=what):
            return state | {(s.OPENING, what), (s.UNTESTED, what), (s.CYCLE_OWED, "")}
        case act.Cap(cap=what):
            return state - {(s.OPENING, what)}
        case act.LeakCheck():
            if not done:
                return state | {(s.LEAKS, "")}
            tight = without(state, s.LEAKS)
            return tight if s.has(state, s.OPENING) else without(tight, s.UNTESTED, s.LEAK_DUE)


def _running(
    plant: Plant,
    state: State,
    action: act.Reset | act.Observe | act.StartDemand | act.StopDemand,
    *,
    done: bool,
) -> State:
    fires = plant.can_fire(state)
    match action:
        case act.Reset(reset=name):
            # A cause is good for one reset: what trips again has another.
            new = (state - {(s.CAUSE, name)}) | {(s.CYCLE_OWED, "")}
            if (s.CAUSE, name) not in state:
                new |= {(s.RESET, name)}
            return new | {(s.UNPURGED, "")} if fires and (s.DEMAND, "") in state else new
        case act.StartDemand():
            return state | {(s.DEMAND, "")} | ({(s.UNPURGED, ""), (s.STALE, "")} if fires else s.NOTHING)
        case act.StopDemand():
            return without(state, s.DEMAND, s.RUNNING, s.UNPURGED) | {(s.STOPPED, "")}
        case act.Observe(observe="purge"):
            return without(state, s.UNPURGED) if done else state
        case act.Observe(observe="firing" | "start") if fires and done:
            return state | {(s.RUNNING, "")}
        case act.Observe(observe="full-cycle") if done and plant.can_run(state):
            return without(state, s.UNPURGED, s.CYCLE_OWED, s.RUNNING, s.RESET)
        case act.Observe(observe="shutdown" | "standstill"):
            return without(state, s.RUNNING)
    return state


def _adjusted(plant: Plant, state: State, step: ProcedureStep, action: act.Adjust) -> State:
    new = state | {(s.CYCLE_OWED, "")}
    setting = plant.settings.get(action.adjust)
    if setting is None:
        return new
    back = _plain(setting.value) == _plain(action.to)
    if is_limit(plant.base, setting):
        new = new - {(s.MOVED, setting.id)} if back else new | {(s.MOVED, setting.id)}
    elif is_mixture(setting):
        new |= {(s.ANALYSER_OWED, "")}
    elif not back and not step.note_down:
        new |= {(s.UNNOTED, setting.id)}
    return new


def _plain(text: str) -> str:
    return " ".join(text.split()).casefold()
