"""A page that does another: the other's lines stand in it, and the ends with which it goes on lead below."""

from __future__ import annotations

from typing import Any

from kbgen.compose.draft import Page
from kbgen.compose.lines import FIND_DEAD, FIND_LIVE, MAKE_SAFE, RECORD, Data, Line
from kbgen.compose.rules import ROUTINE_MISUSED, ROUTINE_UNKNOWN_NAME
from kbgen.compose.sheet import Unfit
from kbgen.model.procedure import Procedure
from kbgen.model.routine import DoPage, routine_of
from kbgen.nearest import nearest
from kbgen.ref import Kind, Ref

_DONE = "#done"
_ENDS = ("end", "next", "label", "notice", "tell")
_AT_POINTS = ("measure", "watch", "clip", "fit")


def with_calls(page: Page, lines: list[Line], within: tuple[str, ...]) -> list[Line]:
    """Return lines with those of every page that is done among them.

    Args:
        within: The pages that are being written out around it, this one last.
    """
    found: list[Line] = []
    for line in lines:
        found.append(line)
        if isinstance(line.routine, DoPage):
            try:
                found += _called(page, line, line.routine, within)
            except Unfit as unfit:
                page.tell(line, unfit)
    return found


def _called(page: Page, line: Line, asked: DoPage, within: tuple[str, ...]) -> list[Line]:
    name = asked.do_page
    other = page.base.procedure(name)
    if other is None or page.plant_id not in other.equipment:
        pages = [entry.ref.id for entry, _ in page.base.of(Procedure, plant=page.plant_id)]
        near = nearest(name, pages)
        hint = f"Did you mean `{near}`?" if near else "Write that page first."
        if name.endswith((RECORD, MAKE_SAFE, FIND_DEAD, FIND_LIVE)):
            hint = f"If it follows from a plant's entry, take it over first: `kbgen new procedure {name} --derived`."
        raise Unfit(ROUTINE_UNKNOWN_NAME, "do_page", f"{page.plant_id} has no page called `{name}`", hint)
    _fits(page, name, other, within)
    written = page.base.entries[Ref(Kind.PROCEDURE, name)].data["steps"]
    scope = line.name
    lines = [
        Line(data := _here(step, name, other, asked), routine_of(data), line.line, "", at, scope, name)
        for at, step in enumerate(written)
    ]
    done = Line({"do_page": name}, asked, line.line, "", len(lines), scope, name, f"{scope}.{_DONE}")
    return [*with_calls(page, lines, (*within, name)), done]


def _fits(page: Page, name: str, other: Procedure, within: tuple[str, ...]) -> None:
    """Refuse a page that is not for whoever follows this one, or that this one is part of."""
    own = page.procedure
    if name in within:
        raise Unfit(
            ROUTINE_MISUSED, "do_page", f"`{name}` does itself again", "Lead to it with `next` at an end."
        )
    if other.who not in (own.who, "technician"):
        hint = f"Write `who: {other.who}` on this page, or hand over to them."
        raise Unfit(
            ROUTINE_MISUSED, "do_page", f"`{name}` is for {other.who}, and this page for {own.who}", hint
        )
    if other.second_person and not own.second_person:
        raise Unfit(
            ROUTINE_MISUSED,
            "do_page",
            f"`{name}` needs a second person",
            "Write `second_person: yes` on this page too.",
        )
    if other.sizes and not (own.sizes and set(own.sizes) <= set(other.sizes)):
        raise Unfit(
            ROUTINE_MISUSED,
            "do_page",
            f"`{name}` is only for {', '.join(other.sizes)}",
            "Write these `sizes` on this page, or lead there on the plant that it is for.",
        )


def _here(step: Data, name: str, other: Procedure, asked: DoPage) -> dict[str, Any]:
    """Return a line of the other page as it stands here."""
    made = dict(step)
    if made.get("end") in asked.goes_on:
        made = {key: value for key, value in made.items() if key not in _ENDS} | {"go": _DONE}
    if "next_step" in made:
        made.setdefault("next", name)
    if other.circuit and any(key in made for key in _AT_POINTS):
        made.setdefault("circuit", other.circuit)
    return made
