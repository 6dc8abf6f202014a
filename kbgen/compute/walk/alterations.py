"""Jumpers, lifted wires and the other temporary alterations."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.walk.altered import JUMPER_WITH_FUEL, comes_back, fires
from kbgen.compute.walk.finding import Finding, Moment
from kbgen.compute.walk.hazard import ALTERATIONS, LIVE_WORK, LOTO
from kbgen.compute.walk.plant import AT_WHAT_TURNS, BRIDGING, WIRED
from kbgen.compute.walk.result import because
from kbgen.compute.walk.state import (
    FITTED,
    LOCKED,
    OFF,
    SHUT,
    SPINS,
    UNDER_LOCK,
    facts,
    holds,
    may_run,
    names,
)
from kbgen.compute.walk.strings import has_load
from kbgen.model import action as act


def findings(moment: Moment) -> Iterator[Finding]:
    """Yield what is wrong with fitting, removing, or working with alterations in."""
    state = moment.state
    match moment.step.action:
        case act.Fit() as fit:
            yield from _fit(moment, fit)
            if may_run(state):
                yield from fires(moment, "fit", state, [(str(moment.index), fit)])
        case act.Undo(undo=name):
            for _, fit in moment.plant.fitted(moment.state):
                if fit.name == name:
                    yield from _dead(moment, fit, "undo")
                    yield from _as_it_went_in(moment, fit)
        case act.ProveTrip(prove_trip=device):
            yield from _spanned(moment, device)
        case act.OpenValve(open_valve=name):
            yield from comes_back(moment, "open_valve", state - {(SHUT, name)})
        case act.Restore(restore=name):
            yield from comes_back(moment, "restore", state - {(OFF, name)})
        case act.StartDemand() | act.Observe(observe="start" | "purge" | "firing" | "full-cycle"):
            yield from fires(moment, moment.field, state, moment.plant.fitted(state))


ALTERATION_NAME_TWICE = ALTERATIONS.hazard(
    "alteration-name-twice",
    "Two jumpers with one tag: one is taken out and both are called out.",
    "- fit: jumper\n  name: jumper-1\n- fit: jumper\n  name: jumper-1",
    "- fit: jumper\n  name: jumper-1\n- fit: jumper\n  name: jumper-2",
    rests_on="`name` of every `fit` of the page.",
)


def _fit(moment: Moment, fit: act.Fit) -> Iterator[Finding]:
    plant, state = moment.plant, moment.state
    for where, other in plant.fitted(state):
        if other.name == fit.name and where != str(moment.index):
            yield ALTERATION_NAME_TWICE.finding(
                moment.index,
                "name",
                f"`{fit.name}` is already in",
                "Give every alteration its own name and tag; one removal takes out one alteration.",
                because(where, "the other one of this name"),
            )
    yield from _dead(moment, fit, "fit")
    if fit.fit not in BRIDGING:
        return
    yield from _may_be_jumped(moment, fit)
    if plant.burns and not plant.fuel_shut(state):
        yield JUMPER_WITH_FUEL.finding(
            fit.name,
            "fit",
            f"`{fit.name}` is fitted while fuel can reach the burner",
            "Shut the burner's fuel valve first, and leave it shut until the jumper is out.",
            grants=_shut(moment),
        )


JUMPER_NOT_ALLOWED = ALTERATIONS.hazard(
    "jumper-not-allowed",
    "Nobody has thought through what happens when this contact is bridged.",
    "fit: jumper\nover: vent-pressure",
    "measure: volts\nacross: vent-pressure",
    rests_on="`may_jump` of the device.",
)
JUMPER_ENDS_UNKNOWN = ALTERATIONS.hazard(
    "jumper-ends-unknown",
    "A jumper that nobody knows the ends of cannot be checked or found again.",
    "fit: jumper\nname: jumper-1",
    "fit: jumper\nname: jumper-1\nover: dirty-filter\nfrom: X3:7\nto: X3:8",
    rests_on="The circuit's points and the ends named in `fit`.",
)
JUMPER_NAMES_ANOTHER = ALTERATIONS.hazard(
    "jumper-names-another",
    "The text names a filter and the terminals are those of the water cutoff.",
    "fit: jumper\nover: dirty-filter\nfrom: X3:5\nto: X3:6",
    "fit: jumper\nover: dirty-filter\nfrom: X3:7\nto: X3:8",
    rests_on="The circuit's `path` between the two ends, and `over` of the step.",
)
JUMPER_SPANS_SEVERAL = ALTERATIONS.hazard(
    "jumper-spans-several",
    "A jumper bridges everything between its ends.",
    "fit: jumper\nfrom: X3:5\nto: X3:8",
    "fit: jumper\nfrom: X3:7\nto: X3:8",
    rests_on="The circuit's `path` between the two ends.",
)


def _may_be_jumped(moment: Moment, fit: act.Fit) -> Iterator[Finding]:
    plant = moment.plant
    parts = plant.spanned(fit)
    bridged = plant.bridged(fit)
    unclear = _unclear(moment, fit)
    if unclear:
        yield JUMPER_ENDS_UNKNOWN.finding(
            moment.index,
            "from" if fit.from_ else "fit",
            unclear,
            "Name both terminals (`from`, `to`), both of one circuit, and the device (`over`).",
        )
    if parts is not None and fit.over and fit.over not in _devices_between(moment, fit):
        yield JUMPER_NAMES_ANOTHER.finding(
            moment.index,
            "over",
            f"{plant.title(fit.over)} does not lie between {fit.from_} and {fit.to}",
            "Name the device that lies between the two terminals, or the right terminals.",
        )
        return
    if len(bridged) > 1:
        yield JUMPER_SPANS_SEVERAL.finding(
            moment.index,
            "to" if fit.to else "fit",
            f"`{fit.name}` lies over {' and '.join(plant.title(name) for name in sorted(bridged))} at once",
            "One jumper lies over one contact; move an end.",
        )
        return
    for name in sorted(bridged):
        device = plant.device(name)
        if device is None:
            yield _never(moment, fit, name, name, "a fuse is the only thing between a short and a fire")
        elif device.never_jumped:
            yield _never(
                moment,
                fit,
                name,
                device.head.title,
                device.never_because or "it stands between plant and people",
            )
        elif device.may_jump is None:
            yield JUMPER_NOT_ALLOWED.finding(
                (moment.index, name),
                "over" if fit.over == name else "fit",
                f"`{fit.name}` lies over {device.head.title}, which does not allow a jumper",
                "Find it with the meter, or let the lead technician give the device `may_jump` with its reason.",
            )


def _unclear(moment: Moment, fit: act.Fit) -> str:
    """Say why nobody can know what a jumper bridges; empty when it is known."""
    plant = moment.plant
    parts = plant.spanned(fit)
    if parts is not None:
        if has_load(parts):
            return f"`{fit.name}` lies over a load"
        return "" if plant.bridged(fit) else f"nothing lies between the ends of `{fit.name}`"
    if fit.from_ or fit.to:
        return f"the ends of `{fit.name}` are not two terminals of one circuit"
    in_circuit = any(string.has(fit.over) for string in plant.circuits.values())
    if not fit.over or (fit.fit == "jumper" and in_circuit):
        return f"nothing says between which terminals `{fit.name}` lies"
    return ""


def _devices_between(moment: Moment, fit: act.Fit) -> frozenset[str]:
    return moment.plant.bridged(act.Fit(fit.fit, fit.name, "", fit.from_, fit.to, fit.circuit, fit.at))


NEVER_JUMPED = ALTERATIONS.hazard(
    "never-jumped",
    "Water level, steam limit, gas pressure, air, valve closure, flame, one-shot fuses: what a "
    "jumper hides here kills.",
    "fit: jumper\nover: first-low-water",
    "check_real: first-low-water",
    rests_on="`guards` and `role` of every device between the two ends, by the circuit's `path`.",
)


def _never(moment: Moment, fit: act.Fit, name: str, title: str, why: str) -> Finding:
    reason = why.rstrip(".")
    return NEVER_JUMPED.finding(
        (moment.index, name),
        "over" if fit.over == name else "fit",
        f"`{fit.name}` lies over {title}: {reason[:1].lower()}{reason[1:]}",
        "Use the independent check, or the built-in hold-to-test button where there is one.",
    )


ALTERATION_LIVE = ALTERATIONS.on(LIVE_WORK).hazard(
    "alteration-live",
    "A wire is touched on a circuit that may be live.",
    "- do: Fit the jumper.\n  fit: jumper",
    "- do: Prove it dead.\n  prove_dead: control\n- do: Fit the jumper.\n  fit: jumper",
    rests_on="`source` of the circuit and what was proved dead when the wire is touched.",
)


def _dead(moment: Moment, fit: act.Fit, field: str) -> Iterator[Finding]:
    circuit = moment.plant.circuit_of(fit)
    # A disc is drawn out of its pocket with its wires on.
    wired = fit.fit in WIRED or (fit.fit == "open-test-point" and bool(fit.over) and bool(circuit))
    if wired and not moment.plant.proved(moment.state, circuit):
        done = "fitted" if field == "fit" else "taken out"
        yield ALTERATION_LIVE.finding(
            moment.index,
            field,
            f"`{fit.name}` is {done} on a circuit that is not proved dead",
            "Isolate, lock and prove dead before a wire or jumper is touched, going in and coming out.",
        )


UNDONE_UNLOCKED = ALTERATIONS.on(LOTO).hazard(
    "undone-unlocked",
    "With the fan locked the tee went in; with the fan able to start a hand goes back for it.",
    "- do: Lock Q1.\n  lock: fan\n- do: Tee the gauge in.\n  fit: unplugged-tube\n  name: tee\n# run, stop\n"
    "- do: Take it out.\n  undo: tee",
    "- do: Lock Q1.\n  lock: fan\n- do: Tee the gauge in.\n  fit: unplugged-tube\n  name: tee\n# run, stop\n"
    "- do: Switch Q1 off.\n  isolate: fan\n- do: Lock Q1.\n  lock: fan\n- do: Take it out.\n  undo: tee",
    rests_on="What was off and locked when the alteration went in, and what is when it comes out; `observe: standstill`.",
)


def _as_it_went_in(moment: Moment, fit: act.Fit) -> Iterator[Finding]:
    """Yield hands at what turns that take something out with less held than it went in with."""
    plant, state = moment.plant, moment.state
    where = {each for each, one in plant.fitted(state) if one is fit}
    held = [
        name for step, _, name in (each.partition(" ") for each in names(state, UNDER_LOCK)) if step in where
    ]
    loose = [name for name in held if not holds(state, (OFF, name), (LOCKED, name))]
    if loose:
        title = plant.sources[loose[0]].title
        yield UNDONE_UNLOCKED.finding(
            (moment.index, fit.name),
            "undo",
            f"`{fit.name}` went in with {title} locked, and comes out while it is not off and locked",
            f"Switch it off and lock it on every way here (`isolate: {loose[0]}`, `lock: {loose[0]}`).",
        )
    elif fit.fit in AT_WHAT_TURNS and (SPINS, "") in state:
        yield UNDONE_UNLOCKED.finding(
            (moment.index, fit.name),
            "undo",
            f"`{fit.name}` comes out and nobody saw fan or drum stand still since it was started",
            "Put a step with `observe: standstill` before it.",
            clears=frozenset({(SPINS, "")}),
        )


TRIP_PROVED_UNDER_JUMPER = ALTERATIONS.hazard(
    "trip-proved-under-jumper",
    "A device with a jumper over it cannot stop the burner; its trip is seen from something else.",
    "- do: Lower the water.\n  prove_trip: dirty-filter  # jumper-1 still in",
    "- do: Take jumper-1 out.\n  undo: jumper-1\n- do: Prove it.\n  prove_trip: dirty-filter",
    rests_on="The alterations that are in, and the circuit's `path` between their ends.",
)


def _spanned(moment: Moment, device: str) -> Iterator[Finding]:
    for where, fit in moment.plant.bridges(moment.state):
        if device in moment.plant.bridged(fit):
            yield TRIP_PROVED_UNDER_JUMPER.finding(
                (moment.index, fit.name),
                "prove_trip",
                f"{moment.plant.title(device)} cannot stop the burner while `{fit.name}` lies over it",
                "Take the jumper out first, then prove the trip.",
                because(where, "the jumper is fitted here"),
                clears=facts(FITTED, [where]),
            )


def _shut(moment: Moment) -> frozenset[tuple[str, str]]:
    return facts(SHUT, sorted(moment.plant.valves)[:1]) or facts("off", sorted(moment.plant.fuel_sources)[:1])
