"""The page of a family of plant."""

from __future__ import annotations

from kbgen.compute.due import due_list
from kbgen.compute.statistics import notes_of
from kbgen.link.base import KnowledgeBase
from kbgen.model.entry import Entry
from kbgen.model.equipment import Equipment, Setting, Source
from kbgen.model.people import NOBODY, WHO
from kbgen.model.symptom import Symptom
from kbgen.model.wording import REGIONS, in_region
from kbgen.ref import Kind, Ref
from kbgen.views.address import due_index, found_index, plant_index, shows_index
from kbgen.views.blocks import Facts, Goto, Plain, Table
from kbgen.views.compose import (
    backlink_section,
    device_line,
    fact,
    facts,
    goto,
    items,
    joined,
    kicker,
    links,
    marks,
    picture_section,
    plain,
    prose,
    review,
    section,
    sections,
    sentences,
)
from kbgen.views.due import DUE, due_section
from kbgen.views.equipment_run import chart_section, only_for, stage_tables
from kbgen.views.fitting import choosing, fits_sizes
from kbgen.views.found import FOUND
from kbgen.views.page import Page, Section

MEMORIES = {
    "mechanically": "by a button or flag",
    "stored": "stored, also without supply",
    "lost-at-power-off": "lost when the supply goes",
}


def equipment_page(base: KnowledgeBase, entry: Entry, plant: Equipment) -> Page:
    """Put the page of a family of plant together."""
    return Page(
        ref=entry.ref,
        title=entry.title,
        kicker=kicker(base, "Equipment", []),
        aliases=plant.head.aliases,
        draft=plant.head.draft,
        review=review(base, entry),
        kind=Kind.EQUIPMENT,
        equipment=(entry.ref.id,),
        former_ids=plant.head.former_ids,
        choosing=choosing(base, (entry.ref.id,)),
        sections=sections(
            section("means", "What it is", prose(plant.means), _sizes(plant)),
            section("symptoms", "What it shows or does", links(_symptoms(base, entry))),
            section("sources", "Isolate all of these", _sources(plant)),
            section("sequence", "How a run goes", *stage_tables(base, plant)),
            chart_section(base, entry, plant),
            section("displays", "What the panel shows", _displays(plant)),
            section("memory", "What remembers a fault", _memory(base, plant)),
            section("valves", "Fuel train", _valves(base, plant), _points(plant)),
            section("zones", "Where hands go in", _zones(plant)),
            section("places", "Places and covers", _places(base, plant)),
            section("settings", "Settings", _settings(base, plant)),
            due_section(base, entry, plant),
            section("also-stops", "When it stops, this stops too", items(plant.also_stops)),
            section("all", "Everything about it", links(_more(base, entry, plant))),
            picture_section(entry),
            backlink_section(base, entry),
        ),
    )


def _more(base: KnowledgeBase, entry: Entry, plant: Equipment) -> list[Goto]:
    found = [Goto(FOUND, found_index(entry.ref.id))] if notes_of(base, entry.ref.id) else []
    due = [Goto(DUE, due_index(entry.ref.id))] if due_list(base, entry.ref.id) else []
    shows = [Goto("Pick what the panel shows", shows_index(entry.ref.id))] if plant.displays else []
    return [*shows, Goto("All pages about it", plant_index(entry.ref.id)), *due, *found]


def _sizes(plant: Equipment) -> Facts | None:
    return facts(
        fact(
            "Sizes",
            *[plain(f"{size.title}: {size.note}" if size.note else size.title) for size in plant.sizes],
        ),
        fact("Words of", REGIONS.get(plant.region)),
        fact("Options", *[plain(f"{o.title}: {o.note}" if o.note else o.title) for o in plant.options]),
    )


def _symptoms(base: KnowledgeBase, entry: Entry) -> list[Goto]:
    return [Goto(e.title, e.ref) for e, symptom in base.of(Symptom) if entry.ref.id in symptom.equipment]


def _sources(plant: Equipment) -> Table | None:
    rows = tuple(
        (
            plain(source.title + only_for(plant, source.sizes)),
            plain(source.kind.title + (f", {source.voltage.text}" if source.voltage else "")),
            plain(sentences(source.isolate, _off_after(plant, source))),
            plain(source.lock),
            plain(sentences(source.prove, _conductors(plant, source))),
        )
        for source in plant.sources
    )
    head = ("Source", "Kind", "Shut off", "Lock", "Prove gone")
    fits = tuple(fits_sizes(plant, source.sizes) for source in plant.sources)
    return Table("Every energy source, and how it is made safe", head, rows, fits) if rows else None


def _off_after(plant: Equipment, source: Source) -> str:
    titles = {each.id: each.title for each in plant.sources}
    before = "; ".join(titles.get(each, each) for each in source.off_after)
    return f"Only after: {before}." if before else ""


def _conductors(plant: Equipment, source: Source) -> str:
    named = ", ".join(source.conductors)
    each = in_region("each to every other and to earth", plant.region)
    return f"Conductors: {named}, {each}." if named else ""


