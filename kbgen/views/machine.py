"""The page of one machine: what is outstanding, how it was left, what was proved and when."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from kbgen.compute.due import DueOn
from kbgen.compute.machine import falls_due, proof_of
from kbgen.link.base import KnowledgeBase
from kbgen.model.entry import Entry
from kbgen.model.equipment import Equipment
from kbgen.model.field_note import FieldNote
from kbgen.model.plant import Machine, Proved
from kbgen.ref import Kind, Ref
from kbgen.views.blocks import Block, DueDay, Fact, Facts, Goto, Items, Line, Plain, Table
from kbgen.views.compose import (
    device_line,
    fact,
    facts,
    goto,
    items,
    kicker,
    links,
    picture_section,
    plain,
    prose,
    review,
    section,
    sections,
)
from kbgen.views.due import whose
from kbgen.views.notes import AGAIN, notes_on
from kbgen.views.page import Page


def machine_page(base: KnowledgeBase, entry: Entry, machine: Machine) -> Page:
    """Put a machine's page together; it is never printed in a booklet of the family."""
    jobs = notes_on(base, entry.ref)
    return Page(
        ref=entry.ref,
        title=entry.title,
        kicker=kicker(base, "Machine", [machine.equipment]),
        aliases=machine.head.aliases,
        marks=(machine.number,),
        lead=f"As of {machine.as_of}. There may be more: the tags on the machine are the truth.",
        draft=machine.head.draft,
        review=review(base, entry),
        kind=Kind.PLANT,
        equipment=(machine.equipment,),
        former_ids=machine.head.former_ids,
        minor=True,
        sections=sections(
            section("outstanding", "Outstanding", _outstanding(base, machine)),
            section("settings", "Settings as left", _settings(base, machine)),
            section("due", "Falls due", *_due(base, machine)),
            section("proofs", "Proofs made", _proofs(base, machine)),
            section("machine", "Which machine", _which(base, machine), prose(machine.note)),
            section("jobs", "Jobs here", _again(base, [note for _, note in jobs]), _newest(jobs)),
            picture_section(entry),
        ),
    )


def _outstanding(base: KnowledgeBase, machine: Machine) -> Block | None:
    rows = tuple((plain(each.what), plain(each.since), _job(base, each.job)) for each in machine.outstanding)
    if not rows:
        return items([f"Nothing was known to be outstanding on {machine.as_of}."])
    return Table("What still has to be done", ("What", "Since", "Job"), rows)


def _job(base: KnowledgeBase, job: str) -> Line:
    return (goto(base, Ref(Kind.FIELD_NOTE, job)),) if job else ()


def _settings(base: KnowledgeBase, machine: Machine) -> Table | None:
    family = base.equipment(machine.equipment)
    known = {each.id: each for each in family.settings if each.id} if family else {}
    rows = tuple(
        (
            plain(known[left.setting].title if left.setting in known else left.setting),
            plain(left.value),
            plain(known[left.setting].with_tolerance if left.setting in known else ""),
            plain(left.on),
            plain(left.why),
        )
        for left in machine.settings
    )
    head = ("Setting", "As left", "In the data", "On", "Why")
    return Table("As left, beside what the entry of the family says", head, rows) if rows else None


def _due(base: KnowledgeBase, machine: Machine) -> Iterator[Block | None]:
    found = falls_due(base, machine)
    rows = tuple(
        (
            _what(base, each),
            plain(each.due.proof.every.text),
            plain(each.last or "Not known"),
            _when(each),
        )
        for each in found
    )
    if rows:
        yield items([whose(base)])
        yield Table("Counted from the days of the proofs below", ("What", "How often", "Last", "Due"), rows)


def _what(base: KnowledgeBase, due: DueOn) -> Line:
    said = plain(due.due.proof.prove)
    return (
        said
        if due.due.of.kind is not Kind.DEVICE
        else (*device_line(base, due.due.of.id), Plain(": "), *said)
    )


def _when(due: DueOn) -> Line:
    if due.next:
        return (DueDay(due.next),)
    return plain(
        "At the start of the season" if due.due.proof.every.at_season_start else "Due: no proof is known"
    )


def _proofs(base: KnowledgeBase, machine: Machine) -> Table | None:
    newest = sorted(machine.proofs, key=lambda each: (each.on, each.device), reverse=True)
    rows = tuple(
        (_proved(base, machine, each), plain(each.on), plain(each.read), _job(base, each.job))
        for each in newest
    )
    return Table("What was proved, the newest first", ("What", "On", "Read", "Job"), rows) if rows else None


def _proved(base: KnowledgeBase, machine: Machine, proved: Proved) -> Line:
    line = proof_of(base, machine, proved)
    said = line.prove if line else ""
    if not proved.device:
        return plain(said or proved.proof)
    device = device_line(base, proved.device)
    return (*device, Plain(f": {said}")) if said else device


def _which(base: KnowledgeBase, machine: Machine) -> Facts | None:
    family = base.equipment(machine.equipment)
    return facts(
        fact("Number on the tag", machine.number),
        fact("Family", (goto(base, Ref(Kind.EQUIPMENT, machine.equipment)),)),
        fact("Size", _title(family, "sizes", machine.size)),
        *_options(family, machine),
        fact("Serial number", machine.serial),
        fact("Stands at", next((each.title for each in base.shop.sites if each.id == machine.site), "")),
    )


def _options(family: Equipment | None, machine: Machine) -> Iterator[Fact | None]:
    for label, named in (("Has", machine.options), ("Has not", machine.without)):
        yield fact(label, *(_title(family, "options", each) for each in named))
    said = {*machine.options, *machine.without}
    unknown = [each.title for each in family.options if each.id not in said] if family else []
    yield fact("Not known whether it has", *unknown)


def _title(family: Equipment | None, field: str, name: str) -> str:
    return next((each.title for each in getattr(family, field, ()) if each.id == name), name)


def _again(base: KnowledgeBase, notes: list[FieldNote]) -> Items | None:
    """Tell what was found more than once: a fault that comes again has another cause."""
    found = Counter(note.device for note in notes if note.device)
    return items(
        (Plain(f"{count} times: "), *device_line(base, device))
        for device, count in found.most_common()
        if count >= AGAIN
    )


def _newest(jobs: list[tuple[Entry, FieldNote]]) -> Items | None:
    return links(Goto(f"{note.date}: {entry.title}", entry.ref) for entry, note in jobs)
