"""The page of an interlock device."""

from __future__ import annotations

from kbgen.link.base import KnowledgeBase
from kbgen.model.circuit import Circuit, Coil, Contact, parts
from kbgen.model.device import Cause, Device
from kbgen.model.entry import Entry
from kbgen.ref import Kind, Ref
from kbgen.views.blocks import Goto, Table
from kbgen.views.compose import (
    backlink_section,
    fact,
    facts,
    goto,
    gotos,
    kicker,
    links,
    picture_section,
    plain,
    prose,
    review,
    section,
    sections,
    size_titles,
)
from kbgen.views.due import proof_facts
from kbgen.views.fitting import choosing
from kbgen.views.notes import found_sections
from kbgen.views.page import Page, Section

RESETS = {
    "automatic": "By itself",
    "manual": "By hand, after the cause is found",
    "one-shot": "Never: it is replaced, after the cause is found",
    "none": "Does not apply",
}
DEAD_STATES = {
    "closed": "Closed on dead plant; resistance can be measured, proved dead",
    "open": "Open on dead plant; resistance decides nothing",
    "unknown": "Not known on dead plant; resistance decides nothing",
}
ROLES = {
    "limit": "Limit: trips when unsafe",
    "operating": "Operating control: open usually means satisfied",
    "proving": "Proving: shows that something runs or is in place",
    "permissive": "Permissive: lets the start go ahead",
    "supply": "Feeds the string",
}


def device_page(base: KnowledgeBase, entry: Entry, device: Device) -> Page:
    """Put a device's page together."""
    return Page(
        ref=entry.ref,
        title=entry.title,
        kicker=kicker(base, "Device", device.equipment),
        marks=(device.mark,) if device.mark else (),
        aliases=device.head.aliases,
        draft=device.head.draft,
        review=review(base, entry),
        kind=Kind.DEVICE,
        equipment=device.equipment,
        former_ids=device.head.former_ids,
        choosing=choosing(base, device.equipment, device.sizes),
        sections=sections(
            section(
                "proves",
                "What it proves",
                prose(device.proves),
                facts(
                    fact("Role", ROLES.get(device.role)),
                    fact("Opens when", device.opens_when),
                    fact("Comes back", RESETS.get(device.reset)),
                    fact("After a trip", device.remembers),
                    fact("Backs up", _title(base, device.backs_up)),
                    fact("Jumper", jumper(device)),
                    fact("Only on", ", ".join(size_titles(base, device.equipment, device.sizes))),
                ),
            ),
            _is_it_real(device),
            _causes("opens", "Why it opens", device.opening_causes),
            _causes("sticks", "Why it sticks closed: the dangerous failure", device.sticking_causes),
            _with_the_meter(device),
            section(
                "tested",
                "Prove it and reset it",
                facts(*proof_facts(base, entry.ref, device)),
                links(gotos(base, Kind.PROCEDURE, dict.fromkeys([*device.tested_by, *_reset(device)]))),
            ),
            _where(base, entry, device),
            *found_sections(base, entry.ref),
            picture_section(entry),
            backlink_section(base, entry),
        ),
    )


def jumper(device: Device) -> str:
    """Say whether a device may be jumped: the one purpose it may be, or never and why."""
    if device.may_jump is not None:
        return f"Only: {device.may_jump.reason}"
    return f"Never. {device.never_because}" if device.never_because else "Never."


def _title(base: KnowledgeBase, name: str) -> str:
    found = base.device(name) if name else None
    return found.head.title if found else name


def _reset(device: Device) -> list[str]:
    return [device.reset_by] if device.reset_by else []


def _is_it_real(device: Device) -> Section | None:
    check = device.independent_check
    if check is None:
        return None
    return section(
        "real",
        "Is it doing its job?",
        prose(check.do),
        facts(
            fact("Check with", check.with_),
            fact("Real trip", check.real),
            fact("False trip", check.false),
            fact("Not sure", "Treat it as real."),
        ),
    )


def _causes(anchor: str, title: str, causes: tuple[Cause, ...]) -> Section | None:
    if not causes:
        return None
    rows = tuple(
        (
            plain(cause.cause + (" (doing its job)" if cause.own_job else "")),
            plain(cause.look_for),
            plain(", ".join(cause.appears).replace("-", " ")),
            plain(cause.remedy),
        )
        for cause in causes
    )
    return section(anchor, title, Table(title, ("Cause", "Look for", "When", "Remedy"), rows))


def _with_the_meter(device: Device) -> Section | None:
    return section(
        "meter",
        "With the meter",
        facts(
            fact("Dead plant", DEAD_STATES[device.dead_state]),
            fact("Needs supply", "Yes: without supply its contact is open" if device.needs_power else None),
            fact(
                "Low-impedance meter",
                "May be put across its open contact, fuel shut"
                if device.low_impedance
                else "Never across its open contact: the meter would act as a jumper",
            ),
            fact("Delay", device.delay.text if device.delay else None),
        ),
        _sensor(device),
        _contacts(device),
    )


def _sensor(device: Device) -> Table | None:
    if device.sensor is None or not device.sensor.reads:
        return None
    rows = tuple((plain(pair.at), plain(pair.is_)) for pair in device.sensor.reads)
    caption = "What the sensor reads"
    if device.sensor.permitted_difference:
        caption += f"; two may differ by {device.sensor.permitted_difference}"
    return Table(caption, ("At", "Reads"), rows)


def _contacts(device: Device) -> Table | None:
    rows = tuple((plain(c.title or c.id), plain(c.made_when)) for c in device.contacts)
    return Table("Its contacts", ("Contact", "Made when"), rows) if rows else None


def _where(base: KnowledgeBase, entry: Entry, device: Device) -> Section | None:
    circuits: list[Goto] = []
    for circuit_entry, circuit in base.of(Circuit):
        used = {p.contact for p in parts(circuit.path) if isinstance(p, Contact)}
        used |= {p.coil for p in parts(circuit.path) if isinstance(p, Coil)}
        if entry.ref.id in used:
            circuits.append(Goto(circuit_entry.title, circuit_entry.ref))
    places = [
        place.title
        for plant_id in device.equipment
        if (plant := base.equipment(plant_id)) is not None
        for place in plant.places
        if place.id == device.place
    ]
    reaching = [
        source.title
        for plant_id in device.equipment
        if (plant := base.equipment(plant_id)) is not None
        for source in plant.sources
        if source.id in device.reached_by
    ]
    return section(
        "where",
        "Where it is",
        facts(
            fact("Place", ", ".join(places)),
            fact("In circuit", *[(link,) for link in circuits]),
            fact("Plant", *[(goto(base, Ref(Kind.EQUIPMENT, plant)),) for plant in device.equipment]),
            fact("Part", device.part),
            fact("Gone before it is taken out", ", ".join(reaching)),
        ),
    )
