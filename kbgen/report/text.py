"""Problems for people at a terminal."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence

from kbgen.problems import Severity
from kbgen.report.locate import Located

_WIDEST = 80
# What would move the cursor or turn the text around must not reach a terminal.
_UNSHOWN = re.compile("[\x00-\x08\n-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ufeff]")


def as_text(found: Sequence[Located], prefix: str = "") -> str:
    """Write problems as text, each with its source line, a caret and a hint.

    Args:
        found: Located problems.
        prefix: What leads from the current folder to the knowledge base, e.g. ``kb_source/``.
    """
    return "\n".join(_problem(problem, prefix) for problem in found)


def counts(found: Sequence[Located]) -> str:
    """Say how many errors and warnings there are, e.g. ``2 errors, 1 warning``."""
    numbers = [
        (sum(problem.severity is severity for problem in found), severity.value) for severity in Severity
    ]
    return ", ".join(f"{number} {name}{'' if number == 1 else 's'}" for number, name in numbers)


def _problem(problem: Located, prefix: str) -> str:
    place = f"{prefix}{problem.path}:{problem.line}:{problem.column}"
    lines = [_clean(f"{place}: {problem.severity}: {problem.message} [{problem.rule}]")]
    # What is private must not be repeated in a public log.
    if problem.source_line.strip() and not problem.rule.startswith("private-"):
        lines += excerpt(problem.source_line, problem.column)
    lines.append(_clean(f"  hint: {problem.hint}"))
    lines += [
        _clean(f"  see {prefix}{near.path}:{near.line}:{near.column}: {near.message}")
        for near in problem.related
    ]
    return "\n".join(lines) + "\n"


def excerpt(line: str, column: int) -> list[str]:
    """Return the piece of a line around a column, and below it a caret that points at the column.

    A TAB before the caret is kept as a TAB, so that both lines move alike; wide signs count twice,
    combining marks not at all.
    """
    at = min(column - 1, len(line))
    start = 0 if len(line) <= _WIDEST else max(0, min(at - _WIDEST // 2, len(line) - _WIDEST + 1))
    piece = line[start : start + _WIDEST - (1 if start else 0)]
    lead, tail = "…" if start else "", "…" if start + len(piece) < len(line) else ""
    if tail:
        piece = piece[:-1]
    padding = "".join("\t" if sign == "\t" else " " * _width(sign) for sign in lead + line[start:at])
    return [f"  {lead}{_clean(piece)}{tail}", f"  {padding}^"]


def _width(sign: str) -> int:
    if unicodedata.combining(sign) or unicodedata.category(sign) in ("Mn", "Me"):
        return 0
    return 2 if unicodedata.east_asian_width(sign) in "WF" else 1


def _clean(text: str) -> str:
    return _UNSHOWN.sub("\ufffd", text)
