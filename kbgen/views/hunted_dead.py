"""A hunt with ohms as the ladder of its contacts: what closed and open mean for each, and where it leads."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kbgen.link.base import KnowledgeBase
from kbgen.model import action as act
from kbgen.model.answers import answers
from kbgen.model.procedure import ProcedureStep
from kbgen.ref import Kind, Ref
from kbgen.views.blocks import Box, Goto, Item, Items, Line, Mark, Plain, Step, Table
from kbgen.views.compose import line_of
from kbgen.views.hunt_words import THAT_IS, WRITE_DOWN, leads, named
from kbgen.views.hunted import Hunted
from kbgen.views.procedure_steps import anchor_of


@dataclass(frozen=True, slots=True)
class _Dead:
    """What the ladder is made of.

    Attributes:
        own: The steps, by their ids.
        read: Those that read, in their order.
        goto: Where each step id leads that another card holds.
    """

    base: KnowledgeBase
    own: Mapping[str, ProcedureStep]
    read: tuple[ProcedureStep, ...]
    goto: Mapping[str, Goto]


def hunted_dead(
    base: KnowledgeBase, circuit_id: str, own: Sequence[ProcedureStep], shown: Sequence[Step]
) -> Hunted:
    """Return a hunt with ohms in short; every step of it stands in the ladder."""
    hunt = _Dead(
        base,
        {step.id: step for step in own},
        tuple(step for step in own if isinstance(step.action, act.Measure)),
        {go.anchor: go for each in shown for go in leads(each)},
    )
    first_contact = next(
        step for step in hunt.read if isinstance(step.action, act.Measure) and step.action.across
    )
    closed, opened, between, unsure = _ways(first_contact)
    heads = ("Across", f"{closed[0]}: closed", f"{opened[0]}: open", "Read")
    rules: Line = (
        Plain("Meter to ohms, one lead on each of the two points. "),
        Plain(f"{between[0]}: "),
        *_meaning(hunt, between[1]),
        Plain(f" {unsure[0]}: "),
        *_meaning(hunt, unsure[1]),
    )
    first = _points(hunt.read[0])
    found: Line = (
        Plain("Open, or in between: write it down. "),
        *_on(hunt, hunt.own[opened[1]].go),
        Plain(" "),
        Box("Open contact"),
    )
    table = Table(
        caption=f"{base.title(Ref(Kind.CIRCUIT, circuit_id))}: begin at {''.join(each.text for each in first)}, "
        "go where it says",
        head=heads,
        rows=tuple(_row(hunt, step, closed[0]) for step in hunt.read),
        anchors=tuple(_row_anchor(step) for step in hunt.read),
    )
    return Hunted(
        (Items((Item(rules),)), table, Items((Item(found),))), frozenset(step.number for step in shown), ()
    )


def _ways(step: ProcedureStep) -> list[tuple[str, str]]:
    """Return the answers of a reading: closed, open, in between, not sure."""
    return [(each.when, each.go) for each in answers(step)]


def _row_anchor(step: ProcedureStep) -> str:
    return "read-" + step.id


def _points(step: ProcedureStep) -> tuple[Mark | Plain, ...]:
    one, _, other = step.note_down.partition(" to ")
    return (Mark(one), Plain(" to "), Mark(other))


def _row(hunt: _Dead, step: ProcedureStep, head: str) -> tuple[Line, ...]:
    """Return the row of a reading; a fuse is whole or not, so that nothing of it lies in between.

    Args:
        head: What closed is called above the table.
    """
    closed, opened, *_ = _ways(step)
    goes_on, told = _meaning(hunt, closed[1]), _meaning(hunt, opened[1])
    if isinstance(step.action, act.Measure) and step.action.across:
        device = Ref(Kind.DEVICE, step.action.across)
        told = named(told, hunt.base.title(device), device)
    else:
        told = (Plain(f"{opened[0]}, also in between: "), *told)
    if closed[0] != head:
        goes_on = (Plain(f"{closed[0]}: "), *goes_on)
    return (_points(step), goes_on, told, (Box(step.note_down),))


def _meaning(hunt: _Dead, step_id: str) -> Line:
    """Say what an answer means: the next contact, what is open, or where it leads."""
    leaf = hunt.own.get(step_id)
    if leaf is None:
        return _on(hunt, step_id)
    if leaf in hunt.read:
        points = "".join(each.text for each in _points(leaf))
        return (Plain("→ "), Goto(points, None, _row_anchor(leaf)))
    told = tuple(
        Plain(span.text.replace(WRITE_DOWN, "")) if isinstance(span, Plain) else span
        for span in line_of(leaf.do)
    )
    match told:
        case (Plain(), Mark(), Plain(), Mark(), Plain(rest), *more) if rest.startswith(THAT_IS):
            # Between which points stands before it in the row, and where every find leads below.
            return (Plain(rest.removeprefix(THAT_IS)), *more)
    return (*told, Plain(" "), *_on(hunt, leaf.go))


def _on(hunt: _Dead, step_id: str) -> Line:
    goto = hunt.goto.get(anchor_of(step_id))
    return (Plain("→ "), goto) if goto else ()
