"""One page written out: every line in its turn, with what the page has done to the plant by then.

The lines are gone over again until no line is reached with more than before; what is known of each only grows, so
that this comes to rest whatever loops there are.
"""

from __future__ import annotations

import copy
from collections import Counter
from collections.abc import Callable, Mapping
from typing import Any

from kbgen.compose import arrive, burner, covers, gas, handing, hunt, hunt_dead, proofs, sources
from kbgen.compose.calls import with_calls
from kbgen.compose.draft import Page, asks, ends
from kbgen.compose.leading import lead_on
from kbgen.compose.ledger import Ledger, after, begun, join
from kbgen.compose.lines import Data, Line, ending_lines, lines_of, told_apart, ways_of
from kbgen.compose.rules import LINE_LEADS_NOWHERE, ROUTINE_MISUSED, ROUTINE_UNKNOWN_NAME
from kbgen.compose.sheet import NEXT, Sheet, Step, Unfit, slug
from kbgen.compose.usual import usual
from kbgen.compose.worded import head_of, worded
from kbgen.link.base import KnowledgeBase
from kbgen.model import routine as r
from kbgen.model.equipment import Equipment
from kbgen.model.procedure import Procedure
from kbgen.nearest import nearest

_WRITERS: dict[type, Callable[[Sheet, Any], None]] = {
    r.Arrive: arrive.arrive,
    r.BurnerOff: burner.burner_off,
    r.BurnerOn: burner.burner_on,
    r.LockOff: sources.lock_off,
    r.Prove: sources.prove,
    r.MakeSafe: sources.make_safe,
    r.BringBack: sources.bring_back,
    r.Open: covers.open_,
    r.Close: covers.close,
    r.Hunt: hunt.hunt,
    r.HuntDead: hunt_dead.hunt_dead,
    r.FullCycle: burner.full_cycle,
    r.ResetOnce: burner.reset_once,
    r.ProveTrips: proofs.prove_trips,
    r.CheckLeaks: proofs.check_leaks,
    r.PutBack: covers.put_back,
    r.JobCheck: arrive.job_check,
    r.HandTo: handing.hand_to,
    r.Vent: gas.vent,
    r.OpenJoint: gas.open_joint,
    r.AirTest: gas.air_test,
    r.AirOut: gas.air_out,
    r.DoPage: lambda *_: None,
    r.DoRoutine: lambda *_: None,
}
_MOST_ROUNDS = 50
"""Rounds over the lines; each adds something to what is known of a line, and there is little to add."""


def write_page(
    base: KnowledgeBase,
    name: str,
    path: str,
    procedure: Procedure,
    steps: list[Any],
    plant_id: str,
    plant: Equipment,
) -> Page:
    """Write a page out."""
    page = Page(base, name, path, procedure, plant_id, plant, lines_of(steps))
    page.lines = with_calls(page, page.lines, (name,))
    if page.problems:
        return page
    _write(page)
    if not page.problems and (twice := _twice(page)):
        page.lines = told_apart(page.lines, twice)
        page.arriving, page.order = {}, {}
        _write(page)
    if not page.problems:
        lead_on(page)
        _mark_begun(page)
    return page


def _write(page: Page) -> None:
    """Write every line out, again and again until that comes to rest."""
    for _ in range(_MOST_ROUNDS):
        before = dict(page.arriving)
        _round(page)
        if page.problems or page.arriving == before:
            return
    _restless(page, before)


def _twice(page: Page) -> frozenset[int]:
    """Return the lines whose steps have a name that another line writes too."""
    named = Counter(step["id"].lower() for steps in page.written for step in steps if "id" in step)
    return frozenset(
        index
        for index, steps in enumerate(page.written)
        if any(named[step.get("id", "").lower()] > 1 for step in steps)
    )


