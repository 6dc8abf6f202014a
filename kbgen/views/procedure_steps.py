"""The steps of a procedure as blocks, whatever they are laid out in."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from typing import assert_never

from kbgen.compute.cautions import Placed, place_cautions
from kbgen.compute.walk import Walk
from kbgen.link.action_names import pair
from kbgen.link.base import KnowledgeBase
from kbgen.model import action as act
from kbgen.model.answers import answers, question
from kbgen.model.procedure import Procedure, ProcedureStep, places_of
from kbgen.model.wording import in_region, spoken
from kbgen.ref import Kind, Ref
from kbgen.text import words as text_of
from kbgen.views.blocks import Choice, Fact, Goto, Mark, Picture, Plain, Step
from kbgen.views.compose import device_line, fact, goto, notice

ENDS = {
    "returned-to-service": "returned to service.",
    "left-safe": "left safe and tagged.",
    "unsafe-left-off": "unsafe, left off and locked.",
    "handed-over": "handed over.",
    "not-reproduced": "the fault did not show itself. Say so in the record.",
    "evacuated": "everybody out. The next visit first clears what was left behind.",
    "found": "found. The plant stays as it is now for what comes next.",
}
WHY = "Why"
TAG = "The tag says, as far as it is so"
TAG_HANGS = "Does the tag hang at the plant, and does the record say the same?"
_WORD = re.compile(r"[^\s.,;:!?()]+")
METERS = {"high-impedance": "", "low-impedance": "meter in low impedance"}

To = Callable[[str], Goto]
"""Leads to a step by its id, under the words that its page has for it."""


def by_number(procedure: Procedure) -> To:
    """Lead to a step under its number on the page."""
    numbers = {step.id: number for number, step in enumerate(procedure.steps, start=1) if step.id}
    return lambda step_id: Goto(f"step {numbers.get(step_id, 0)}", None, anchor_of(step_id))


def steps_of(base: KnowledgeBase, procedure: Procedure, walk: Walk | None, to: To) -> tuple[Step, ...]:
    """Return the steps in their order; ``walk`` tells the plant's state before every one."""
    anchors = step_anchors(procedure)
    cautions = place_cautions(base, procedure)
    states = _states(walk, _short_names(base, procedure)) if walk else [""] * len(procedure.steps)
    tags = {each.step: each.tag for each in walk.contract.leaves} if walk else {}
    return tuple(
        _step(
            base,
            procedure,
            step,
            number,
            anchors[number - 1],
            cautions[number - 1],
            to,
            states[number - 1],
            tags.get(number - 1, ()),
        )
        for number, step in enumerate(procedure.steps, start=1)
    )


def _step(
    base: KnowledgeBase,
    procedure: Procedure,
    step: ProcedureStep,
    number: int,
    anchor: str,
    cautions: tuple[Placed, ...],
    to: To,
    state: str,
    tag: tuple[str, ...],
) -> Step:
    messages = (notice(base, placed.ref, placed.brief) for placed in cautions)
    return Step(
        number=number,
        anchor=anchor,
        text=step.do,
        cautions=tuple(message for message in messages if message is not None),
        expect=step.expect,
        details=_details(base, procedure, step, tag),
        write_in=step.note_down,
        question=question(step),
        choices=tuple(Choice(answer.when, to(answer.go)) for answer in answers(step)),
        then=to(step.go) if step.go else None,
        end=_end(step),
        state=state,
        minutes=step.minutes.text if step.minutes else "",
        pictures=tuple(Picture(photo.file, photo.alt, photo.caption) for photo in step.photos),
    )


def _short_names(base: KnowledgeBase, procedure: Procedure) -> dict[str, str]:
    """Name a source by what stands before its comma, where no other source of the plants begins so."""
    plants = [plant for name in procedure.equipment if (plant := base.equipment(name)) is not None]
    titles = {source.title for plant in plants for source in plant.sources}
    begins = Counter(_begin(title) for title in titles)
    return {title: _begin(title) for title in titles if begins[_begin(title)] == 1}


