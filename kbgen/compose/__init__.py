"""Pages written out: lines that stand for many steps become these steps, before anything looks at them.

What stands on the way after it (links, walk, rules, pages) sees ordinary steps. Each carries where it comes from, so
that a problem is told at its author's line (``kbgen/compose/told.py``).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from kbgen.compose.lines import has_routines
from kbgen.compose.rules import PLANT_DATA_MISSING, ROUTINE_MISUSED
from kbgen.link.base import KnowledgeBase
from kbgen.link.kept import kept
from kbgen.model.build import build
from kbgen.model.entry import AnyRecord, Entry, KeptEntry, digests_of
from kbgen.model.procedure import Procedure, said_by
from kbgen.model.shop import ShopSettings
from kbgen.position import Spot
from kbgen.problems import Problem
from kbgen.ref import Kind, Ref
from kbgen.store import Store

Steps = tuple[Mapping[str, Any], ...]


@dataclass(frozen=True, slots=True)
class Composed:
    """The entries with every page written out.

    Attributes:
        entries: What can be compiled; a page that could not be written out is not among them.
        problems: Why.
        origins: For each page that was written out, by path: for each step the author's line, its routine and words.
        asked: For each page with problems, by path: what it was written from, as ``kind:id``.
        waiting: Paths of the pages that were written from an entry whose file is broken, and came out wrong.
    """

    entries: tuple[Entry, ...]
    problems: tuple[Problem, ...]
    origins: Mapping[str, tuple[Source, ...]]
    asked: Mapping[str, frozenset[str]]
    waiting: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Source:
    """Where one step comes from.

    Attributes:
        line: Index of the author's line.
        id: The step's id.
        routine: The routine that wrote it, or the ending it belongs to; empty for the author's own.
        words: Its instruction.
    """

    line: int
    id: str
    routine: str
    words: str


@dataclass(frozen=True, slots=True)
class Made:
    """A page written out.

    Attributes:
        data: With plain steps; ``None`` where that could not be, or where it has no routines.
        sources: Where each step comes from.
        says: What pages that lead to it ask of it; see `said_by`.
    """

    data: Mapping[str, Any] | None
    problems: tuple[Problem, ...]
    sources: tuple[Source, ...] = ()
    says: Mapping[str, Any] | None = None


def compose(shop: ShopSettings, entries: Sequence[Entry], known: frozenset[Ref], store: Store) -> Composed:
    """Write out every page that has routines or names endings.

    Args:
        known: Every entry that has a file; a page that needs one whose file is broken waits until it is mended.
    """
    ordered = {entry.ref: entry for entry in entries}
    base = KnowledgeBase(shop, ordered, {})
    found: list[Entry] = []
    problems: list[Problem] = []
    origins: dict[str, tuple[Source, ...]] = {}
    from_: dict[str, frozenset[str]] = {}
    waiting: list[str] = []
    broken = {str(ref) for ref in known - ordered.keys()}
    for entry in entries:
        if entry.ref.kind is not Kind.PROCEDURE:
            found.append(entry)
            continue
        with base.listening() as questions:
            made = kept(store, base, ("composed", str(entry.ref)), partial(_made, base, entry.ref))
        if made.problems:
            asked = frozenset(str(of) for _, of in questions)
            if asked & broken:
                waiting.append(entry.path)
                continue
            from_[entry.path] = asked
        problems += made.problems
        if made.data is not None:
            found.append(_composed(entry, made.data, made.says or {}))
            origins[entry.path] = made.sources
        elif not made.problems:
            found.append(entry)
    return Composed(tuple(found), tuple(problems), origins, from_, tuple(waiting))


def _made(base: KnowledgeBase, ref: Ref) -> Made:
    entry = base.entries[ref]
    page = entry.record
    if not isinstance(page, Procedure):
        raise TypeError(f"{entry.ref} is no procedure")
    plants = {name: base.equipment(name) for name in page.equipment}
    endings = frozenset(each.id for plant in plants.values() if plant for each in plant.endings)
    if not has_routines(entry.data, endings - {step.id for step in page.steps if step.id}):
        return Made(None, ())
    spot = Spot(entry.path, ("equipment",))
    if len(plants) != 1:
        message = "a page with routines is about one family of plant, and this is about " + (
            f"{len(plants)}" if plants else "none"
        )
        hint = "Write `equipment:` with one, or write the steps out."
        return Made(None, (ROUTINE_MISUSED.at(spot, message, hint),))
    ((name, plant),) = plants.items()
    if plant is None:
        message = f"the routines of this page need equipment/{name}.yaml, and there is none"
        return Made(
            None,
            (PLANT_DATA_MISSING.at(spot, message, "Write that entry first, or name another."),),
        )
    return written_out(base, entry, name)


def written_out(base: KnowledgeBase, entry: Entry, plant_id: str) -> Made:
    """Write a page of a plant out, which the base need not hold."""
    # Imported late: a page that was written out before needs neither circuits nor what writes it.
    from kbgen.compose.page import write_page

    page, plant = entry.record, base.equipment(plant_id)
    if not isinstance(page, Procedure) or plant is None:
        raise TypeError(f"{entry.ref} is no procedure of a plant")
    lines = list(entry.data["steps"])
    written = write_page(base, entry.ref.id, entry.path, page, lines, plant_id, plant)
    if written.problems:
        return Made(None, tuple(written.problems))
    steps = [step for made in written.written for step in made]
    sources = tuple(
        Source(
            line.line,
            step.get("id", ""),
            step.get("origin", {}).get("routine") or line.ending or line.page,
            step["do"],
        )
        for line, made in zip(written.lines, written.written, strict=True)
        for step in made
    )
    data = {**entry.data, "steps": steps, "written": lines}
    # Of its steps only those that others ask after: reading all of them takes as long as all the rest.
    asked = [step for step in steps if not _ASKED_AFTER.isdisjoint(step)]
    return Made(data, (), sources, said_by(build(Procedure, {**data, "steps": asked})))


_ASKED_AFTER = frozenset(("undo", "leak_check", "prove_trip", "identify"))
"""Heads of the steps that `said_by` reads."""


def _composed(entry: Entry, data: Mapping[str, Any], says: Mapping[str, Any]) -> Entry:
    record: list[AnyRecord] = []

    def whole() -> tuple[AnyRecord, Mapping[str, Any]]:
        if not record:
            record.append(build(Procedure, data))
        return record[0], data

    if not isinstance(entry, KeptEntry):
        return Entry(entry.ref, entry.path, whole()[0], data)
    card = replace(entry.card, digests=digests_of(entry.path, data), says=says)
    return KeptEntry(entry.ref, entry.path, card, whole)
