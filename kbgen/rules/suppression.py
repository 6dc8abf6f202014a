"""Rules about warnings that an entry accepts; they are found in the registry, where all names are known."""

from __future__ import annotations

from kbgen.problems import Severity
from kbgen.rules.record import Rule

_RESTS_ON = "An exception is written where it applies, with a reason and a name, and is counted."

RULES: tuple[Rule, ...] = (
    Rule(
        name="accept-unknown-rule",
        family="Acceptances",
        severity=Severity.ERROR,
        why="A misspelt acceptance accepts nothing and looks as if it did.",
        before="accept:\n  - {rule: symptom-without-lookalike, reason: Nothing looks like it., by: MK}",
        after="accept:\n  - {rule: symptom-without-look-alike, reason: Nothing looks like it., by: MK}",
        rests_on=_RESTS_ON,
    ),
    Rule(
        name="accept-refused",
        family="Acceptances",
        severity=Severity.ERROR,
        why="What can hurt somebody is mended, not signed for.",
        before="accept:\n  - {rule: alteration-left, reason: We always do it., by: MK}",
        after="# the jumper is taken out on every way out",
        rests_on=_RESTS_ON,
        safety=True,
    ),
    Rule(
        name="accept-unused",
        family="Acceptances",
        severity=Severity.WARNING,
        why="An acceptance that outlives its reason hides the next real warning.",
        before="accept:\n  - {rule: symptom-without-look-alike, reason: Nothing looks like it., by: MK}",
        after="# deleted",
        rests_on=_RESTS_ON,
    ),
)
