"""Rules of safety: what the walk finds in procedures, and devices that permit what no procedure may."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.walk import MOST_STATES, Violation
from kbgen.model.device import Device
from kbgen.model.entry import Entry
from kbgen.model.procedure import Procedure
from kbgen.position import Spot
from kbgen.problems import Problem, Related, Severity, error
from kbgen.rules.record import Check, Material, Rule
from kbgen.rules.safety_records import RECORDS


def _violations(material: Material) -> Iterator[Problem]:
    for entry, _ in material.base.of(Procedure):
        walk = material.walks.get(entry.ref)
        if walk is None:
            continue
        for violation in walk.violations:
            yield _problem(entry, violation)
        if not walk.complete:
            yield error(
                "too-many-ways",
                Spot(entry.path, ("steps",), on_key=True),
                f"more than {MOST_STATES} states of plant and step; nobody can follow this, and it cannot be checked",
                "Split it into procedures that lead to one another.",
            )


def _permits(material: Material) -> Iterator[Problem]:
    for entry, device in material.base.of(Device):
        if device.may_jump is not None and device.never_jumped:
            yield error(
                "permits-deadly-jumper",
                Spot(entry.path, ("may_jump",), on_key=True),
                f"nobody may ever jump {device.head.title}, whatever the reason: look at its `guards`, `type` and `reset`",
                "Take `may_jump` out and say why under `never_because`.",
            )


def _problem(entry: Entry, violation: Violation) -> Problem:
    related = (Related(_spot(entry, because.step, ""), because.message) for because in violation.because)
    spot = _spot(entry, violation.step, violation.field)
    return error(violation.rule, spot, violation.sentence(), violation.hint, *related)


def _spot(entry: Entry, step: int, field: str) -> Spot:
    """Point at a field of a step, or at its instruction where the field is not written."""
    written = entry.data["steps"][step]
    return Spot(entry.path, ("steps", step, field if field in written else "do"))


# The other rules are the walk's.
_CHECKS: dict[str, Check] = {"permits-deadly-jumper": _permits}

RULES: tuple[Rule, ...] = tuple(
    Rule(
        name=record.name,
        family=record.family,
        severity=Severity.ERROR,
        why=record.why,
        before=record.before,
        after=record.after,
        rests_on=record.rests_on,
        check=_CHECKS.get(record.name, _violations),
        safety=True,
    )
    for record in RECORDS
)
