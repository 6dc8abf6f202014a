"""Lines of others that stand in a page: of a page that it does, of a routine of the plant's own."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from copy import deepcopy
from typing import Any

from kbgen.compose.draft import Page
from kbgen.compose.lines import FIND_DEAD, FIND_LIVE, MAKE_SAFE, RECORD, Data, Line, told_apart, ways_of
from kbgen.compose.rules import ROUTINE_MISUSED, ROUTINE_UNKNOWN_NAME
from kbgen.compose.sheet import Unfit
from kbgen.model.procedure import Procedure
from kbgen.model.routine import DoPage, DoRoutine, routine_of
from kbgen.nearest import nearest
from kbgen.ref import Kind, Ref

_DONE = "#done"
FAILS, DONE = "fails", "done"
"""In a routine of the plant's own: lead where the line that does it says, and to the line below that one."""
_ENDS = ("end", "next", "label", "notice", "tell")
_LEADS_OUT = (
    "live",
    "foreign",
    "unsure",
    "stays",
    "leaks",
    "full_cycle",
    "otherwise",
    "found",
    "made",
    "supply",
)
"""The fields of routines that say where they lead."""
_AT_POINTS = ("measure", "watch", "clip", "fit")


def with_calls(page: Page, lines: list[Line], within: tuple[str, ...]) -> list[Line]:
    """Return lines with those of every page and of every routine of the plant's own that is done among them.

    Args:
        within: The pages and routines that are being written out around it, this one last.
    """
    found: list[Line] = []
    named = Counter(line.name for line in lines if isinstance(line.routine, DoRoutine))
    lines = told_apart(lines, [index for index, line in enumerate(lines) if named[line.name] > 1])
    for line in lines:
        found.append(line)
        try:
            if isinstance(line.routine, DoPage | DoRoutine):
                _no_go(line)
            if isinstance(line.routine, DoPage):
                found += _called(page, line, line.routine, within)
            elif isinstance(line.routine, DoRoutine):
                found += _own(page, line, line.routine, lines, within)
        except Unfit as unfit:
            page.tell(line, unfit)
    return found


def _no_go(line: Line) -> None:
    if "go" in line.data:
        hint = "Take `go` out, and write the line it goes on with below."
        raise Unfit(ROUTINE_MISUSED, "go", "this line goes on with the line below it", hint)


def _own(
    page: Page, line: Line, asked: DoRoutine, around: Sequence[Line], within: tuple[str, ...]
) -> list[Line]:
    """Return the lines of a routine of the plant's own."""
    name = asked.do_routine
    known = {each.id: each for each in page.plant.routines}
    if name not in known:
        near = nearest(name, known)
        hint = f"Did you mean `{near}`?" if near else "Write it there under `routines`."
        message = f"{page.plant_id} has no routine of its own called `{name}`"
        raise Unfit(ROUTINE_UNKNOWN_NAME, "do_routine", message, hint)
    inside = f"routine {name}"
    if inside in within:
        hint = "Take that line out of it."
        raise Unfit(ROUTINE_MISUSED, "do_routine", f"the routine `{name}` does itself again", hint)
    # The place it leads to is one of the lines around it, which may stand in a page that is done here themselves.
    meant = f"{line.scope}.{asked.fails}"
    fails = meant if line.scope and any(each.label == meant for each in around) else asked.fails
    leads = {FAILS: fails, DONE: _DONE}
    scope, lines = line.name, []
    for step in known[name].steps:
        made = deepcopy(dict(step))
        for way, key, to in list(ways_of(made)):
            way[key] = leads.get(to, to)  # type: ignore[index]
        made |= {key: leads[made[key]] for key in (*_LEADS_OUT, FAILS) if made.get(key) in leads}
        lines.append(Line(made, routine_of(made), line.line, line.ending, line.at, scope, line.page, name))
    done = Line(
        {"do_routine": name}, asked, line.line, line.ending, line.at, scope, line.page, "", f"{scope}.{_DONE}"
    )
    return [*with_calls(page, lines, (*within, inside)), done]


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
    done = Line({"do_page": name}, asked, line.line, "", len(lines), scope, name, "", f"{scope}.{_DONE}")
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
