"""A procedure that was written out from the plant's entry, laid out in cards.

Each routine is a card, each run of the author's own steps, and each way for the job to end. Answers lead to cards
under their names, so that nobody counts steps.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import groupby

from kbgen.compose.words import lower
from kbgen.compute.circuit.study import Study
from kbgen.compute.walk import Walk
from kbgen.link.base import KnowledgeBase
from kbgen.model.procedure import Origin, Procedure, ProcedureStep
from kbgen.model.routine import BY_NAME
from kbgen.model.wording import OR_NOT_SURE
from kbgen.ref import Ref
from kbgen.views.blocks import (
    Choice,
    Fact,
    Folded,
    Goto,
    Item,
    Items,
    Line,
    Notice,
    Plain,
    Signal,
    Span,
    Step,
)
from kbgen.views.called import calls, minutes_of
from kbgen.views.card import Called, Card, Tick
from kbgen.views.card_groups import OWN, Group, groups_of, labels_of, name_groups
from kbgen.views.compose import line_of
from kbgen.views.hunted import Hunted, hunted
from kbgen.views.hunted_dead import hunted_dead
from kbgen.views.procedure_steps import TAG, WHY, anchor_of, step_anchors, steps_of

NOT_SURE = "Not sure"
_SHORT = 4
"""Lines of an ending that stand in sight whatever they are; more of them open from what they come to."""


def cards_of(
    base: KnowledgeBase, ref: Ref, procedure: Procedure, walk: Walk | None, study: Study
) -> tuple[tuple[Card | Called, ...], tuple[Card, ...]]:
    """Return the cards of the way through, and those of the ways for the job to end."""
    groups = groups_of(procedure.steps)
    name_groups(base, procedure, groups)
    labels = labels_of(procedure, groups)
    steps = steps_of(
        base, procedure, walk, lambda step_id: Goto(labels.get(step_id, ""), None, anchor_of(step_id))
    )
    shown = ""
    hunts: dict[str, tuple[Hunted, Goto]] = {}
    tags: dict[Fact, str] = {}
    cards = []
    for group in groups:
        card = _card(base, procedure, study, group, steps, hunts)
        state = next((steps[k].state for k in range(group.at[0], -1, -1) if steps[k].state), "")
        if not group.origin.ending and state != shown:
            card, shown = replace(card, state=state), state
        cards.append(_tag_once(card, tags))
    cards = _branches(cards)
    way = sum(not group.origin.ending for group in groups)
    return calls(base, ref, procedure, walk, groups, cards[:way]), tuple(cards[way:])


def _branches(cards: Sequence[Card]) -> list[Card]:
    """Put a second hunt that only an answer leads to behind a line: two ladders in sight are mixed up."""
    found = list(cards)
    hunts = [at for at, card in enumerate(cards) if card.every]
    for at in hunts[1:]:
        first = (*cards[at].steps, *cards[at].every)[0].anchor
        answers = [
            (card, choice.outcome)
            for card in cards[:at]
            for step in card.steps
            for choice in step.choices
            if choice.goto.anchor == first
        ]
        before = (*cards[at - 1].every, *cards[at - 1].steps)[-1]
        if len(answers) == 1 and (before.then or before.end or before.choices):
            card, outcome = answers[0]
            brief = (
                Plain("Only from "),
                Goto(card.name, None, card.anchor),
                Plain(f", where the answer was {outcome}."),
            )
            found[at] = replace(cards[at], brief=brief, behind=f"Its points, {len(cards[at].every)} steps")
    return found


def _card(
    base: KnowledgeBase,
    procedure: Procedure,
    study: Study,
    group: Group,
    steps: Sequence[Step],
    hunts: dict[str, tuple[Hunted, Goto]],
) -> Card:
    anchor = f"card-{group.name.lower()}"
    anchors = step_anchors(procedure)
    own = [procedure.steps[index] for index in group.at]
    here = [steps[index] for index in group.at]
    circuit = group.origin.circuit
    hunt = None
    if group.origin.routine == "hunt_dead":
        hunt = hunted_dead(base, circuit, own, here)
    elif circuit:
        hunt = hunted(base, study, procedure, circuit, own, here, next(iter(hunts.values()), None))
        if hunt:
            hunts[group.name] = (hunt, Goto(group.name, None, anchor))
    lines = [step for step in here if hunt is None or step.number not in hunt.said]
    reasoned = {shown.number for step, shown in zip(own, here, strict=True) if _by_author(step, group)}
    ticks = _ticks(
        [
            _line(step, lines, line, step.number in reasoned, timed=not group.title)
            for line, step in enumerate(lines)
        ],
        own,
        group,
    )
    return Card(
        name=group.name,
        title=group.title,
        anchor=anchor,
        ticks=ticks,
        brief=_brief(ticks) if group.origin.ending else (),
        behind=f"All {len(here)} steps" if group.origin.ending else "",
        cautions=_once(notice for step in here for notice in step.cautions),
        minutes="" if hunt or not group.title else minutes_of(own),
        blocks=hunt.blocks if hunt else (),
        every=tuple(
            _numbered(step, dict(zip(anchors, steps, strict=True)), here)
            for step in here
            if hunt and step.number in hunt.said
        ),
    )


def _ticks(lines: Sequence[Step], own: Sequence[ProcedureStep], group: Group) -> tuple[Tick, ...]:
    """Put each step on a line of its own; where the job ends a routine is one line, as far as it asks nothing."""
    if not lines or not (group.origin.ending or (group.origin.routine and lines[-1].end)):
        return tuple(Tick((line,)) for line in lines)
    ticks: list[Tick] = []
    last: Origin | None = None
    for line, step in zip(lines, own, strict=True):
        origin = step.origin or OWN
        title = BY_NAME[origin.routine].title if origin.routine else ""
        if (
            title
            and last
            and (last.at, last.routine) == (origin.at, origin.routine)
            and not ticks[-1].steps[-1].choices
        ):
            ticks[-1] = replace(ticks[-1], steps=(*ticks[-1].steps, line))
        else:
            ticks.append(Tick((line,), title))
        last = origin
    return tuple(ticks)


def _brief(ticks: Sequence[Tick]) -> Line:
    """Say what an ending comes to, in its order: routines by their titles, own steps by their words; empty for a short one."""
    if len(ticks) <= _SHORT and not any(tick.title for tick in ticks):
        return ()
    said: list[Span] = []
    for routine, several in groupby(ticks[:-1], lambda tick: bool(tick.title)):
        together = tuple(several)
        if routine:
            first, *more = (tick.title for tick in together)
            said.append(Plain(f"{', then '.join([first, *map(lower, more)])}. "))
        else:
            said += [span for tick in together for span in (*line_of(tick.steps[0].text), Plain(" "))]
    last = ticks[-1].steps[-1]
    then = (Plain(" → "), last.then) if last.then else ()
    return (*said, Plain("Then: "), *line_of(last.text), *then)


def _by_author(step: ProcedureStep, group: Group) -> bool:
    """Whether what a step says of its reason is its author's."""
    return not group.origin.routine or (step.origin or OWN).because


