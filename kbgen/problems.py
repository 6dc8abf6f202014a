"""Problems are data: collected by every stage, printed by none of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
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


MOST_OF_A_FILE = 200
"""Problems of one file that anybody reads; a spreadsheet saved as an entry has one on every line."""


def first_of(problems: Sequence[Problem]) -> list[Problem]:
    """Keep the first problems of a file; the last of them says how many more there are."""
    more = len(problems) - MOST_OF_A_FILE
    if more <= 0:
        return list(problems)
    *most, last = problems[:MOST_OF_A_FILE]
    hint = f"{last.hint} This file has {more} more problems; mend these first."
    return [*most, replace(last, hint=hint)]


def shown(text: str, most: int = 40) -> str:
    """Text for a sentence: on one line, cut when it is long."""
    line = " ".join(text.split())
    return line if len(line) <= most else f"{line[: most - 1]}…"
