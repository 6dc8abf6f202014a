"""The page of a symptom: read standing up, so it answers in the order in which one acts."""

from __future__ import annotations

from dataclasses import replace

from kbgen.compute.circuit.study import Study
from kbgen.compute.sequence import passing
from kbgen.link.base import KnowledgeBase
from kbgen.model.entry import Entry
from kbgen.model.symptom import Look, Symptom
from kbgen.ref import Kind, Ref
from kbgen.views.blocks import Facts, Goto, Item, Items, Plain
from kbgen.views.circuit_first import test_first
from kbgen.views.compose import (
    backlink_section,
    device_line,
    fact,
    facts,
    goto,
    gotos,
    items,
    kicker,
    links,
    notices,
    picture_section,
    plain,
    prose,
    review,
    section,
    sections,
    sentences,
    size_titles,
)
from kbgen.views.doing.data import may_be_led
from kbgen.views.fitting import choosing
from kbgen.views.notes import found_sections
from kbgen.views.page import Page, Section


def symptom_page(base: KnowledgeBase, entry: Entry, symptom: Symptom, study: Study) -> Page:
    """Put a symptom's page together."""
    return Page(
        ref=entry.ref,
        title=entry.title,
        kicker=kicker(base, "Symptom", symptom.equipment),
        marks=symptom.displays,
        aliases=symptom.head.aliases,
        draft=symptom.head.draft,
        review=review(base, entry, study),
        kind=Kind.SYMPTOM,
        equipment=symptom.equipment,
        former_ids=symptom.head.former_ids,
        choosing=choosing(base, symptom.equipment, symptom.sizes),
        sections=sections(
            section("at-once", "At once", items(symptom.immediate, ordered=True)),
            _meaning(base, symptom),
            section("normal", "Is it normal?", prose(symptom.normal_when), _passes(base, symptom)),
            section("record", "Record this first", items(symptom.record)),
            _make_safe(base, symptom),
            section("look", "Look first, no meter", _looks(base, symptom.look_first)),
            _then_test(base, symptom, study),
            _do_now(base, symptom),
            _look_alikes(base, symptom),
            *found_sections(base, entry.ref),
            picture_section(entry),
            backlink_section(base, entry),
        ),
    )


def _meaning(base: KnowledgeBase, symptom: Symptom) -> Section | None:
    circuit = (goto(base, Ref(Kind.CIRCUIT, symptom.circuit)),) if symptom.circuit else None
    stages = [
        stage.title
        for plant_id in symptom.equipment
        if (plant := base.equipment(plant_id)) is not None
        for stage in plant.sequence
        if stage.id == symptom.stage
    ]
    return section(
        "means",
        "What it means",
        prose(symptom.means),
        items(symptom.behaviours),
        facts(
            fact("Mind", symptom.must),
            fact("Circuit", circuit),
            fact("Comes up in", ", ".join(dict.fromkeys(stages))),
            fact("Only on", ", ".join(size_titles(base, symptom.equipment, symptom.sizes))),
        ),
    )


def _make_safe(base: KnowledgeBase, symptom: Symptom) -> Section | None:
    procedure = gotos(base, Kind.PROCEDURE, [symptom.make_safe] if symptom.make_safe else [])
    return section(
        "make-safe",
        "Make it safe",
        *notices(base, symptom.cautions),
        links(procedure),
        facts(fact("Stop and call when", *[plain(line) for line in symptom.stop_and_call])),
    )


def _looks(base: KnowledgeBase, looks: tuple[Look, ...]) -> Items | None:
    if not looks:
        return None
    rows = []
    for look in looks:
        line = [Plain(look.look)]
        if look.tells:
            line.append(Plain(f" → {look.tells}"))
        if look.minutes:
            line.append(Plain(f" · {look.minutes.text}"))
        device = device_line(base, look.device) if look.device else ()
        rows.append(Item((*line, Plain(" · "), *device) if device else tuple(line)))
    return Items(tuple(rows), ordered=True)


def _passes(base: KnowledgeBase, symptom: Symptom) -> Facts | None:
    """Tell displays of this symptom that are normal in a stage and pass by themselves."""
    shown = {display.casefold() for display in symptom.displays}
    rows = [
        fact(
            f"{found.shows}, {stage.title}",
            sentences(f"Passes by itself after {found.lasts}", found.why, found.how_often),
        )
        for plant_id in symptom.equipment
        if (plant := base.equipment(plant_id)) is not None
        for stage in plant.sequence
        for found in passing(base, plant_id, stage.id)
        if found.shows.casefold() in shown
    ]
    return facts(*rows)


def _then_test(base: KnowledgeBase, symptom: Symptom, study: Study) -> Section | None:
    suspects = [
        (*device_line(base, suspect.device), Plain(f": {suspect.because}"))
        if suspect.because
        else device_line(base, suspect.device)
        for suspect in symptom.suspects
    ]
    return section(
        "test",
        "Then test",
        links(gotos(base, Kind.PROCEDURE, symptom.procedures)),
        facts(fact("Suspect first", *suspects)),
        *test_first(study, symptom),
    )


def _do_now(base: KnowledgeBase, symptom: Symptom) -> Section | None:
    """Lead to the pages that a tablet leads through, one step a screen."""
    led = [
        Goto(f"Do this now: {base.title(Ref(Kind.PROCEDURE, name))}", Ref(Kind.PROCEDURE, name), "do")
        for name in symptom.procedures
        if (page := base.procedure(name)) is not None and may_be_led(page)
    ]
    found = section("do-now", "Step by step on this tablet", links(led))
    return replace(found, web_only=True) if found else None


def _look_alikes(base: KnowledgeBase, symptom: Symptom) -> Section | None:
    rows = [
        (goto(base, Ref(Kind.SYMPTOM, other.symptom)), Plain(f": {other.differs}"))
        for other in symptom.look_alikes
    ]
    none = [symptom.no_look_alike] if symptom.no_look_alike else []
    return section("look-alikes", "Looks the same, is not", items(rows), items(none))
