"""A circuit as a hunt goes along it: its order of tests, where its points lie, what an open place means."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import partial

from kbgen.compose.ledger import COVER, SHUT
from kbgen.compose.rules import PLANT_DATA_MISSING, ROUTINE_MISUSED
from kbgen.compose.sheet import Sheet, Unfit
from kbgen.compose.words import lower
from kbgen.compute.circuit.meter import LOW_Z
from kbgen.compute.circuit.order import Order, order
from kbgen.compute.circuit.state import State, UnknownName
from kbgen.compute.circuit.telling import modes_at
from kbgen.compute.circuit.variant import fitted_path
from kbgen.link.kept import remembered
from kbgen.model.circuit import AnyPart, Circuit, Contact, Parallel, Point, parts, reach, return_mark
from kbgen.model.device import Device
from kbgen.nearest import nearest

TAKEN_OUT = "Off, locked and taken out of its holder, a whole fuse reads under 2 Ω. Below 0.5 A it may read up to 20 Ω."
"""How a fuse is read that no two points have for themselves."""


@dataclass(frozen=True, slots=True)
class String:
    """A circuit that is hunted along.

    Attributes:
        back: The mark that readings are taken to.
        lies: Place and cover of each point.
        open: Covers that are open on every way to here.
        elsewhere: Other places that the return is led to.
    """

    sheet: Sheet
    name: str
    circuit: Circuit
    path: tuple[AnyPart, ...]
    order: Order
    back: str
    lies: dict[str, tuple[str, str]]
    open: frozenset[str]
    elsewhere: tuple[str, ...] = ()

    def reached(self, mark: str) -> bool:
        """Whether a point can be read from where the return lies, with the covers as they are."""
        place, cover = self.lies[mark]
        return place in (self.lies[self.back][0], *self.elsewhere) and (not cover or cover in self.open)

    def beside(self, one: str, other: str) -> bool:
        """Whether two points lie at one place, so that a meter reaches both."""
        return self.lies[one][0] == self.lies[other][0]

    def between(self, one: str, other: str) -> tuple[AnyPart, ...]:
        """Return the parts from one point on to another one behind it, the latter left out, those side by side too."""
        marks = [part.point if isinstance(part, Point) else "" for part in self.path]
        between = self.path[marks.index(one) : marks.index(other)]
        # What hangs on a tap lies to the return, and not between the two.
        return tuple(
            each for part in between for each in (parts((part,)) if isinstance(part, Parallel) else (part,))
        )

    @property
    def loads_low(self) -> bool:
        """Whether what reads in between is read again in low impedance: not where that hides a bad contact."""
        return LOW_Z in modes_at(self.order.probing.table)

    @property
    def own(self) -> dict[str, str]:
        """What a reading says of its circuit, where the page does not say it."""
        return {} if self.name == self.sheet.procedure.circuit else {"circuit": self.name}


def string_of(
    sheet: Sheet, field: str, name: str, size: str, *, live: bool, elsewhere: tuple[str, ...] = ()
) -> String:
    """Look a circuit up and take its order of tests.

    Args:
        field: The field of the line that names it.
        size: Id of a size; empty for the one of the page's sizes with most parts.
        live: Whether its supply is on.
        elsewhere: Ids of other places that the return is led to.
    """
    circuit = sheet.base.circuit(name)
    if circuit is None or circuit.equipment != sheet.plant_id:
        own = [entry.ref.id for entry, _ in sheet.base.of(Circuit, plant=sheet.plant_id)]
        raise sheet.unknown(field, "circuit", name, own)
    # On dead plant a contact that a shut valve opens tells nothing; live, the walk says so.
    shut = frozenset(thing.name for thing in sheet.before if thing.kind == SHUT and not live)
    options = _fitted(sheet, circuit)
    state = State(size=size or _fullest(sheet, circuit), supply_on=live, valves_shut=shut, options=options)
    try:
        # Many pages hunt along the same circuit, and a page is written out in several rounds.
        asked = ("order", name, json.dumps(state.to_json()))
        found = remembered(sheet.base, asked, partial(order, sheet.base, name, state))
    except UnknownName as unknown:
        message, _, hint = str(unknown).partition(". ")
        raise Unfit(ROUTINE_MISUSED, "size", message, hint or "Write a size of the plant.") from unknown
    path = fitted_path(found.probing.table.variant.setting, circuit)
    back = return_mark(path)
    if not back:
        raise Unfit(
            PLANT_DATA_MISSING,
            field,
            f"{name} has no point behind its load to read to",
            f"Give circuits/{name}.yaml a `point` at the end of its path: the return.",
        )
    if any(
        isinstance(part, Parallel) and any(isinstance(each, Point) for each in parts((part,)))
        for part in path
    ):
        raise Unfit(
            ROUTINE_MISUSED,
            field,
            f"{name} has test points in parts side by side, which no hunt goes along",
            "Write the readings yourself, in the order of `kbgen order`.",
        )
    for place in elsewhere:
        if place not in (places := [each.id for each in sheet.plant.places]):
            raise sheet.unknown("return_at", "place", place, places)
    lies = {part.point: where for part, where in reach(path).items()}
    opened = frozenset(thing.name for thing, sure in sheet.before.items() if thing.kind == COVER and sure)
    return String(sheet, name, circuit, path, found, back, lies, opened, elsewhere)


def _fullest(sheet: Sheet, circuit: Circuit) -> str:
    """Return the size of the page that has most parts of a circuit: an order for it fits the others too."""
    sizes = sheet.procedure.sizes or tuple(each.id for each in sheet.plant.sizes)
    if not sizes:
        return ""
    return max(
        sizes,
        key=lambda size: (sum(_has(sheet, part, size) for part in parts(circuit.path)), -sizes.index(size)),
    )


def _fitted(sheet: Sheet, circuit: Circuit) -> frozenset[str]:
    """Return the options that a hunt counts as fitted: all whose contact a link replaces without taking a point away."""
    missing = {part.option for part in parts(circuit.path) if isinstance(part, Point)}
    return frozenset(each.id for each in sheet.plant.options if each.id not in missing)


def _has(sheet: Sheet, part: AnyPart, size: str) -> bool:
    if part.sizes and size not in part.sizes:
        return False
    device = sheet.base.device(part.contact) if isinstance(part, Contact) else None
    return device is None or not device.sizes or size in device.sizes


def _what_to_write(string: String, name: str) -> str:
    near = nearest(name, (entry.ref.id for entry, _ in string.sheet.base.of(Device)))
    write = f"Write devices/{name}.yaml, or mend that file where it is there"
    return f"Did you mean {near}? Else {write[0].lower()}{write[1:]}." if near else f"{write}."


def meant(string: String, contacts: list[Contact]) -> str:
    """Say what an open place with these contacts means."""
    if not contacts:
        return "Only wires and terminals lie between them."
    said = []
    for contact in contacts:
        device = string.sheet.base.device(contact.contact)
        if device is None:
            raise Unfit(
                PLANT_DATA_MISSING,
                "",
                f"{string.name} has a contact of {contact.contact}, which has no entry",
                _what_to_write(string, contact.contact),
            )
        where = ", where it is fitted" if contact.option else ""
        said.append(device.found_open or f"That is the {lower(device.head.title)}{where}, or its wires.")
    return " ".join(said)
