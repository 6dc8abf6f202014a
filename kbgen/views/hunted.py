"""A hunt as the ladder of its circuit: the points in the order of tests, what each answer means, where it leads."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from kbgen.compute.circuit.readings import readings
from kbgen.compute.circuit.state import State
from kbgen.compute.circuit.study import Study
from kbgen.link.base import KnowledgeBase
from kbgen.model import action as act
from kbgen.model.answers import answers
from kbgen.model.circuit import Circuit, Contact, Point, reach, return_mark
from kbgen.model.procedure import Procedure, ProcedureStep
from kbgen.ref import Kind, Ref
from kbgen.views.blocks import Box, Goto, Item, Items, Line, Mark, Plain, Step, Table
from kbgen.views.circuit_words import first_upper, word_heads, word_lines
from kbgen.views.compose import line_of
from kbgen.views.fitting import fits_part
from kbgen.views.hunt_words import WRITE_DOWN, between, contacts_of, leads, named

IN_BETWEEN = "In between"


@dataclass(frozen=True, slots=True)
class Hunted:
    """A hunt in short.

    Attributes:
        said: Numbers of the steps that it says.
        rules: What full and none are, in words.
    """

    blocks: tuple[Items | Table, ...]
    said: frozenset[int]
    rules: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Hunt:
    """What the ladder is made of.

    Attributes:
        own: The steps by what they do.
        shown: The same as blocks.
        deeds: What each step does, by its id.
        marks: Points in the order in which they are read.
        goto: Where each step id leads that another card holds, as the steps lead there.
    """

    base: KnowledgeBase
    circuit: Circuit
    back: str
    own: Mapping[str, ProcedureStep]
    shown: Mapping[str, Step]
    deeds: Mapping[str, str]
    marks: tuple[str, ...]
    goto: Mapping[str, Goto]


def hunted(
    base: KnowledgeBase,
    study: Study,
    procedure: Procedure,
    circuit_id: str,
    own: Sequence[ProcedureStep],
    shown: Sequence[Step],
    first: tuple[Hunted, Goto] | None = None,
) -> Hunted | None:
    """Return a hunt in short; nothing where its circuit is not known.

    Args:
        first: An earlier hunt of the page and where it stands; what it has said of volts is not said twice.
    """
    circuit = base.circuit(circuit_id)
    if circuit is None:
        return None
    deeds = {step.id: step.origin.deed for step in own if step.origin}
    marks = tuple(deeds[step.id] for step in own if _is_reading(step))
    hunt = _Hunt(
        base,
        circuit,
        return_mark(circuit.path),
        {deeds[step.id]: step for step in own},
        {deeds[step.id]: each for step, each in zip(own, shown, strict=True)},
        deeds,
        marks,
        {go.anchor.removeprefix("step-"): go for each in shown for go in leads(each)},
    )
    said = [deed for deed in hunt.own if deed in marks or _told(deed, marks)]
    heads, rules = _words(base, study, procedure, circuit_id)
    there = first[1] if first and first[0].rules == rules else None
    return Hunted(
        (_rules(hunt, rules, there), _table(hunt, heads), _after(hunt)),
        frozenset(hunt.shown[deed].number for deed in said),
        rules,
    )


def _is_reading(step: ProcedureStep) -> bool:
    return (
        isinstance(step.action, act.Measure)
        and step.origin is not None
        and step.origin.deed == step.action.at
    )


def _told(deed: str, marks: Iterable[str]) -> bool:
    return (
        deed in ("weak", "no-supply", "fuse", "bridged")
        or deed.startswith(("open.", "fuse."))
        or deed[:-4] in marks
    )


def _words(
    base: KnowledgeBase, study: Study, procedure: Procedure, circuit_id: str
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the heads of the ladder and the rules above it, each size's own where they differ."""
    plants = [plant for name in procedure.equipment if (plant := base.equipment(name)) is not None]
    titles = {size.id: size.title for plant in plants for size in plant.sizes}
    sizes = procedure.sizes or tuple(titles) or ("",)

    def of(size: str) -> tuple[tuple[str, ...], str, str]:
        table = readings(base, circuit_id, State(size=size), pairs=False)
        return word_heads(table), " ".join(word_lines(table, heads=True)), " ".join(word_lines(table))

    found = [study.remembered(("hunt", circuit_id, size), partial(of, size)) for size in sizes]
    heads, short, _ = found[0]
    if all(each == found[0] for each in found):
        return heads, (short,)
    said = (f"{titles.get(size, size)}: {whole}" for size, (_, _, whole) in zip(sizes, found, strict=True))
    return ("Full", "None"), tuple(said)


