"""The routine about handing a job over: what is left is said, as far as this page has done it."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compose.ledger import BLACK_LEAD, COVER, FITTED, LEAD, LOCKED, OFF, SHUT, Thing
from kbgen.compose.sheet import Sheet
from kbgen.compose.sources import called
from kbgen.compose.words import listed, lower, the
from kbgen.model.handling import Deed
from kbgen.model.routine import HandTo

_SAID = {
    SHUT: "shut",
    COVER: "open",
    FITTED: "altered",
    LEAD: "with leads on",
}
"""How a thing is left that was done to it, in the order in which it is told."""


def hand_to(sheet: Sheet, line: HandTo) -> None:
    """Write the tag, tell what is left, stay."""
    if any(thing.kind == LOCKED for thing in sheet.before):
        found = f" and “{line.tag}”" if line.tag else ", the date and what was found"
        sheet.write("tag", f"Leave the locks on. The tag says your name{found}.")
    left = "; ".join(_left(sheet))
    whom = lower(line.hand_to)
    leads = [thing.name for thing in sheet.before if thing.kind == LEAD and thing != BLACK_LEAD]
    sheet.write(
        "over",
        Deed(
            f"Call the {whom} and stay until they come.",
            f"The {whom} knows what is left: {left}." if left else "",
        ),
        hand_over=line.hand_to,
        next=line.next,
        still_on=leads,
        minutes="10 min",
    )


def _left(sheet: Sheet) -> Iterator[str]:
    """Yield how things are left: sure ones, then those of which some ways only lead here."""
    sources = {each.id: each for each in sheet.plant.sources}
    for sure in (True, False):
        perhaps = "" if sure else "perhaps "
        off = [thing for thing in sheet.before if thing.kind == OFF and sheet.before[thing] is sure]
        for state in ("off and locked", "off"):
            locked = state != "off"
            names = [
                called(sources[thing.name])
                for thing in off
                if thing.name in sources and (sheet.before.get(Thing(LOCKED, thing.name)) is sure) is locked
            ]
            if names:
                yield f"{perhaps}{state}: {listed(names)}"
        for kind, state in _SAID.items():
            names = [
                _name(sheet, thing)
                for thing in sheet.before
                if thing.kind == kind and thing != BLACK_LEAD and sheet.before[thing] is sure
            ]
            if names:
                yield f"{perhaps}{state}: {listed(names)}"


def _name(sheet: Sheet, thing: Thing) -> str:
    """Return what a thing is called in a sentence."""
    covers = {each.id: each.title for each in sheet.plant.covers}
    valves = {each.id: each.handle or each.title.partition(",")[0] for each in sheet.plant.fuel_valves}
    known = covers if thing.kind == COVER else valves if thing.kind == SHUT else {}
    return the(known[thing.name]) if thing.name in known else thing.name.replace("-", " ")
