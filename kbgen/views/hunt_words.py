"""What a hunt finds, in the words of its ladder."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from kbgen.compose.words import lower
from kbgen.model.circuit import AnyPart, Contact, Point
from kbgen.ref import Ref
from kbgen.views.blocks import Goto, Line, Mark, Plain, Step

WRITE_DOWN = " Write it down."
"""Said once below the ladder, not in every answer."""
THAT_IS = ". That is "


def between(told: Line) -> Line:
    """Say in a cell what a finding says: between which points, and what lies there."""
    match told:
        case (Plain(), Mark() as one, Plain(), Mark() as other, Plain(rest), *more):
            lies = rest.removeprefix(THAT_IS)
            return (one, Plain("–"), other, Plain(" open: " if lies != rest else " open"), Plain(lies), *more)
        case _:
            return told


def contacts_of(path: Sequence[AnyPart], deed: str) -> tuple[Contact, ...]:
    """Return the contacts between the two points that the id of a finding names."""
    marks = [part.point if isinstance(part, Point) else "" for part in path]
    named = deed.removesuffix(".again").removeprefix("open.")
    for at, mark in enumerate(marks):
        other = named.removeprefix(f"{mark}-")
        if mark and other in marks and named == f"{mark}-{other}":
            return tuple(part for part in path[at : marks.index(other)] if isinstance(part, Contact))
    return ()


def named(told: Line, title: str, ref: Ref) -> Line:
    """Let the name of a device lead to its page."""
    for at, span in enumerate(told):
        if isinstance(span, Plain) and lower(title) in span.text:
            before, _, after = span.text.partition(lower(title))
            return (*told[:at], Plain(before), Goto(lower(title), ref), Plain(after), *told[at + 1 :])
    return (*told, Plain(" "), Goto(title, ref))


def leads(step: Step) -> Iterator[Goto]:
    """Yield where a step leads."""
    yield from (choice.goto for choice in step.choices)
    if step.then:
        yield step.then