def _rules(hunt: _Hunt, said: Sequence[str], there: Goto | None) -> Items:
    deciding = _deciding(hunt)
    some, unsure = _usual(deciding, doubt=False), _usual(deciding, doubt=True)
    repeated = any(f"{mark}.low" in hunt.own for mark in hunt.marks)
    how: Line = (
        Plain("In between, or not sure: meter to low impedance, the same point again, black lead on "),
        Mark(hunt.back),
        Plain(". What it reads now counts. Set the meter back. "),
    )
    still = "Still in" if repeated else "In"
    again: Line = (
        *(how if repeated else ()),
        *((Plain(f"{still} between: "), *_meaning(hunt, some), Plain(" ")) if some else ()),
        *((Plain("Still not sure: " if repeated else "Not sure: "), *_to(hunt, unsure)) if unsure else ()),
    )
    points = (part for part in hunt.circuit.path if isinstance(part, Point) and part.point in hunt.marks)
    notes = ((Mark(point.point), Plain(f": {point.note}")) for point in points if point.note)
    volts: list[Line] = [(Plain(line),) for line in said]
    if there:
        volts = [
            (Plain("What full, none and over are, and a loss along the string: as at "), there, Plain("."))
        ]
    return Items(tuple(Item(line) for line in (*volts, *_places(hunt), again, *notes)))


def _places(hunt: _Hunt) -> Iterator[Line]:
    """Say which points lie where and which return goes with them, where a hunt goes over several places."""
    plant = hunt.base.equipment(hunt.circuit.equipment)
    titles = {each.id: each.title for each in plant.places} if plant else {}
    lies = {point.point: place for point, (place, _) in reach(hunt.circuit.path).items()}
    where = dict.fromkeys(lies[mark] for mark in hunt.marks)
    if len(where) < 2:
        return
    said: list[Plain | Mark] = []
    for place in where:
        said.append(Plain(f"{titles.get(place, place)}:"))
        for mark in (mark for mark in lies if mark in hunt.marks and lies[mark] == place):
            said += [Plain(" "), Mark(mark)]
        said.append(Plain(". "))
    yield (
        *said,
        Plain("The black lead hangs on the "),
        Mark(hunt.back),
        Plain(" of the place where you read."),
    )


def _deciding(hunt: _Hunt) -> list[ProcedureStep]:
    """Return the readings that decide: each point's repeat in low impedance; where none is taken, the first."""
    return [hunt.own.get(f"{mark}.low", hunt.own[mark]) for mark in hunt.marks]


def _usual(lows: Iterable[ProcedureStep], *, doubt: bool) -> str:
    """Return where most repeats lead when they decide nothing."""
    goes = Counter(go for low in lows for go in _some(low, doubt=doubt))
    return goes.most_common(1)[0][0] if goes else ""


def _some(low: ProcedureStep, *, doubt: bool) -> list[str]:
    return [each.go for each in answers(low) if each.verdict == "some" and each.doubt is doubt]


def _table(hunt: _Hunt, heads: Sequence[str]) -> Table:
    plant = hunt.base.equipment(hunt.circuit.equipment)
    points = {part.point: part for part in hunt.circuit.path if isinstance(part, Point)}
    usual = _usual(_deciding(hunt), doubt=False)
    return Table(
        caption=f"{hunt.circuit.head.title}: begin at {hunt.marks[0]}, go where it says. Red probe on the point, high impedance",
        head=("Point", *heads, "Read"),
        rows=tuple(_row(hunt, mark, usual) for mark in hunt.marks),
        fits=tuple(
            fits_part(plant, points[mark]) if plant and mark in points else None for mark in hunt.marks
        ),
        anchors=tuple(_row_anchor(hunt, mark) for mark in hunt.marks),
    )