def _begin(title: str) -> str:
    return title.partition(", ")[0]


def _states(walk: Walk, short: dict[str, str]) -> list[str]:
    """Say the plant's state where it changes: the same line on twelve steps is read on none."""
    lines = [
        " · ".join(
            replace(condition, items=tuple(short.get(item, item) for item in condition.items)).line()
            for condition in conditions
        )
        for conditions in walk.before
    ]
    return [now if now != before else "" for before, now in zip(["", *lines], lines, strict=False)]


def step_anchors(procedure: Procedure) -> tuple[str, ...]:
    """Return the anchor of every step on its page."""
    return tuple(map(anchor_of, places_of(procedure)))


def anchor_of(step_id: str) -> str:
    """Return the anchor of a step that has an id."""
    return f"step-{step_id}"


def _end(step: ProcedureStep) -> str:
    match step.action:
        case act.End(end=end):
            return ENDS[end]
        case act.HandOver():
            return ENDS["handed-over"]
    return ""


def _details(
    base: KnowledgeBase, procedure: Procedure, step: ProcedureStep, tag: tuple[str, ...]
) -> tuple[Fact, ...]:
    # Who leaves in danger hangs no tag and is asked for none; the next visit finds out.
    if isinstance(step.action, act.End) and step.action.end == "evacuated":
        tag = ()
    rows = [fact(WHY, step.why), fact(TAG, *tag, TAG_HANGS if tag else None)]
    rows += _of_action(base, procedure, step)
    return tuple(row for row in rows if row is not None)


def _of_action(base: KnowledgeBase, procedure: Procedure, step: ProcedureStep) -> list[Fact | None]:
    match action := step.action:
        case act.Measure():
            return [*_reading(base, action, METERS[action.meter]), fact("At", action.place)]
        case act.Watch():
            return [*_reading(base, action, ""), fact("For", action.for_.text if action.for_ else None)]
        case act.ProveDead():
            return [
                fact("Live, dead, live", action.known_source or "A known source before and after"),
                fact("Between", *pairs_of(base, procedure, action)),
            ]
        case act.ProveGone():
            return [
                fact("It shows by", action.by),
                fact("Point", _fuel_points(base, procedure, (action.point,))),
            ]
        case act.Clip():
            return [
                fact("Leads", _marks(" to ", action.at, action.to)),
                fact("Tag it", (Mark(spoken(action.clip)),)),
            ]
        case act.Fit():
            return [
                fact("Tag it", (Mark(spoken(action.name)),)),
                fact("Between", _marks(" and ", action.from_, action.to)),
                fact("At", action.at or _fuel_points(base, procedure, (action.point,))),
            ]
        case act.Undo(undo=name):
            return [fact("Tag", (Mark(spoken(name)),))]
        case act.Unclip(unclip=meters):
            return [fact("Tags", *((Mark(spoken(name)),) for name in meters))]
        case act.End(next=following):
            return [
                fact("The label says", action.label),
                fact("Give in writing", action.notice),
                fact("Tell", action.tell),
                _go_on(base, following),
            ]
        case act.HandOver(next=following):
            return [
                _unsaid(step, "To", action.hand_over),
                fact("Leads that may still be on", *((Mark(spoken(name)),) for name in action.still_on)),
                _go_on(base, following),
            ]
        case act.Wait():
            return [fact("Wait", action.wait.text), _unsaid(step, "For", action.for_)]
        case act.Adjust():
            return [fact("Setting", f"from {action.from_} to {action.to}"), fact("Watch", action.gauge)]
        case act.CheckReal(check_real=device_id):
            return _check(base, device_id)
        case act.LeakCheck(leak_check=points):
            return [
                fact("Points", _fuel_points(base, procedure, points)),
                fact("With", "Pumped air" if action.with_ == "air" else None),
            ]
        case act.OpenGasTrain(open_gas_train=point) | act.Cap(cap=point):
            return [fact("Point", _fuel_points(base, procedure, (point,)))]
        case act.Guard():
            return [fact("Guard", action.with_)]
        case act.TryStart(try_start=what):
            return [fact("Try", what)]
        case act.Replace(replace=device_id):
            return [fact("Device", device_line(base, device_id))]
        case act.Identify():
            return [_unsaid(step, "Right is", action.identify)]
        case act.Inform():
            return [_unsaid(step, "Tell", action.inform)]
        case act.StartDemand(start_demand=how) | act.StopDemand(stop_demand=how):
            return [_unsaid(step, "How", how)]
        case act.Inspect(inspect=part):
            return [None if base.device(part) else _unsaid(step, "Look at", part)]
        case act.Record() | act.Isolate() | act.Lock() | act.Unlock() | act.Restore():
            return []  # their words say it all
        case act.OpenCover() | act.CloseCover() | act.ShutValve() | act.OpenValve() | act.WorkIn():
            return []
        case act.Hold() | act.ProveTrip() | act.Reset() | act.FindCause() | act.Observe() | None:
            return []
        case _:
            assert_never(action)


