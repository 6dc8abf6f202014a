"""Pages that a procedure does on the way, each behind a line of its own."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby

from kbgen.compute.walk import Walk
from kbgen.link.base import KnowledgeBase
from kbgen.model.procedure import Procedure, ProcedureStep
from kbgen.ref import Kind, Ref
from kbgen.views.blocks import Goto, Plain
from kbgen.views.card import Called, Card
from kbgen.views.card_groups import Group
from kbgen.views.contracts import Call, goes_on, meets
from kbgen.views.procedure_steps import ENDS


def calls(
    base: KnowledgeBase,
    own: Ref,
    procedure: Procedure,
    walk: Walk | None,
    groups: Sequence[Group],
    cards: Sequence[Card],
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
        ref = Ref(Kind.PROCEDURE, page)
        contract = meets(base, Call(own, line), ref, walk)
        ends = goes_on(procedure, line)
        found.append(_called(base, ends, ref, contract, steps, [card for _, card in inner]))
    return tuple(found)


def _called(
    base: KnowledgeBase,
    goes_on_with: Iterable[str],
    ref: Ref,
    contract: str,
    steps: Sequence[ProcedureStep],
    cards: Sequence[Card],
) -> Called:
    ends = " or ".join(f"“{ENDS[end].partition('.')[0]}”" for end in goes_on_with)
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
                f". Where that page ends {ends}, go on below, whatever it names next. Every other end ends the job. "
                + contract
            ),
        ),
        cards=tuple(cards),
    )


def minutes_of(steps: Iterable[ProcedureStep]) -> str:
    """Say how long steps take; nothing where none of them says."""
    seconds = sum(step.minutes.value for step in steps if step.minutes)
    return f"about {max(1, round(seconds / 60))} min" if seconds else ""