def _mark_begun(page: Page) -> None:
    """Say of the first step of each page that is done here that it begins there."""
    begun: list[str] = []
    for line, steps in zip(page.lines, page.written, strict=True):
        if isinstance(line.routine, r.DoPage):
            # Behind the last line of such a page stands its own line once more.
            if line.tag and line.page in begun:
                begun.remove(line.page)
            elif not line.tag:
                begun.append(line.routine.do_page)
        elif steps and begun:
            steps[0]["origin"]["begins"] = begun
            begun = []


def _restless(page: Page, before: Mapping[str, Ledger]) -> None:
    """Tell of the first line that the last round still reached with more than before."""
    late = {key for key, found in page.arriving.items() if found != before.get(key)}
    found = (line for index, line in enumerate(page.lines) if {_key(index), line.label} & late)
    unfit = Unfit(
        ROUTINE_MISUSED,
        "",
        f"after {_MOST_ROUNDS} rounds over the page this line is still reached with more than before",
        "Take loops out that lead back to it, or write its steps out.",
    )
    page.tell(next(found, page.lines[0]), unfit)


def _round(page: Page) -> None:
    """Go over all lines once; endings that are named join them."""
    page.written, page.problems = [], []
    fits = {
        line.data.get("name", line.data.get("clip", "")): line.data
        for line in page.lines
        if line.data.keys() & {"fit", "clip"}
    }
    here: Ledger | None = begun(page.procedure, page.plant)
    index = 0
    while index < len(page.lines):
        line = page.lines[index]
        if index and page.lines[index - 1].block != line.block:
            here = None
        found = join(here, page.arriving.get(_key(index)))
        found = join(found, page.arriving.get(line.label) if line.label else None)
        steps = _steps(page, line, found or {}, fits)
        _mark(line, steps)
        page.written.append(steps)
        here = _flow(page, index, steps, found)
        index += 1


def _steps(page: Page, line: Line, before: Ledger, fits: Mapping[str, Data]) -> list[Step]:
    if line.routine is None:
        step = copy.deepcopy(dict(line.data))
        if "do" not in step:
            try:
                step = worded(_sheet(page, line, head_of(step), before, fits), step)
            except Unfit as unfit:
                page.tell(line, unfit)
                return []
        if line.ending:
            step = _of_ending(page, line, step)
        elif line.call and line.label:
            step = {**step, "id": line.label}
        if "minutes" not in step and (minutes := usual(step)):
            step["minutes"] = minutes
        return [step, *_said(page, line, step)]
    sheet = _sheet(page, line, r.row_of(line.routine).name, before, fits)
    try:
        _WRITERS[type(line.routine)](sheet, line.routine)
        _all_added(sheet, sheet.adds)
    except Unfit as unfit:
        page.tell(line, unfit)
        return []
    sheet.lead_on()
    if "go" in line.data and sheet.steps:
        _go_instead(sheet.steps, line.data["go"])
    return sheet.steps


def _sheet(page: Page, line: Line, name: str, before: Ledger, fits: Mapping[str, Data]) -> Sheet:
    return Sheet(
        page.base, page.name, page.procedure, page.plant_id, page.plant,
        name, line.name, before, line.data.get("add", {}), fits, page.order, bool(line.call),
    )  # fmt: skip


def _of_ending(page: Page, line: Line, step: Step) -> Step:
    """Return an own step of an ending as it stands on this page.

    Whoever is handed a step and no page goes on with this page; whoever is handed this page begins it again.
    """
    named = {"id": line.label} if line.label else {}
    here = {"next": page.name} if "next_step" in step and "next" not in step else {}
    if "hand_over" in step and (step | here).get("next") == page.name:
        ids = [each["id"] for steps in page.written for each in steps if "id" in each]
        wanted = step.get("next_step", "")
        # A page that is done here has its names behind the line's; without the step, it is begun again.
        meant = (each for each in ids if wanted and f".{each}".endswith(f".{wanted}"))
        here["next_step"] = next(meant, ids[0] if ids else "")
    return {**named, **{key: value for key, value in step.items() if key != "id"}, **here}


