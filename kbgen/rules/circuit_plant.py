"""Rules about the circuits of a plant together: one mark is one thing, and every device stands somewhere."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from kbgen.compute.circuit.lay import volts_of
from kbgen.link.base import KnowledgeBase
from kbgen.model.circuit import AnyPart, Circuit, Coil, Contact, Fuse, Input, Point, parts, reach
from kbgen.model.device import Device
from kbgen.model.entry import Entry
from kbgen.model.equipment import Equipment
from kbgen.position import Route, Spot
from kbgen.problems import Problem, Related
from kbgen.quantity import Quantity
from kbgen.rules.circuit_parts import contact_title, fitted_together
from kbgen.rules.circuits import CIRCUITS
from kbgen.rules.material import Check, Material

if TYPE_CHECKING:
    from kbgen.compute.circuit.sound import Bounds

CONTACT_ELSEWHERE = CIRCUITS.warning(
    "contact-elsewhere",
    "One pair of screws cannot stand in two strings: one of the two circuits shows another device's contact.",
    "- {contact: air-switch}  # between T20 and T55, and in another circuit between T51 and T52",
    "- {contact: air-switch, which: no-air}",
    rests_on="The points and contacts of all circuits of the plant.",
)


def _elsewhere(material: Material) -> Iterator[Problem]:
    """Compare where each contact stands in the circuits of a plant."""
    contacts: dict[tuple[str, str, str], tuple[Entry, Contact, tuple[str, str]]] = {}
    for entry, circuit in material.base.of(Circuit):
        for contact, between in _between(circuit.path):
            key = (circuit.equipment, contact.contact, contact.which)
            other, earlier, there = contacts.setdefault(key, (entry, contact, between))
            if other is not entry and there != between and fitted_together(earlier, contact):
                yield CONTACT_ELSEWHERE.at(
                    Spot(entry.path, (*contact.route, "contact")),
                    f"this contact of {contact_title(material.base, contact)} stands between other terminals in {other.title}",
                    "If the device has several contacts, list them in its entry and name each with `which`.",
                    Related(Spot(other.path, (*earlier.route, "contact")), "between other terminals there"),
                )


def _between(path: tuple[AnyPart, ...]) -> Iterator[tuple[Contact, tuple[str, str]]]:
    """Yield the contacts of the path itself, each with the terminals beside it."""
    for index, part in enumerate(path):
        if isinstance(part, Contact):
            before = [p.point for p in path[:index] if isinstance(p, Point)][-1:]
            behind = [p.point for p in path[index:] if isinstance(p, Point)][:1]
            if before and behind:
                yield part, (before[0], behind[0])


TERMINAL_IN_TWO_PLACES = CIRCUITS.warning(
    "terminal-in-two-places",
    "A procedure names the mark only, and the reader opens the wrong cover.",
    "- {point: T20, place: burner-front}  # in another circuit: place: panel",
    "- {point: T20, place: panel}",
    rests_on="`place` and `cover` of a mark in all circuits of the plant.",
)


def _terminals(material: Material) -> Iterator[Problem]:
    first: dict[tuple[str, str], tuple[Entry, Point, tuple[str, str]]] = {}
    for entry, circuit in material.base.of(Circuit):
        for point, where in reach(circuit.path).items():
            other, earlier, there = first.setdefault((circuit.equipment, point.point), (entry, point, where))
            if where != there and other is not entry and all((where[0], there[0])):
                yield TERMINAL_IN_TWO_PLACES.at(
                    Spot(entry.path, (*point.route, "point")),
                    f"terminal `{point.point}` stands elsewhere in {other.title}",
                    "Give the same place and cover in both; two terminals of one mark are told apart by their strip.",
                    Related(Spot(other.path, (*earlier.route, "point")), "the other place"),
                )


class Dispute(NamedTuple):
    """A figure that two circuits of a plant give differently: where, in which words, and where the other stands."""

    here: Spot
    message: str
    there: Spot


def disputes(base: KnowledgeBase) -> Iterator[Dispute]:
    """Yield what circuits of a plant say differently of one supply, fuse or input."""
    first: dict[tuple[str, str, str], tuple[Entry, Route, str, Bounds | str]] = {}
    for entry, circuit in base.of(Circuit):
        for what, name, route, shown, value in _named_figures(circuit):
            key = (circuit.equipment, what, name)
            other, there, earlier, same = first.setdefault(key, (entry, route, shown, value))
            if other is not entry and _differ(value, same):
                message = f"{what} `{name}` is {shown} here and {earlier} in {other.title}"
                yield Dispute(Spot(entry.path, route), message, Spot(other.path, there))


FIGURES_DIFFER = CIRCUITS.error(
    "figures-differ",
    "One of the two pages is wrong, and nobody knows which.",
    "- {fuse: F3, rating: 10 A}  # in another circuit: rating: 3 A",
    "- {fuse: F3, rating: 3 A}",
    rests_on="The same figure in circuit and plant.",
)


def _figures(material: Material) -> Iterator[Problem]:
    for here, message, there in disputes(material.base):
        hint = "Correct one of them; if they are two things, give them two names."
        yield FIGURES_DIFFER.at(here, message, hint, Related(there, "the other one"))


def _differ(a: Bounds | str, b: Bounds | str) -> bool:
    """Say whether two ranges have nothing in common, or two texts are not the same."""
    if isinstance(a, str) or isinstance(b, str):
        return a != b
    return a[0] > b[1] or b[0] > a[1]


def _named_figures(circuit: Circuit) -> Iterator[tuple[str, str, Route, str, Bounds | str]]:
    """Yield what several circuits may name: sort, name, route, value as typed and value to compare."""
    start = circuit.path[0]
    if isinstance(start, Point):
        supply = circuit.supply
        lo, _, hi = volts_of(supply)
        yield "the supply at", start.point, ("supply", "voltage"), supply.voltage.text, (lo, hi)
        yield "the current at", start.point, ("supply", "current"), supply.current, supply.current
    for part in parts(circuit.path):
        if isinstance(part, Fuse) and part.rating:
            yield "fuse", part.fuse, (*part.route, "rating"), part.rating.text, _range(part.rating)
        elif isinstance(part, Input):
            for field in ("impedance", "on_above", "off_below"):
                value: Quantity | None = getattr(part, field)
                if value:
                    what = f"{field} of input"
                    yield what, part.input, (*part.route, field), value.text, _range(value)
            if part.title:
                yield "the title of input", part.input, (*part.route, "title"), part.title, part.title


def _range(value: Quantity) -> Bounds:
    return value.lo, value.hi


DEVICE_IN_NO_CIRCUIT = CIRCUITS.warning(
    "device-in-no-circuit",
    "A contact that is missing from its string is never found open.",
    "title: Outlet damper  # in the path of no circuit",
    "path:\n  - {point: T52}\n  - {contact: outlet-damper}",
    rests_on="The devices of the plant and the paths of its circuits.",
    of_all=True,
)
RELAY_WITHOUT_COIL = CIRCUITS.warning(
    "relay-without-coil",
    "The page shows the contact as made in every stage, whatever the relay does.",
    "title: Start timer\ntype: timer  # its coil stands in no circuit",
    "path:\n  - tap:\n      - {coil: start-timer}",
    rests_on="The relays of the plant and the coils of its circuits.",
    of_all=True,
)


def _standing(material: Material) -> Iterator[Problem]:
    """Find devices that no circuit shows, and relays whose coil none shows."""
    contacts: dict[str, set[str]] = {}
    coils: dict[str, set[str]] = {}
    for _, circuit in material.base.of(Circuit):
        for part in parts(circuit.path):
            if isinstance(part, Contact):
                contacts.setdefault(circuit.equipment, set()).add(part.contact)
            elif isinstance(part, Coil):
                coils.setdefault(circuit.equipment, set()).add(part.coil)
    for entry, device in material.base.of(Device):
        name = entry.ref.id
        drawn = [plant for plant in device.equipment if plant in contacts]
        title = Spot(entry.path, ("title",))
        if device.type == "sensor" or len(drawn) < len(device.equipment):
            continue
        if drawn and not any(name in contacts[plant] | coils.get(plant, set()) for plant in drawn):
            yield DEVICE_IN_NO_CIRCUIT.at(
                title,
                "no circuit of its plant shows this device",
                "Add its contact to the path of the circuit it stands in.",
            )
        for plant in drawn:
            relay = device.type in ("relay", "timer") and name in contacts[plant]
            if relay and name not in coils.get(plant, ()) and not _told(material.base, plant, name):
                yield RELAY_WITHOUT_COIL.at(
                    title,
                    "no circuit shows its coil, and no stage says when it is in: its contacts are taken as made",
                    "Add the coil to its circuit, or name it in the stages of the sequence.",
                )


def _told(base: KnowledgeBase, plant_id: str, device: str) -> bool:
    """Say whether the sequence says of a device, by itself or with its string, how it stands."""
    plant: Equipment | None = base.equipment(plant_id)
    for stage in plant.sequence if plant else ():
        strings = [circuit.path for name in stage.strings_made if (circuit := base.circuit(name))]
        inside = {part.contact for path in strings for part in parts(path) if isinstance(part, Contact)}
        if device in {*stage.made, *stage.open, *stage.ignored, *inside}:
            return True
    return False


CHECKS: tuple[Check, ...] = (_elsewhere, _terminals, _figures, _standing)
