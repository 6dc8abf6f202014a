"""Readings on dead circuits: whether they are dead, and whether their ohms tell anything."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.walk.finding import Finding, Moment
from kbgen.compute.walk.hazard import LIVE_WORK, READINGS
from kbgen.compute.walk.state import AT_OHMS, COVER, OFF, PROVED, SHUT, facts, names
from kbgen.compute.walk.strings import devices, has_load
from kbgen.model import action as act
from kbgen.model.circuit import Point

OHMS_NOT_PROVED_DEAD = READINGS.on(LIVE_WORK).hazard(
    "ohms-not-proved-dead",
    "Ohms on a live string destroy the meter, or the person who holds it.",
    "- do: Ohms across the limit.\n  measure: ohms",
    "- do: Prove it dead.\n  prove_dead: control\n- do: Ohms across the limit.\n  measure: ohms",
    rests_on="`source` of the circuit, and what was proved dead on every way; another feed that no data name goes unseen.",
)
OHMS_DECIDE_NOTHING = READINGS.hazard(
    "ohms-decide-nothing",
    "Some contacts are open on dead plant however sound they are; a cutoff that needs supply, a "
    "switch behind a shut cock.",
    "measure: ohms\nacross: second-low-water  # dead_state: open\nask: Is it closed?",
    "measure: volts\nacross: second-low-water\nask: Is it closed?",
    rests_on="`dead_state` and `needs_power` of each device between the two points.",
)
OHMS_ACROSS_LOAD = READINGS.hazard(
    "ohms-across-load",
    "Through a coil or a lamp the meter finds another way round and reads a closed contact.",
    "measure: ohms\nat: X3:8\nto: N",
    "fit: lifted-wire\nname: wire-1\n# then the ohms, then undo",
    rests_on="The circuit's `path` between the two points: coils, lamps, inputs.",
)


def dead(moment: Moment, action: act.Measure) -> Iterator[Finding]:
    """Yield what is wrong with a reading that wants a dead circuit."""
    plant, state = moment.plant, moment.state
    circuit = plant.circuit_of(action)
    if not plant.proved(state, circuit):
        yield OHMS_NOT_PROVED_DEAD.finding(
            moment.index,
            "measure",
            "resistance is measured on a circuit that is not proved dead",
            "Isolate, lock and prove the supply dead on every way to this step.",
            grants=facts(PROVED, plant.at_terminals(circuit)),
        )
    asks = bool(plant.answers[moment.index])
    spanned = plant.spanned(action)
    across = devices(spanned) if spanned is not None else frozenset({action.across} if action.across else ())
    for name in sorted(across) if asks else ():
        why = _open_when_dead(moment, name)
        if why:
            yield OHMS_DECIDE_NOTHING.finding(
                (moment.index, name),
                "across" if action.across else "measure",
                f"{plant.title(name)} {why}: ohms across it decide nothing",
                "Measure it live in volts, or ask nothing of this reading.",
            )
    # The tester's hundreds of volts reach the input whether anything is asked of the reading or not.
    if spanned is not None and has_load(spanned) and (asks or action.measure == "insulation"):
        marks = {action.at, action.to} | {part.point for part in spanned if isinstance(part, Point)}
        if not marks & lifted_at(moment):
            yield OHMS_ACROSS_LOAD.finding(
                moment.index,
                "measure",
                "a coil, lamp or input lies between the two terminals, and other paths lie beside it",
                "Lift one end first (`fit: lifted-wire`), and put it back on every way out.",
            )


OHMS_WHEN_LIVE = READINGS.on(LIVE_WORK).hazard(
    "ohms-when-live",
    "The meter stands at ohms across an open contact, and the supply comes back into it.",
    "- do: Read the ohms.\n  measure: ohms\n  leads: clipped-dead\n- do: Switch on.\n  restore: control",
    "- do: Read the ohms.\n  measure: ohms\n  leads: clipped-dead\n- do: Turn the meter to volts AC.\n"
    "- do: Switch on.\n  restore: control",
    rests_on="Leads that were read in ohms or insulation by clips, and come off (`unclip`), or a later step that says that the "
    "meter is turned to volts or off; that it is, is the reader's word.",
)


def comes_back(moment: Moment, source: str) -> Iterator[Finding]:
    """Yield a meter that was left at ohms on a circuit whose supply comes back."""
    plant, state = moment.plant, moment.state
    left = names(state, AT_OHMS)
    for where, clip in plant.clipped(state) if left else ():
        if where in left and source in plant.feeds(plant.circuit_of(clip)):
            yield OHMS_WHEN_LIVE.finding(
                (where, source),
                "restore",
                f"{plant.sources[source].title} comes back while the meter on `{clip.clip}` still stands at ohms",
                f"Take the leads off before (`unclip: [{clip.clip}]`), or put a step before it that turns the meter to volts.",
                clears=frozenset({(AT_OHMS, where)}),
            )


def _open_when_dead(moment: Moment, name: str) -> str:
    plant, state = moment.plant, moment.state
    device = plant.device(name)
    if device is None:
        return ""
    shut, off = names(state, SHUT), names(state, OFF)
    for valve, each in plant.valves.items():
        # The valve of a fuel that earlier pages have locked off is shut, whoever shut it.
        fuels = {each.fuel} if each.fuel else set(plant.fuel_sources)
        locked = each.stops == "all-fuel" and bool(fuels) and fuels.issubset(off)
        if name in each.opens and (valve in shut or locked):
            return f"is open because {each.title} is shut"
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


def lifted_at(moment: Moment) -> set[str]:
    """Return the words that say where wires are lifted, terminals among them."""
    fitted = (fit for _, fit in moment.plant.fitted(moment.state) if fit.fit == "lifted-wire")
    return {word.strip(".,;()`") for fit in fitted for word in f"{fit.at} {fit.from_}".split()}
