"""What the shop's own jobs found, on the pages of what they found it on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from kbgen.compute.statistics import found_most
from kbgen.link.base import KnowledgeBase
from kbgen.model.circuit import Contact, parts
from kbgen.model.entry import Entry
from kbgen.model.field_note import FieldNote
from kbgen.model.symptom import Symptom
from kbgen.model.wording import in_region
from kbgen.ref import Kind, Ref
from kbgen.views.blocks import Bar, Bars, Goto, Line, Plain, Table
from kbgen.views.compose import (
    backlink_section,
    device_line,
    fact,
    facts,
    goto,
    kicker,
    links,
    machine_goto,
    picture_section,
    plain,
    prose,
    review,
    section,
    sections,
    size_titles,
)
from kbgen.views.page import Page, Section

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


def fault_said(base: KnowledgeBase, fault: str, plant_id: str) -> str:
    """Say what kind of fault it was, in the words of a plant's region."""
    plant = base.equipment(plant_id)
    return in_region(FAULTS.get(fault, fault), plant.region if plant else "")


_SHOWN = 6
AGAIN = 2
"""So often on one machine a fault is no chance any more."""


def notes_on(base: KnowledgeBase, ref: Ref) -> list[tuple[Entry, FieldNote]]:
    """Return the field notes that name an entry, newest first."""
    naming = [base.entries[name] for name in base.backlinks.get(ref, ()) if name.kind is Kind.FIELD_NOTE]
    found = [(entry, entry.record) for entry in naming if isinstance(entry.record, FieldNote)]
    return sorted(found, key=lambda pair: (pair[1].date, pair[0].ref.id), reverse=True)


def notes_in(base: KnowledgeBase, circuit_id: str) -> list[tuple[Entry, FieldNote]]:
    """Return the field notes on a circuit, newest first: those that name its symptoms or its devices."""
    circuit = base.circuit(circuit_id)
    if circuit is None:
        return []
    devices = {part.contact for part in parts(circuit.path) if isinstance(part, Contact)}
    symptoms = {entry.ref.id for entry, symptom in base.of(Symptom) if symptom.circuit == circuit_id}
    found = [
        (entry, note)
        for entry, note in base.of(FieldNote)
        if note.equipment == circuit.equipment and (note.device in devices or note.symptom in symptoms)
    ]
    return sorted(found, key=lambda pair: (pair[1].date, pair[0].ref.id), reverse=True)


def found_sections(base: KnowledgeBase, ref: Ref) -> tuple[Section, ...]:
    """Tell how often which culprit was found, and on screen lead to the newest jobs."""
    notes = notes_in(base, ref.id) if ref.kind is Kind.CIRCUIT else notes_on(base, ref)
    if not notes:
        return ()
    real = sum(1 for _, note in notes if note.fault == "doing-its-job")
    newest = links(Goto(f"{note.date}: {entry.title}", entry.ref) for entry, note in notes[:_SHOWN])
    found = section(
        "found",
        "What our jobs found",
        found_bars(base, [note for _, note in notes]) if ref.kind is not Kind.DEVICE else None,
        facts(
            fact("Jobs noted", str(len(notes))),
            fact("Trip was real", f"{real} of {len(notes)}") if real else None,
        ),
    )
    again = facts(fact("Came again on one machine", *_again(base, [note for _, note in notes])))
    jobs = section("jobs", "Newest jobs", again, newest)
    return sections(found, replace(jobs, web_only=True) if jobs else None)


def _again(base: KnowledgeBase, notes: Sequence[FieldNote]) -> Iterator[Line]:
    """Yield the machines on which the same device was found more than once, with how often."""
    found = Counter((note.plant, note.device) for note in notes if note.plant and note.device)
    for (machine_id, device), count in found.items():
        machine = machine_goto(base, machine_id)
        if machine and count >= AGAIN:
            yield (machine, Plain(f": {count} times "), *device_line(base, device))


def found_bars(base: KnowledgeBase, notes: Sequence[FieldNote], most: int | None = _SHOWN) -> Bars | None:
    """Count the devices that were found, the most frequent first, with the interval of each share."""
    found = found_most(notes)
    rows = tuple(
        Bar(device_line(base, f.device), f.jobs.count, f.jobs.total, f.jobs.lo, f.jobs.hi)
        for f in found[:most]
    )
    jobs = "1 job" if len(notes) == 1 else f"{len(notes)} jobs"
    others = len(found) - len(rows)
    more = f"; {others} more {'was' if others == 1 else 'were'} found" if others else ""
    caption = f"Of {jobs} here; in brackets, where the share may lie (95 %){more}"
    return Bars(caption, rows) if rows else None


def remark_table(base: KnowledgeBase, note: FieldNote) -> Table | None:
    """Return all that a job said of steps, with what was answered."""
    rows = tuple(
        (
            (Goto(base.title(Ref(Kind.PROCEDURE, each.page)), Ref(Kind.PROCEDURE, each.page)),),
            plain(each.step),
            plain(each.said),
            plain(each.edition),
            plain(each.answer or "Open"),
        )
        for each in note.remarks
    )
    head = ("Page", "Step", "What is wrong", "Edition", "Answer")
    return Table("What was said at the plant", head, rows) if rows else None


def field_note_page(base: KnowledgeBase, entry: Entry, note: FieldNote) -> Page:
    """Put a field note's page together; notes are not printed one by one."""
    machine = machine_goto(base, note.plant)
    return Page(
        ref=entry.ref,
        title=entry.title,
        kicker=kicker(base, "Field note", [note.equipment]),
        aliases=note.head.aliases,
        draft=note.head.draft,
        review=review(base, entry),
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
                    fact("Machine", (machine,) if machine else None),
                    fact(
                        "Size",
                        ", ".join(size_titles(base, [note.equipment], [note.size] if note.size else [])),
                    ),
                    fact(
                        "Began with", (goto(base, Ref(Kind.SYMPTOM, note.symptom)),) if note.symptom else None
                    ),
                    fact("Found at", device_line(base, note.device) if note.device else None, note.wire),
                    fact("What it was", fault_said(base, note.fault, note.equipment)),
                    fact("Appeared", ", ".join(note.appeared).replace("-", " ")),
                    fact("Time to find it", note.minutes.text if note.minutes else None),
                ),
            ),
            section("cause", "Cause and repair", prose(note.cause)),
            section("remarks", "Steps said to be wrong", remark_table(base, note)),
            picture_section(entry),
            backlink_section(base, entry),
        ),
    )
