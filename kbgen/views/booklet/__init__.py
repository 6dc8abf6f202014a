"""One booklet a plant: its leaves in the order of the book."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import fields, is_dataclass, replace

from kbgen.compute.circuit.study import Study
from kbgen.compute.edition import Edition
from kbgen.compute.review import due
from kbgen.link.base import KnowledgeBase
from kbgen.model import action as act
from kbgen.model.caution import Caution
from kbgen.model.circuit import Circuit
from kbgen.model.device import Device
from kbgen.model.entry import Entry
from kbgen.model.equipment import Equipment
from kbgen.model.people import WHO
from kbgen.model.procedure import Procedure
from kbgen.model.symptom import Symptom
from kbgen.ref import Kind, Ref
from kbgen.text import words
from kbgen.views.blocks import Goto, Line, Plain, Signal
from kbgen.views.booklet import circuits, conditions, devices, sheets, short
from kbgen.views.booklet import plant as of_plant
from kbgen.views.booklet.leaf import (
    BURNING,
    CALL,
    LEAVE,
    MAKE_SAFE,
    METER,
    NEVER,
    OTHERWISE,
    PROOF,
    RECORDS,
    RESETS,
    RESTORE,
    RUN,
    SAFE,
    SETTINGS,
    WHERE,
    Booklet,
    Cards,
    Contents,
    Leaf,
    Part,
    Tick,
    Ticks,
    Warn,
    Words,
    ending_label,
)
from kbgen.views.booklet.say import first_sentences, printed, said
from kbgen.views.notice import NOTICE

__all__ = ["Booklet", "make_booklet"]

Conditions = Sequence[tuple[Entry, Symptom]]
Procedures = Sequence[tuple[Entry, Procedure]]
SPREAD = 2


def make_booklet(base: KnowledgeBase, edition: Edition, study: Study, plant_id: str) -> Booklet | None:
    """Put one plant's booklet together; nothing where the plant is not approved."""
    entry = base.entries.get(Ref(Kind.EQUIPMENT, plant_id))
    plant = base.equipment(plant_id)
    if entry is None or plant is None or not printed(entry):
        return None
    shop = base.shop
    own = words(shop.notice)
    return Booklet(
        plant=plant_id,
        title=entry.title,
        shop=shop.shop,
        key=shop.key,
        language=shop.language.partition("-")[0],
        edition=edition,
        void_after=due(edition.date, shop.review_months),
        notice=f"{NOTICE} {own}" if own else NOTICE,
        sizes=tuple(size.title for size in plant.sizes),
        options=tuple(option.title for option in plant.options),
        call=tuple((call.who, call.reach) for call in shop.call),
        leaves=tuple(_without_idle_endings(_leaves(base, study, plant_id, plant))),
        imprint=tuple(_left_out(base, plant_id)),
    )


def _without_idle_endings(leaves: Iterable[Leaf]) -> Iterator[Leaf]:
    """Leave out the ways to end a job that nothing in the booklet leads to; leaving at once always stands there."""
    whole = tuple(leaves)
    endings = {
        part.label: part for e in whole if e.tab == "ELSE" for part in e.parts if isinstance(part, Ticks)
    }
    led = {ending_label(short.LEAVE_NOW)} | set(_led_to(leaf for leaf in whole if leaf.tab != "ELSE"))
    more = led
    while more:
        more = set(_led_to(endings[each] for each in more if each in endings)) - led
        led |= more
    for leaf in whole:
        kept = tuple(part for part in leaf.parts if not isinstance(part, Ticks) or part.label in led)
        yield replace(leaf, parts=kept) if leaf.tab == "ELSE" else leaf


def _led_to(part: object) -> Iterator[str]:
    """Yield every name that a piece of a leaf leads to."""
    if isinstance(part, Goto):
        yield str(part.page)
    elif isinstance(part, Iterable) and not isinstance(part, str):
        for each in part:
            yield from _led_to(each)
    elif is_dataclass(part):
        for field in fields(part):
            yield from _led_to(getattr(part, field.name))


