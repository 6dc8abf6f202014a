"""Pages that follow from a plant's data alone: drafts to be walked, for what a plant has no page of its own for.

Each is a few lines with routines, written out like those of an author. What cannot be written out, or is refused by
the walk, is left out, and one sentence says what the plant's entry lacks for it. Nothing here returns plant to service.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial

from kbgen.compose import Composed, Source, written_out
from kbgen.compose.derived_pages import Data, find_dead, find_live, make_safe, record
from kbgen.compose.lines import FIND_DEAD, FIND_LIVE, MAKE_SAFE, RECORD
from kbgen.link.base import KnowledgeBase
from kbgen.link.kept import kept
from kbgen.link.names import names_in
from kbgen.model.circuit import Circuit
from kbgen.model.entry import AnyRecord, Entry, KeptEntry, make_card, make_entry
from kbgen.model.equipment import Equipment
from kbgen.model.procedure import Procedure
from kbgen.model.shop import ShopSettings
from kbgen.ref import Kind, Ref
from kbgen.store import Store

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
        yield Draft(f"{plant_id}-{RECORD}", (record(plant_id, plant),))
    if "safe" not in own:
        yield Draft(f"{plant_id}-{MAKE_SAFE}", (make_safe(plant_id, plant),))
    for name, circuit in circuits:
        if "dead" not in own:
            yield Draft(f"{name}-{FIND_DEAD}", (find_dead(plant_id, plant, name, circuit),))
        if "live" not in own:
            ways = (
                find_live(plant_id, plant, name, circuit, start=start) for start in ("", "cold", "demand")
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
