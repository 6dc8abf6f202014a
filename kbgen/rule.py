"""What a rule is: one object, defined beside the code that finds it broken, named nowhere else."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Self

from kbgen.position import Place
from kbgen.problems import Problem, Related, Severity


@dataclass(frozen=True, slots=True, eq=False)
class Rule:
    """One rule, with everything that ``kbgen explain`` and the page of rules say about it.

    Attributes:
        name: Stable readable name, e.g. ``alteration-left``.
        family: The rules it stands among.
        severity: Of every problem it makes.
        why: What happens to somebody, or to the reader, without it.
        before: YAML that breaks it.
        after: The same, mended.
        rests_on: What a pass of this rule rests on: the data it looks at, and what is taken on somebody's word.
        safety: Whether it protects somebody's life; such a problem can never be accepted in an entry; of a mistakable
            family only by a second person.
        of_all: Whether it says what no entry does; an entry that is broken may well do it.
    """

    name: str
    family: Family
    severity: Severity
    why: str
    before: str
    after: str
    rests_on: str
    safety: bool = False
    of_all: bool = False

    def at(self, place: Place, message: str, hint: str, *related: Related) -> Problem:
        """Make the problem of what breaks this rule.

        Args:
            place: Where the author has to type.
            message: One sentence saying what is wrong.
            hint: One sentence saying what to type instead.
            related: Further places that explain it.
        """
        return Problem(self.name, self.severity, place, message, hint, related)


@dataclass(frozen=True, slots=True)
class Family:
    """What rules under one heading have in common.

    Attributes:
        title: The heading.
        practice: The practice or open standard behind them, named and not quoted.
        rests_on: What a pass of those of its rules rests on that do not say it themselves.
        follows_names: Whether they judge an entry by the names in it: steps, sources, covers, devices.
        mistakable: Whether a false alarm is to be expected, so that also an error can be accepted.
    """

    title: str
    practice: str
    rests_on: str = ""
    follows_names: bool = False
    mistakable: bool = False

    def on(self, practice: str) -> Self:
        """Return the same heading with another practice behind it."""
        return replace(self, practice=practice)

    def error(
        self,
        name: str,
        why: str,
        before: str,
        after: str,
        *,
        rests_on: str = "",
        safety: bool = False,
        of_all: bool = False,
    ) -> Rule:
        """Make a rule that stops every output."""
        return Rule(name, self, Severity.ERROR, why, before, after, rests_on or self.rests_on, safety, of_all)

    def warning(
        self,
        name: str,
        why: str,
        before: str,
        after: str,
        *,
        rests_on: str = "",
        safety: bool = False,
        of_all: bool = False,
    ) -> Rule:
        """Make a rule that is worth a look but stops nothing."""
        return Rule(
            name, self, Severity.WARNING, why, before, after, rests_on or self.rests_on, safety, of_all
        )