def _leaves(base: KnowledgeBase, study: Study, plant_id: str, plant: Equipment) -> Iterator[Leaf]:
    found = conditions.of_plant(base, plant_id)
    procedures = [(e, p) for e, p in base.of(Procedure, plant=plant_id) if printed(e) and not p.derived]
    strings = [(e, c) for e, c in base.of(Circuit, plant=plant_id) if printed(e)]
    parts = [(e, d) for e, d in base.of(Device, plant=plant_id) if printed(e)]
    safe, finds, back = _principal(found, procedures)
    yield Leaf((LEAVE,), "LEAVE", "Leave now", tuple(sheets.leave_now(base.shop)))
    yield Leaf((), "LEAVE", "First aid", (*sheets.first_aid(), Contents("Where to turn")))
    yield Leaf(
        (METER,), "METER", "Volts: full, none, in between", (*circuits.meter(study, strings), *_live(plant))
    )
    finder = conditions.finder(plant, found, conditions.not_printed(base, plant_id))
    yield Leaf(("finder",), "FIND", "What the panel shows", finder, spread=True)
    yield Leaf((WHERE,), "PLACE", "Where things are", tuple(of_plant.where(base, plant_id, plant)))
    yield from _safe(base, plant, safe, finds, back)
    never = (*_never(base, plant_id), *of_plant.also_stops(plant))
    if never:
        yield Leaf((NEVER,), "NEVER", "Never", never)
    yield Leaf((RUN,), "RUN", "One normal cycle", tuple(of_plant.run(plant)))
    hunts = {entry.ref.id: _hunts(entry.ref.id, finds, procedures) for entry, _ in strings}
    leads = Counter(display.casefold() for _, s in found for display in s.displays)
    sole = frozenset(display for display, pages in leads.items() if pages == 1)
    for entry, symptom in found:
        first = hunts.get(symptom.circuit, ())
        yield conditions.condition_leaf(base, study, plant_id, plant, entry, symptom, sole, first)
    for entry, circuit in strings:
        title = f"{entry.title}, {circuit.supply.volts}"
        yield Leaf(
            (str(entry.ref),), "CIRCUIT", title, (circuits.ladder(study, plant, circuit),), spread=True
        )
        yield Leaf(
            (),
            "CIRCUIT",
            entry.title,
            tuple(circuits.order(study, entry.ref.id, hunts[entry.ref.id])),
            joins=True,
        )
    named = devices.named(found)
    for chosen, gives in ((True, 0), (False, 3)):
        cards = tuple(devices.card(plant, e, d) for e, d in parts if (e.ref.id in named) is chosen)
        if cards:
            title = "Devices" if chosen else "Devices, more"
            yield Leaf((title,), "PARTS", title, (Cards(cards),), gives=gives)
    yield Leaf((RESETS,), "RESET", "Resets, and what a press costs", tuple(of_plant.resets(base.shop, plant)))
    yield Leaf((SETTINGS,), "SET", "Settings", tuple(of_plant.settings(plant)))
    proofs = tuple(devices.proofs(base, plant_id, plant, parts))
    if proofs:
        yield Leaf((PROOF,), "PROOF", "Proofs", proofs, gives=2, joins=True)
    yield from _others(base, found, procedures, {e.ref for e, _ in (*safe, *finds, *back)})
    yield Leaf((RECORDS,), "WRITE", "Records", tuple(sheets.records(plant)))
    yield Leaf((BURNING,), "GAS", "Combustion and gas", tuple(sheets.burning()))
    yield Leaf((CALL,), "CALL", "Whom to call", tuple(sheets.whom_to_call(base.shop)))


def _hunts(circuit: str, finds: Procedures, procedures: Procedures) -> tuple[Ref, ...]:
    """Return the searches along a circuit: the one that is printed, else all."""
    found = tuple(e.ref for e, p in finds if circuit in _hunted(p))
    return found or tuple(e.ref for e, p in procedures if circuit in _hunted(p))


def _principal(found: Conditions, procedures: Procedures) -> tuple[Procedures, Procedures, Procedures]:
    """Return the procedures that make safe, find and return: of each kind the one that conditions name most."""
    safe = Counter(s.make_safe for _, s in found if s.make_safe)
    named = Counter(name for _, s in found for name in s.procedures)

    def most(chosen: Procedures, count: Counter[str]) -> Procedures:
        ranked = sorted(chosen, key=lambda each: (-count[each[0].ref.id], each[0].ref.id))
        return ranked[:1]

    locks = [each for each in procedures if _locked(each[1]) and each[0].ref.id in safe]
    strings = Counter(s.circuit for _, s in found if s.circuit)
    reads = [each for each in procedures if (_hunted(each[1]) or _reads(each[1])) and not _dead(each[1])]
    reads.sort(key=lambda each: (-strings[each[1].circuit], not _hunted(each[1])))
    hunts = [
        e
        for e in reads
        if (e[1].circuit, bool(_hunted(e[1]))) == (reads[0][1].circuit, bool(_hunted(reads[0][1])))
    ]
    back = [each for each in procedures if _returns(each[1])]
    return most(locks, safe), most(hunts, named), most(back, named)


def _locked(procedure: Procedure) -> bool:
    return any(isinstance(step.action, act.ProveDead) for step in procedure.steps)


def _reads(procedure: Procedure) -> bool:
    """Whether a page that its author wrote step by step reads along a circuit, live."""
    volts = [s for s in procedure.steps if isinstance(s.action, act.Measure) and s.action.measure == "volts"]
    return bool(procedure.circuit) and len(volts) > SPREAD


def _dead(procedure: Procedure) -> bool:
    return any(step.origin and step.origin.routine == "hunt_dead" for step in procedure.steps)


def _returns(procedure: Procedure) -> bool:
    ends = (step.action.end for step in procedure.steps if isinstance(step.action, act.End))
    return "returned-to-service" in ends


def _hunted(procedure: Procedure) -> frozenset[str]:
    return frozenset(s.origin.circuit for s in procedure.steps if s.origin and s.origin.circuit)