def _all_added(sheet: Sheet, adds: Mapping[str, Any]) -> None:
    # A page that is done here asks nothing at the door that was asked already, whatever its author adds to it.
    silent = {each.id for each in sheet.plant.arrive} if sheet.called and sheet.routine == "arrive" else set()
    for deed in adds:
        if deed not in sheet.deeds and deed not in silent:
            near = nearest(deed, sheet.deeds)
            raise Unfit(
                ROUTINE_UNKNOWN_NAME,
                "add",
                f"`{sheet.routine}` writes no step `{deed}` here",
                f"Did you mean `{near}`?" if near else f"It writes: {', '.join(sheet.deeds)}.",
            )


def _go_instead(steps: list[Step], go: str) -> None:
    """Let a routine lead elsewhere than to the line below."""
    for step in steps:
        for way, key, name in ways_of(step):
            if name == NEXT:
                way[key] = go  # type: ignore[index]
    if not asks(steps[-1]) and "go" not in steps[-1]:
        steps[-1]["go"] = go


def _said(page: Page, line: Line, step: Step) -> list[Step]:
    """Put what an answer says first into a step of its own."""
    more: list[Step] = []
    for outcome in step.get("outcomes", ()):
        words = outcome.pop("say", None)
        if words is None:
            continue
        if "id" not in step:
            unfit = Unfit(
                LINE_LEADS_NOWHERE,
                "outcomes",
                "a step whose answer has `say` needs an id",
                "Give it an `id`.",
            )
            page.tell(line, unfit)
            continue
        way, key, go = next(each for each in ways_of({"outcomes": [outcome]}))
        deed = f"{step['id']}.{slug(outcome['when']).lower()}"
        origin = {"routine": "", "deed": slug(outcome["when"]).lower()}
        more.append({"id": deed, "do": words, "go": go, "origin": origin})
        way[key] = deed  # type: ignore[index]
    return more


def _mark(line: Line, steps: list[Step]) -> None:
    """Write down where each step comes from."""
    for step in steps:
        if line.routine is None and not line.scope and "origin" not in step:
            continue
        origin = step.setdefault("origin", {})
        origin["line"] = line.line
        if line.ending:
            origin |= {"ending": line.ending, "at": line.at}
        if line.call:
            origin |= {"page": line.page, "at": line.at, "own": line.own}
        if line.own and not origin.get("routine"):
            origin |= {"routine": "do_routine", "deed": step.get("id", "").removeprefix(f"{line.call}.")}


def _flow(page: Page, index: int, steps: list[Step], before: Ledger | None) -> Ledger | None:
    """Carry what was done along every way out of a line; return it for the line below."""
    here = before
    inside: dict[str, Ledger] = {}
    for number, step in enumerate(steps):
        here = join(here, inside.get(step.get("id", "")))
        # Another line, or whoever is handed the job, may come in the middle of a routine.
        here = join(here, page.arriving.get(step.get("id", "")) if number else None)
        if here is None:
            continue
        then = after(step, here)
        for thing in then:
            page.order.setdefault(thing, len(page.written) * 1000 + number)
        handed = (
            [step["next_step"]] if "next_step" in step and step.get("next", page.name) == page.name else []
        )
        for name in (*(name for _, _, name in ways_of(step)), *handed):
            _carry(page, index, name, then, inside, steps)
        here = None if asks(step) or ends(step) or "go" in step else then
    return here


def _carry(
    page: Page, index: int, name: str, then: Ledger, inside: dict[str, Ledger], steps: list[Step]
) -> None:
    line = page.lines[index]
    if name == NEXT:
        key = _key(index + 1)
    elif any(step.get("id") == name for step in steps):
        inside[name] = join(inside.get(name), then) or {}
        return
    else:
        key = page.target(line, name)
        if key in page.endings and not any(each.ending == key for each in page.lines):
            page.lines += ending_lines(page.plant, key, line.line)
    page.arriving[key] = join(page.arriving.get(key), then) or {}


def _key(index: int) -> str:
    return f"#{index}"
