"""Readings: whether they are safe to take, and whether they tell anything."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.walk.finding import Finding, Moment
from kbgen.compute.walk.outcomes import FULL, NONE, meanings
from kbgen.compute.walk.plant import BRIDGING, DEAD, ELECTRIC
from kbgen.compute.walk.state import COVER, MIDDLE, PROVED, SHUT, WAS_DEAD, ZERO, facts, names
from kbgen.compute.walk.strings import devices, has_load
from kbgen.model import action as act
from kbgen.model.circuit import Point
from kbgen.quantity import QuantityError, parse

_EXTRA_LOW = 50.0
"""Volts under which a reading on a switched-off circuit is a look for what should not be there."""
_DECIDING = (act.CheckReal, act.FindCause, act.Reset, act.Adjust)
_DECIDING_ENDS = ("found", "returned-to-service", "not-reproduced")


def findings(moment: Moment) -> Iterator[Finding]:
    """Yield what is wrong with a reading, or with what is made of an earlier one."""
    action = moment.step.action
    if isinstance(action, act.Measure | act.Watch):
        quantity = action.measure if isinstance(action, act.Measure) else action.watch
        if quantity in DEAD and isinstance(action, act.Measure):
            yield from _dead(moment, action)
        elif quantity in ELECTRIC:
            yield from _live(moment, action, quantity)
    yield from _undecided(moment)


def _dead(moment: Moment, action: act.Measure) -> Iterator[Finding]:
    plant, state = moment.plant, moment.state
    circuit = plant.circuit_of(action)
    if not plant.proved(state, circuit):
        yield Finding(
            "ohms-not-proved-dead",
            moment.index,
            "measure",
            "resistance is measured on a circuit that is not proved dead",
            "Isolate, lock and prove the supply dead on every way to this step.",
            grants=facts(PROVED, plant.feeds(circuit)) | facts(WAS_DEAD, plant.feeds(circuit)),
        )
    if not moment.step.outcomes:
        return
    spanned = plant.spanned(action)
    across = devices(spanned) if spanned is not None else frozenset({action.across} if action.across else ())
    for name in sorted(across):
        why = _open_when_dead(moment, name)
        if why:
            yield Finding(
                "ohms-decide-nothing",
                (moment.index, name),
                "across" if action.across else "measure",
                f"{plant.title(name)} {why}: ohms across it decide nothing",
                "Measure it live in volts, or ask nothing of this reading.",
            )
    if spanned is not None and has_load(spanned):
        marks = {action.at, action.to} | {part.point for part in spanned if isinstance(part, Point)}
        if not marks & _lifted_at(moment):
            yield Finding(
                "ohms-across-load",
                moment.index,
                "measure",
                "a coil, lamp or input lies between the two terminals, and other paths lie beside it",
                "Lift one end first (`fit: lifted-wire`), and put it back on every way out.",
            )


def _open_when_dead(moment: Moment, name: str) -> str:
    plant, state = moment.plant, moment.state
    device = plant.device(name)
    if device is None:
        return ""
    for valve in names(state, SHUT):
        if valve in plant.valves and name in plant.valves[valve].opens:
            return f"is open because {plant.valves[valve].title} is shut"
    for cover in names(state, COVER):
        if cover in plant.covers and name in plant.covers[cover].opens:
            return f"is open because {plant.covers[cover].title} is open"
    if device.dead_state == "closed" and not device.needs_power:
        return ""
    return (
        "is open without supply"
        if device.dead_state == "open" or device.needs_power
        else "may be open or closed without supply"
    )


def _live(moment: Moment, action: act.Measure | act.Watch, quantity: str) -> Iterator[Finding]:
    plant, state = moment.plant, moment.state
    circuit = plant.circuit_of(action)
    field = "measure" if isinstance(action, act.Measure) else "watch"
    if plant.off(state, circuit):
        if quantity == "volts" and not _expects_nothing(action.reads):
            yield Finding(
                "volts-while-off",
                moment.index,
                field,
                "voltage is measured while the supply is off; every zero would look like an open contact",
                "Measure before the isolation, or say with `reads: 0 V` that you look for what should not be there.",
            )
        return
    yield from _hands(moment, action, circuit)
    yield from _opened_on_purpose(moment, action, field)
    if quantity == "volts":
        if isinstance(action, act.Measure) and action.meter == "low-impedance":
            yield from _low_impedance(moment, action)
    else:
        yield from _ammeter(moment, action, field)
    if quantity == "volts" and action.across and moment.step.outcomes:
        yield from _across(moment, action, field)
    if not plant.warned[moment.index]:
        yield Finding(
            "live-reading-without-caution",
            "caution",
            field,
            "the first live reading stands without a caution that the plant may start by itself",
            "Name the caution in `cautions`, or give one `applies_to: [live-measurement]`.",
        )


def _expects_nothing(reads: str) -> bool:
    try:
        expected = parse(reads, "voltage")
    except QuantityError:
        return False
    return expected.lo <= 0 and expected.hi <= _EXTRA_LOW


def _hands(moment: Moment, action: act.Measure | act.Watch, circuit: str) -> Iterator[Finding]:
    plant, state = moment.plant, moment.state
    feeds = plant.feeds(circuit)
    if action.leads == "held" and plant.can_fire(state):
        yield Finding(
            "held-leads-while-firing",
            moment.index,
            "leads"
            if action.leads != "held"
            else ("measure" if isinstance(action, act.Measure) else "watch"),
            "leads are held at live terminals while the burner can light and the fan can start",
            "Shut the burner's fuel valve first, or clip the leads on dead (`leads: clipped-dead`) and keep clear.",
        )
    if action.leads == "clipped-dead" and feeds and not facts(WAS_DEAD, feeds) <= state:
        yield Finding(
            "clipped-on-live",
            moment.index,
            "leads",
            "the leads are to be clipped on dead, and nothing before this step made the circuit dead",
            "Isolate, lock and prove dead, clip on, then release and switch on again.",
            grants=facts(WAS_DEAD, feeds),
        )


def _opened_on_purpose(moment: Moment, action: act.Measure | act.Watch, field: str) -> Iterator[Finding]:
    """Yield readings in a string that an open cover or a shut valve has opened."""
    plant, state = moment.plant, moment.state
    before = devices(plant.upstream(action)) | ({action.across} if action.across else set())
    covers = [plant.covers[name] for name in names(state, COVER) if name in plant.covers]
    for cover in {each.id: each for each in (*covers, *plant.cover_of(action))}.values():
        opened = sorted(before & set(cover.opens))
        if opened:
            yield Finding(
                "cover-opens-contact",
                (moment.index, cover.id),
                "at" if action.at else field,
                f"{cover.title} is open for this reading and opens {plant.title(opened[0])} in the same string",
                "Measure at a terminal outside it with the cover closed, or dead.",
            )
    for name in names(state, SHUT):
        valve = plant.valves.get(name)
        opened = sorted(before & set(valve.opens)) if valve else []
        if valve and opened:
            yield Finding(
                "valve-opens-contact",
                (moment.index, name),
                "at" if action.at else field,
                f"{valve.title} is shut and opens {plant.title(opened[0])} in the string that is measured",
                "Shut a valve behind that contact in its place, such as the burner's own cock.",
            )


def _ammeter(moment: Moment, action: act.Measure | act.Watch, field: str) -> Iterator[Finding]:
    """Yield an ammeter that lies over parts of the string instead of in the place of a lifted wire."""
    plant = moment.plant
    marks = {action.at, action.to} - {""}
    if marks & _lifted_at(moment) or not (action.across or len(marks) == 2):
        return
    spanned = plant.spanned(action)
    between = devices(spanned) if spanned is not None else frozenset({action.across} - {""})
    what = plant.title(min(between)) if between else f"{action.at} and {action.to}"
    yield Finding(
        "ammeter-across",
        moment.index,
        field,
        f"an ammeter lies across {what}: it is a piece of wire"
        if between
        else f"an ammeter lies between {what}: it is a short circuit",
        "Lift a wire dead and clip the meter into its place, use a clamp, or measure volts.",
    )


def _lifted_at(moment: Moment) -> set[str]:
    """Return the words that say where wires are lifted, terminals among them."""
    fitted = (fit for _, fit in moment.plant.fitted(moment.state) if fit.fit == "lifted-wire")
    return {word.strip(".,;()`") for fit in fitted for word in f"{fit.at} {fit.from_}".split()}


def _low_impedance(moment: Moment, action: act.Measure) -> Iterator[Finding]:
    plant = moment.plant
    spanned = plant.spanned(action)
    to_return = spanned is not None and (has_load(spanned) or not devices(spanned))
    if not action.across and (spanned is None or to_return):
        return
    across = sorted(devices(spanned) if spanned is not None else {action.across})
    forbidden = [name for name in across if not _allows_low(moment, name)]
    if forbidden or (plant.burns and not plant.fuel_shut(moment.state)):
        why = "which does not allow it" if forbidden else "while fuel can reach the burner"
        yield Finding(
            "low-impedance-jumper",
            moment.index,
            "meter",
            f"a low-impedance meter lies across {plant.title((forbidden or across)[0])}, {why}: it is a jumper",
            "Measure in low impedance from the terminal to the return.",
        )


def _allows_low(moment: Moment, name: str) -> bool:
    device = moment.plant.device(name)
    return device is not None and device.low_impedance


def _across(moment: Moment, action: act.Measure | act.Watch, field: str) -> Iterator[Finding]:
    """Yield a reading across a contact whose upstream side was not read full."""
    if not any({NONE, FULL} & meanings(outcome) for outcome in moment.step.outcomes):
        return
    parts = moment.plant.upstream(action)
    read = {name.split(" ", 1)[0] for name in names(moment.state, "read full")}
    near = False
    for part in parts:
        if isinstance(part, Point) and part.point in read:
            near = True
        elif devices([part]):
            near = False
    if not near:
        yield Finding(
            "across-without-upstream",
            moment.index,
            field,
            f"a reading across {moment.plant.title(action.across)} tells nothing while its upstream side was not read full",
            "Read the terminal before it to the return first.",
        )


def _undecided(moment: Moment) -> Iterator[Finding]:
    """Yield decisions that rest on a middle reading or on a zero without supply."""
    action = moment.step.action
    deciding = (
        isinstance(action, _DECIDING)
        or (isinstance(action, act.End) and action.end in _DECIDING_ENDS)
        or (isinstance(action, act.Fit) and action.fit in BRIDGING)
    )
    another = isinstance(action, act.Measure) and action.measure == "volts"
    for name in names(moment.state, MIDDLE):
        at, to = name.split(" ", 1)
        repeats = isinstance(action, act.Measure) and another and (action.at, action.to) == (at, to)
        if (deciding or another) and not (repeats and action.meter == "low-impedance"):  # type: ignore[union-attr]
            yield Finding(
                "middle-reading-decides",
                name,
                moment.field,
                f"the middle reading at {at} was not repeated in low impedance",
                f"Lead it to a step that measures {at} to {to} again with `meter: low-impedance`.",
                clears=frozenset({(MIDDLE, name)}),
            )
    if not deciding:
        return
    for name in names(moment.state, ZERO):
        at, to = name.split(" ", 1)
        yield Finding(
            "zero-without-supply",
            name,
            moment.field,
            f"the zero at {at} counts although nothing upstream was read full to {to}",
            f"Read the supply to {to} first, on every way here; an open return reads zero everywhere.",
            clears=frozenset({(ZERO, name)}),
        )
