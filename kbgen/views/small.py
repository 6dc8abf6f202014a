"""The pages of cautions and terms."""

from __future__ import annotations

from kbgen.link.base import KnowledgeBase
from kbgen.model.caution import Caution
from kbgen.model.entry import Entry
from kbgen.model.term import Term
from kbgen.model.wording import REGIONS
from kbgen.ref import Kind, Ref
from kbgen.views.blocks import Plain
from kbgen.views.compose import (
    backlink_section,
    fact,
    facts,
    goto,
    items,
    kicker,
    notice,
    picture_section,
    prose,
    review,
    section,
    sections,
)
from kbgen.views.page import Page


def caution_page(base: KnowledgeBase, entry: Entry, caution: Caution) -> Page:
    """Put a caution's page together."""
    applies = [name.replace("-", " ").capitalize() for name in caution.applies_to]
    return Page(
        ref=entry.ref,
        title=entry.title,
        kicker=kicker(base, "Caution", caution.equipment),
        aliases=caution.head.aliases,
        draft=caution.head.draft,
        review=review(base, entry),
        kind=Kind.CAUTION,
        equipment=caution.equipment,
        former_ids=caution.head.former_ids,
        sections=sections(
            section("message", "The message", notice(base, entry.ref)),
            section("applies", "Shown automatically before", items(applies)),
            picture_section(entry),
            backlink_section(base, entry),
        ),
    )


def term_page(base: KnowledgeBase, entry: Entry, term: Term) -> Page:
    """Put a term's page together."""
    confusions = [
        (goto(base, Ref(Kind.TERM, other.term)), Plain(f": {other.differs}")) for other in term.not_to_confuse
    ]
    return Page(
        ref=entry.ref,
        title=entry.title,
        kicker=kicker(base, "Term", []),
        marks=term.short,
        aliases=term.head.aliases,
        draft=term.head.draft,
        review=review(base, entry),
        kind=Kind.TERM,
        former_ids=term.head.former_ids,
        sections=sections(
            section("means", "What it means", prose(term.means)),
            section(
                "words",
                "What it is called",
                facts(
                    *(fact(REGIONS[each.region], ", ".join((each.word, *each.also))) for each in term.words)
                ),
            ),
            section("confuse", "Not to be confused with", items(confusions)),
            picture_section(entry),
            backlink_section(base, entry),
        ),
    )
