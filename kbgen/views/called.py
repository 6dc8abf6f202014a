"""Pages that a procedure does on the way, each behind a line of its own."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby
from typing import Any

from kbgen.link.base import KnowledgeBase
from kbgen.model.procedure import Procedure, ProcedureStep
from kbgen.model.routine import DoPage
from kbgen.ref import Kind, Ref
from kbgen.views.blocks import Goto, Plain
from kbgen.views.card import Called, Card
from kbgen.views.card_groups import Group
from kbgen.views.procedure_steps import ENDS


def calls(
    base: KnowledgeBase, procedure: Procedure, groups: Sequence[Group], cards: Sequence[Card]
) -> tuple[Card | Called, ...]:
    """Put the cards of a page that is done here behind a line that opens them."""
    found: list[Card | Called] = []
    together = zip(groups, cards, strict=False)
    for (page, line), several in groupby(together, lambda each: (each[0].origin.page, each[0].origin.line)):
        inner = tuple(several)
        if not page:
            found += [card for _, card in inner]
            continue
        steps = [procedure.steps[index] for group, _ in inner for index in group.at]
        found.append(_called(base, procedure.written[line], page, steps, [card for _, card in inner]))
    return tuple(found)


def _called(
    base: KnowledgeBase,
    written: Mapping[str, Any],
    page: str,
    steps: Sequence[ProcedureStep],
    cards: Sequence[Card],
) -> Called:
    goes_on = written.get("goes_on", DoPage("").goes_on)
    ends = " or ".join(f"“{ENDS[end].partition('.')[0]}”" for end in goes_on)
    ref = Ref(Kind.PROCEDURE, page)
    first, last = cards[0].name, cards[-1].name
    return Called(
        name=first if first == last else f"{first} to {last}",
        title=base.title(ref),
        ref=ref,
        anchor=f"call-{first}",
        minutes=minutes_of(steps),
        says=(
            Plain("Do all of "),
            Goto(base.title(ref), ref),
            Plain(
                f". Where that page ends {ends}, go on below, whatever it names next. Every other end ends the job."
            ),
        ),
        cards=tuple(cards),
    )


def minutes_of(steps: Iterable[ProcedureStep]) -> str:
    """Say how long steps take; nothing where none of them says."""
    seconds = sum(step.minutes.value for step in steps if step.minutes)
    return f"about {max(1, round(seconds / 60))} min" if seconds else ""
