"""Rules of safety: what the walk finds in procedures, and devices that permit what no procedure may."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.walk import MOST_STATES, Violation
from kbgen.compute.walk.hazard import ALTERATIONS
from kbgen.model.device import Device
from kbgen.model.entry import Entry
from kbgen.position import Spot
from kbgen.problems import Problem, Related
from kbgen.rules.material import Check, Material
from kbgen.rules.procedures import PROCEDURES

TOO_MANY_WAYS = PROCEDURES.on("Plain practice for written work instructions.").error(
    "too-many-ways",
    "What cannot be followed cannot be checked.",
    "(one procedure with everything)",
    "(procedures that lead to one another)",
    rests_on="The number of states the walk has met; beyond it the page counts as not checked.",
    safety=True,
)


def _violations(material: Material) -> Iterator[Problem]:
    for entry, page in material.pages():
        # Of a page that was written out nobody has seen the numbers.
        names = [step.id for step in page.steps] if page.written else []
        walk = material.walks.get(entry.ref)
        if walk is None:
            continue
        for violation in walk.violations:
            yield _problem(entry, violation, names)
        if not walk.complete:
            yield TOO_MANY_WAYS.at(
                Spot(entry.path, ("steps",), on_key=True),
                f"more than {MOST_STATES} states of plant and step; nobody can follow this, and it cannot be checked",
                "Split it into procedures that lead to one another.",
            )


PERMITS_DEADLY_JUMPER = ALTERATIONS.hazard(
    "permits-deadly-jumper",
    "Its page, its line in the search and the print would say when it may be jumped, and somebody would.",
    "guards: water-level\nmay_jump: {reason: To see the burner light}",
    "guards: water-level\nnever_because: Without water the boiler bursts.",
    rests_on="`guards` and `role` of the device beside `may_jump`.",
)


def _permits(material: Material) -> Iterator[Problem]:
    for entry, device in material.base.of(Device):
        if device.may_jump is not None and device.never_jumped:
            yield PERMITS_DEADLY_JUMPER.at(
                Spot(entry.path, ("may_jump",), on_key=True),
                f"nobody may ever jump {device.head.title}, whatever the reason: look at its `guards`, `type` and `reset`",
                "Take `may_jump` out and say why under `never_because`.",
            )


def _problem(entry: Entry, violation: Violation, names: list[str]) -> Problem:
    related = (Related(_spot(entry, because.step, ""), because.message) for because in violation.because)
    spot = _spot(entry, violation.step, violation.field)
    return violation.rule.at(spot, violation.sentence(names), violation.hint, *related)


def _spot(entry: Entry, step: int, field: str) -> Spot:
    """Point at a field of a step, such as ``outcomes.1.claims``, or at its instruction where it is not written."""
    written = entry.data["steps"][step]
    first, *rest = field.split(".")
    inside = (int(part) if part.isdigit() else part for part in rest)
    return Spot(entry.path, ("steps", step, *((first, *inside) if first in written else ("do",))))


CHECKS: tuple[Check, ...] = (_permits,)
PAGE_CHECKS: tuple[Check, ...] = (_violations,)
