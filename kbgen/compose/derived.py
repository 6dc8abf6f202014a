"""Pages that follow from a plant's data alone: drafts to be walked, for what a plant has no page of its own for.

Each is a few lines with routines, written out like those of an author. What cannot be written out, or is refused by
the walk, is left out, and one sentence says what the plant's entry lacks for it. Nothing here returns plant to service.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Any

from kbgen.compose import Composed, Source, written_out
from kbgen.compose.lines import FIND_DEAD, FIND_LIVE, MAKE_SAFE, RECORD
from kbgen.link.base import KnowledgeBase
from kbgen.link.kept import kept
from kbgen.link.names import names_in
from kbgen.model.circuit import Circuit, Point, parts, reach, return_mark
from kbgen.model.entry import AnyRecord, Entry, KeptEntry, make_card, make_entry
from kbgen.model.equipment import Equipment
from kbgen.model.procedure import Procedure
from kbgen.model.shop import ShopSettings
from kbgen.model.wording import in_region
from kbgen.ref import Kind, Ref
from kbgen.store import Store

Data = Mapping[str, Any]
_UNTOUCHED = {
    "isolate",
    "lock",
    "lock_off",
    "make_safe",
    "prove",
    "prove_dead",
    "restore",
    "bring_back",
    "fit",
    "reset",
}
"""What a page that only records does not do."""
_CATEGORIES = (300, 600, 1000)
"""Voltages of meters; the category for what is fixed to the building is III (IEC 61010)."""


@dataclass(frozen=True, slots=True)
class Draft:
    """A page that may be derived: the same in several ways, the safest first.

    Attributes:
        id: Its id, fixed: what the page is about, and what it does.
        ways: The page as its author would write it, as plain data.
    """

    id: str
    ways: tuple[Data, ...]


@dataclass(frozen=True, slots=True)
class _Page:
    """A derived page, or why there is none."""

    id: str
    data: Data | None = None
    sources: tuple[Source, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class Derived:
    """Everything that is composed, derived pages among it.

    Attributes:
        composed: The entries with the derived pages behind them.
        plants: For each derived page, by path, the path of its plant's entry.
        notes: What the plants' entries lack for further pages, each as one sentence.
    """

    composed: Composed
    plants: Mapping[str, str] = field(default_factory=dict)
    notes: tuple[str, ...] = ()

    @property
    def refs(self) -> frozenset[Ref]:
        """The derived pages."""
        return frozenset(each.ref for each in self.composed.entries if each.path in self.plants)


def with_derived(shop: ShopSettings, entries: Sequence[Entry], composed: Composed, store: Store) -> Derived:
    """Add what follows from the plants' entries.

    Args:
        entries: The entries as written.
    """
    base = KnowledgeBase(shop, {entry.ref: entry for entry in entries}, {})
    found: list[Entry] = []
    plants: dict[str, str] = {}
    origins = dict(composed.origins)
    notes: list[str] = []
    for entry in (each for each in entries if each.ref.kind is Kind.EQUIPMENT):
        for page in kept(store, base, ("derived", entry.ref.id), partial(_pages, base, entry.ref.id)):
            path = f"procedures/{page.id}.yaml"
            if page.data is None:
                notes.append(f"{entry.path}: no draft `{page.id}` follows from it: {page.note}")
                continue
            found.append(_entry(page.id, path, page.data))
            plants[path], origins[path] = entry.path, page.sources
    return Derived(
        replace(composed, entries=(*composed.entries, *found), origins=origins), plants, tuple(notes)
    )


def _pages(base: KnowledgeBase, plant_id: str) -> tuple[_Page, ...]:
    plant = base.equipment(plant_id)
    if plant is None or not _described(plant):
        return ()
    pages = tuple(_page(base, plant_id, draft) for draft in drafts(base, plant_id, plant))
    # A plant with pages of its own is written by somebody who knows what is missing.
    own = any(True for _ in base.of(Procedure, plant=plant_id))
    return tuple(page for page in pages if page.data is not None or not own)


def _described(plant: Equipment) -> bool:
    """Whether somebody has begun to say how the plant is handled."""
    return bool(plant.arrive or plant.endings or plant.off_order or plant.firing.stop)


def drafts(base: KnowledgeBase, plant_id: str, plant: Equipment) -> Iterator[Draft]:
    """Yield what may be derived for a plant, but the kinds of page it has."""
    own = {kind for entry, _ in base.of(Procedure, plant=plant_id) for kind in _kinds(entry.data)}
    circuits = [(entry.ref.id, circuit) for entry, circuit in base.of(Circuit, plant=plant_id)]
    if "record" not in own:
        yield Draft(f"{plant_id}-{RECORD}", (_record(plant_id, plant),))
    if "safe" not in own:
        yield Draft(f"{plant_id}-{MAKE_SAFE}", (_make_safe(plant_id, plant),))
    for name, circuit in circuits:
        if "dead" not in own:
            yield Draft(f"{name}-{FIND_DEAD}", (_find_dead(plant_id, plant, name, circuit),))
        if "live" not in own:
            ways = (
                _find_live(plant_id, plant, name, circuit, start=start) for start in ("", "cold", "demand")
            )
            yield Draft(f"{name}-{FIND_LIVE}", tuple(way for way in ways if way))


def _kinds(data: Data) -> set[str]:
    """Return what an own page is: it finds live or dead; else it makes safe; else it records."""
    lines = data.get("steps", ())
    keys = {key for line in lines for key in line}
    found = {
        kind
        for kind, routine, read in (("live", "hunt", "volts"), ("dead", "hunt_dead", "ohms"))
        if routine in keys or any(line.get("measure") == read for line in lines)
    }
    if found:
        return found
    if keys & {"make_safe", "prove", "prove_dead"}:
        return {"safe"}
    return {"record"} if "record" in keys and not keys & _UNTOUCHED else set()


def _page(base: KnowledgeBase, plant_id: str, draft: Draft) -> _Page:
    """Write a page out in the first of its ways that can be written and that the walk lets pass."""
    # Imported late: most plants have pages of their own.
    from kbgen.compute.walk import walk

    note = ""
    for data in draft.ways:
        path = f"procedures/{draft.id}.yaml"
        page = make_entry(Kind.PROCEDURE, draft.id, path, data)
        made = written_out(base, page, plant_id)
        if made.data is None:
            note = note or f"{made.problems[0].message}. {made.problems[0].hint}"
            continue
        written = _entry(draft.id, path, made.data)
        if wrong := next(names_in(base, written), None):
            note = note or f"{wrong.message}. {wrong.hint}"
            continue
        found = walk(base, written).violations
        if not found:
            return _Page(draft.id, {**made.data, "derived": True}, made.sources)
        at = made.sources[found[0].step]
        note = note or f"“{at.words}” ({at.id}): {found[0].sentence()}. {found[0].hint}"
    return _Page(draft.id, note=note)


def _entry(page_id: str, path: str, data: Data) -> Entry:
    entry = make_entry(Kind.PROCEDURE, page_id, path, data)
    whole: tuple[AnyRecord, Data] = (entry.record, data)
    return KeptEntry(entry.ref, path, make_card(entry), lambda: whole)


def _head(plant_id: str, plant: Equipment, title: str, purpose: str) -> dict[str, Any]:
    return {
        "title": f"{title}: {plant.head.title}",
        "status": "draft",
        "equipment": [plant_id],
        "purpose": purpose,
    }


def _arriving(plant: Equipment) -> list[Data]:
    """Return the lines that every page begins with: danger and the right plant, evidence, what else is asked."""
    at = next((index for index, each in enumerate(plant.arrive) if each.identify), len(plant.arrive) - 1)
    names = [each.id for each in plant.arrive]
    lines: list[Data] = [
        {"arrive": names[: at + 1] or ["all"]},
        {
            "do": in_region("Write down display, lamps, gauges and buttons. Reset nothing.", plant.region),
            "record": ["display", "first-out", "history", "resets", "gauges"],
            "note_down": "Display and gauges",
        },
    ]
    if rest := names[at + 1 :]:
        lines.append({"id": "more", "arrive": rest})
    return lines


def _leaving() -> list[Data]:
    return [
        {"id": "leave", "put_back": ["all"]},
        {
            "do": "Keep the locks on. Write on the tag your name, the date and what was found.",
            "end": "left-safe",
        },
    ]


def _record(plant_id: str, plant: Equipment) -> Data:
    return {
        **_head(plant_id, plant, "Record the evidence", "You know what it showed, and nothing was reset."),
        "steps": [
            *_arriving(plant),
            {
                "do": in_region("Write down how every switch, isolator and valve stands.", plant.region),
                "record": ["state"],
                "note_down": "Switches and valves",
            },
            {
                "do": "Ask who was there what happened, and who did what since.",
                "note_down": "Done before you came",
            },
            {
                "do": "Leave it as it is. Give the sheet to the lead technician.",
                "hand_over": "Lead technician",
            },
        ],
    }


def _make_safe(plant_id: str, plant: Equipment) -> Data:
    return {
        **_head(plant_id, plant, "Make safe and prove dead", "Everything is off, locked and proved gone."),
        "meter": _meter(plant, 0.0),
        "steps": [*_arriving(plant), {"make_safe": ["all"]}, *_leaving()],
    }


def _find_dead(plant_id: str, plant: Equipment, name: str, circuit: Circuit) -> Data:
    off = [
        each.id
        for each in plant.sources
        if each.electric or each.energy == "fuel" or each.id == circuit.supply.source
    ]
    opened = {each.behind for each in plant.sources if each.electric and each.id in off}
    covers = [cover for cover in _covers(circuit) if cover not in opened]
    return {
        **_head(
            plant_id,
            plant,
            f"{circuit.head.title}, find the open contact with ohms",
            "You know which contact is open.",
        ),
        "circuit": name,
        "meter": _meter(plant, circuit.supply.voltage.hi),
        "steps": [
            *_arriving(plant),
            {"make_safe": off},
            *([{"open": covers}] if covers else []),
            {"hunt_dead": name, "found": "leave", "made": "leave", "supply": "leave"},
            *_leaving(),
        ],
    }


def _find_live(plant_id: str, plant: Equipment, name: str, circuit: Circuit, *, start: str) -> Data | None:
    """Return the page with nothing started, with all but the fire running, or with the demand on; nothing if it cannot."""
    firing = plant.firing
    if (start == "cold" and firing.cold is None) or (start == "demand" and firing.start is None):
        return None
    electrician = any(each.id == "electrician" for each in plant.endings)
    return {
        **_head(
            plant_id,
            plant,
            f"{circuit.head.title}, find the open contact live",
            "You know which contact is open.",
        ),
        "circuit": name,
        "meter": f"{_meter(plant, circuit.supply.voltage.hi)}, with a low-impedance range",
        "steps": [
            *_arriving(plant),
            {"burner_off": "valves", **({"still": "yes"} if firing.still else {})},
            {"open": _covers(circuit)},
            *([{"burner_on": start}] if start else []),
            {
                "hunt": name,
                "found": "found",
                "made": "made",
                **({} if electrician else {"supply": "stop-here"}),
            },
            {
                "id": "found",
                "do": "The place is known. Open does not mean faulty: ask next whether the contact does its job.",
                "go": "stop-here",
            },
            {"id": "made", "do": "No contact of it is open now. Write it down.", "go": "stop-here"},
        ],
    }


def _covers(circuit: Circuit) -> list[str]:
    """Return the covers behind which the points lie that are read from where the return lies."""
    lies = reach(circuit.path)
    back = return_mark(circuit.path)
    at = next(
        (
            where
            for part in parts(circuit.path)
            if isinstance(part, Point) and part.point == back
            for where in [lies[part][0]]
        ),
        "",
    )
    return list(dict.fromkeys(cover for place, cover in lies.values() if cover and place == at))


def _meter(plant: Equipment, volts: float) -> str:
    highest = max([volts, *(each.voltage.hi for each in plant.sources if each.electric and each.voltage)])
    rated = next((each for each in _CATEGORIES if each >= highest), _CATEGORIES[-1])
    return f"CAT III {rated} V or better, fused leads"
