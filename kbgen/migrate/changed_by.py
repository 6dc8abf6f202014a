"""Who changes a setting is one of the values of ``who``, or nobody; the rest of the words is its note."""

from __future__ import annotations

import re

from kbgen.migrate.page import Page, Plan
from kbgen.migrate.step import Shop, Step
from kbgen.model.people import NOBODY, WHO
from kbgen.ref import Kind

_VALUES = (*WHO, NOBODY)
_WORDS = {
    NOBODY: r"nobody|no one|none",
    "lead-technician": r"lead(?: technician)?|head technician",
    "licensed-gas": r"licensed[- ]gas(?: technician)?|gas(?: technician| engineer| fitter)?",
    "licensed-electric": r"(?:licensed )?electric(?:al)?(?: technician)?|electrician",
    "operator": r"operator",
    "technician": r"(?:trained )?technician",
}
_WHOLE = {value: re.compile(rf"(?:the |a )?(?:{words})", re.IGNORECASE) for value, words in _WORDS.items()}
_FIRST = {
    value: re.compile(rf"(?:the |a )?(?:{words})\b[ ,;:.]*", re.IGNORECASE) for value, words in _WORDS.items()
}


def meant(text: str) -> tuple[str, str] | None:
    """Return the value and the note that old words stand for; ``None`` where a person must say.

    >>> meant("lead technician"), meant("nobody; fixed in the controller"), meant("licensed boiler technician")
    (('lead-technician', ''), ('nobody', 'Fixed in the controller'), None)
    """
    for value, pattern in _WHOLE.items():
        if pattern.fullmatch(text.strip()):
            return value, ""
    first = _FIRST[NOBODY].match(text.strip())
    if first is None:
        return None
    rest = text.strip()[first.end() :]
    return NOBODY, rest[:1].upper() + rest[1:]


def _run(page: Page, shop: Shop) -> None:  # noqa: ARG001
    listed = page.data.get("settings")
    for index, setting in enumerate(listed if isinstance(listed, list) else ()):
        text = setting.get("changed_by") if isinstance(setting, dict) else None
        if not isinstance(text, str) or text in _VALUES:
            continue
        route = ("settings", index, "changed_by")
        found = meant(text)
        if found is None or (found[1] and "note" in setting):
            page.leave(
                route,
                f"`changed_by: {text}`: write one of {', '.join(_VALUES)}, and the rest of the words under `note`",
            )
            continue
        value, note = found
        plan = Plan()
        page.replace(plan, route, value, value + (_typed(page, route, note) if note else ""))
        if note:
            plan.added[route[:-1]] = {"note": note}
        page.commit(plan)
        page.tell(
            route,
            "who changes it",
            f"`changed_by: {text}` became `{value}`" + (" and a note" if note else ""),
        )


def _typed(page: Page, route: tuple[str | int, ...], note: str) -> str:
    quoted = f'"{note}"' if set(note) & set(":#,[]{}'&*!|>%@`") else note
    if page.layout.flows(route[:-1]):
        return f", note: {quoted}"
    column = page.layout.column(page.layout.spans[route].key)
    return f"{page.layout.newline}{' ' * column}note: {quoted}"


STEP = Step(
    "`changed_by` of a setting is one of the values of `who`, or nobody; the rest of its words is its `note`.",
    Kind.EQUIPMENT,
    _run,
)
