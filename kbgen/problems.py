"""Problems are data: collected by every stage, printed by none of them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from kbgen.position import Place


class Severity(StrEnum):
    """How much a problem matters: an error stops every output, a warning does not."""

    ERROR = "error"
    WARNING = "warning"


@dataclass(frozen=True, slots=True)
class Related:
    """A second place that explains a problem, e.g. "the jumper is fitted here"."""

    place: Place
    message: str


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with a knowledge base.

    Attributes:
        rule: Stable readable name of the rule, e.g. ``unknown-reference``.
        severity: Error or warning.
        place: Where the author has to type.
        message: One sentence saying what is wrong.
        hint: One sentence saying what to type instead.
        related: Further places that explain the problem.
    """

    rule: str
    severity: Severity
    place: Place
    message: str
    hint: str
    related: tuple[Related, ...] = ()


def shown(text: str, most: int = 40) -> str:
    """Text for a sentence: on one line, cut when it is long."""
    line = " ".join(text.split())
    return line if len(line) <= most else f"{line[: most - 1]}…"


def error(rule: str, place: Place, message: str, hint: str, *related: Related) -> Problem:
    """Make a problem that stops every output."""
    return Problem(rule, Severity.ERROR, place, message, hint, related)


def warning(rule: str, place: Place, message: str, hint: str, *related: Related) -> Problem:
    """Make a problem that is worth a look but stops nothing."""
    return Problem(rule, Severity.WARNING, place, message, hint, related)
