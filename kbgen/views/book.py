"""The whole book: every page, the listings, the menu."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial

from kbgen.compute.edition import Edition
from kbgen.compute.walk import Walk
from kbgen.link.base import KnowledgeBase
from kbgen.model.entry import Entry, plants_of
from kbgen.model.equipment import Equipment
from kbgen.model.field_note import FieldNote
from kbgen.model.head import State
from kbgen.model.shop import ShopSettings
from kbgen.ref import Kind, Ref
from kbgen.store import Store
from kbgen.text import words
from kbgen.views.address import due_index, found_index, plant_index, shows_index
from kbgen.views.blocks import Goto, Item, Items, Plain
from kbgen.views.compose import machine_name, section, sections
from kbgen.views.leave_now import LEAVE_NOW, leave_now_page, sites_of
from kbgen.views.notice import NOTICE
from kbgen.views.page import Book, Page, Shop

MENU = (
    Kind.SYMPTOM,
    Kind.PROCEDURE,
    Kind.EQUIPMENT,
    Kind.DEVICE,
    Kind.CIRCUIT,
    Kind.CAUTION,
    Kind.TERM,
    Kind.PLANT,
    Kind.FIELD_NOTE,
)


def make_book(
    base: KnowledgeBase,
    edition: Edition,
    walks: Mapping[Ref, Walk],
    store: Store | None = None,
    plant: str | None = None,
) -> Book:
    """Put every page of a knowledge base together.

    Args:
        plant: Id of a family of plant: only its entries and those of no plant. No other page is made, so that the books
            of all plants take as long as there are plants.
    """
    listings, entries = plans(base, walks, store)
    if plant is not None:
        listings = {LEAVE_NOW: listings[LEAVE_NOW]}
        entries = {ref: entries[ref] for ref, entry in base.entries.items() if _of(entry, plant)}
    pages = {ref: make() for ref, make in (*listings.items(), *entries.items())}
    return Book(
        shop=shop_of(base.shop),
        edition=edition,
        pages=tuple(page for ref in entries if (page := pages[ref]) is not None),
        listings=tuple(page for ref in listings if (page := pages[ref]) is not None),
        menu=menu_of(base),
    )


def _of(entry: Entry, plant: str) -> bool:
    return plant in entry.plants or not entry.plants


Plans = dict[Ref | str, Callable[[], Page | None]]
"""What makes each page, by the entry or the listing; ``None`` where there is nothing to say."""


def plans(base: KnowledgeBase, walks: Mapping[Ref, Walk], store: Store | None = None) -> tuple[Plans, Plans]:
    """Return what makes each listing and each entry's page, in the order of the book."""
    listings: Plans = {LEAVE_NOW: lambda: leave_now_page(base.shop)}
    for kind in _kinds(base):
        listings[f"{kind.folder}/index"] = partial(_kind_listing, base, kind)
    plants = [(entry, plant) for entry, plant in base.of(Equipment)]
    for entry, _ in plants:
        listings[plant_index(entry.ref.id)] = partial(_plant_listing, base, entry)
    for entry, plant in plants:
        listings[shows_index(entry.ref.id)] = partial(_shows_page, base, entry, plant)
    for entry, plant in plants:
        listings[due_index(entry.ref.id)] = partial(_due_page, base, entry, plant)
    for entry, _ in plants:
        listings[found_index(entry.ref.id)] = partial(_found_page, base, entry)
    return listings, {ref: partial(_entry_page, base, ref, walks, store) for ref in base.entries}


# Their modules are imported late: a page that was made before needs neither circuits nor what draws them.


def _plant_listing(base: KnowledgeBase, entry: Entry) -> Page:
    from kbgen.views.equipment import plant_listing

    return plant_listing(base, entry)


def _shows_page(base: KnowledgeBase, entry: Entry, plant: Equipment) -> Page | None:
    from kbgen.views.shows import shows_page

    return shows_page(base, entry, plant)


def _due_page(base: KnowledgeBase, entry: Entry, plant: Equipment) -> Page | None:
    from kbgen.views.due import due_page

    return due_page(base, entry, plant)


def _found_page(base: KnowledgeBase, entry: Entry) -> Page | None:
    from kbgen.views.found import found_page

    return found_page(base, entry)


def _entry_page(base: KnowledgeBase, ref: Ref, walks: Mapping[Ref, Walk], store: Store | None) -> Page:
    from kbgen.compute.circuit.study import Study
    from kbgen.views.entry_page import make_page

    return make_page(base, base.entries[ref], Study(base, store), walks)


def menu_of(base: KnowledgeBase) -> tuple[Goto, ...]:
    """Return the sections for the menu."""
    kinds = [Goto(kind.plural, f"{kind.folder}/index") for kind in _kinds(base)]
    return (*kinds, Goto("Leave now", LEAVE_NOW))


def _kinds(base: KnowledgeBase) -> list[Kind]:
    found = {ref.kind for ref in base.entries}
    return [kind for kind in MENU if kind in found]


def shop_of(settings: ShopSettings) -> Shop:
    """Return what pages and sheets say of the shop."""
    own = words(settings.notice)
    return Shop(
        name=settings.shop,
        key=settings.key,
        language=settings.language,
        region=", ".join(settings.regions),
        paper=settings.paper,
        notice=f"{NOTICE} {own}" if own else NOTICE,
        call=tuple((call.who, call.reach) for call in settings.call),
        compare_days=settings.compare_days,
        sites=sites_of(settings),
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
            section(
                "list", f"{len(entries)} entries" if len(entries) != 1 else "1 entry", _rows(base, entries)
            ),
        ),
        kind=kind,
        minor=True,
    )


def _date(entry: Entry) -> str:
    return entry.record.date if isinstance(entry.record, FieldNote) else ""


_STANDING = {
    State.CHANGED: " (being changed)",
    State.PARTLY: " (not signed by all)",
    State.WITHDRAWN: " (withdrawn)",
}
"""What is said of an entry where it is listed."""


def _rows(base: KnowledgeBase, entries: list[Entry]) -> Items | None:
    """List entries; a title alone does not say of which plant a page is."""
    rows = []
    for entry in entries:
        standing = _STANDING.get(entry.head.standing.state, "")
        draft = " (draft)" if entry.head.draft else standing
        refs = (Ref(Kind.EQUIPMENT, plant) for plant in plants_of(entry.ref, entry.record))
        plants = ", ".join(base.title(ref) for ref in refs if ref != entry.ref)
        rows.append(
            Item(
                (Goto(machine_name(entry) + draft, entry.ref), *((Plain(f" · {plants}"),) if plants else ()))
            )
        )
    return Items(tuple(rows), tappable=True) if rows else None
