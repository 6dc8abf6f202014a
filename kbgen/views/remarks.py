"""What was said at the plant to be wrong with a step: at the foot of its page until it is answered."""

from __future__ import annotations

from dataclasses import replace

from kbgen.link.base import KnowledgeBase
from kbgen.model.entry import Entry
from kbgen.model.procedure import places_of
from kbgen.ref import Kind
from kbgen.views.blocks import Goto, Line, Table
from kbgen.views.compose import goto, plain, section, sections
from kbgen.views.notes import notes_on
from kbgen.views.page import Page


def with_remarks(base: KnowledgeBase, entry: Entry, page: Page) -> Page:
    """Return a page with the open remarks on its steps at its foot; nothing else of it changes.

    They are no part of what was signed, and stand there whatever stands in the place of the page.
    """
    if entry.ref.kind is not Kind.PROCEDURE:
        return page
    procedure = base.procedure(entry.ref.id)
    places = places_of(procedure) if procedure else ()
    rows = tuple(
        (
            _step(places, remark.step),
            plain(remark.said),
            plain(note.date),
            (goto(base, noted.ref),),
        )
        for noted, note in notes_on(base, entry.ref)
        for remark in note.remarks
        if remark.page == entry.ref.id and not remark.answer
    )
    if not rows:
        return page
    table = Table("Said at the plant, and not answered yet", ("Step", "What is wrong", "On", "Job"), rows)
    title = "Said to be wrong here: stop at these steps and ask"
    return replace(page, sections=(*page.sections, *sections(section("remarks", title, table))))


def _step(places: tuple[str, ...], place: str) -> Line:
    if place not in places:
        return plain(place)
    return (Goto(f"Step {places.index(place) + 1}", None, f"step-{place}"),)