def _safe(
    base: KnowledgeBase, plant: Equipment, safe: Procedures, finds: Procedures, back: Procedures
) -> Iterator[Leaf]:
    """Yield the leaves of isolating, finding, restoring, and of what else may come of it."""
    asked: list[str] = []
    later: list[str] = []
    for _, procedure in safe:
        stopped = False
        for step in procedure.steps:
            if step.origin and step.origin.routine == "arrive" and not step.origin.ending:
                (later if stopped else asked).append(step.origin.deed)
            stopped = stopped or bool(step.origin and step.origin.routine == "burner_off")
    proved = frozenset(
        step.action.prove_dead
        for _, procedure in safe
        for step in procedure.steps
        if isinstance(step.action, act.ProveDead)
    )
    yield Leaf(
        (SAFE,),
        "SAFE",
        "Isolate all of these",
        (
            *of_plant.before_anything(plant, asked, later),
            *of_plant.energies(plant, proved),
        ),
        note=of_plant.padlocks(plant),
    )
    for chosen, label in ((safe, MAKE_SAFE), (finds, ""), (back, RESTORE)):
        for entry, procedure in chosen:
            yield _form(base, entry, procedure, "SAFE", label)
    endings = short.endings(base, plant)
    if endings:
        yield Leaf((OTHERWISE,), "ELSE", "If it does not fit", endings)


def _form(
    base: KnowledgeBase, entry: Entry, procedure: Procedure, tab: str, label: str, gives: int = 0
) -> Leaf:
    who = WHO.get(procedure.who, procedure.who)
    needs = [
        who,
        *(["a second person"] if procedure.second_person else []),
        procedure.permission,
        procedure.meter,
    ]
    form = short.short_form(base, procedure, whole=not gives)
    return Leaf(
        labels=tuple(filter(None, (str(entry.ref), label))),
        tab=tab,
        title=entry.title,
        note=". ".join(part[:1].upper() + part[1:].rstrip(".") for part in needs if part) + ".",
        parts=short.until_safe(form) if label == MAKE_SAFE else form,
        # Making safe, finding and bringing back are printed however long they are: nobody does them from memory.
        most=SPREAD if gives else 0,
        gives=gives,
        large=gives == 0,
    )


def _others(base: KnowledgeBase, found: Conditions, procedures: Procedures, done: set[Ref]) -> Iterator[Leaf]:
    """Yield the other procedures, those that conditions name most first: the last are the first to give."""
    named = Counter(name for _, s in found for name in s.procedures)
    rest = [each for each in procedures if each[0].ref not in done]
    for entry, procedure in sorted(rest, key=lambda each: (-named[each[0].ref.id], each[0].ref.id)):
        yield _form(base, entry, procedure, "MORE", "", gives=1)


_SIGNALS = {signal: at for at, signal in enumerate(Signal)}


def _never(base: KnowledgeBase, plant_id: str) -> Iterator[Part]:
    """Say each caution of the plant in one line, the deadliest first."""
    found = [
        (e, c)
        for e, c in base.of(Caution)
        if (not c.equipment or plant_id in c.equipment) and not e.head.withdrawn
    ]
    found.sort(key=lambda each: (_SIGNALS[Signal(each[1].signal)], each[0].ref.id))
    for signal in Signal:
        lines: list[Line] = [
            (Plain(f"{c.never_line or first_sentences(c.avoid, 1)}"),) for _, c in found if c.signal == signal
        ]
        if lines:
            yield Words(str(signal), tuple(lines))


def _live(plant: Equipment) -> Iterator[Part]:
    """Say what live readings behind each cover need."""
    rows = tuple(
        Tick(
            (Plain(f"{cover.title}: "), *said(cover.words.live.do)),
            answer=cover.words.live.expect,
            role="gate",
        )
        for cover in plant.covers
        if cover.words.live
    )
    yield Warn(said("Read live only by who is qualified, fuel shut at the burner."))
    if rows:
        yield Ticks("Before a live reading", rows)


def _left_out(base: KnowledgeBase, plant_id: str) -> Iterator[str]:
    """Say which entries of the plant are not printed because nobody vouches for them as they stand."""
    kinds = {
        Kind.SYMPTOM: "condition",
        Kind.DEVICE: "device",
        Kind.CIRCUIT: "circuit",
        Kind.PROCEDURE: "procedure",
    }
    left: dict[str, list[str]] = {}
    for ref, entry in base.entries.items():
        if ref.kind not in kinds or plant_id not in entry.plants or printed(entry):
            continue
        if isinstance(entry.record, Procedure) and entry.record.derived:
            continue
        left.setdefault(kinds[ref.kind], []).append(entry.title)
    if left:
        said_ = ", ".join(
            f"{what} {names[0]}" if len(names) == 1 else f"{len(names)} {what}s"
            for what, names in left.items()
        )
        yield f"Not printed, because not signed as they stand: {said_}. Who meets one opens nothing and calls."
