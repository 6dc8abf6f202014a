"""The whole book: every page, the listings, the menu."""

from __future__ import annotations

from collections.abc import Mapping

from kbgen.compute.edition import Edition
from kbgen.compute.walk import Walk
from kbgen.link.base import KnowledgeBase
from kbgen.model.caution import Caution
from kbgen.model.circuit import Circuit
from kbgen.model.device import Device
from kbgen.model.entry import Entry
from kbgen.model.equipment import Equipment
from kbgen.model.field_note import FieldNote
from kbgen.model.procedure import Procedure
from kbgen.model.shop import ShopSettings
from kbgen.model.symptom import Symptom
from kbgen.model.term import Term
from kbgen.ref import Kind, Ref
from kbgen.text import words
from kbgen.views import defaults
from kbgen.views.blocks import Goto, Item, Items
from kbgen.views.circuit import circuit_page
from kbgen.views.compose import section, sections
from kbgen.views.device import device_page
from kbgen.views.equipment import equipment_page, plant_listing
from kbgen.views.found import found_page
from kbgen.views.leave_now import LEAVE_NOW, leave_now_page
from kbgen.views.notes import field_note_page
from kbgen.views.page import Book, Page, Shop
from kbgen.views.procedure import procedure_page
from kbgen.views.shows import shows_page
from kbgen.views.small import caution_page, term_page
from kbgen.views.study import Study
from kbgen.views.symptom import symptom_page

MENU = (
    Kind.SYMPTOM,
    Kind.PROCEDURE,
    Kind.EQUIPMENT,
    Kind.DEVICE,
    Kind.CIRCUIT,
    Kind.CAUTION,
    Kind.TERM,
    Kind.FIELD_NOTE,
)


def make_book(base: KnowledgeBase, edition: Edition, walks: Mapping[Ref, Walk]) -> Book:
    """Put every page of a knowledge base together."""
    study = Study(base)
    kinds = {ref.kind for ref in base.entries}
    plants = [entry for entry, _ in base.of(Equipment)]
    return Book(
        shop=_shop(base.shop),
        edition=edition,
        pages=tuple(make_page(base, entry, study, walks.get(entry.ref)) for entry in base.entries.values()),
        listings=(
            leave_now_page(base.shop),
            *[_kind_listing(base, kind) for kind in MENU if kind in kinds],
            *[plant_listing(base, entry) for entry in plants],
            *[
                page
                for entry, plant in base.of(Equipment)
                if (page := shows_page(base, entry, plant)) is not None
            ],
            *[page for entry in plants if (page := found_page(base, entry)) is not None],
        ),
        menu=(
            *[Goto(kind.plural, f"{kind.folder}/index") for kind in MENU if kind in kinds],
            Goto("Leave now", LEAVE_NOW),
        ),
    )


def make_page(base: KnowledgeBase, entry: Entry, study: Study, walk: Walk | None = None) -> Page:
    """Put the page of one entry together."""
    match entry.record:
        case Symptom() as symptom:
            return symptom_page(base, entry, symptom, study)
        case Procedure() as procedure:
            return procedure_page(base, entry, procedure, walk)
        case Device() as device:
            return device_page(base, entry, device)
        case Circuit() as circuit:
            return circuit_page(base, entry, circuit, study)
        case Equipment() as plant:
            return equipment_page(base, entry, plant)
        case Caution() as caution:
            return caution_page(base, entry, caution)
        case Term() as term:
            return term_page(base, entry, term)
        case FieldNote() as note:
            return field_note_page(base, entry, note)


def _shop(settings: ShopSettings) -> Shop:
    own = words(settings.notice)
    return Shop(
        name=settings.shop,
        key=settings.key,
        language=settings.language,
        region=", ".join(settings.regions),
        paper=settings.paper,
        notice=f"{defaults.NOTICE} {own}" if own else defaults.NOTICE,
        call=tuple((call.who, call.reach) for call in settings.call),
    )


def _kind_listing(base: KnowledgeBase, kind: Kind) -> Page:
    entries = [entry for ref, entry in base.entries.items() if ref.kind is kind]
    if kind is Kind.FIELD_NOTE:
        entries.sort(key=_date, reverse=True)
    else:
        entries.sort(key=lambda entry: (entry.title.casefold(), entry.ref.id))
    return Page(
        ref=f"{kind.folder}/index",
        title=kind.plural,
        kicker="All of a kind",
        sections=sections(
            section("list", f"{len(entries)} entries" if len(entries) != 1 else "1 entry", _rows(entries)),
        ),
        kind=kind,
        minor=True,
    )


def _date(entry: Entry) -> str:
    return entry.record.date if isinstance(entry.record, FieldNote) else ""


def _rows(entries: list[Entry]) -> Items | None:
    rows = []
    for entry in entries:
        draft = " (draft)" if entry.record.head.draft else ""
        rows.append(Item((Goto(entry.title + draft, entry.ref),)))
    return Items(tuple(rows), tappable=True) if rows else None
