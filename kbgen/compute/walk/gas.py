"""Opening the gas train, and proving it tight before it carries gas to a flame."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.walk.finding import Finding, Moment
from kbgen.compute.walk.hazard import GAS_WORK
from kbgen.compute.walk.plant import LET_BY, SIGNALS
from kbgen.compute.walk.state import (
    FLAME,
    IDENTIFIED,
    IDLE,
    LEAK_DUE,
    LEAKS,
    LOCKED,
    OFF,
    OPENING,
    RUNNING,
    SEEN_GONE,
    SHUT,
    UNTESTED,
    State,
    facts,
    has,
    names,
)
from kbgen.compute.walk.supply import PROOF_WITHOUT_IDENTITY
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


LEAK_CHECK_WHILE_OPEN = GAS_WORK.hazard(
    "leak-check-while-open",
    "A train with an opening cannot be tight.",
    "- do: Brush the joints.\n  leak_check: [p2]",
    "- do: Put the plug in.\n  cap: p2\n- do: Brush the joints.\n  leak_check: [p2]",
    rests_on="The joints and points opened and closed on the way.",
)


def findings(moment: Moment) -> Iterator[Finding]:
    """Yield what is wrong with a step of gas work, or with a step after it."""
    action = moment.step.action
    match action:
        case act.OpenGasTrain():
            yield from _open(moment, "open_gas_train")
        case act.Fit() as fit if moment.plant.opens_gas(fit):
            yield from _open(moment, "fit")
        case act.Undo(undo=name):
            yield from _hose_off(moment, name)
        case act.LeakCheck() as check:
            yield from _filled(moment, check)
            for opening in names(moment.state, OPENING):
                yield LEAK_CHECK_WHILE_OPEN.finding(
                    opening,
                    "leak_check",
                    f"`{opening}` is still open during the leak check",
                    "Close it with `cap:` first.",
                    clears=frozenset({(OPENING, opening)}),
                )
        case act.OpenValve(open_valve=name):
            yield from _gas_comes(moment, _opened(moment, name), "open_valve")
        case act.Restore(restore=name) if name in moment.plant.gas:
            yield from _gas_comes(moment, moment.state - {(OFF, name)}, "restore")
    if isinstance(action, act.Measure | act.Watch):
        yield from _read(moment, action)
    yield from _leaking(moment)
    yield from _due(moment)


LEAK_CHECK_WITHOUT_GAS = GAS_WORK.hazard(
    "leak-check-without-gas",
    "Nothing bubbles in an empty train, however it leaks.",
    "- do: Brush the joints.  # the cock is shut\n  leak_check: [p2]",
    "- do: Open the cock slowly.\n  open_valve: plant-cock\n- do: Brush the joints.\n  leak_check: [p2]",
    rests_on="The fuel valves open, or `with: air`, when the check comes; `section` of the point.",
)


def _filled(moment: Moment, check: act.LeakCheck) -> Iterator[Finding]:
    """Yield a check with gas in an empty train, or with pumped air while gas can come."""
    shut = moment.plant.train_shut(moment.state)
    behind = [point for point in check.leak_check if moment.plant.behind_valves(point)]
    if check.with_ == "gas" and behind and not shut and (RUNNING, "") not in moment.state:
        yield LEAK_CHECK_WITHOUT_GAS.finding(
            (moment.index, behind[0]),
            "leak_check",
            f"`{behind[0]}` lies behind the shut-off valves and is checked with gas while the burner stands",
            "Check it with air while the train is shut, or with gas while the burner is seen firing.",
        )
    if moment.plant.burns and shut is (check.with_ == "gas"):
        yield LEAK_CHECK_WITHOUT_GAS.finding(
            moment.index,
            "leak_check",
            "the train is checked for leaks with its gas shut off"
            if shut
            else "air is pumped into a train that is open to the gas",
            "Let the gas in first, or say `with: air` for the test with pumped air."
            if shut
            else "Shut and lock the gas before air is pumped in.",
        )


def _section(moment: Moment) -> str:
    action = moment.step.action
    return moment.plant.section(action.open_gas_train) if isinstance(action, act.OpenGasTrain) else ""


def _seen_gone(moment: Moment) -> bool:
    """Return whether the pressure was read in the stretch that is opened; anywhere, where it lies in none."""
    section = _section(moment)
    return (SEEN_GONE, section) in moment.state or (not section and has(moment.state, SEEN_GONE))


PRESSURE_SHOWS_NOTHING = GAS_WORK.hazard(
    "pressure-shows-nothing",
    "The gauge hangs at another section, or is looked at for a moment: the cock lets by, and nobody sees it.",
    "- do: Open P2.\n  fit: open-test-point\n  name: p2\n  point: p2\n- do: Watch it.\n  watch: pressure\n  point: p3\n"
    "  for: 5 s",
    "- do: Open P2.\n  fit: open-test-point\n  name: p2\n  point: p2\n- do: Watch it.\n  watch: pressure\n  point: p2\n"
    "  for: 5 min",
    rests_on="`point` of the reading, the test points open then, their `section`, and `for` of the step.",
)


def _read(moment: Moment, action: act.Measure | act.Watch) -> Iterator[Finding]:
    """Yield a look for pressure gone at a point whose gauge hangs elsewhere, or for a moment only."""
    plant = moment.plant
    if not action.point or not any(each.verdict == "no-pressure" for each in plant.answers[moment.index]):
        return
    opened = {
        fit.point for _, fit in plant.fitted(moment.state) if fit.fit == "open-test-point" and fit.point
    }
    here = plant.section(action.point)
    if opened and action.point not in opened and here not in {plant.section(each) for each in opened}:
        yield PRESSURE_SHOWS_NOTHING.finding(
            (moment.index, "elsewhere"),
            "point",
            f"the pressure is read at `{action.point}`, and the test point that is open is `{min(opened)}`",
            "Name the point at which the gauge hangs.",
        )
    if isinstance(action, act.Watch) and action.for_ is not None and action.for_.hi < LET_BY:
        yield PRESSURE_SHOWS_NOTHING.finding(
            (moment.index, "moment"),
            "for",
            f"the pressure is watched for {action.for_.text}; a cock that lets by shows in minutes",
            "Watch it for at least a minute (`for: 2 min`).",
        )


GAS_WORK_UNLICENSED = GAS_WORK.hazard(
    "gas-work-unlicensed",
    "Gas work by somebody who never learnt it.",
    "who: technician\n# open_gas_train: p2",
    "who: licensed-gas",
    rests_on="`who` of the page; that the person holds the licence is the shop's word.",
)
GAS_OPENED_UNDER_PRESSURE = GAS_WORK.hazard(
    "gas-opened-under-pressure",
    "A joint is broken while gas presses behind it.",
    "- do: Take the plug out.\n  open_gas_train: p2",
    "- do: Shut the cock.\n  shut_valve: plant-cock\n- do: Take the plug out.\n  open_gas_train: p2",
    rests_on="The fuel valves shut, and a pressure with `no-pressure` read at that section on every way.",
)


def _open(moment: Moment, field: str) -> Iterator[Finding]:
    plant, state = moment.plant, moment.state
    if plant.procedure.who != "licensed-gas":
        yield GAS_WORK_UNLICENSED.finding(
            "who",
            field,
            "the gas train is opened in a procedure that anybody may do",
            "Set `who: licensed-gas`, or leave the gas train shut.",
        )
    # A joint, and a test point before the shut-off valves, is opened with no gas coming; a point behind them while
    # nothing burns, for the valves hold the gas back.
    action = moment.step.action
    held = isinstance(action, act.Fit) and bool(action.point) and plant.behind_valves(action.point)
    shut = plant.fuel_shut(state) if held else plant.train_shut(state)
    if plant.burns and not shut:
        yield GAS_OPENED_UNDER_PRESSURE.finding(
            moment.index,
            field,
            "the gas train is opened while it carries gas",
            "Shut the cock before it, lock it, and see the pressure gone.",
            grants=facts(OFF, plant.gas) or facts(SHUT, plant.valves),
        )
    elif field == "open_gas_train" and not _seen_gone(moment):
        yield GAS_OPENED_UNDER_PRESSURE.finding(
            moment.index,
            field,
            "the gas train is opened before anybody saw the pressure of that section gone",
            "Put a step before it that watches the pressure of that section behind the shut cock (`watch: pressure` "
            "with `point`, or `prove_gone` with `point`).",
            grants=frozenset({(SEEN_GONE, _section(moment))}),
        )
    if field == "open_gas_train" and (IDENTIFIED, "") not in state:
        yield PROOF_WITHOUT_IDENTITY.finding(
            "identity",
            field,
            "the gas train is opened before anybody made sure it is this plant's",
            "Put a step with `identify:` before it.",
            grants=frozenset({(IDENTIFIED, "")}),
        )


def _hose_off(moment: Moment, name: str) -> Iterator[Finding]:
    """Yield a hose that comes off a test point before the shut-off valves while gas stands there."""
    plant, state = moment.plant, moment.state
    on = [fit for _, fit in plant.fitted(state) if fit.name == name and fit.point and plant.opens_gas(fit)]
    if any(not plant.behind_valves(fit.point) for fit in on) and not plant.train_shut(state):
        yield GAS_OPENED_UNDER_PRESSURE.finding(
            moment.index,
            "undo",
            f"`{name}` comes off a test point that carries gas; until it is capped the gas blows into the room",
            "Shut the cock before it, take the hose off, cap the point, then open the cock.",
            grants=facts(OFF, plant.gas) or facts(SHUT, plant.valves),
        )


GAS_ON_OPEN_TRAIN = GAS_WORK.hazard(
    "gas-on-open-train",
    "Gas flows out into the room.",
    "- do: Open the cock.\n  open_valve: plant-cock",
    "- do: Put the plug in.\n  cap: p2\n- do: Open the cock.\n  open_valve: plant-cock",
    rests_on="The joints and points open when a fuel valve opens.",
)


def _opened(moment: Moment, valve: str) -> State:
    """Return the state with a valve open; behind the first cock the fuel is there unless it is locked."""
    plant, state = moment.plant, moment.state - {(SHUT, valve)}
    loose = (name for name in plant.fuel_sources if (LOCKED, name) not in state)
    return state - facts(OFF, loose) if plant.first_cock(valve) else state


def _gas_comes(moment: Moment, following: frozenset[tuple[str, str]], field: str) -> Iterator[Finding]:
    plant = moment.plant
    if not plant.train_shut(moment.state) or plant.train_shut(following):
        return
    for opening in names(moment.state, OPENING):
        yield GAS_ON_OPEN_TRAIN.finding(
            opening,
            field,
            f"gas comes to the train while `{opening}` is open",
            "Close it with `cap:` first.",
            clears=frozenset({(OPENING, opening)}),
        )


GAS_ON_LEAKING_TRAIN = GAS_WORK.hazard(
    "gas-on-leaking-train",
    "Bubbles were seen or could not be ruled out, and the gas stays on.",
    "leak_check: [p2]\ntight: go-on\nleaks: go-on",
    "leak_check: [p2]\ntight: go-on\nleaks: shut-and-lock",
    rests_on="The verdict of the leak check on every way.",
)


def _leaking(moment: Moment) -> Iterator[Finding]:
    """Yield work that goes on with gas in a train that was found leaking."""
    plant, state, action = moment.plant, moment.state, moment.step.action
    if not has(state, LEAKS) or action is None:
        return
    match action:
        case act.OpenValve(open_valve=name):
            gas = not plant.train_shut(_opened(moment, name))
        case act.Restore(restore=name):
            gas = not plant.train_shut(state - {(OFF, name)})
        case act.End(end="evacuated"):
            return
        case act.End() | act.HandOver():
            gas = not plant.gas_locked(state)
        case act.StartDemand() | act.Observe() | act.Reset() | act.ProveTrip() | act.Adjust():
            gas = not plant.train_shut(state)
        case _:
            return
    if gas:
        yield GAS_ON_LEAKING_TRAIN.finding(
            "leak",
            moment.field,
            "the leak check did not find the gas train tight, and gas stays on or comes back all the same",
            "Shut and lock the fuel, mend it and check again, or end with `left-safe`.",
            clears=facts(LEAKS, names(state, LEAKS)),
        )


LEAK_CHECK_MISSING = GAS_WORK.hazard(
    "leak-check-missing",
    "A joint that was opened leaks more often than not at the first try.",
    "- do: Open the cock.\n  open_valve: plant-cock\n- do: Start.\n  start_demand: Burner on",
    "- do: Open the cock.\n  open_valve: plant-cock\n- do: Brush the joints.\n  leak_check: [p2]\n"
    "- do: Start.\n  start_demand: Burner on",
    rests_on="The joints opened and the points of `leak_check` on every way; the soap is the reader's word.",
)


def _due(moment: Moment) -> Iterator[Finding]:
    plant, state, action = moment.plant, moment.state, moment.step.action
    if not has(state, UNTESTED) or action is None or isinstance(action, act.End | act.HandOver):
        return
    # Gas stands behind the shut-off valves only while it burns: who is licensed brushes there at the first flame.
    licensed = plant.procedure.who == "licensed-gas"
    later = [point for point in names(state, UNTESTED) if licensed and plant.behind_valves(point)]
    now = [point for point in names(state, UNTESTED) if point not in later]
    muted = isinstance(action, act.Fit | act.Undo) and _mutes(moment, action)
    brushes = isinstance(action, _WHILE_LEAK_CHECKING) or muted
    pressure = isinstance(action, act.Measure | act.Watch) and "pressure" in (
        action.measure if isinstance(action, act.Measure) else action.watch
    )
    # Lock plate and cock of one fuel come off and open one after the other: gas comes back by both.
    opens = isinstance(action, act.OpenValve) and plant.first_cock(action.open_valve)
    carries = bool(now) and (LEAK_DUE, "") in state and not (brushes or pressure or opens)
    fires = plant.can_fire(state) and isinstance(action, act.StartDemand | act.Observe | act.Reset)
    fires = fires and not _sees_it_stop(moment)
    burns = bool(later) and (FLAME, "") in state and not brushes
    if carries or (now and fires) or burns:
        yield LEAK_CHECK_MISSING.finding(
            "leak check",
            "do",
            f"the gas train carries gas and was not proved tight after `{(now or later)[0]}`",
            "Put a step with `leak_check:` directly after the flame is seen (`observe: firing`), before anything else."
            if burns and not now
            else "Put a step with `leak_check:` directly after gas comes back, before anything else is done.",
            clears=frozenset({(LEAK_DUE, "")}) | facts(UNTESTED, names(state, UNTESTED)),
        )


def _sees_it_stop(moment: Moment) -> bool:
    """Return whether a step only watches what it was told to stop come to rest, on the way to its valves."""
    action = moment.step.action
    return (
        isinstance(action, act.Observe)
        and action.observe in ("shutdown", "standstill")
        and (IDLE, "") in moment.state
    )


def _mutes(moment: Moment, action: act.Fit | act.Undo) -> bool:
    """Return whether a step only mutes an alarm, or lets it sound again."""
    if isinstance(action, act.Fit):
        return action.fit in SIGNALS
    kinds = {fit.fit for _, fit in moment.plant.fitted(moment.state) if fit.name == action.undo}
    return bool(kinds) and kinds <= SIGNALS