def _displays(plant: Equipment) -> Table | None:
    rows = tuple(
        (marks([display.shows]), plain(display.means), plain("normal" if display.normal else ""))
        for display in plant.displays
    )
    return (
        Table(in_region("Displays and lamps", plant.region), ("Shows", "Means", "Normal"), rows)
        if rows
        else None
    )


def _memory(base: KnowledgeBase, plant: Equipment) -> Table | None:
    rows = tuple(
        (
            (Plain(f"{memory.what}: "), *device_line(base, memory.device))
            if memory.device
            else plain(memory.what),
            plain(MEMORIES[memory.kept]),
            plain(memory.erased_by + (" Switching off and on is a reset." if memory.power_resets else "")),
        )
        for memory in plant.memory
    )
    return Table("What holds the evidence", ("What", "Kept", "Erased by"), rows) if rows else None


def _valves(base: KnowledgeBase, plant: Equipment) -> Table | None:
    places = {place.id: place.title for place in plant.places}
    rows = tuple(
        (
            plain(valve.title),
            plain(places.get(valve.place, "")),
            plain(valve.stops.replace("-", " ")),
            joined([goto(base, Ref(Kind.DEVICE, device)) for device in valve.opens]),
            plain(valve.note),
        )
        for valve in plant.fuel_valves
    )
    head = ("Valve", "Place", "Stops", "Opens the contact of", "Note")
    return Table("Fuel valves, and the contacts that open when each is shut", head, rows) if rows else None


def _points(plant: Equipment) -> Table | None:
    places = {place.id: place.title for place in plant.places}
    rows = tuple(
        (plain(point.title), plain(places.get(point.place, "")), plain(point.section.replace("-", " ")))
        for point in plant.fuel_points
    )
    head = ("Point", "Place", "Stretch")
    return Table("Points of the fuel train, and between which valves each lies", head, rows) if rows else None


def _zones(plant: Equipment) -> Table | None:
    places = {place.id: place.title for place in plant.places}
    titles = {source.id: source.title for source in plant.sources}
    rows = tuple(
        (
            plain(zone.title),
            plain(places.get(zone.place, "")),
            plain(
                ", ".join(titles.get(each, each) for each in zone.reached_by)
                or ("every other source" if zone.beside else "every source")
            ),
            plain(", ".join(titles.get(each, each) for each in zone.beside)),
        )
        for zone in plant.zones
    )
    head = ("Zone", "Place", "Reached by", "Live beside it")
    return Table("What must be gone before hands go in", head, rows) if rows else None


def _places(base: KnowledgeBase, plant: Equipment) -> Table | None:
    rows = [
        (
            plain(place.title),
            plain("place"),
            plain(place.travel.text if place.travel else ""),
            plain(place.needs),
        )
        for place in plant.places
    ]
    titles = {place.id: place.title for place in plant.places}
    rows += [
        (
            plain(cover.title),
            plain(f"cover at {titles.get(cover.place, cover.place)}"),
            plain(cover.minutes.text if cover.minutes else ""),
            (Plain("opens "), *joined([goto(base, Ref(Kind.DEVICE, device)) for device in cover.opens]))
            if cover.opens
            else (),
        )
        for cover in plant.covers
    ]
    head = ("What", "Kind", "Time", "Mind")
    return Table("Where one has to go, and what has to be opened", head, tuple(rows)) if rows else None


def _settings(base: KnowledgeBase, plant: Equipment) -> Table | None:
    rows = tuple(
        (
            plain(setting.title + only_for(plant, setting.sizes)),
            plain(setting.with_tolerance),
            device_line(base, setting.device) if setting.device else (),
            plain(" ".join(each for each in (_may_change(setting), setting.note) if each)),
        )
        for setting in plant.settings
    )
    fits = tuple(fits_sizes(plant, setting.sizes) for setting in plant.settings)
    head = ("Setting", "Value", "Device", "Changed by")
    return Table("What it is set to", head, rows, fits) if rows else None


def _may_change(setting: Setting) -> str:
    if not setting.changed_by:
        return ""
    return "Nobody on site." if setting.changed_by == NOBODY else f"{WHO[setting.changed_by]}."


def _index_section(base: KnowledgeBase, entry: Entry, kind: Kind) -> Section | None:
    naming = base.backlinks.get(entry.ref, ())
    return section(
        kind.folder.replace("_", "-"), kind.plural, links(goto(base, r) for r in naming if r.kind is kind)
    )


def plant_listing(base: KnowledgeBase, entry: Entry) -> Page:
    """List every page about a family of plant, by kind."""
    kinds = (
        Kind.SYMPTOM,
        Kind.PROCEDURE,
        Kind.CIRCUIT,
        Kind.DEVICE,
        Kind.CAUTION,
        Kind.PLANT,
        Kind.FIELD_NOTE,
    )
    return Page(
        ref=plant_index(entry.ref.id),
        title=f"All about {entry.title}",
        kicker="Plant",
        sections=sections(
            section("plant", "The plant", links([goto(base, entry.ref)])),
            *[_index_section(base, entry, kind) for kind in kinds],
        ),
        equipment=(entry.ref.id,),
        minor=True,
    )
