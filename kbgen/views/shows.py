"""The way in without typing: tap what the panel shows, or the stage at which the plant stops."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from kbgen.link.base import KnowledgeBase
from kbgen.model.entry import Entry
from kbgen.model.equipment import Display, Equipment, Stage
from kbgen.model.symptom import Symptom
from kbgen.views.address import shows_index
from kbgen.views.blocks import Goto, Item, Items, Mark, Plain
from kbgen.views.compose import goto, links, section, sections
from kbgen.views.page import Page, Section

SHOWS = "What the panel shows"
FORMS = {
    "words": "Words",
    "code": "Codes",
    "letter": "Letters",
    "lamp": "Lamps",
    "flash": "Flash counts",
    "nothing": "Nothing at all",
}


def shows_page(base: KnowledgeBase, entry: Entry, plant: Equipment) -> Page | None:
    """List every display of a plant and every stage of its run as something to tap; ``None`` without any."""
    found = sections(
        *(_displays(base, entry, plant, form) for form in FORMS),
        section("stage", "Or: where in the run does it stop?", _stages(base, entry, plant)),
    )
    if not found:
        return None
    return Page(
        ref=shows_index(entry.ref.id),
        title=f"{SHOWS}: {entry.title}",
        kicker="Pick what you see",
        sections=(*found, *sections(section("plant", "The plant", links([goto(base, entry.ref)])))),
        equipment=(entry.ref.id,),
        minor=True,
    )


def explained(base: KnowledgeBase, entry: Entry, display: Display) -> tuple[Goto, ...]:
    """Return the symptoms that explain a display; where there is none, the plant's own table."""
    return tuple(_showing(base, entry, [display.shows])) or (
        Goto("In the table of displays", entry.ref, "displays"),
    )


def _displays(base: KnowledgeBase, entry: Entry, plant: Equipment, form: str) -> Section | None:
    rows = tuple(
        Item((Mark(display.shows), Plain(" Normal in its stage. " if display.normal else " "), target))
        for display in plant.displays
        if display.form == form
        for target in explained(base, entry, display)
    )
    return section(form, FORMS[form], Items(rows, tappable=True)) if rows else None


def _stages(base: KnowledgeBase, entry: Entry, plant: Equipment) -> Items | None:
    rows = tuple(
        Item((Plain(f"{stage.title}: "), target))
        for stage in plant.sequence
        for target in _stopped(base, entry, stage)
    )
    return Items(rows, tappable=True) if rows else None


def _stopped(base: KnowledgeBase, entry: Entry, stage: Stage) -> tuple[Goto, ...]:
    here = (goto(base, e.ref) for e, symptom in _symptoms(base, entry) if symptom.stage == stage.id)
    shown = [*stage.displays, *(passing.shows for passing in stage.passes)]
    found = tuple(dict.fromkeys((*here, *_showing(base, entry, shown))))
    return found or (Goto("What must be made and open here", entry.ref, "sequence"),)


def _showing(base: KnowledgeBase, entry: Entry, shown: Iterable[str]) -> list[Goto]:
    """Return the symptoms with one of these displays, those named after it first."""
    wanted = {each.casefold() for each in shown}
    found = [
        goto(base, symptom_entry.ref)
        for symptom_entry, symptom in _symptoms(base, entry)
        if not wanted.isdisjoint(each.casefold() for each in symptom.displays)
    ]
    return sorted(found, key=lambda target: not any(each in target.label.casefold() for each in wanted))


def _symptoms(base: KnowledgeBase, entry: Entry) -> Iterator[tuple[Entry, Symptom]]:
    return ((e, symptom) for e, symptom in base.of(Symptom) if entry.ref.id in symptom.equipment)
