"""Where the lines of a page lead: true ids in the place of `next`, of endings and of names of lines."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from typing import Any

from kbgen.compose.draft import Page, asks, ends
from kbgen.compose.lines import Line, ways_of
from kbgen.compose.rules import LINE_ID_TWICE, LINE_LEADS_NOWHERE
from kbgen.compose.sheet import NEXT, Step, Unfit
from kbgen.model.routine import row_of
from kbgen.nearest import nearest

_WORDS = 4
"""Words of an instruction that its id holds."""


def lead_on(page: Page) -> None:
    """Put true ids in the place of `next`, of endings and of names of lines."""
    first = [_first(page, index) for index in range(len(page.lines))]
    known = {step["id"] for steps in page.written for step in steps if "id" in step}
    by_label = {line.label: first[index] for index, line in enumerate(page.lines) if line.label}
    own = _own_names(page)
    for index, steps in enumerate(page.written):
        line = page.lines[index]
        below = first[index + 1] if _has_below(page, index) else None
        for step in steps:
            for way, key, name in list(ways_of(step)):
                target = below if name == NEXT else by_label.get(page.target(line, name))
                if target is not None:
                    way[key] = target.setdefault("id", own.get(id(target), ""))  # type: ignore[index]
                elif name == NEXT or name not in known:
                    _nowhere(page, line, _path(step, way, key), name, [*by_label, *page.endings], known)
        _falls(page, index, steps)
    _twice(page)


def _has_below(page: Page, index: int) -> bool:
    return index + 1 < len(page.lines) and page.lines[index + 1].block == page.lines[index].block


def _above(page: Page, index: int) -> Step | None:
    """Return the last step above a line that writes none, such as the end of a routine of the plant's own."""
    block = page.lines[index].block
    above = zip(page.written[:index], page.lines[:index], strict=True)
    return next((steps[-1] for steps, line in reversed([*above]) if steps and line.block == block), None)


def _first(page: Page, index: int) -> Step | None:
    """Return the step that a line begins with; where it writes none, that of the line below."""
    block = page.lines[index].block
    for steps, line in zip(page.written[index:], page.lines[index:], strict=False):
        if line.block != block:
            return None
        if steps:
            return steps[0]
    return None


def _own_names(page: Page) -> dict[int, str]:
    """Return the id of every step whose author gave none, should something lead to it; by the step's identity.

    It is called by its own words, so that a step more above it changes nothing; words that stand on the page twice are
    called behind the step before them.
    """
    steps = [(line, step) for line, made in zip(page.lines, page.written, strict=True) for step in made]
    said = Counter(_words(line, step) for line, step in steps if "id" not in step)
    taken = {step["id"].lower() for _, step in steps if "id" in step} | page.endings
    found: dict[int, str] = {}
    before = "start"
    for line, step in steps:
        if "id" in step:
            before = step["id"]
            continue
        name = words = _words(line, step)
        if said[words] > 1 or words in taken:
            name = f"{before}.{words.removeprefix(f'{line.scope}.')}"
        number = 2
        while name.lower() in taken:
            name, number = f"{name.removesuffix(f'-{number - 1}')}-{number}", number + 1
        taken.add(name.lower())
        found[id(step)] = name
    return found


def _words(line: Line, step: Step) -> str:
    words = "-".join(re.findall("[a-z0-9]+", step["do"].lower())[:_WORDS]) or "step"
    return f"{line.scope}.{words}" if line.scope else words


def _path(step: Step, way: Mapping[str, Any], key: str) -> str:
    """Return where in its step a way stands."""
    places = (index for index, each in enumerate(step.get("outcomes", ())) if each is way)
    return next((f"outcomes.{index}.{key}" for index in places), key)


def _nowhere(
    page: Page, line: Line, field_: str, name: str, labels: list[str], written: Iterable[str]
) -> None:
    """Tell of a name that leads nowhere, perhaps of a step that a routine writes under another name now."""
    if name == NEXT:
        message, hint = (
            "this leads to the line below, and there is none",
            "Write the line below, or name an ending.",
        )
    else:
        near = nearest(name, [*labels, *sorted(written)])
        message = f"this page has no line and {page.plant_id} no ending called `{name}`"
        hint = f"Did you mean `{near}`?" if near else f"Known: {', '.join(sorted({*labels})) or 'none'}."
    page.tell(line, Unfit(LINE_LEADS_NOWHERE, "" if line.routine else field_, message, hint))


def _falls(page: Page, index: int, steps: list[Step]) -> None:
    """Tell of a line that leads on to the line below where there is none."""
    line = page.lines[index]
    last = steps[-1] if steps else _above(page, index)
    if _has_below(page, index) or (last is not None and (asks(last) or ends(last) or "go" in last)):
        return
    what = f"the ending `{line.ending}` of {page.plant_id}" if line.ending else "this page"
    unfit = Unfit(
        LINE_LEADS_NOWHERE,
        "",
        f"after its last line {what} does not say how it ends",
        "Write `end:`, or `go:` an ending.",
    )
    page.tell(line, unfit)


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
                what = row_of(own).name if own else name
                hint = "Give this line an `id`, which the ids of its steps then begin with."
                page.tell(
                    page.lines[index],
                    Unfit(LINE_ID_TWICE, "", f"`{what}` stands on this page twice ({name})", hint),
                )
            seen.add(name or f"#{len(seen)}")
    for index, line in enumerate(page.lines):
        if not line.ending and line.label in page.endings:
            hint = "Give the line another id; the ending is known by this one on every page."
            page.tell(
                page.lines[index],
                Unfit(LINE_ID_TWICE, "id", f"`{line.label}` is an ending of {page.plant_id}", hint),
            )
