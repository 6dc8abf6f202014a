"""Labels of a plant: plates with a code that opens its page, tags for what is shut and locked, and a lock list.

A label proves nothing: what is identified is the mark on the plant against the record. So no label names a step, and its
code opens the plant's page and never the middle of a procedure.
"""

from __future__ import annotations

from dataclasses import dataclass

from kbgen.compute.edition import Edition
from kbgen.link.base import KnowledgeBase
from kbgen.model.plant import Machine
from kbgen.ref import Kind, Ref
from kbgen.views.address import address
from kbgen.views.booklet.plant import in_order
from kbgen.views.booklet.say import only_on, printed

PROVES_NOTHING = (
    "This label proves nothing. Hold mark and plate against the record before you touch anything."
)
TAG_PROVES_NOTHING = "It proves nothing: switch off, lock, try, prove."
LOCK_TAG = ("Locked by", "Telephone", "Date, time", "How far it came", "What was found")
LOCK_TAG_SAYS = ("Leaks", "Untested", "Found low", "Left off as unsafe")
"""What a tag may have to say besides; whoever comes later is stopped by it."""


@dataclass(frozen=True, slots=True)
class Handle:
    """What is switched or turned.

    Attributes:
        name: As a sentence names it, in large type.
        what: What it holds back.
        how: Where it is and how it goes off, as the plant's entry says it.
        only: For which sizes it is; empty for all.
        locked: What locks it; empty where nothing does.
    """

    name: str
    what: str
    how: str
    only: str
    locked: str


@dataclass(frozen=True, slots=True)
class Plate:
    """The plate of one machine that the shop knows.

    Attributes:
        opens: Address of the machine's page; empty where nobody said where the edition stands.
    """

    number: str
    title: str
    size: str
    serial: str
    opens: str


@dataclass(frozen=True, slots=True)
class Labels:
    """What is printed for one plant.

    Attributes:
        opens: Address of the plant's page; empty where nobody said where the edition stands.
        energies: Titles of all energies in the order of working, for the lock list.
        machines: Plates of the machines of the family.
    """

    plant: str
    title: str
    shop: str
    language: str
    edition: Edition
    opens: str
    sizes: tuple[str, ...]
    handles: tuple[Handle, ...]
    energies: tuple[str, ...]
    machines: tuple[Plate, ...]


def make_labels(base: KnowledgeBase, edition: Edition, plant_id: str, at: str) -> Labels | None:
    """Put the labels of a plant together; nothing where it is not approved.

    Args:
        at: Address under which the web edition stands; empty for none.
    """
    ref = Ref(Kind.EQUIPMENT, plant_id)
    entry, plant = base.entries.get(ref), base.equipment(plant_id)
    if entry is None or plant is None or not printed(entry):
        return None
    places = {place.id: place.title for place in plant.places}
    sources = in_order(plant)
    valves = tuple(
        Handle(_large(valve.handle or valve.title), valve.title, places.get(valve.place, ""), "", "")
        for valve in plant.fuel_valves
    )
    handles = tuple(
        Handle(
            _large(source.handle or source.title),
            source.title,
            source.isolate,
            only_on(plant, source.sizes),
            source.lock,
        )
        for source in sources
        if source.lockable and source.energy != "fuel"
    )
    return Labels(
        plant=plant_id,
        title=entry.title,
        shop=base.shop.shop,
        language=base.shop.language.partition("-")[0],
        edition=edition,
        opens=_address(ref, at),
        sizes=tuple(size.title for size in plant.sizes),
        handles=(*valves, *handles),
        energies=tuple(source.title for source in sources),
        machines=tuple(
            Plate(
                machine.number,
                each.title,
                next((size.title for size in plant.sizes if size.id == machine.size), ""),
                machine.serial,
                _address(each.ref, at),
            )
            for each, machine in base.of(Machine, plant=plant_id)
            if printed(each)
        ),
    )


def _address(ref: Ref, at: str) -> str:
    return f"{at.rstrip('/')}/{address(ref)}" if at else ""


def _large(name: str) -> str:
    """Return the name of a handle as it begins a line, without what stands behind a comma."""
    short = name.partition(",")[0]
    return short[:1].upper() + short[1:]
