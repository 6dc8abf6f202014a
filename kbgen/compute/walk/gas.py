"""Opening the gas train, and proving it tight before it carries gas to a flame."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.walk.finding import Finding, Moment
from kbgen.compute.walk.state import (
    IDENTIFIED,
    LEAK_DUE,
    LEAKS,
    OFF,
    OPENING,
    SEEN_GONE,
    SHUT,
    UNTESTED,
    facts,
    has,
    names,
)
from kbgen.model import action as act

_WHILE_LEAK_CHECKING = (
    act.LeakCheck,
    act.Cap,
    act.ShutValve,
    act.Isolate,
    act.Lock,
    act.Record,
    act.Inspect,
    act.Inform,
    act.Wait,
    act.StopDemand,
)


def findings(moment: Moment) -> Iterator[Finding]:
    """Yield what is wrong with a step of gas work, or with a step after it."""
    action = moment.step.action
    match action:
        case act.OpenGasTrain():
            yield from _open(moment, "open_gas_train")
        case act.Fit() as fit if moment.plant.opens_gas(fit):
            yield from _open(moment, "fit")
        case act.LeakCheck():
            for opening in names(moment.state, OPENING):
                yield Finding(
                    "leak-check-while-open",
                    opening,
                    "leak_check",
                    f"`{opening}` is still open during the leak check",
                    "Close it with `cap:` first, in the same words as it was opened.",
                    clears=frozenset({(OPENING, opening)}),
                )
        case act.OpenValve(open_valve=name):
            yield from _gas_comes(moment, moment.state - {(SHUT, name)}, "open_valve")
        case act.Restore(restore=name) if name in moment.plant.fuel_sources:
            yield from _gas_comes(moment, moment.state - {(OFF, name)}, "restore")
    yield from _leaking(moment)
    yield from _due(moment)


def _open(moment: Moment, field: str) -> Iterator[Finding]:
    plant, state = moment.plant, moment.state
    if plant.procedure.who != "licensed-gas":
        yield Finding(
            "gas-work-unlicensed",
            "who",
            field,
            "the gas train is opened in a procedure that anybody may do",
            "Set `who: licensed-gas`, or leave the gas train shut.",
        )
    if plant.burns and not plant.fuel_shut(state):
        yield Finding(
            "gas-opened-under-pressure",
            moment.index,
            field,
            "the gas train is opened while it carries gas",
            "Shut the cock before it, lock it, and see the pressure gone.",
            grants=facts(OFF, plant.fuel_sources) or facts(SHUT, plant.valves),
        )
    elif field == "open_gas_train" and (SEEN_GONE, "") not in state:
        yield Finding(
            "gas-opened-under-pressure",
            moment.index,
            field,
            "the gas train is opened before anybody saw its pressure gone",
            "Put a step before it that watches the pressure behind the shut cock (`watch: pressure`).",
            grants=frozenset({(SEEN_GONE, "")}),
        )
    if field == "open_gas_train" and (IDENTIFIED, "") not in state:
        yield Finding(
            "proof-without-identity",
            "identity",
            field,
            "the gas train is opened before anybody made sure it is this plant's",
            "Put a step with `identify:` before it.",
            grants=frozenset({(IDENTIFIED, "")}),
        )


def _gas_comes(moment: Moment, following: frozenset[tuple[str, str]], field: str) -> Iterator[Finding]:
    plant = moment.plant
    if not plant.train_shut(moment.state) or plant.train_shut(following):
        return
    for opening in names(moment.state, OPENING):
        yield Finding(
            "gas-on-open-train",
            opening,
            field,
            f"gas comes to the train while `{opening}` is open",
            "Close it with `cap:` first, in the same words as it was opened.",
            clears=frozenset({(OPENING, opening)}),
        )


def _leaking(moment: Moment) -> Iterator[Finding]:
    """Yield work that goes on with gas in a train that was found leaking."""
    plant, state, action = moment.plant, moment.state, moment.step.action
    if not has(state, LEAKS) or action is None:
        return
    match action:
        case act.OpenValve(open_valve=name):
            gas = not plant.train_shut(state - {(SHUT, name)})
        case act.Restore(restore=name):
            gas = not plant.train_shut(state - {(OFF, name)})
        case act.End(end="evacuated"):
            return
        case act.End() | act.HandOver():
            gas = not plant.fuel_locked(state)
        case act.StartDemand() | act.Observe() | act.Reset() | act.ProveTrip() | act.Adjust():
            gas = not plant.train_shut(state)
        case _:
            return
    if gas:
        yield Finding(
            "gas-on-leaking-train",
            "leak",
            moment.field,
            "the leak check did not find the gas train tight, and gas stays on or comes back all the same",
            "Shut and lock the fuel, mend it and check again, or end with `left-safe`.",
            clears=frozenset({(LEAKS, "")}),
        )


def _due(moment: Moment) -> Iterator[Finding]:
    plant, state, action = moment.plant, moment.state, moment.step.action
    if not has(state, UNTESTED) or action is None or isinstance(action, act.End | act.HandOver):
        return
    carries = (LEAK_DUE, "") in state and not isinstance(action, _WHILE_LEAK_CHECKING)
    pressure = isinstance(action, act.Measure | act.Watch) and "pressure" in (
        action.measure if isinstance(action, act.Measure) else action.watch
    )
    fires = plant.can_fire(state) and isinstance(action, act.StartDemand | act.Observe | act.Reset)
    if (carries and not pressure) or fires:
        yield Finding(
            "leak-check-missing",
            "leak check",
            "do",
            f"the gas train carries gas and was not proved tight after `{names(state, UNTESTED)[0]}`",
            "Put a step with `leak_check:` directly after gas comes back, before anything else is done.",
            clears=frozenset({(LEAK_DUE, "")}) | facts(UNTESTED, names(state, UNTESTED)),
        )
