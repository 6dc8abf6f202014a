"""The listing of what a shop found most on a family of plant."""

from __future__ import annotations

from collections import Counter

from kbgen.compute.statistics import notes_of
from kbgen.link.base import KnowledgeBase
from kbgen.model.entry import Entry
from kbgen.ref import Kind, Ref
from kbgen.views.address import found_index
from kbgen.views.blocks import Plain, Table
from kbgen.views.compose import device_line, fact, facts, goto, plain, section, sections
from kbgen.views.notes import fault_said, found_bars
from kbgen.views.page import Page

FOUND = "What we found most"


def found_page(base: KnowledgeBase, entry: Entry) -> Page | None:
    """Count the jobs on a plant by device and by kind of fault; ``None`` without field notes."""
    notes = notes_of(base, entry.ref.id)
    if not notes:
        return None
    kinds = Counter(note.fault for note in notes if note.fault)
    pairs = Counter((note.device, note.fault) for note in notes if note.device and note.fault)
    rows = tuple(
        (device_line(base, device), plain(fault_said(base, fault, entry.ref.id)), plain(str(count)))
        for (device, fault), count in sorted(pairs.items(), key=lambda pair: (-pair[1], pair[0]))
        if count > 1
    )
    table = Table("Found more than once", ("Device", "What it was", "Jobs"), rows) if rows else None
    dates = sorted(note.date for note in notes)
    return Page(
        ref=found_index(entry.ref.id),
        title=f"{FOUND}: {entry.title}",
        kicker="Field notes",
        lead="Counts of this shop's own jobs. A real trip is counted too: the device was doing its job.",
        sections=sections(
            section("devices", "By device", found_bars(base, notes, None)),
            section("again", "The same again", table),
            section(
                "kinds",
                "By what it was",
                facts(
                    *[
                        fact(fault_said(base, f, entry.ref.id), f"{n} of {len(notes)}")
                        for f, n in _sorted(kinds)
                    ]
                ),
                facts(fact("Jobs", (Plain(f"{len(notes)}, from {dates[0]} to {dates[-1]}"),))),
            ),
            section(
                "plant", "The plant", facts(fact("Plant", (goto(base, Ref(Kind.EQUIPMENT, entry.ref.id)),)))
            ),
        ),
        equipment=(entry.ref.id,),
        minor=True,
    )


def _sorted(counts: Counter[str]) -> list[tuple[str, int]]:
    return sorted(counts.items(), key=lambda pair: (-pair[1], pair[0]))
