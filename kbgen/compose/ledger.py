"""What a page has done to the plant by a line: sets that only grow, joined where ways meet.

Each thing is there on every way, or on some ways only. Nothing here judges; the walk does.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from kbgen.model.equipment import Equipment
from kbgen.model.procedure import Procedure


class Thing(NamedTuple):
    """Something that was done and may be put back: what kind of deed, and to what."""

    kind: str
    name: str


COVER, FITTED, LEAD, DEMAND = "cover", "fitted", "lead", "demand"
OFF, LOCKED, SHUT = "off", "locked", "shut"
ASKED = "asked"
"""A question at the door that was asked on the way."""
TOLD = Thing("told", "")
"""Everybody was told on the way."""
OWED, JOINT = "owed", "joint"
"""A device whose trip is owed, and a point of the gas train that was opened: until they are proved."""
BLACK_LEAD = Thing(LEAD, "lead")
"""The lead that a hunt clips to the return; it has no name of its own on the page."""

LOCKS_SEEN = Thing("seen", "locks")
"""Every lock and tag was looked at, and none is another's."""

Ledger = Mapping[Thing, bool]
"""Each thing with whether it is so on every way; what is so on none is absent."""


def begun(page: Procedure, plant: Equipment) -> Ledger:
    """Return what a page begins with, as its `starts` say."""
    found: set[Thing] = set()
    starts = set(page.starts)
    dead = (
        [each.id for each in plant.sources if each.electric] if starts & {"made-safe", "proved-dead"} else []
    )
    fuels = [each.id for each in plant.sources if each.energy == "fuel"] if "made-safe" in starts else []
    found |= {Thing(kind, name) for name in (*dead, *fuels) for kind in (OFF, LOCKED)}
    stopping = {"all-fuel"} if "made-safe" in starts else set()
    stopping |= {"burner-fuel", "pilot-fuel"} if "fuel-shut" in starts else set()
    found |= {Thing(SHUT, each.id) for each in plant.fuel_valves if each.stops in stopping}
    # What the pages before have left shut is not written here: a valve may be.
    maybe = {Thing(SHUT, each.id) for each in plant.fuel_valves if page.after}
    return {thing: thing in found for thing in (*found, *maybe)}


def join(one: Ledger | None, other: Ledger | None) -> Ledger | None:
    """Join two ways; ``None`` is a way that nobody goes."""
    if one is None or other is None:
        return other if one is None else one
    return {thing: one.get(thing, False) and other.get(thing, False) for thing in (*one, *other)}


def after(step: Mapping[str, Any], before: Ledger) -> Ledger:
    """Return the ledger after a step, in the plain data of a procedure."""
    found = dict(before)
    for thing, done in _changes(step):
        if done:
            found.setdefault(thing, True)
            found[thing] = True
        else:
            found.pop(thing, None)
    return found


def _changes(step: Mapping[str, Any]) -> Iterator[tuple[Thing, bool]]:
    for key, kind, done in _DEEDS:
        if key in step:
            value = step[key]
            for name in value if isinstance(value, list) else [value]:
                yield Thing(kind, "" if kind == DEMAND else name), done
    if "fit" in step:
        yield Thing(FITTED, step["name"]), True
        if "over" in step:
            yield Thing(OWED, step["over"]), True
    if step.get("origin", {}).get("sees_locks"):
        yield LOCKS_SEEN, True
    if "inform" in step:
        yield TOLD, True
    match step.get("origin"):
        case {"routine": "arrive", "deed": name}:
            yield Thing(ASKED, name), True
        case {"routine": "hunt", "deed": "lead"}:
            yield BLACK_LEAD, True
        case {"routine": "put_back", "deed": "lead"}:
            yield BLACK_LEAD, False


_DEEDS = (
    ("open_cover", COVER, True),
    ("close_cover", COVER, False),
    ("undo", FITTED, False),
    ("clip", LEAD, True),
    ("unclip", LEAD, False),
    ("start_demand", DEMAND, True),
    ("stop_demand", DEMAND, False),
    ("isolate", OFF, True),
    ("restore", OFF, False),
    ("lock", LOCKED, True),
    ("unlock", LOCKED, False),
    ("shut_valve", SHUT, True),
    ("open_valve", SHUT, False),
    ("replace", OWED, True),
    ("prove_trip", OWED, False),
    ("open_gas_train", JOINT, True),
    ("leak_check", JOINT, False),
)
