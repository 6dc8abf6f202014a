"""Short lines of the pocket booklet: what is longer than they may be, and what is cut where they are missing."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.model.caution import Caution
from kbgen.model.device import Device
from kbgen.model.symptom import Symptom
from kbgen.position import Route, Spot
from kbgen.problems import Problem
from kbgen.rule import Family
from kbgen.rules.material import Check, Material
from kbgen.text import words

SHORT = Family(
    "Pocket booklet",
    "Checklist practice: a line that is read in action is one thought, and a page holds one condition.",
)
MOST = {"in_short": 40, "must": 16, "immediate": 14, "never_line": 12, "of a step": 12, "of a check": 18}
"""Words at most."""

SHORT_LINE_TOO_LONG = SHORT.warning(
    "short-line-too-long",
    "The line takes the room of the next one, and its page goes on overleaf.",
    "must: Take it, whatever anybody says who has been here before you, that the gas of this boiler passes.",
    "must: Take it that gas passes.",
    rests_on="The short lines of symptoms, cautions, devices and own steps.",
)
SHORT_LINE_MISSING = SHORT.warning(
    "short-line-missing",
    "The booklet cuts a long text, and nobody has chosen what it keeps; or its page goes on overleaf.",
    "means: (60 words)",
    "means: (60 words)\nin_short: One of seven contacts is open. The controller cannot say which.",
    rests_on="The lengths of `means`, of `real` and `false` of approved entries.",
)


def _lines(material: Material) -> Iterator[Problem]:
    for entry, symptom in material.base.of(Symptom):
        found: list[tuple[Route, str, str]] = [
            (("in_short",), symptom.in_short, "in_short"),
            (("must",), symptom.must, "must"),
            *((("immediate", at), line, "immediate") for at, line in enumerate(symptom.immediate)),
        ]
        yield from _too_long(entry.path, found)
        length = len(words(symptom.means).split())
        if entry.head.status == "approved" and not symptom.in_short and length > MOST["in_short"]:
            yield SHORT_LINE_MISSING.at(
                Spot(entry.path, ("means",)),
                f"the meaning has {length} words, and its page of the booklet keeps the first two sentences",
                f"Say it under `in_short` in {MOST['in_short']} words at most.",
            )
    for entry, caution in material.base.of(Caution):
        yield from _too_long(entry.path, [(("never_line",), caution.never_line, "never_line")])
    for entry, device in material.base.of(Device):
        check = device.independent_check
        if check is None:
            continue
        for name, short, whole in (
            ("real", check.real_in_short, check.real),
            ("false", check.false_in_short, check.false),
        ):
            where = ("independent_check", f"{name}_in_short")
            yield from _too_long(entry.path, [(where, short, "of a check")])
            length = len(whole.split())
            if entry.head.status == "approved" and not short and length > MOST["of a check"]:
                yield SHORT_LINE_MISSING.at(
                    Spot(entry.path, ("independent_check", name)),
                    f"`{name}` has {length} words, and the card of the device in the booklet grows by a line or two",
                    f"Say it under `{name}_in_short` in {MOST['of a check']} words at most.",
                )


def _steps(material: Material) -> Iterator[Problem]:
    for entry, procedure in material.pages():
        found = [((*step.route, "in_short"), step.in_short, "of a step") for step in procedure.steps]
        yield from _too_long(entry.path, found)


def _too_long(path: str, found: list[tuple[Route, str, str]]) -> Iterator[Problem]:
    for route, line, kind in found:
        count = len(line.split())
        if count > MOST[kind]:
            yield SHORT_LINE_TOO_LONG.at(
                Spot(path, route),
                f"the line has {count} words; {MOST[kind]} are the most",
                "Leave out what the page says anyway, never what stops, waits or warns.",
            )


CHECKS: tuple[Check, ...] = (_lines,)
PAGE_CHECKS: tuple[Check, ...] = (_steps,)
