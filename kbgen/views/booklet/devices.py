"""Cards of devices, and the sheet on which their trips are signed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from kbgen.compute.due import Due, due_list
from kbgen.link.base import KnowledgeBase
from kbgen.model.device import Device
from kbgen.model.entry import Entry
from kbgen.model.equipment import Equipment
from kbgen.model.proof import Proof
from kbgen.model.symptom import Symptom
from kbgen.text import read
from kbgen.views.blocks import Line, Mark, Plain
from kbgen.views.booklet.leaf import Card, Grid
from kbgen.views.booklet.plant import trips_at
from kbgen.views.booklet.say import only_on, said
from kbgen.views.compose import line_of

RESETS = {
    "automatic": "by itself",
    "manual": "by hand, cause first",
    "one-shot": "none: it is renewed, cause first",
}


def named(found: Sequence[tuple[Entry, Symptom]]) -> frozenset[str]:
    """Return the devices that a condition in the booklet names."""
    looks = {look.device for _, symptom in found for look in symptom.look_first}
    return frozenset(looks | {each.device for _, symptom in found for each in symptom.suspects} - {""})


def card(plant: Equipment, entry: Entry, device: Device) -> Card:
    """Make the card of a device."""
    places = {place.id: place.title for place in plant.places}
    check = device.independent_check
    rows = [
        ("At", said(places.get(device.place, ""))),
        ("Opens", said(device.opens_when)),
        ("Set", said(trips_at(plant, entry.ref.id))),
        ("Reset", said(RESETS.get(device.reset, ""))),
        ("Check", said(check.with_ if check else "")),
        ("Real", said((check.real_in_short or check.real) if check else "")),
        ("Faulty", said((check.false_in_short or check.false) if check else "")),
        ("Jumper only for", said(device.may_jump.reason if device.may_jump else "")),
    ]
    only = only_on(plant, device.sizes)
    return Card(
        label=str(entry.ref),
        mark=device.mark,
        title=entry.title + (f", {only}" if only else ""),
        rows=tuple((name, line) for name, line in rows if line),
    )


def proofs(
    base: KnowledgeBase, plant_id: str, plant: Equipment, devices: Sequence[tuple[Entry, Device]]
) -> Iterator[Grid]:
    """Make the sheet on which proofs are signed; how it is done stands in its procedure."""
    known = {entry.ref: (entry, device) for entry, device in devices}
    dues = due_list(base, plant_id)
    often = Counter(due.of for due in dues)
    rows = [
        (
            _proof(due, known.get(due.of), sole=often[due.of] == 1) + _fits(plant, due.proof),
            _found(plant, due),
            said(due.proof.every.said.removeprefix("Every ").removeprefix("At the ")),
            (),
            (),
        )
        for due in dues
    ]
    rows += [
        (_trip(entry, device), said(trips_at(plant, entry.ref.id)), (), (), ())
        for entry, device in devices
        if entry.ref not in often
        and device.role in ("limit", "proving")
        and (device.tested_by or device.trip)
    ]
    if rows:
        head = ("What is proved, and how", "at", "Every", "Date", "By")
        yield Grid("", head, (39, 26, 15, 11, 9), tuple(rows), high=True)


def _proof(due: Due, of: tuple[Entry, Device] | None, *, sole: bool) -> Line:
    """Say what is proved: of the plant, or of a device, by how it is made to trip where that is its one proof."""
    if of is None:
        return said(due.proof.prove)
    entry, device = of
    if sole and device.trip:
        return _trip(entry, device)
    mark: Line = (Mark(device.mark), Plain(" ")) if device.mark else ()
    return (*mark, Plain(f"{entry.title}: {due.proof.prove}"))


def _found(plant: Equipment, due: Due) -> Line:
    """Say what must be found: as the proof has it, else what the device is set to."""
    must = [figure + (f" ({only_on(plant, sizes)})" if sizes else "") for figure, sizes in due.must]
    return said("; ".join(must) or trips_at(plant, due.of.id))


def _fits(plant: Equipment, proof: Proof) -> Line:
    return (Plain(f" ({only_on(plant, proof.sizes)})"),) if proof.sizes else ()


def _trip(entry: Entry, device: Device) -> Line:
    mark: Line = (Mark(device.mark), Plain(" ")) if device.mark else ()
    how = line_of(read(device.trip.do)) if device.trip else ()
    return (*mark, Plain(entry.title + (": " if how else "")), *how)
