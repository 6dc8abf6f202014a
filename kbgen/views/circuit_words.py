"""Faults and readings of a circuit in a technician's words."""

from __future__ import annotations

from collections.abc import Sequence

from kbgen.compute.circuit.faults import Fault, device_of
from kbgen.compute.circuit.outcome import FULL, NONE, SOME, limits, words
from kbgen.compute.circuit.readings import Table
from kbgen.link.base import KnowledgeBase
from kbgen.model.circuit import reach
from kbgen.ref import Kind, Ref

CALLED = {
    NONE: "nothing",
    SOME: "some",
    FULL: "full",
    NONE | SOME: "nothing or some",
    SOME | FULL: "some or full",
    NONE | FULL: "nothing or full",
    NONE | SOME | FULL: "anything",
}
"""How a set of words is said."""
OUTCOMES = {"none": "nothing", "some": "some", "full": "full", "open": "open", "closed": "closed"}


def contact_name(base: KnowledgeBase, label: str) -> str:
    """Name a contact by its device, and by which of its contacts where it has several here."""
    device, _, which = label.partition("/")
    title = base.title(Ref(Kind.DEVICE, device))
    return f"{title}, contact {which}" if which else title


def fault_name(base: KnowledgeBase, fault: Fault) -> str:
    """Say what is wrong."""
    names = [contact_name(base, label) for label in fault.where]
    what = fault.where[0] if fault.where else ""
    said = {
        "healthy": "nothing wrong now",
        "no-supply": "no supply",
        "fuse": f"fuse {what}",
        "open": f"{names[0]} open" if names else "",
        "stuck": f"{names[0]} stuck closed" if names else "",
        "resistance": f"{names[0]}: bad contact" if names else "",
        "jumper": f"jumper left across {names[0]}" if names else "",
        "wire": f"wire {_run_name(base, what)}",
        "load": f"{_part_name(base, what)} failed" if what else "load or input failed",
        "return": "return open",
        "ground": f"earth fault at {what}",
        "open-pair": f"{' and '.join(names)} both open",
    }
    return said.get(fault.kind, fault.id)


def _run_name(base: KnowledgeBase, run: str) -> str:
    """Name wiring by its ends, and by its branch where there are several."""
    ends, _, branch = run.partition("/")
    return ends.replace("-", " to ", 1) + (f" ({_part_name(base, branch)})" if branch else "")


def _part_name(base: KnowledgeBase, name: str) -> str:
    """Name a coil or a branch by its device's title, anything else by what it is called already."""
    ref = Ref(Kind.DEVICE, name)
    return base.title(ref) if ref in base.entries else name


def first_upper(text: str) -> str:
    """Begin a sentence."""
    return text[:1].upper() + text[1:]


def listed(names: Sequence[str], most: int) -> str:
    """Join names; of many only the first are said."""
    rest = len(names) - most
    return ", ".join(names[:most]) + (f" and {rest} more" if rest > 0 else "")


def called(table: Table, mode: int, row: int) -> tuple[int, ...]:
    """Return the words a fault can be called by at each point but the return."""
    none_to, full_from = limits(table)
    return tuple(
        words(float(lo), float(hi), none_to, full_from)
        for mark, (lo, hi) in zip(table.points, table.bounds[mode, row], strict=False)
        if mark != table.network.back
    )


def runs(table: Table, row: Sequence[int]) -> str:
    """Say readings along the points in one line, neighbours that read alike together."""
    marks = [mark for mark in table.points if mark != table.network.back]
    if not marks:
        return ""
    if len(set(row)) == 1:
        return f"{CALLED[row[0]]} everywhere"
    said: list[str] = []
    first = 0
    for k in range(1, len(row) + 1):
        if k < len(row) and row[k] == row[first]:
            continue
        where = marks[first] if k - first == 1 else f"{marks[first]} to {marks[k - 1]}"
        said.append(f"{where} {CALLED[row[first]]}")
        first = k
    return ", ".join(said)


def where_is(table: Table, mark: str) -> str:
    """Say at which place and behind which cover a point lies; empty when the entry does not say."""
    plant = table.variant.setting.plant
    places = {place.id: place.title for place in plant.places}
    covers = {cover.id: cover.title for cover in plant.covers}
    for point, (place, cover) in reach(table.variant.path).items():
        if point.point == mark:
            said = [places.get(place, place), f"behind {covers.get(cover, cover).lower()}" if cover else ""]
            return ", ".join(filter(None, said))
    return ""


def where_device(table: Table, label: str) -> str:
    """Say where a contact's device is fitted."""
    device = table.variant.setting.base.device(device_of(label))
    places = {place.id: place.title for place in table.variant.setting.plant.places}
    return places.get(device.place, "") if device else ""
