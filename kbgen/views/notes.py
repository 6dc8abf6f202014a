"""What the shop's own jobs found, on the pages of what they found it on."""

from __future__ import annotations

from collections import Counter

from kbgen.link.base import KnowledgeBase
from kbgen.model.entry import Entry
from kbgen.model.field_note import FieldNote
from kbgen.ref import Kind, Ref
from kbgen.views.blocks import Page, Plain, Section
from kbgen.views.compose import (
    backlink_section,
    device_line,
    fact,
    facts,
    goto,
    kicker,
    picture_section,
    prose,
    section,
    sections,
    size_titles,
)

FAULTS = {
    "doing-its-job": "It was doing its job: the trip was real",
    "contact-open": "Contact open without reason",
    "stuck-closed": "Contact stuck closed",
    "wire-open": "Wire or terminal open",
    "high-resistance": "High resistance",
    "fuse-open": "Fuse open",
    "no-supply": "No supply",
    "load-failed": "Load or input failed",
    "earth-fault": "Earth fault",
    "jumper-left-in": "Jumper left in",
    "setting-wrong": "Setting wrong",
    "mechanical": "Mechanical",
    "not-reproduced": "Not reproduced",
}
_SHOWN = 6


def notes_on(base: KnowledgeBase, ref: Ref) -> list[tuple[Entry, FieldNote]]:
    """Return the field notes that name an entry, newest first."""
    naming = [base.entries[name] for name in base.backlinks.get(ref, ()) if name.kind is Kind.FIELD_NOTE]
    found = [(entry, entry.record) for entry in naming if isinstance(entry.record, FieldNote)]
    return sorted(found, key=lambda pair: (pair[1].date, pair[0].ref.id), reverse=True)


def found_section(base: KnowledgeBase, ref: Ref) -> Section | None:
    """Tell how often which culprit was found, and lead to the newest jobs."""
    notes = notes_on(base, ref)
    if not notes:
        return None
    culprits = Counter(note.device for _, note in notes if note.device)
    real = sum(1 for _, note in notes if note.fault == "doing-its-job")
    total = len(notes)
    shares = [
        (*device_line(base, device), Plain(f": {count} of {total}"))
        for device, count in sorted(culprits.items(), key=lambda pair: (-pair[1], pair[0]))
    ]
    return section(
        "found",
        "What our jobs found",
        facts(
            fact("Jobs noted", str(total)),
            fact("Found at", *shares) if ref.kind is not Kind.DEVICE else None,
            fact("Trip was real", f"{real} of {total}") if real else None,
            fact(
                "Newest",
                *[(goto(base, entry.ref), Plain(f", {note.date}")) for entry, note in notes[:_SHOWN]],
            ),
        ),
    )


def field_note_page(base: KnowledgeBase, entry: Entry, note: FieldNote) -> Page:
    """Put a field note's page together; notes are not printed one by one."""
    return Page(
        ref=entry.ref,
        title=entry.title,
        kicker=kicker(base, "Field note", [note.equipment]),
        aliases=note.head.aliases,
        draft=note.head.draft,
        review=None,
        kind=Kind.FIELD_NOTE,
        equipment=(note.equipment,),
        former_ids=note.head.former_ids,
        minor=True,
        sections=sections(
            section(
                "job",
                "The job",
                facts(
                    fact("Date", note.date),
                    fact(
                        "Size",
                        ", ".join(size_titles(base, [note.equipment], [note.size] if note.size else [])),
                    ),
                    fact(
                        "Began with", (goto(base, Ref(Kind.SYMPTOM, note.symptom)),) if note.symptom else None
                    ),
                    fact("Found at", device_line(base, note.device) if note.device else note.wire),
                    fact("What it was", FAULTS.get(note.fault, note.fault)),
                    fact("Appeared", ", ".join(note.appeared).replace("-", " ")),
                    fact("Time to find it", note.minutes.text if note.minutes else None),
                ),
            ),
            section("cause", "Why, and what mended it", prose(note.cause)),
            picture_section(entry),
            backlink_section(base, entry),
        ),
    )
