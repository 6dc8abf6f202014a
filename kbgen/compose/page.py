"""One page written out: every line in its turn, with what the page has done to the plant by then.

The lines are gone over again until no line is reached with more than before; what is known of each only grows, so
that this comes to rest whatever loops there are.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from kbgen.compose import arrive, burner, covers, hunt, proofs, sources
from kbgen.compose.ledger import Ledger, Thing, after, join
from kbgen.compose.lines import Data, Line, ending_lines, lines_of, ways_of
from kbgen.compose.rules import LINE_ID_TWICE, LINE_LEADS_NOWHERE, ROUTINE_UNKNOWN_NAME
from kbgen.compose.sheet import NEXT, Sheet, Step, Unfit, slug
from kbgen.link.base import KnowledgeBase
from kbgen.model import routine as r
from kbgen.model.equipment import Equipment
from kbgen.model.procedure import Procedure
from kbgen.nearest import nearest
from kbgen.position import Spot
from kbgen.problems import Problem

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
    r.FullCycle: burner.full_cycle,
    r.ResetOnce: burner.reset_once,
    r.ProveTrips: proofs.prove_trips,
    r.CheckLeaks: proofs.check_leaks,
    r.PutBack: covers.put_back,
    r.JobCheck: arrive.job_check,
}
_MOST_ROUNDS = 50
"""Rounds over the lines; each adds something to what is known of a line, and there is little to add."""


@dataclass(slots=True)
class Page:
    """One page while it is written out."""

    base: KnowledgeBase
    name: str
    path: str
    procedure: Procedure
    plant_id: str
    plant: Equipment
    lines: list[Line]
    arriving: dict[str, Ledger] = field(default_factory=dict)
    order: dict[Thing, int] = field(default_factory=dict)
    written: list[list[Step]] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)

    @property
    def endings(self) -> frozenset[str]:
        """The endings of the plant."""
        return frozenset(each.id for each in self.plant.endings)


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
    for _ in range(_MOST_ROUNDS):
        before = dict(page.arriving)
        _round(page)
        if page.problems or page.arriving == before:
            break
    if not page.problems:
        _lead_on(page)
    return page


def _round(page: Page) -> None:
    """Go over all lines once; endings that are named join them."""
    page.written, page.problems = [], []
    fits = {line.data["name"]: line.data for line in page.lines if "fit" in line.data}
    here: Ledger | None = {}
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
        if line.ending:
            step = _of_ending(page, line, step)
        return [step, *_said(page, line, step)]
    adds = line.data.get("add", {})
    sheet = Sheet(
        page.base, page.name, page.procedure, page.plant_id, page.plant,
        r.row_of(line.routine).name, line.name, before, adds, fits, page.order,
    )  # fmt: skip
    try:
        _WRITERS[type(line.routine)](sheet, line.routine)
        _all_added(sheet, adds)
    except Unfit as unfit:
        _tell(page, line, unfit)
        return []
    sheet.lead_on()
    if "go" in line.data and sheet.steps:
        _go_instead(sheet.steps, line.data["go"])
    return sheet.steps


def _of_ending(page: Page, line: Line, step: Step) -> Step:
    """Return an own step of an ending as it stands on this page.

    Whoever is handed a step and no page goes on with this page; whoever is handed this page begins it again.
    """
    named = {"id": line.label} if line.label else {}
    here = {"next": page.name} if "next_step" in step and "next" not in step else {}
    if "hand_over" in step and step.get("next") == page.name and "next_step" not in step:
        here["next_step"] = next((each["id"] for steps in page.written for each in steps if "id" in each), "")
    return {**named, **{key: value for key, value in step.items() if key != "id"}, **here}


def _all_added(sheet: Sheet, adds: Mapping[str, Any]) -> None:
    for deed in adds:
        if deed not in sheet.deeds:
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
    if not _asks(steps[-1]) and "go" not in steps[-1]:
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
            _tell(page, line, unfit)
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
        if line.routine is None and not line.ending and "origin" not in step:
            continue
        origin = step.setdefault("origin", {})
        origin["line"] = line.line
        if line.ending:
            origin |= {"ending": line.ending, "at": line.at}


def _flow(page: Page, index: int, steps: list[Step], before: Ledger | None) -> Ledger | None:
    """Carry what was done along every way out of a line; return it for the line below."""
    here = before
    inside: dict[str, Ledger] = {}
    for number, step in enumerate(steps):
        here = join(here, inside.get(step.get("id", "")))
        if here is None:
            continue
        then = after(step, here)
        for thing in then:
            page.order.setdefault(thing, len(page.written) * 1000 + number)
        for _, _, name in ways_of(step):
            _carry(page, index, name, then, inside, steps)
        here = None if _asks(step) or _ends(step) or "go" in step else then
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
        key = _target(page, line, name)
        if key in page.endings and not any(each.ending == key for each in page.lines):
            page.lines += ending_lines(page.plant, key, line.line)
    page.arriving[key] = join(page.arriving.get(key), then) or {}


def _target(page: Page, line: Line, name: str) -> str:
    """Return the label a name stands for: within an ending its own lines come first."""
    inner = f"{line.ending}.{name}"
    return inner if line.ending and any(each.label == inner for each in page.lines) else name


def _key(index: int) -> str:
    return f"#{index}"


def _asks(step: Step) -> bool:
    return "outcomes" in step or any(key != "go" for _, key, _ in ways_of(step))


def _ends(step: Step) -> bool:
    return "end" in step or "hand_over" in step


def _lead_on(page: Page) -> None:
    """Put true ids in the place of `next`, of endings and of names of lines."""
    first = [_first(page, index) for index in range(len(page.lines))]
    known = {step["id"] for steps in page.written for step in steps if "id" in step}
    by_label = {line.label: first[index] for index, line in enumerate(page.lines) if line.label}
    for index, steps in enumerate(page.written):
        line = page.lines[index]
        below = first[index + 1] if _has_below(page, index) else None
        for step in steps:
            for way, key, name in list(ways_of(step)):
                target = below if name == NEXT else by_label.get(_target(page, line, name))
                if target is not None:
                    way[key] = _id_of(page, target)  # type: ignore[index]
                elif name == NEXT or name not in known:
                    _nowhere(page, line, _path(step, way, key), name, [*by_label, *page.endings])
        _falls(page, index, steps)
    _twice(page)


def _has_below(page: Page, index: int) -> bool:
    return index + 1 < len(page.lines) and page.lines[index + 1].block == page.lines[index].block


def _first(page: Page, index: int) -> Step | None:
    """Return the step that a line begins with; where it writes none, that of the line below."""
    block = page.lines[index].block
    for steps, line in zip(page.written[index:], page.lines[index:], strict=False):
        if line.block != block:
            return None
        if steps:
            return steps[0]
    return None


def _id_of(page: Page, step: Step) -> str:
    """Return the id of a step that is led to, and give it one where its author gave none."""
    if "id" not in step:
        flat = [each for steps in page.written for each in steps]
        at = next(index for index, each in enumerate(flat) if each is step)
        before = next((each["id"] for each in reversed(flat[:at]) if "id" in each), "start")
        taken = {each.get("id") for each in flat}
        name = f"{before}.then"
        while name in taken:
            name += ".then"
        step["id"] = name
    return str(step["id"])


def _path(step: Step, way: Mapping[str, Any], key: str) -> str:
    """Return where in its step a way stands."""
    places = (index for index, each in enumerate(step.get("outcomes", ())) if each is way)
    return next((f"outcomes.{index}.{key}" for index in places), key)


def _nowhere(page: Page, line: Line, field_: str, name: str, known: list[str]) -> None:
    if name == NEXT:
        message, hint = (
            "this leads to the line below, and there is none",
            "Write the line below, or name an ending.",
        )
    else:
        near = nearest(name, known)
        message = f"this page has no line and {page.plant_id} no ending called `{name}`"
        hint = f"Did you mean `{near}`?" if near else f"Known: {', '.join(sorted(known)) or 'none'}."
    _tell(page, line, Unfit(LINE_LEADS_NOWHERE, "" if line.routine else field_, message, hint))


def _falls(page: Page, index: int, steps: list[Step]) -> None:
    """Tell of a line that leads on to the line below where there is none."""
    line = page.lines[index]
    last = steps[-1] if steps else None
    if _has_below(page, index) or (last is not None and (_asks(last) or _ends(last) or "go" in last)):
        return
    what = f"the ending `{line.ending}` of {page.plant_id}" if line.ending else "this page"
    unfit = Unfit(
        LINE_LEADS_NOWHERE,
        "",
        f"after its last line {what} does not say how it ends",
        "Write `end:`, or `go:` an ending.",
    )
    _tell(page, line, unfit)


def _twice(page: Page) -> None:
    seen: set[str] = set()
    told: set[int] = set()
    for index, steps in enumerate(page.written):
        for step in steps:
            # On a page a name is read without capitals.
            name = step.get("id", "").lower()
            if name in seen and index not in told:
                told.add(index)
                own = page.lines[index].routine
                what = r.row_of(own).name if own else name
                hint = "Give this line an `id`, which the ids of its steps then begin with."
                _tell(
                    page,
                    page.lines[index],
                    Unfit(LINE_ID_TWICE, "", f"`{what}` stands on this page twice ({name})", hint),
                )
            seen.add(name or f"#{len(seen)}")
    for index, line in enumerate(page.lines):
        if not line.ending and line.label in page.endings:
            hint = "Give the line another id; the ending is known by this one on every page."
            _tell(
                page,
                page.lines[index],
                Unfit(LINE_ID_TWICE, "id", f"`{line.label}` is an ending of {page.plant_id}", hint),
            )


def _tell(page: Page, line: Line, unfit: Unfit) -> None:
    """Tell of a fault at the author's line; of one inside an ending at the line that names it."""
    inside = f"the ending `{line.ending}`, line {line.at + 1}: " if line.ending else ""
    first, *rest = unfit.field.split(".")
    inner = (first, *(int(part) if part.isdigit() else part for part in rest))
    route = ("steps", line.line, *(inner if not line.ending and first in line.data else ()))
    found = unfit.rule.at(Spot(page.path, route), f"{inside}{unfit.message}", unfit.hint)
    if found not in page.problems:
        page.problems.append(found)
