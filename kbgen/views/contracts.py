"""What a page that another one does needs and leaves, in the words of both pages."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from kbgen.compute.walk import Walk
from kbgen.link.base import KnowledgeBase
from kbgen.model.procedure import Procedure
from kbgen.model.routine import DoPage
from kbgen.ref import Kind, Ref

Walks = Mapping[Ref, Walk]

_NEEDS = {
    "evidence-recorded": "display, history and readings are written down",
    "made-safe": "all supplies and fuel are off and locked",
    "fuel-shut": "fuel is shut at the burner",
    "proved-dead": "it is proved dead",
    "plant-running": "the plant is running",
}


class Call(NamedTuple):
    """One page that another does.

    Attributes:
        caller: The page that does it.
        line: Index of the line that does it.
    """

    caller: Ref
    line: int


def callers_of(base: KnowledgeBase, page: Ref) -> Iterator[Call]:
    """Yield where other pages do a page."""
    for ref in base.backlinks.get(page, ()):
        caller = base.procedure(ref.id) if ref.kind is Kind.PROCEDURE else None
        for line, written in enumerate(caller.written if caller else ()):
            if written.get("do_page") == page.id:
                yield Call(ref, line)


def meets(base: KnowledgeBase, call: Call, page: Ref, walk: Walk | None) -> str:
    """Say in sentences what a page needs that is done on the way, how it finds the plant there and how it leaves it.

    Args:
        walk: That of the page that does it.
    """
    caller, done = base.procedure(call.caller.id), base.procedure(page.id)
    needs = [_NEEDS[start] for start in (done.starts if done else ())]
    said = [f"It needs that {' and '.join(needs)}" if needs else "It needs nothing beforehand"]
    finds, leaves = (_state(walk, step) for step in _border(caller, call.line)) if caller else ("", "")
    if finds:
        said.append(f"It starts with: {finds}")
    if leaves:
        said.append("It ends with the same" if leaves == finds else f"It ends with: {leaves}")
    return f"{'. '.join(said)}."


def goes_on(caller: Procedure, line: int) -> tuple[str, ...]:
    """Return the ends of a page that is done on the way with which the caller goes on."""
    return tuple(caller.written[line].get("goes_on", DoPage("").goes_on))


def _border(caller: Procedure, line: int) -> tuple[int | None, int | None]:
    """Return the step a page that is done on the way begins with, and the one with which the caller goes on."""
    inside = [
        index
        for index, step in enumerate(caller.steps)
        if step.origin and step.origin.page and step.origin.line == line
    ]
    first, behind = min(inside, default=None), max(inside, default=-2) + 1
    here = caller.steps[behind].origin if 0 <= behind < len(caller.steps) else None
    return first, None if not 0 <= behind < len(caller.steps) or (here and here.ending) else behind


def _state(walk: Walk | None, step: int | None) -> str:
    if walk is None or step is None:
        return ""
    return " · ".join(condition.line() for condition in walk.before[step])