def _row_anchor(hunt: _Hunt, mark: str) -> str:
    return "read-" + hunt.own[mark].id


def _row(hunt: _Hunt, mark: str, usual: str) -> tuple[Line, ...]:
    deciding = hunt.own.get(f"{mark}.low", hunt.own[mark])
    between = "in between" if deciding is hunt.own[mark] else "still in between"
    ways = {each.verdict: each.go for each in answers(deciding) if not each.doubt}
    other = [
        each for each in answers(deciding) if each.verdict == "some" and not each.doubt and each.go != usual
    ]
    nothing = _meaning(hunt, ways.get("none", ""))
    for each in other:
        if each.go == ways.get("none"):
            nothing = (Plain(f"None, or {between}: "), *nothing)
        else:
            when = first_upper(between) if each.when == IN_BETWEEN else each.when
            nothing = (*nothing, Plain(f" {when}: "), *_meaning(hunt, each.go))
    return (
        (Mark(mark),),
        _meaning(hunt, ways.get("full", "")),
        nothing,
        (Box(f"{mark} to {hunt.back}"),),
    )


def _meaning(hunt: _Hunt, step_id: str) -> Line:
    """Say what an answer means: the next point, what is open, or where it leads."""
    deed = hunt.deeds.get(step_id, "")
    if deed in hunt.marks:
        return (Plain("→ "), Goto(deed, None, _row_anchor(hunt, deed)))
    leaf = hunt.own.get(deed.removesuffix(".again"))
    if leaf is None:
        return _to(hunt, step_id)
    told = line_of(leaf.do)
    if told and isinstance(told[-1], Plain):
        told = (*told[:-1], Plain(told[-1].text.removesuffix(WRITE_DOWN)))
    if deed.endswith(".again"):
        told = between(told)
        return _linked(hunt, told, contacts_of(hunt.circuit.path, deed))
    return (
        (*told, Plain(" → "), Goto(hunt.goto[leaf.go].label.split(" ")[0], None, hunt.goto[leaf.go].anchor))
        if leaf.go in hunt.goto
        else told
    )


def _to(hunt: _Hunt, step_id: str) -> Line:
    return (Plain("→ "), hunt.goto[step_id]) if step_id in hunt.goto else ()


def _linked(hunt: _Hunt, told: Line, contacts: Iterable[Contact]) -> Line:
    """Let the name of each device lead to its page, and say on which plants it is."""
    plant = hunt.base.equipment(hunt.circuit.equipment)
    for contact in contacts:
        ref = Ref(Kind.DEVICE, contact.contact)
        title = hunt.base.title(ref)
        fits = fits_part(plant, contact) if plant else None
        told = (*named(told, title, ref), *((Plain(f" Only {fits.said}."),) if fits else ()))
    return told


def _after(hunt: _Hunt) -> Items:
    """Say the reading that confirms what was found, and where each end of the hunt leads."""
    again = next((step for deed, step in hunt.own.items() if deed.endswith(".again")), None)
    if again is None:
        return Items(())
    ways = dict(again.ways)
    then = dict(hunt.own[hunt.deeds[ways["full"]]].ways)
    leaf = hunt.own[hunt.deeds[then["none"]]]
    confirm: Line = (
        Plain("Open between two points: read both once more, in high impedance, never low. "),
        Plain("The one full, the next one nothing: it is open there. Write it down. "),
        *_to(hunt, leaf.go),
        Plain(" Anything else, or not sure: "),
        *_to(hunt, ways["none"]),
    )
    boxes: Line = (
        Plain("Once more: "),
        Box("Both points once more"),
        Plain(" Open contact: "),
        Box("Open contact"),
    )
    return Items((Item(confirm), Item(boxes)))
