"""Rules about circuits: the path is closed, every point can be reached, no value is impossible."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.model.circuit import (
    AnyPart,
    Circuit,
    Coil,
    Contact,
    Fuse,
    Input,
    Load,
    Parallel,
    Point,
    Resistor,
    parts,
)
from kbgen.model.entry import Entry
from kbgen.position import Route, Spot
from kbgen.problems import Problem, Related, Severity, error, warning
from kbgen.quantity import Quantity
from kbgen.rules.record import Check, Material, Rule

_MOST_VOLTS = 1000.0
_MOST_CONTACT_OHMS = 1000.0


def _closed(material: Material) -> Iterator[Problem]:
    for entry, circuit in material.base.of(Circuit):
        path = circuit.path
        spot = Spot(entry.path, ("path",), on_key=True)
        if not any(isinstance(part, Input | Coil | Load) for part in parts(path)):
            yield error(
                "circuit-without-load",
                spot,
                "the path has no input, coil or load; it would be a short circuit",
                "Add what the string ends in, for example `- {input: limits}`.",
            )
        for part, what, where in ((path[0], "begin", "supply"), (path[-1], "end", "return")):
            if not isinstance(part, Point):
                yield error(
                    "circuit-not-closed",
                    Spot(entry.path, part.route),
                    f"the path does not {what} at a terminal of the {where}",
                    f"Add the terminal where the {where} can be measured, for example `- {{point: X3:1}}`.",
                )
        for part in parts(path):
            if isinstance(part, Parallel):
                yield from _branches(entry, part)


def _branches(entry: Entry, group: Parallel) -> Iterator[Problem]:
    bare = [
        index
        for index, branch in enumerate(group.parallel)
        if not any(_does_something(p) for p in parts(branch))
    ]
    if bare and len(bare) < len(group.parallel):
        yield error(
            "branch-bypasses",
            Spot(entry.path, (*group.route, "parallel", bare[0])),
            "this branch is a plain connection: it bypasses the contacts beside it for good",
            "Put the contact into it, or take the branch out.",
        )


def _does_something(part: AnyPart) -> bool:
    return isinstance(part, Contact | Coil | Load | Input | Resistor)


def _points(material: Material) -> Iterator[Problem]:
    for entry, circuit in material.base.of(Circuit):
        plant = material.base.equipment(circuit.equipment)
        covers = {cover.id: cover for cover in plant.covers} if plant else {}
        first: dict[str, Route] = {}
        place = ""
        for part in parts(circuit.path):
            if not isinstance(part, Point):
                continue
            earlier = first.setdefault(part.point, part.route)
            if earlier is not part.route:
                yield error(
                    "point-twice",
                    Spot(entry.path, (*part.route, "point")),
                    f"terminal `{part.point}` stands twice in the path",
                    "Give each terminal the mark it has on the panel.",
                    Related(Spot(entry.path, (*earlier, "point")), "the other one"),
                )
            place = part.place or place
            if plant and plant.places and not place:
                yield warning(
                    "point-without-place",
                    Spot(entry.path, (*part.route, "point")),
                    f"nothing says where terminal `{part.point}` is",
                    "Give `place`; points after it are taken to be in the same place.",
                )
            cover = covers.get(part.cover)
            if cover and place and cover.place != place:
                yield error(
                    "cover-elsewhere",
                    Spot(entry.path, (*part.route, "cover")),
                    f"{cover.title} is not in the place of terminal `{part.point}`",
                    f"Give the place `{cover.place}`, or the cover that is opened there.",
                )


def _values(material: Material) -> Iterator[Problem]:
    for entry, circuit in material.base.of(Circuit):
        for route, message, hint in _impossible(circuit):
            yield error("impossible-value", Spot(entry.path, route), message, hint)


def _impossible(circuit: Circuit) -> Iterator[tuple[Route, str, str]]:
    supply = circuit.supply
    volts = supply.voltage
    if volts.lo <= 0 or volts.hi > _MOST_VOLTS:
        yield (
            ("supply", "voltage"),
            f"{volts.text} is no supply of a control circuit",
            "Give its voltage, such as 120 V.",
        )
    if supply.current == "DC" and supply.frequency is not None:
        yield ("supply", "frequency"), "a DC supply has no frequency", "Take the frequency out, or write AC."
    for part in parts(circuit.path):
        for field, value in _positive(part):
            if value.lo <= 0:
                yield (
                    (*part.route, field),
                    f"{value.text} is not more than nothing",
                    "Give a value above zero.",
                )
        match part:
            case Contact(resistance=ohms) if ohms and ohms.hi > _MOST_CONTACT_OHMS:
                yield (
                    (*part.route, "resistance"),
                    f"{ohms.text} is an open contact",
                    "Give the resistance of the closed contact.",
                )
            case Input(on_above=on, off_below=off):
                yield from _threshold(part.route, "on_above", on, volts)
                if on and off and off.hi >= on.lo:
                    yield (
                        (*part.route, "off_below"),
                        "the input goes off above where it comes on",
                        "Swap the two, or correct one.",
                    )
            case Coil(pulls_in=pull, drops_out=drop):
                yield from _threshold(part.route, "pulls_in", pull, volts)
                if pull and drop and drop.lo >= pull.hi:
                    yield (
                        (*part.route, "drops_out"),
                        "the coil drops out above where it pulls in",
                        "Swap the two, or correct one.",
                    )


def _threshold(
    route: Route, field: str, value: Quantity | None, supply: Quantity
) -> Iterator[tuple[Route, str, str]]:
    if value and value.lo >= supply.hi:
        message = f"{value.text} is never reached on a supply of {supply.text}"
        yield (*route, field), message, "Give a voltage below that of the supply."


def _positive(part: AnyPart) -> Iterator[tuple[str, Quantity]]:
    match part:
        case Input(impedance=ohms) | Coil(impedance=ohms) | Load(impedance=ohms):
            if ohms:
                yield "impedance", ohms
        case Resistor(resistance=ohms):
            yield "resistance", ohms
        case Fuse(rating=amps):
            if amps:
                yield "rating", amps


def _rule(name: str, severity: Severity, why: str, before: str, after: str, check: Check | None) -> Rule:
    rests_on = "Circuit theory; every reading on a page is computed from the path as described."
    return Rule(name, "Circuits", severity, why, before, after, rests_on, check)


RULES: tuple[Rule, ...] = (
    _rule(
        "circuit-without-load",
        Severity.ERROR,
        "Without a load no reading can be computed.",
        "path:\n  - {point: X3:1}\n  - {contact: door}\n  - {point: N}",
        "path:\n  - {point: X3:1}\n  - {contact: door}\n  - {point: X3:2}\n  - {input: limits}\n  - {point: N}",
        _closed,
    ),
    _rule(
        "circuit-not-closed",
        Severity.ERROR,
        "Supply and return are where the first readings are taken.",
        "path:\n  - {contact: door}\n  - {input: limits}",
        "path:\n  - {point: X3:1}\n  - {contact: door}\n  - {input: limits}\n  - {point: N}",
        None,
    ),
    _rule(
        "branch-bypasses",
        Severity.ERROR,
        "A branch with nothing in it is a jumper that nobody ever takes out.",
        "parallel:\n  - [{contact: low-outlet}]\n  - [{wire: Bridge}]",
        "parallel:\n  - [{contact: low-outlet}]\n  - [{contact: start-timer}]",
        None,
    ),
    _rule(
        "point-twice",
        Severity.ERROR,
        "A reading at this mark would belong to two places.",
        "- {point: X3:5}\n- {contact: door}\n- {point: X3:5}",
        "- {point: X3:5}\n- {contact: door}\n- {point: X3:6}",
        _points,
    ),
    _rule(
        "point-without-place",
        Severity.WARNING,
        "Who does not know where the terminal is measures another one.",
        "- {point: X3:1}",
        "- {point: X3:1, place: panel}",
        None,
    ),
    _rule(
        "cover-elsewhere",
        Severity.ERROR,
        "The reader opens a cover and the terminal is not there.",
        "- {point: C1, place: water-column, cover: panel-door}",
        "- {point: C1, place: water-column, cover: float-cap}",
        None,
    ),
    _rule(
        "impossible-value",
        Severity.ERROR,
        "One wrong unit, and every expected reading on the page is wrong.",
        "- {input: limits, on_above: 180 V}  # supply 120 V",
        "- {input: limits, on_above: 80 V}",
        _values,
    ),
)
