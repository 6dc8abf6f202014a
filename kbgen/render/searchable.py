"""What the search knows of each entry, taken from the linked knowledge base."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.link.base import KnowledgeBase
from kbgen.model.caution import Caution
from kbgen.model.circuit import Circuit
from kbgen.model.device import Device
from kbgen.model.entry import Entry, plants_of
from kbgen.model.equipment import Equipment
from kbgen.model.field_note import FieldNote
from kbgen.model.plant import Machine
from kbgen.model.procedure import Procedure
from kbgen.model.symptom import Symptom
from kbgen.model.term import Term
from kbgen.ref import Kind, Ref
from kbgen.schemas import Schemas
from kbgen.search import Display, EmergencyWords, SearchDocument
from kbgen.text import first_sentence, read, words
from kbgen.views import leave_now
from kbgen.views.address import address, shows_index
from kbgen.views.device import jumper
from kbgen.views.shows import explained

_NAMING = frozenset({"title", "aliases", "behaviours", "displays", "short", "mark"})
_HIDDEN = frozenset({"asked", "status", "review", "accept", "former_ids", "go", "id", "file"})


def search_document(base: KnowledgeBase, ref: Ref, schemas: Schemas) -> SearchDocument:
    """Return an entry as words."""
    entry = base.entries[ref]
    head = entry.head
    return SearchDocument(
        kind=ref.kind,
        id=ref.id,
        title=head.title,
        address=address(ref),
        equipment=plants_of(entry.ref, entry.record),
        codes=_codes(entry),
        names=(*head.aliases, *_behaviours(entry)),
        asked=() if head.withdrawn else head.asked,
        # What is withdrawn is found by its name alone, and says so.
        # A machine is found by its tag, and answers no question about a fault.
        body="" if head.withdrawn or ref.kind is Kind.PLANT else " ".join(_body(entry, schemas)),
        summary="Withdrawn: do not use it." if head.withdrawn else _summary(entry),
        draft=head.draft,
        note="" if head.withdrawn else _note(entry),
        normal=_normal(entry),
    )


def synonyms(base: KnowledgeBase) -> list[tuple[str, ...]]:
    """Return groups of words that mean the same, from the terms."""
    groups = (
        dict.fromkeys((term.head.title, *term.short, *term.head.aliases, *_regional(term)))
        for _, term in base.of(Term)
    )
    return [tuple(group) for group in groups if len(group) > 1]


def _regional(term: Term) -> Iterator[str]:
    """Yield what each region calls it: whoever types one finds pages that say the other."""
    for each in term.words:
        yield each.word
        yield from each.also


def emergency_words(base: KnowledgeBase) -> EmergencyWords:
    """Return the words after which the leave-now page stands above every result."""
    return EmergencyWords(
        phrases=base.shop.emergency.words,
        title=leave_now.TITLE,
        parts={part.kind: (f"Leave now: {part.title}", part.act) for part in leave_now.PARTS},
    )


def plants(base: KnowledgeBase) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield each plant with the names that choose it: its own, its aliases, its sizes."""
    for entry, plant in base.of(Equipment):
        sizes = (name for size in plant.sizes for name in (size.title, size.id))
        yield entry.ref.id, (plant.head.title, *plant.head.aliases, *sizes)


def displays(base: KnowledgeBase) -> Iterator[Display]:
    """Yield what every panel can show, with the page that explains it or the list of those that do."""
    for entry, plant in base.of(Equipment):
        for display in plant.displays:
            targets = explained(base, entry, display)
            page = targets[0].page if len(targets) == 1 else None
            yield Display(
                display.shows,
                entry.ref.id,
                address(page or shows_index(entry.ref.id)),
                display.means if display.normal else "",
            )


def _codes(entry: Entry) -> tuple[str, ...]:
    match entry.record:
        case Symptom(displays=displays):
            return displays
        case Device(mark=mark) if mark:
            return (mark,)
        case Machine(number=number, serial=serial):
            return tuple(filter(None, (number, serial)))
    return ()


def _normal(entry: Entry) -> tuple[str, ...]:
    match entry.record:
        case Equipment(displays=displays):
            return tuple(display.shows for display in displays if display.normal)
    return ()


def _behaviours(entry: Entry) -> tuple[str, ...]:
    match entry.record:
        case Symptom(behaviours=behaviours):
            return behaviours
        case Term(short=short):
            return short
    return ()


def _body(entry: Entry, schemas: Schemas) -> Iterator[str]:
    """Yield the words of every text field that is not searched by name or a name inside the entry."""
    for route, text_class, text in schemas.texts(entry.ref.kind, entry.data):
        top, last = route[0], next(step for step in reversed(route) if isinstance(step, str))
        if top in _NAMING or top in _HIDDEN or last in _HIDDEN:
            continue
        yield words(read(text)) if text_class == "long" else text


def _summary(entry: Entry) -> str:
    match entry.record:
        case Device(proves=text) | Procedure(purpose=text) | FieldNote(cause=text):
            return first_sentence(text)
        case Equipment(means=text) | Circuit(means=text) | Symptom(means=text) | Term(means=text):
            return first_sentence(text)
        case Caution(hazard=hazard):
            return hazard
        case Machine(number=number, as_of=day):
            return f"{number}, as of {day}"
    return ""


def _note(entry: Entry) -> str:
    """Say of a device whether it is doing its job when it opens, and whether it may be jumped."""
    match entry.record:
        case Device() as device:
            return " ".join(filter(None, (_job(device), f"Jumper: {jumper(device)}")))
    return ""


def _job(device: Device) -> str:
    opens = {"operating": "Open usually means satisfied", "limit": "Open may be a real trip"}.get(device.role)
    if opens is None:
        return ""
    check = device.independent_check
    return f"{opens}; check with: {check.with_}." if check else f"{opens}."
