"""A circuit as a spread: the ladder to write readings in on the left, the order of tests on the right."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from kbgen.compute.circuit.meter import LOW_Z
from kbgen.compute.circuit.state import State
from kbgen.compute.circuit.study import Study
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
    return_mark,
)
from kbgen.model.device import Device
from kbgen.model.entry import Entry
from kbgen.model.equipment import Equipment
from kbgen.ref import Kind, Ref
from kbgen.views.blocks import Goto, Line, Mark, Plain
from kbgen.views.booklet.leaf import METER, Grid, Ladder, Part, Rung, Warn, Words
from kbgen.views.booklet.say import page, said
from kbgen.views.circuit_order import ALL_MADE, MIDDLE, ON, order_lines
from kbgen.views.circuit_words import contact_name, stage_line, word_heads, word_lines
from kbgen.views.fitting import fits_part
from kbgen.views.kinds import kinds_of

TESTS = 8
"""So many tests of an order stand in the booklet, the likeliest."""
AGAIN = "low-Z"
"""What lies in between decides nothing: read again in low impedance."""
NEXT_POINT = "Next point: on along the ladder, point after point. Another cover: its own lines first."
Rows = tuple[tuple[Line, ...], ...]
HEAD = ("", "Read", "Full →", "None →", "Some →")


def ladder(study: Study, plant: Equipment, circuit: Circuit) -> Ladder:
    """Return a circuit from supply to return."""
    return Ladder(tuple(_rungs(study, plant, circuit, circuit.path, 0)))


def _rungs(
    study: Study, plant: Equipment, circuit: Circuit, path: tuple[AnyPart, ...], branch: int
) -> Iterator[Rung]:
    there = reach(circuit.path)
    places = {place.id: place.title for place in plant.places}
    covers = {cover.id: cover.title for cover in plant.covers}
    back = return_mark(circuit.path)
    for part in path:
        fits = fits_part(plant, part)
        only = "; ".join(
            filter(None, (f"only {fits.said}" if fits else "", part.link and f"else {part.link}"))
        )
        match part:
            case Point():
                place, cover = there[part]
                says = covers.get(cover) or places.get(place, "")
                lead = ", black lead here" if part.point == back else ""
                sign = "return" if part.point == back else "point"
                yield Rung(sign, part.point, said(_and(says + lead, only)), branch=branch)
            case Contact():
                device = study.base.device(part.contact)
                mark = device.mark if isinstance(device, Device) else ""
                title = study.base.title(Ref(Kind.DEVICE, part.contact))
                which = f", {part.which}" if part.which else ""
                yield Rung(
                    "contact",
                    mark,
                    said(_and(title + which, only)),
                    page(Ref(Kind.DEVICE, part.contact)),
                    branch,
                )
            case Fuse():
                yield Rung(
                    "fuse",
                    part.fuse,
                    said(_and(f"Fuse{f' {part.rating.text}' if part.rating else ''}", only)),
                    branch=branch,
                )
            case Wire():
                yield Rung(
                    "wire",
                    "",
                    said(_and(part.wire + (f", {part.length.text}" if part.length else ""), only)),
                    branch=branch,
                )
            case Coil():
                yield Rung(
                    "coil",
                    "",
                    said(_and(f"Coil of {study.base.title(Ref(Kind.DEVICE, part.coil))}", only)),
                    branch=branch,
                )
            case Load():
                yield Rung("lamp" if part.lamp else "load", "", said(_and(part.load, only)), branch=branch)
            case Resistor():
                yield Rung(
                    "resistor",
                    "",
                    said(_and(f"{part.resistor}, {part.resistance.text}", only)),
                    branch=branch,
                )
            case Input():
                yield Rung("input", "", said(_and(part.title or f"Input {part.input}", only)), branch=branch)
            case Parallel():
                for number, inner in enumerate(part.parallel, start=1):
                    yield Rung(
                        "beside",
                        "",
                        said(f"Way {number} of {len(part.parallel)}, one closed is enough"),
                        branch=branch + 1,
                    )
                    yield from _rungs(study, plant, circuit, inner, branch + 1)
            case Tap():
                for rung in _rungs(study, plant, circuit, part.tap, branch + 1):
                    yield replace(rung, says=(*rung.says, Plain(f", to {back or 'the return'}")))


def _and(*words: str) -> str:
    return "; ".join(filter(None, words))


def order(study: Study, circuit_id: str, hunts: tuple[Ref, ...]) -> Iterator[Part]:
    """Say in which order the points are read, what each answer means, and what open between two of them means.

    Args:
        hunts: The procedures whose gates come before the probe.
    """
    base = study.base
    line: list[Plain | Goto] = [Plain("Live. Before the probe touches, every line of ")]
    for at, ref in enumerate(hunts):
        line += [Plain("; ")] if at else []
        line.append(Goto(base.title(ref), ref))
    yield Warn(tuple(line) if hunts else said("Live. Only by the shop's procedure, fuel shut at the burner."))
    orders: dict[Rows, list[str]] = {}
    rules: dict[str, list[str]] = {}
    kinds = kinds_of(study, circuit_id)
    for fits, state in kinds:
        rows, rule = _tests(study, circuit_id, state)
        name = fits.said if fits else ""
        orders.setdefault(rows, []).append(name)
        for each in dict.fromkeys(rule):
            rules.setdefault(each, []).append(name)
    every = len(kinds)
    # What full and none are is read before the first test; and where two orders do not fit, the second goes overleaf whole.
    yield Words(
        "",
        (
            *(said(rule) for rule, fitted in rules.items() if len(fitted) == every),
            *(
                said(f"Only {' or '.join(fitted)}: {rule[:1].lower()}{rule[1:]}")
                for rule, fitted in rules.items()
                if len(fitted) < every
            ),
            (
                Plain(
                    "Last full, next none: open between them. Read across once more; full: it is open there."
                ),
                *page(METER),
            ),
            said(
                "Another may be open behind it. Once it is repaired, do all lines before the probe again and read on."
            ),
            said("Across nothing, in between, or not sure: not found, stop. No jumper."),
        ),
    )
    for order_, fitted in orders.items():
        # Overleaf, it stands alone.
        title = (
            ""
            if len(fitted) == every
            else f"{base.title(Ref(Kind.CIRCUIT, circuit_id))}, only {' or '.join(fitted)}"
        )
        if order_:
            yield Grid(title, HEAD, (5, 14, 34, 33, 14), order_, whole=True)


def _tests(study: Study, circuit_id: str, state: State) -> tuple[Rows, tuple[str, ...]]:
    """Return the rows of an order, for which stage and which volts it holds, and what over means where it leads on."""
    found = study.of(circuit_id, state).order
    rows = []
    over = []
    on = False
    for number, row in enumerate(order_lines(study.base, found, TESTS), start=1):
        then = dict(row.then)
        low = row.test.meter == LOW_Z
        name: Line = (
            (Plain(f"across {contact_name(study.base, row.test.name)}"),)
            if row.test.device
            else (Mark(row.test.name),)
        )
        rows.append(
            (
                said(str(number)),
                (*name, *said(" low impedance" if low else "")),
                said(_brief(then.get("full", then.get("closed", "–")))),
                said(_brief(then.get("none", then.get("open", "–")))),
                said(_brief(then.get("some", "–" if low else AGAIN))),
            )
        )
        over += [f"Over at {row.test.name}: {row.over}."] if row.over else []
        on |= ON in then.values()
    table = found.probing.table
    rest = (NEXT_POINT,) if on else ()
    return tuple(rows), (f"{stage_line(table)} {'. '.join(word_heads(table))}.", *over, *rest)


def _brief(then: str) -> str:
    """Say in a cell what a line says; what it means stands once, on the page of the meter."""
    return {ALL_MADE: "all made", ON: "next point"}.get(then, then)


def meter(study: Study, circuits: list[tuple[Entry, Circuit]]) -> Iterator[Words]:
    """Say in volts what full, none and in between are, once for circuits that read alike."""
    alike: dict[tuple[str, ...], list[str]] = {}
    for entry, _ in circuits:
        kinds = kinds_of(study, entry.ref.id)
        for fits, state in kinds:
            lines = tuple(word_lines(study.of(entry.ref.id, state).probing.table))
            title = entry.title + (f" ({fits.said})" if fits else "")
            alike.setdefault(lines, []).append(title)
    for lines, titles in alike.items():
        yield Words("; ".join(titles), tuple(said(each) for each in lines))
    yield Words(
        "What it means",
        (
            said(MIDDLE),
            said(f"All made: {ALL_MADE}. These volts are for the stage on the circuit's page."),
            said("Open is not faulty: does it do its job? Not sure counts as real."),
            said(
                "Behind one open contact another may be open. After its repair, search again from the first line."
            ),
        ),
    )
