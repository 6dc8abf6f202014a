"""The page of a procedure."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from types import MappingProxyType

from kbgen.compute.circuit.study import Study
from kbgen.compute.walk import Walk
from kbgen.link.base import KnowledgeBase
from kbgen.model.entry import Entry
from kbgen.model.people import WHO
from kbgen.model.procedure import Procedure
from kbgen.ref import Kind, Ref
from kbgen.views.blocks import Facts, Folded, Line, Plain, Steps
from kbgen.views.card import Called, Card
from kbgen.views.cards import cards_of
from kbgen.views.compose import (
    backlink_section,
    fact,
    facts,
    goto,
    gotos,
    items,
    kicker,
    links,
    notices,
    picture_section,
    prose,
    review,
    section,
    sections,
    size_titles,
)
from kbgen.views.contracts import Walks, callers_of, meets
from kbgen.views.doing.data import LOOK_FOR, can_be_done, doing_data
from kbgen.views.doing.practice import practice_data
from kbgen.views.due import season_section
from kbgen.views.fitting import choosing
from kbgen.views.page import Doing, Page, Section
from kbgen.views.procedure_steps import by_number, steps_of

OCCASIONS = {
    "fault": "A fault",
    "season-start": "Start of the season",
    "service": "Service",
    "after-work": "After work on the plant",
    "emergency": "An emergency",
}
NOT_WALKED = (
    "Nobody has walked this at the plant. It follows from the plant's entry alone: read it, walk it there, "
    "take it over, sign it."
)
"""What a page opens with that nobody has written."""
TAKEN_OVER = (
    "Nobody has walked this at the plant. It was taken over from what follows from the plant's entry: "
    "walk it there while somebody watches, sign it."
)
"""What such a page opens with once it has a file."""


def _lead(procedure: Procedure) -> str:
    if procedure.derived:
        return NOT_WALKED
    return TAKEN_OVER if procedure.taken_over and procedure.head.walked is None else ""


NO_WALKS: Walks = MappingProxyType({})


def procedure_page(
    base: KnowledgeBase, entry: Entry, procedure: Procedure, walks: Walks, study: Study | None = None
) -> Page:
    """Put a procedure's page together; ``walks`` tell the plant's state before every step of a page."""
    walk = walks.get(entry.ref)
    known = study or Study(base)
    return Page(
        doing=_doing(base, entry, procedure, walk, known),
        ref=entry.ref,
        title=entry.title,
        kicker=kicker(base, "Procedure", procedure.equipment),
        aliases=procedure.head.aliases,
        draft=procedure.head.draft,
        lead=_lead(procedure),
        review=review(base, entry, known),
        kind=Kind.PROCEDURE,
        equipment=procedure.equipment,
        former_ids=procedure.head.former_ids,
        choosing=choosing(base, procedure.equipment, procedure.sizes),
        sections=sections(
            section("purpose", "What this tells you", prose(procedure.purpose)),
            _before(base, entry, procedure, walks),
            season_section(base, entry.ref, procedure),
            *_work(base, entry.ref, procedure, walk, known),
            section("close-up", "Before you leave", items(procedure.close_up)),
            section("proves", "It proves", links(gotos(base, Kind.DEVICE, procedure.tests))),
            picture_section(entry),
            _named_on(base, entry, procedure),
        ),
    )


def _doing(
    base: KnowledgeBase, entry: Entry, procedure: Procedure, walk: Walk | None, study: Study
) -> Doing | None:
    if walk is None or not can_be_done(procedure, walk):
        return None
    return Doing(
        entry.ref.id,
        lambda: doing_data(base, entry, procedure, walk, study),
        lambda: practice_data(study, base, entry.ref.id, procedure),
    )


def _work(
    base: KnowledgeBase, ref: Ref, procedure: Procedure, walk: Walk | None, study: Study
) -> tuple[Section | None, ...]:
    """Return what is done: step by step as its author wrote it, or in cards where routines were written out."""
    if not procedure.written:
        steps = Steps(steps_of(base, procedure, walk, by_number(procedure)))
        return (section("steps", "Steps", steps),)
    way, endings = cards_of(base, ref, procedure, walk, study)
    if _lead(procedure):
        way, endings = tuple(map(_to_read, way)), tuple(replace(card, to_do=False) for card in endings)
    return (section("steps", "Steps", *way), section("ways-out", "When it does not go on", *endings))


def _to_read(card: Card | Called) -> Card | Called:
    """Return a card of a page that nobody has walked: it is read, not done."""
    if isinstance(card, Called):
        return replace(card, cards=tuple(replace(each, to_do=False) for each in card.cards))
    return replace(card, to_do=False)


def _named_on(base: KnowledgeBase, entry: Entry, procedure: Procedure) -> Section | None:
    """List the pages that name this one; below cards behind a line that opens them."""
    found = backlink_section(base, entry)
    if found is None or not procedure.written:
        return found
    listed = tuple(block for block in found.blocks if isinstance(block, Facts))
    return replace(found, blocks=(Folded(found.title, listed),))


def _padlocks(walk: Walk | None) -> str:
    """Say how many are on at once, counted on every way."""
    return f"{walk.padlocks} on at once at most, each with its tag" if walk and walk.padlocks else ""


def _done_within(base: KnowledgeBase, entry: Entry, walks: Walks) -> Iterator[Line]:
    """Say on which pages this one is done on the way, and how it stands between their lines."""
    for call in callers_of(base, entry.ref):
        yield goto(base, call.caller), Plain(f". {meets(base, call, entry.ref, walks.get(call.caller))}")


def _before(base: KnowledgeBase, entry: Entry, procedure: Procedure, walks: Walks) -> Section | None:
    walk = walks.get(entry.ref)
    after = gotos(base, Kind.PROCEDURE, [procedure.after] if procedure.after else [])
    hidden = [line[0].upper() + line[1:] for line in walk.contract.hidden] if walk else []

    def lines(*said: str) -> tuple[str, ...]:
        return ("; ".join(said),) if procedure.written and said else said

    return section(
        "before",
        "Before you start",
        facts(
            fact(
                "Who",
                *lines(
                    WHO[procedure.who],
                    *([f"occasion: {OCCASIONS[procedure.occasion].lower()}"] if procedure.written else []),
                ),
            ),
            fact("Second person", "Must be there" if procedure.second_person else None),
            fact("Permission", procedure.permission),
            None if procedure.written else fact("Occasion", OCCASIONS[procedure.occasion]),
            fact("Done before", *[(link,) for link in after]),
            fact("Part of", *_done_within(base, entry, walks)),
            fact("Look for", *lines(LOOK_FOR, *hidden)),
            fact("Only on", ", ".join(size_titles(base, procedure.equipment, procedure.sizes))),
            fact("Meter", procedure.meter),
            fact("Bring", *lines(*procedure.tools)),
            fact("Padlocks", _padlocks(walk)) if procedure.written else None,
        ),
        *notices(base, procedure.cautions),
    )