def _line(step: Step, lines: Sequence[Step], line: int, own: bool, *, timed: bool) -> Step:
    """Return a step as a line of its card: what stands on the card is not said again; only an author says why.

    Args:
        timed: Whether it says how long it takes, because its card has no head to say it in.
    """
    near = {each.anchor: f"line {at}" for at, each in enumerate(lines, start=1)}
    if line + 1 < len(lines):
        near[lines[line + 1].anchor] = "next line"
    choices = tuple(Choice(each.outcome, _near(each.goto, near)) for each in step.choices)
    then = _near(step.then, near) if step.then else None
    details = step.details if own else tuple(row for row in step.details if row.label != WHY)
    if timed and step.minutes:
        details = (*details, Fact("Time", ((Plain(step.minutes),),)))
    return replace(
        step, cautions=(), state="", minutes="", choices=_together(choices), then=then, details=details
    )


def _numbered(step: Step, at: dict[str, Step], here: Sequence[Step]) -> Step:
    """Return a step of the full list, which leads to others of the list by their numbers."""
    numbers = {each.anchor: f"step {each.number}" for each in here if each.anchor in at}
    choices = tuple(Choice(each.outcome, _near(each.goto, numbers)) for each in step.choices)
    return replace(step, cautions=(), choices=choices, then=_near(step.then, numbers) if step.then else None)


def _near(goto: Goto, labels: dict[str, str]) -> Goto:
    return replace(goto, label=labels[goto.anchor]) if goto.anchor in labels else goto


def _together(choices: tuple[Choice, ...]) -> tuple[Choice, ...]:
    """Put being not sure to the answer that leads to the same place."""
    doubt = next((each for each in choices if each.outcome == NOT_SURE), None)
    other = next((each for each in choices if doubt and each != doubt and each.goto == doubt.goto), None)
    if doubt is None or other is None:
        return choices
    joined = Choice(OR_NOT_SURE.format(other.outcome), other.goto)
    return tuple(joined if each == other else each for each in choices if each != doubt)


def _once(notices: Iterable[Notice]) -> tuple[Notice, ...]:
    """Keep each caution once, in full where it is full somewhere; the worst first."""
    found: dict[object, Notice] = {}
    for notice in notices:
        if notice.ref not in found or (found[notice.ref].brief and not notice.brief):
            found[notice.ref] = notice
    return tuple(sorted(found.values(), key=lambda notice: list(Signal).index(notice.signal)))


def _tag_once(card: Card, tags: dict[Fact, str]) -> Card:
    """Move what a tag says behind a line that opens it; where it stood before, only say where.

    Args:
        tags: What tags have said so far, and on which card.
    """
    said = next((row for step in card.steps for row in step.details if row.label == TAG), None)
    if said is None:
        return card
    hangs = Fact("Tag", said.lines[-1:])
    more: tuple[Folded, ...] = (Folded(TAG, (Items(tuple(Item(line) for line in said.lines[:-1])),)),)
    if said in tags:
        hangs, more = (
            Fact("Tag", ((Plain(f"As at {tags[said]}: at the plant, and the same in the record"),),)),
            (),
        )
    else:
        tags[said] = card.name
    ticks = tuple(
        replace(
            tick,
            steps=tuple(
                replace(s, details=tuple(hangs if r == said else r for r in s.details)) for s in tick.steps
            ),
        )
        for tick in card.ticks
    )
    return replace(card, ticks=ticks, blocks=(*card.blocks, *more))
