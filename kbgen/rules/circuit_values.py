"""Rules about the figures of circuits: possible each by itself, and possible together."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from kbgen.compute.circuit import defaults
from kbgen.compute.circuit.faults import device_of
from kbgen.compute.circuit.variant import Variant
from kbgen.model.circuit import AnyPart, Circuit, Coil, Contact, Fuse, Input, Point, Resistor, parts
from kbgen.position import Route, Spot
from kbgen.problems import Problem
from kbgen.quantity import Quantity
from kbgen.rules.circuit_plant import disputes
from kbgen.rules.circuits import CIRCUITS, loads_in_series
from kbgen.rules.material import Check, Material

if TYPE_CHECKING:
    from kbgen.compute.circuit.sound import Bounds, Sound

_LEAST_VOLTS = 3.0
_MOST_VOLTS = 1000.0
_MOST_CONTACT_OHMS = 50.0
_LEAST_COIL_WATTS = 0.02
"""Below what the most sensitive relays take."""


IMPOSSIBLE_VALUE = CIRCUITS.error(
    "impossible-value",
    "One wrong unit, and every expected reading on the page is wrong.",
    "- {contact: door, resistance: 5 kΩ}",
    "- {contact: door, resistance: 0.1 Ω to 5 Ω}",
    rests_on="The figures of circuit and device, held against ranges that no plant leaves.",
)


def _values(material: Material) -> Iterator[Problem]:
    # Imported late: the arithmetic takes as long to load as an unchanged circuit takes to find.
    from kbgen.compute.circuit.sound import fitted_variants, work_out

    disputed = {spot.path for dispute in disputes(material.base) for spot in (dispute.here, dispute.there)}
    for entry, circuit in material.base.of(Circuit):
        faults = list(_impossible(circuit))
        for route, message, hint in faults:
            yield IMPOSSIBLE_VALUE.at(Spot(entry.path, route), message, hint)
        if not faults and entry.path not in disputed and _clear(circuit):
            for variant in fitted_variants(material.base, entry.ref.id, circuit):
                sound = work_out(variant)
                found = list(_together(entry.path, variant, sound)) if sound else []
                yield from found
                if found:
                    break


def _clear(circuit: Circuit) -> bool:
    """Say whether nothing told by itself, a short circuit or a mark used twice, spoils what is computed."""
    marks = [part.point for part in parts(circuit.path) if isinstance(part, Point)]
    return len(set(marks)) == len(marks) and all(len(loads) == 1 for loads in loads_in_series(circuit))


def _impossible(circuit: Circuit) -> Iterator[tuple[Route, str, str]]:
    supply = circuit.supply
    volts = supply.voltage
    supplied = volts.lo >= _LEAST_VOLTS and volts.hi <= _MOST_VOLTS
    if not supplied:
        yield (
            ("supply", "voltage"),
            f"{volts.text} is no supply of a control circuit",
            "Give its voltage, such as 120 V.",
        )
    if supply.current == "DC" and supply.frequency is not None:
        yield ("supply", "frequency"), "a DC supply has no frequency", "Take the frequency out, or write AC."
    for field, value in (("impedance", supply.impedance), ("rating", supply.rating)):
        if value and value.lo <= 0:
            yield ("supply", field), f"{value.text} is not more than nothing", "Give a value above zero."
    for part in parts(circuit.path):
        nothing = [(field, value) for field, value in _positive(part) if value.lo <= 0]
        for field, value in nothing:
            message = f"{value.text} is not more than nothing"
            yield (*part.route, field), message, "Give a value above zero."
        if supplied and not nothing:
            yield from _out_of_proportion(circuit, part)


_ABOVE_NOTHING = (
    *("impedance", "resistance", "rating", "end_of_line"),
    *("on_above", "off_below", "pulls_in", "drops_out"),
)


def _positive(part: AnyPart) -> Iterator[tuple[str, Quantity]]:
    for field in _ABOVE_NOTHING:
        if value := getattr(part, field, None):
            yield field, value


def _out_of_proportion(circuit: Circuit, part: AnyPart) -> Iterator[tuple[Route, str, str]]:
    volts = circuit.supply.voltage
    match part:
        case Contact(resistance=ohms) if ohms and ohms.hi > _MOST_CONTACT_OHMS:
            yield (
                (*part.route, "resistance"),
                f"{ohms.text} is no contact that is made",
                "Give the resistance of the sound contact, closed, such as 0.1 Ω to 5 Ω.",
            )
        case Fuse(rating=amps) if amps:
            ohms = circuit.supply.impedance
            most = volts.hi / (ohms.lo if ohms else defaults.SUPPLY_OHMS)
            if amps.lo >= most:
                message = f"a short circuit draws {most:.3g} A, and the fuse of {amps.text} does not open"
                yield (*part.route, "rating"), message, "Correct the rating, or the impedance of the supply."
        case Coil(impedance=ohms) if ohms and volts.hi**2 / ohms.lo < _LEAST_COIL_WATTS:
            message = (
                f"a coil of {ohms.text} takes {volts.hi**2 / ohms.lo:.2g} W; no relay pulls in with that"
            )
            yield (*part.route, "impedance"), message, "Ohms and kilohms are easily mixed up."
        case Input(end_of_line=ohms) if ohms:
            resistors = [p.resistance for p in parts(circuit.path) if isinstance(p, Resistor)]
            if resistors and not any(r.lo <= ohms.hi and ohms.lo <= r.hi for r in resistors):
                message = (
                    f"the resistor in the path has {resistors[0].text}, and the input expects {ohms.text}"
                )
                yield (*part.route, "end_of_line"), message, "Give both the value that is printed on it."
    match part:
        case Input(on_above=on, off_below=off) if on and off and off.hi >= on.lo:
            message = "the input goes off above where it comes on"
            yield (*part.route, "off_below"), message, "Swap the two, or correct one."
        case Coil(pulls_in=pull, drops_out=drop) if pull and drop and drop.lo >= pull.hi:
            message = "the coil drops out above where it pulls in"
            yield (*part.route, "drops_out"), message, "Swap the two, or correct one."


def _together(path: str, variant: Variant, sound: Sound) -> Iterator[Problem]:
    """Hold the figures of one variant against what is computed from all of them."""
    drawing = list(_drawing(path, variant, sound))
    yield from drawing
    if drawing:
        return
    for part in parts(variant.path):
        if isinstance(part, Input):
            label, on, field = part.title or part.input, part.on_above, "on_above"
        elif isinstance(part, Coil):
            label, on, field = part.coil, part.pulls_in, "pulls_in"
        else:
            continue
        if on and label in sound.loads:
            yield from _comes_on(Spot(path, (*part.route, field)), on, sound.loads[label])
        if isinstance(part, Input) and part.off_below and part in variant.path:
            yield from _goes_off(Spot(path, (*part.route, "off_below")), variant, part.off_below, sound)


THRESHOLD_OUT_OF_REACH = CIRCUITS.error(
    "threshold-out-of-reach",
    "By these figures the sound plant never starts, or the open contact never stops it: one of them "
    "is wrong.",
    "- {input: limits, on_above: 180 V}  # supply 120 V",
    "- {input: limits, on_above: 80 V}",
    rests_on="The solved circuit and `on_above` and `off_below` of the input.",
)
THRESHOLD_IN_DOUBT = CIRCUITS.warning(
    "threshold-in-doubt",
    "Within the ranges given, the controller may take the sound string for open, or the open one for made.",
    "- {input: limits, on_above: 110 V}  # supply 120 V ± 10 %",
    "- {input: limits, on_above: 85 V}",
    rests_on="The circuit solved at both ends of every range.",
)


def _comes_on(spot: Spot, on: Quantity, volts: Bounds) -> Iterator[Problem]:
    lo, hi = volts
    hint = "Correct this threshold, the supply, or an impedance that shares the voltage with it."
    if hi < on.lo:
        message = f"with every contact made at most {hi:.3g} V arrive here; {on.text} is never reached"
        yield THRESHOLD_OUT_OF_REACH.at(spot, message, hint)
    elif lo < on.hi:
        message = f"with every contact made {lo:.3g} V to {hi:.3g} V arrive here, not always above {on.text}"
        yield THRESHOLD_IN_DOUBT.at(spot, message, hint)


def _goes_off(spot: Spot, variant: Variant, off: Quantity, sound: Sound) -> Iterator[Problem]:
    if not sound.opened:
        return
    label, (lo, hi) = max(sound.opened.items(), key=lambda item: item[1])
    device = variant.device(label)
    name = device.head.title if device else device_of(label)
    hint = "Correct this threshold, or look for what lies beside the contact and feeds the input past it."
    if lo > off.hi:
        message = f"with {name} open {lo:.3g} V and more stay here; it never falls below {off.text}"
        yield THRESHOLD_OUT_OF_REACH.at(spot, message, hint)
    elif hi > off.lo:
        message = f"with {name} open up to {hi:.3g} V stay here, not always below {off.text}"
        yield THRESHOLD_IN_DOUBT.at(spot, message, hint)


DRAWS_TOO_MUCH = CIRCUITS.error(
    "draws-too-much",
    "This fuse would blow on sound plant. Whoever believes the figure looks for a short circuit, or "
    "fits a larger fuse.",
    "- {fuse: F4, rating: 3 mA}",
    "- {fuse: F4, rating: 3 A}",
    rests_on="The solved circuit and `rating` of the fuse.",
)


def _drawing(path: str, variant: Variant, sound: Sound) -> Iterator[Problem]:
    hint = "Correct the rating, or the impedance of what draws it: ohms and kilohms are easily mixed up."
    for part in parts(variant.path):
        if isinstance(part, Fuse) and part.rating and part.fuse in sound.fuses:
            amps = sound.fuses[part.fuse][0]
            if amps > part.rating.hi:
                message = (
                    f"the sound circuit draws {amps:.3g} A and more through this fuse of {part.rating.text}"
                )
                yield DRAWS_TOO_MUCH.at(Spot(path, (*part.route, "rating")), message, hint)
    rating = variant.setting.circuit.supply.rating
    if rating and sound.drawn[0] > rating.hi:
        message = f"the sound circuit draws {sound.drawn[0]:.3g} VA and more from a supply of {rating.text}"
        yield DRAWS_TOO_MUCH.at(Spot(path, ("supply", "rating")), message, hint)


CHECKS: tuple[Check, ...] = (_values,)
