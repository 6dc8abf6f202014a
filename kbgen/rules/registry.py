"""Every rule, in one explicit list; what is not listed here does not exist."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from kbgen.link.base import KnowledgeBase
from kbgen.nearest import nearest
from kbgen.position import Spot
from kbgen.problems import Problem, Severity, error, warning
from kbgen.rules import (
    circuit_parts,
    circuit_plant,
    circuit_values,
    circuits,
    coverage,
    language,
    plant,
    plant_figures,
    privacy,
    procedures,
    safety,
    stages,
    suppression,
    ways,
)
from kbgen.rules.record import Material, Rule

RULES: tuple[Rule, ...] = (
    *stages.RULES,
    *procedures.RULES,
    *ways.RULES,
    *safety.RULES,
    *coverage.RULES,
    *circuits.RULES,
    *circuit_values.RULES,
    *circuit_parts.RULES,
    *circuit_plant.RULES,
    *plant.RULES,
    *plant_figures.RULES,
    *privacy.RULES,
    *language.RULES,
    *suppression.RULES,
)
BY_NAME: dict[str, Rule] = {rule.name: rule for rule in RULES}


class Accepted(NamedTuple):
    """Problems after the entries' own acceptances.

    Attributes:
        problems: What is left, and what is wrong with the acceptances themselves.
        suppressed: Number of warnings accepted with a reason.
    """

    problems: tuple[Problem, ...]
    suppressed: int


def run(material: Material) -> tuple[Problem, ...]:
    """Let every rule judge the knowledge base."""
    checks = dict.fromkeys(rule.check for rule in RULES if rule.check is not None)
    return tuple(problem for check in checks for problem in check(material))


def accept(base: KnowledgeBase, problems: Iterable[Problem]) -> Accepted:
    """Take out the warnings that their entry accepts with a reason and a reviewer.

    An error is never accepted: what can hurt somebody is mended, not signed for.

    Args:
        base: The knowledge base, for what its entries accept.
        problems: Everything found by any stage.
    """
    wanted = {
        (entry.path, each.rule): Spot(entry.path, (*each.route, "rule"))
        for entry in base.entries.values()
        for each in entry.record.head.accept
    }
    used: set[tuple[str, str]] = set()
    left: list[Problem] = []
    suppressed = 0
    for problem in problems:
        key = (problem.place.path, problem.rule)
        if key in wanted and problem.severity is Severity.WARNING:
            used.add(key)
            suppressed += 1
        else:
            left.append(problem)
    left += [_useless(name, spot) for (path, name), spot in wanted.items() if (path, name) not in used]
    return Accepted(tuple(left), suppressed)


def _useless(name: str, spot: Spot) -> Problem:
    rule = BY_NAME.get(name)
    if rule is None:
        near = nearest(name, BY_NAME)
        hint = f"Did you mean `{near}`?" if near else "Write the name as the check prints it."
        return error("accept-unknown-rule", spot, f"there is no rule `{name}`", hint)
    if rule.severity is Severity.ERROR:
        hint = "Mend what it says, and delete the acceptance."
        return error("accept-refused", spot, f"`{name}` is an error; nobody can accept it", hint)
    return warning("accept-unused", spot, f"nothing here breaks `{name}`", "Delete the acceptance.")