def _unsaid(step: ProcedureStep, label: str, words: str) -> Fact | None:
    """Say what an action names, unless every word of it stands in the instruction: nobody reads it twice."""
    said = set(_WORD.findall(text_of(step.do).casefold()))
    return None if said.issuperset(_WORD.findall(words.casefold())) else fact(label, words)


def _go_on(base: KnowledgeBase, following: str) -> Fact | None:
    return fact("Go on with", (goto(base, Ref(Kind.PROCEDURE, following)),)) if following else None


def _reading(base: KnowledgeBase, action: act.Measure | act.Watch, meter: str) -> list[Fact | None]:
    clipped = action.leads == "clipped-dead" and (action.at or action.across)
    return [
        fact("Leads", _marks(" to ", action.at, action.to), meter or None),
        fact("Across", device_line(base, action.across) if action.across else None),
        fact("Hands", "Clip the leads on while dead, hands clear" if clipped else None),
        fact("Right is", action.reads),
    ]


def _marks(between: str, *marks: str) -> tuple[Mark | Plain, ...] | None:
    shown = [Mark(mark) for mark in marks if mark]
    return (shown[0], Plain(between), shown[1]) if len(shown) == 2 else tuple(shown) or None


def pairs_of(base: KnowledgeBase, procedure: Procedure, action: act.ProveDead) -> list[str]:
    """Say every pair: each conductor of the source to every other and to earth, then the author's own."""
    plants = [plant for name in procedure.equipment if (plant := base.equipment(name)) is not None]
    sources = (each for plant in plants for each in plant.sources if each.id == action.prove_dead)
    needed = next((source.pairs for source in sources if source.conductors), ())
    said = {frozenset(ends) for ends in map(pair, action.between) if ends}
    region = plants[0].region if plants else ""
    more = [f"{one} to {other}" for one, other in needed if frozenset((one, other)) not in said]
    # The end of a pair is a name, and earth has one of its own in each region.
    return [
        in_region(each, region) if each.endswith(" to earth") else each for each in (*more, *action.between)
    ]


def _fuel_points(base: KnowledgeBase, procedure: Procedure, names: tuple[str, ...]) -> str:
    plants = (base.equipment(name) for name in procedure.equipment)
    titles = {point.id: point.title for plant in plants if plant for point in plant.fuel_points}
    return "; ".join(titles.get(name, name) for name in names if name)


def _check(base: KnowledgeBase, device_id: str) -> list[Fact | None]:
    device = base.device(device_id)
    rows = [fact("Device", device_line(base, device_id))]
    if device is not None and device.independent_check is not None:
        check = device.independent_check
        rows += [
            fact("Check with", check.with_),
            fact("Real trip", check.real),
            fact("False trip", check.false),
            fact("Not sure", "Treat it as real."),
        ]
    return rows
