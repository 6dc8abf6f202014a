"""Which steps of a composed procedure stand on one card, what each card is called, and how others lead to it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from string import ascii_uppercase

from kbgen.link.base import KnowledgeBase
from kbgen.model import action as act
from kbgen.model.answers import answers
from kbgen.model.procedure import Origin, Procedure, ProcedureStep
from kbgen.model.routine import BY_NAME
from kbgen.ref import Kind, Ref

_PLAIN = 3
"""Answers of a plain question: yes, no, not sure."""
ASKED_ON_THE_WAY = "Before you go on"
"""What the plant's questions are headed where nobody stands at the door."""
OWN = Origin()
"""Of a step that its author wrote."""


@dataclass(slots=True)
class Group:
    """Steps of one card, by their index."""

    origin: Origin
    at: list[int] = field(default_factory=list)
    name: str = ""
    title: str = ""
    short: str = ""


def groups_of(steps: Sequence[ProcedureStep]) -> list[Group]:
    """Put steps together that belong on one card."""
    groups: list[Group] = []
    led = _led(steps)
    for index, step in enumerate(steps):
        origin = step.origin or OWN
        inside = (
            bool(groups) and led.get(step.id) == frozenset((index - 1,)) and _one_way_on(steps[index - 1])
        )
        if not groups or not _goes_on(groups[-1].origin, origin, step, inside=inside):
            groups.append(Group(origin))
        groups[-1].at.append(index)
    return groups


def _one_way_on(step: ProcedureStep) -> bool:
    """Whether whoever has done a step goes on with the next, or leaves: no menu, and no end of the job."""
    ways = answers(step)
    return len(ways) <= _PLAIN and not step.go and not isinstance(step.action, act.End | act.HandOver)


def _led(steps: Sequence[ProcedureStep]) -> dict[str, frozenset[int]]:
    """Return for the id of each step which steps lead to it; a hand-over leads to it from outside (-1)."""
    found: dict[str, set[int]] = {}
    for index, step in enumerate(steps):
        for go in (step.go, *(each.go for each in answers(step))):
            found.setdefault(go, set()).add(index)
        if isinstance(step.action, act.HandOver) and step.action.next_step:
            found.setdefault(step.action.next_step, set()).add(-1)
    return {name: frozenset(at) for name, at in found.items()}


def _goes_on(card: Origin, origin: Origin, step: ProcedureStep, *, inside: bool) -> bool:
    if origin.ending or card.ending:
        return origin.ending == card.ending
    if (origin.page and origin.line) != (card.page and card.line):
        return False
    if origin.own or card.own:
        return (origin.own, origin.line, origin.at) == (card.own, card.line, card.at)
    if origin.routine:
        return (origin.line, origin.at, origin.routine) == (card.line, card.at, card.routine)
    # What an answer says first belongs to the step that asks; an end that nothing leads to, to what comes before it;
    # whoever comes from elsewhere finds a card.
    if origin.deed or not step.id or (inside and not card.routine):
        return not card.routine or isinstance(step.action, act.End | act.HandOver)
    return False


def name_groups(base: KnowledgeBase, procedure: Procedure, groups: Iterable[Group]) -> None:
    """Give each card its number or letter, and its title."""
    plants = [plant for name in procedure.equipment if (plant := base.equipment(name)) is not None]
    endings = {ending.id: ending for plant in plants for ending in plant.endings}
    own = {each.id: each.title for plant in plants for each in plant.routines}
    number, letters = 0, iter(ascii_uppercase)
    for group in groups:
        origin = group.origin
        last = procedure.steps[group.at[-1]].action
        if origin.ending:
            ending = endings[origin.ending]
            group.name, group.title, group.short = next(letters), ending.means, ending.short or ending.means
            continue
        number += 1
        group.name = str(number)
        if origin.routine:
            group.title = own.get(origin.own) or BY_NAME[origin.routine].title
            if origin.routine == "arrive" and number > 1:
                group.title = ASKED_ON_THE_WAY
            if isinstance(last, act.End):
                group.short = last.end.replace("-", " ")
                group.title += f": {group.short}"
        # Where a page has many of a kind, each says of what it is.
        about = Ref(Kind.CIRCUIT, origin.circuit) if origin.circuit else None
        if isinstance(last, act.CheckReal) and origin.routine:
            about = Ref(Kind.DEVICE, last.check_real)
        if about:
            group.short = base.title(about)
            group.title = f"{group.title.rstrip('?')}: {group.short}"


def labels_of(procedure: Procedure, groups: Iterable[Group]) -> dict[str, str]:
    """Say of each step that has an id where it stands, for who comes from another card."""
    labels = {}
    for group in groups:
        card = f"{group.name} {group.short or group.title}".strip()
        for line, index in enumerate(group.at, start=1):
            labels[procedure.steps[index].id] = card if line == 1 else f"{group.name}, line {line}"
    return labels
