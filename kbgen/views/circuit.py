"""The page of a control circuit."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import partial

from kbgen.compute.circuit.study import Study
from kbgen.link.base import KnowledgeBase
from kbgen.model.circuit import (
    AnyPart,
    Circuit,
    Coil,
    Contact,
    Fuse,
    Input,
    Load,
    Parallel,
    Point,
    Resistor,
    Tap,
    Wire,
    reach,
)
from kbgen.model.entry import Entry
from kbgen.model.equipment import Equipment
from kbgen.model.symptom import Symptom
from kbgen.model.wording import of_circuit
from kbgen.ref import Kind, Ref
from kbgen.views.blocks import Facts, Fits, Goto, Line, Mark, Plain, Table
from kbgen.views.circuit_sections import computed_sections
from kbgen.views.compose import (
    backlink_section,
    device_line,
    fact,
    facts,
    goto,
    kicker,
    links,
    picture_section,
    plain,
    prose,
    review,
    section,
    sections,
)
from kbgen.views.fitting import choosing, fits, fits_part
from kbgen.views.notes import found_sections
from kbgen.views.page import Page, Section

EARTHINGS = {
    "grounded": "Earthed: the return is tied to earth",
    "ungrounded": "Not earthed: a first earth fault shows nothing",
    "reversible": "Reversible: the plug may swap the two sides; read L–N, L–PE and N–PE first",
}


def circuit_page(base: KnowledgeBase, entry: Entry, circuit: Circuit, study: Study) -> Page:
    """Put a circuit's page together."""
    return Page(
        ref=entry.ref,
        title=entry.title,
        kicker=kicker(base, "Circuit", [circuit.equipment]),
        aliases=circuit.head.aliases,
        draft=circuit.head.draft,
        review=review(base, entry, study),
        kind=Kind.CIRCUIT,
        equipment=(circuit.equipment,),
        former_ids=circuit.head.former_ids,
        choosing=choosing(base, (circuit.equipment,)),
        sections=sections(
            section("means", "What it is for", prose(circuit.means), _evaluated(base, entry, circuit)),
            *computed_sections(study, entry),
            section("path", _ours(base, circuit)("From supply to return"), _path(base, circuit)),
            _supply(base, circuit),
            section("symptoms", "Symptoms that point here", links(_symptoms(base, entry))),
            *found_sections(base, entry.ref),
            picture_section(entry),
            backlink_section(base, entry),
        ),
    )


def _evaluated(base: KnowledgeBase, entry: Entry, circuit: Circuit) -> Facts | None:
    plant = base.equipment(circuit.equipment)
    stages = [stage.title for stage in plant.sequence if entry.ref.id in stage.strings_made] if plant else []
    return facts(fact("All of it must be made in", ", ".join(stages)))


def _supply(base: KnowledgeBase, circuit: Circuit) -> Section | None:
    supply = circuit.supply
    plant = base.equipment(circuit.equipment)
    sources = [source for source in plant.sources if source.id == supply.source] if plant else []
    say = _ours(base, circuit)
    return section(
        "supply",
        "Supply",
        facts(
            fact("Voltage", supply.volts),
            fact("Frequency", supply.frequency.text if supply.frequency else None),
            fact(say("Earthing"), say(EARTHINGS[supply.earthing])),
            fact("Rating", supply.rating.text if supply.rating else None),
            fact("Made dead by", *[plain(f"{source.title}: {source.isolate}") for source in sources]),
        ),
    )


def _ours(base: KnowledgeBase, circuit: Circuit) -> Callable[[str], str]:
    plant = base.equipment(circuit.equipment)
    return partial(of_circuit, region=plant.region if plant else "", earthing=circuit.supply.earthing)


def _symptoms(base: KnowledgeBase, entry: Entry) -> list[Goto]:
    return [Goto(e.title, e.ref) for e, symptom in base.of(Symptom) if symptom.circuit == entry.ref.id]


def _path(base: KnowledgeBase, circuit: Circuit) -> Table:
    plant = base.equipment(circuit.equipment) or Equipment(head=circuit.head)
    rows = list(_rows(base, plant, reach(circuit.path), circuit.path, ""))
    return Table(
        _ours(base, circuit)(
            "The path in the order in which it stands on the plant; what follows the load sits in the return"
        ),
        ("Mark", "Part", "Where, when fitted"),
        tuple(row for row, _ in rows),
        tuple(fits for _, fits in rows),
    )


Row = tuple[Line, Line, Line]
There = Mapping[Point, tuple[str, str]]


def _rows(
    base: KnowledgeBase, plant: Equipment, there: There, path: tuple[AnyPart, ...], prefix: str
) -> Iterator[tuple[Row, Fits | None]]:
    for part in path:
        mark, name = _named(base, part)
        line = (Plain(prefix), *name) if prefix else name
        yield (mark, line, _where(plant, there, part)), fits_part(plant, part)
        if part.link:
            missing = [option for option in plant.options if option.id == part.option]
            without = fits(plant, part.sizes, (), missing)
            yield ((), plain(f"{prefix}{part.link}"), plain(without.said)), without
        if isinstance(part, Parallel):
            for number, branch in enumerate(part.parallel, start=1):
                yield from _rows(base, plant, there, branch, f"{prefix}branch {number}: ")
        elif isinstance(part, Tap):
            yield from _rows(base, plant, there, part.tap, f"{prefix}to the return: ")


def _named(base: KnowledgeBase, part: AnyPart) -> tuple[Line, Line]:
    """Return the mark of a part as it stands on the plant, and what it is."""
    mark: Line = ()
    match part:
        case Point():
            mark, name = (Mark(part.point),), plain("Test point")
        case Contact():
            which = plain(f", contact {part.which}") if part.which else ()
            name = (*device_line(base, part.contact), *which)
        case Fuse():
            mark, name = (Mark(part.fuse),), plain(f"Fuse {part.rating.text}" if part.rating else "Fuse")
        case Wire():
            name = plain(f"Wire: {part.wire}" + (f", {part.length.text}" if part.length else ""))
        case Parallel():
            name = plain("Side by side; one closed branch is enough")
        case Tap():
            name = plain("From here to the return")
        case Coil():
            name = (Plain("Coil of "), goto(base, Ref(Kind.DEVICE, part.coil)))
        case Load():
            name = plain(part.load)
        case Resistor():
            name = plain(f"{part.resistor}, {part.resistance.text}")
        case Input():
            name = plain(part.title or f"Input {part.input}")
    return mark, name


def _where(plant: Equipment, there: There, part: AnyPart) -> Line:
    words: list[str] = []
    if isinstance(part, Point):
        place, cover = there[part]
        words += [p.title for p in plant.places if p.id == place]
        words += [f"behind {c.title.lower()}" for c in plant.covers if c.id == cover]
    fitting = fits_part(plant, part)
    if fitting:
        words.append(f"only {fitting.said}")
    if part.regions:
        words.append("only " + ", ".join(part.regions))
    if part.note:
        words.append(part.note)
    return plain("; ".join(words)) if words else ()
