"""One page for each condition, and the finder that leads to it."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence

from kbgen.compute.circuit.reading import supply_mark
from kbgen.compute.circuit.study import Study
from kbgen.compute.sequence import passing
from kbgen.link.base import KnowledgeBase
from kbgen.model.entry import Entry
from kbgen.model.equipment import Equipment
from kbgen.model.symptom import Symptom
from kbgen.ref import Kind, Ref
from kbgen.views.blocks import Goto, Line, Mark, Plain, Span
from kbgen.views.booklet.leaf import CALL, LEAVE, RUN, Condition, Grid, Leaf
from kbgen.views.booklet.say import first_sentences, only_on, page, printed, said
from kbgen.views.circuit_order import first_points
from kbgen.views.circuit_words import contact_name
from kbgen.views.compose import joined, line_of, sentences
from kbgen.views.kinds import kinds_of

_FIRST = 3
FIND_FIRST = "First Find"
"""Names the procedure that has the gates before the probe, where its title would take two lines."""
_LIFE = re.compile(
    r"\b(?:gas|co|smells?|fumes?|smoke|fire|flames?|fires|burns?|burnt|water|steam|dry|shock|tingl\w*|live|arc\w*|leaves?|"
    r"hurt|headache|dizzy|crack\w*|burst\w*|glow\w*|hot|puff\w*|bang\w*|jumpers?|bridg\w*|wire across|wires? over)\b",
    re.IGNORECASE,
)
"""What a line speaks of that may kill. One word too many only moves a box to the head of its page."""
_OUT = re.compile(
    r"\b(?:smells?|hiss\w*|fumes?|chlorine|co|headaches?|dizzy|smok\w*|alarms?|leaves?|everybody out|everyone out)\b",
    re.IGNORECASE,
)
"""What a line speaks of that sends everybody out before anything is made safe."""


def of_plant(base: KnowledgeBase, plant_id: str) -> list[tuple[Entry, Symptom]]:
    """Return the conditions of a plant that are printed, those of the finder in the order of the run first."""
    plant = base.equipment(plant_id)
    shows = [display.shows.casefold() for display in plant.displays] if plant else []
    found = [(e, s) for e, s in base.of(Symptom, plant=plant_id) if printed(e)]

    def place(each: tuple[Entry, Symptom]) -> tuple[int, str]:
        at = [shows.index(d.casefold()) for d in each[1].displays if d.casefold() in shows]
        return (min(at, default=len(shows)), each[0].ref.id)

    return sorted(found, key=place)


def not_printed(base: KnowledgeBase, plant_id: str) -> list[Entry]:
    """Return the conditions of a plant that nobody vouches for as they stand."""
    return [e for e, _ in base.of(Symptom, plant=plant_id) if not printed(e)]


def dangerous(lines: Sequence[str], language: str = "en") -> bool:
    """Whether any line of a stop box speaks of a danger to life; what cannot be read counts as one.

    >>> dangerous(["No water in sight in the glass"]), dangerous(["The part is not in the van"])
    (True, False)
    """
    if not language.startswith("en"):
        return bool(lines)
    return any(_LIFE.search(line) for line in lines)


def condition_leaf(
    base: KnowledgeBase,
    study: Study,
    plant_id: str,
    plant: Equipment,
    entry: Entry,
    symptom: Symptom,
    sole: frozenset[str],
    hunts: tuple[Ref, ...],
) -> Leaf:
    """Make the page of a condition.

    Args:
        sole: Displays that lead to one page only.
        hunts: The searches along its circuit; the first is named before the meter is.
    """
    likes = tuple(
        (Plain(other.differs), Goto("", Ref(Kind.SYMPTOM, other.symptom))) for other in symptom.look_alikes
    )
    out = tuple(each for each in symptom.stop_and_call if _OUT.search(each))
    return Leaf(
        labels=(str(entry.ref),),
        tab="SEEN",
        title=entry.title,
        large=True,
        condition=Condition(
            displays=symptom.displays,
            immediate=tuple(said(line) for line in symptom.immediate),
            must=symptom.must,
            means=said(symptom.in_short or first_sentences(symptom.means)),
            normal=_normal(base, plant_id, entry, symptom, sole),
            record=symptom.record,
            looks=tuple(
                (
                    said(look.look),
                    said(look.tells),
                    page(Ref(Kind.DEVICE, look.device)) if look.device else (),
                )
                for look in symptom.look_first
            ),
            test=_test(base, study, plant, symptom, hunts[:1]),
            likes=likes,
            stop=(*out, *(each for each in symptom.stop_and_call if each not in out)),
            out_first=out,
            stop_first=bool(symptom.immediate) or dangerous(symptom.stop_and_call, base.shop.language),
            only=only_on(plant, symptom.sizes),
            signs=symptom.behaviours,
        ),
    )


def _normal(base: KnowledgeBase, plant_id: str, entry: Entry, symptom: Symptom, sole: frozenset[str]) -> Line:
    """Say when it is normal; that a display passes is said where it leads to one page, or on the page that bears it.

    On another page with that display it would say of a tripped limit that it passes by itself.
    """
    title = entry.title.casefold()
    shown = {each for each in map(str.casefold, symptom.displays) if each in sole or title.startswith(each)}
    passes = [
        sentences(f"{found.shows} passes by itself in {found.lasts}", found.how_often)
        for found in passing(base, plant_id)
        if found.shows.casefold() in shown and not symptom.normal_when
    ]
    return (*line_of(symptom.normal_when), *said(" ".join(passes)))


def _test(
    base: KnowledgeBase, study: Study, plant: Equipment, symptom: Symptom, first: tuple[Ref, ...]
) -> Line:
    """Say where the meter goes: first the procedure with its gates, then circuit, its first points, and the page."""
    circuit = symptom.circuit
    if not (circuit and study.knows(circuit)):
        return ()
    stage = symptom.stage if any(stage.id == symptom.stage for stage in plant.sequence) else ""
    kinds = kinds_of(study, circuit, stage, symptom.sizes)
    line: list[Span] = [span for ref in first for span in (Goto(FIND_FIRST, ref), Plain(". "))]
    line.append(Plain(base.title(Ref(Kind.CIRCUIT, circuit))))
    if len(kinds) == 1:
        order = study.of(circuit, kinds[0][1]).order
        devices = order.probing.table.devices
        supply = supply_mark(order.probing.table)
        names = [*([supply] if supply in order.probing.points else []), *first_points(order, _FIRST)]
        spans: list[Span] = [
            Plain(f"across {contact_name(base, name)}") if name in devices else Mark(name) for name in names
        ]
        line += [Plain(": "), *joined(spans, " → ")] if spans else []
    return (*line, Goto("", Ref(Kind.CIRCUIT, circuit)))


def finder(
    plant: Equipment, found: Sequence[tuple[Entry, Symptom]], unsigned: Sequence[Entry] = ()
) -> tuple[Grid, ...]:
    """Lead from what the panel shows to a page, and from a sign where it shows nothing of its own.

    A sign that asks for an act at once stands before every display: who has both turns to it first.

    Args:
        unsigned: Conditions that are not printed; they lead to whom to call.
    """
    leads = list(_leads(plant, found))
    shown = {display.casefold() for _, s in found for display in s.displays}
    signs = [e for e, s in found if not s.displays and not s.immediate]
    urgent = [e for e, s in found if not s.displays and s.immediate]
    head = ("Panel shows", "and", "page")
    normal = [d.shows for d in plant.displays if d.normal and d.shows.casefold() not in shown]
    first = (said("Smell, alarm, fire"), said("headache, steam, water: leave now"), page(LEAVE))
    at_once = [(said("First of all"), said(e.title), page(e.ref)) for e in urgent]
    missing = [(said("No page: call"), said(e.title), page(CALL)) for e in unsigned]
    last = [(said("Normal in a run"), joined([Mark(each) for each in normal], "  "), page(RUN))]
    grids = [Grid("", head, (38, 52, 10), (first, *at_once, *leads, *missing, *(last if normal else ())))]
    more = tuple((said(e.title), page(e.ref)) for e in signs)
    if more:
        grids.append(Grid("", ("Seen, heard or smelled", "page"), (90, 10), more))
    return tuple(grids)


def _leads(plant: Equipment, found: Sequence[tuple[Entry, Symptom]]) -> Iterator[tuple[Line, Line, Line]]:
    names = {display.shows.casefold(): display.shows for display in plant.displays}
    means = {display.shows.casefold(): display.means for display in plant.displays if not display.normal}
    for _, symptom in found:
        for display in symptom.displays:
            names.setdefault(display.casefold(), display)
    for key, shows in names.items():
        pages = [(e, s) for e, s in found if key in {d.casefold() for d in s.displays}]
        pages.sort(key=lambda each: not each[0].title.casefold().startswith(key))
        # A hurried reader takes the first line that fits: what is left when nothing else fits comes last.
        general = _general(pages)
        pages.sort(key=lambda each: each[0] is general)
        for at, (entry, _) in enumerate(pages):
            yield ((Mark(shows),) if not at else ()), said(_telling(entry.title, shows)), page(entry.ref)
        if not pages and key in means:
            yield (Mark(shows),), said(means[key]), ()


def _general(pages: Sequence[tuple[Entry, Symptom]]) -> Entry | None:
    """Return the one of several conditions that most of the others send to when they are not the right page."""
    named = Counter(other.symptom for _, symptom in pages for other in symptom.look_alikes)
    ranked = sorted(pages, key=lambda each: -named[each[0].ref.id])
    most = [named[each[0].ref.id] for each in ranked[:2]]
    return ranked[0][0] if len(most) > 1 and most[0] > max(most[1], 1) else None


def _telling(title: str, shows: str) -> str:
    """Return what a title says besides the display."""
    rest = title.removeprefix(shows).strip(" ,:;")
    return rest or title
