"""Problems for scripts: the field names are fixed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kbgen.problems import Severity
from kbgen.report.locate import Located


def as_json(
    found: Sequence[Located], entries: int, suppressed: int = 0, not_run: Sequence[str] = ()
) -> dict[str, Any]:
    """Return problems and their summary as plain data.

    Args:
        found: Located problems; their paths stay relative to the knowledge base.
        entries: Number of entries that were read.
        suppressed: Number of warnings that entries accept with a reason.
        not_run: Names of the checks that could not run.
    """
    return {
        "problems": [
            {
                "rule": problem.rule,
                "severity": problem.severity.value,
                "path": problem.path,
                "line": problem.line,
                "column": problem.column,
                "message": problem.message,
                "hint": problem.hint,
                "related": [
                    {"path": near.path, "line": near.line, "column": near.column, "message": near.message}
                    for near in problem.related
                ],
            }
            for problem in found
        ],
        "summary": {
            "entries": entries,
            "errors": sum(problem.severity is Severity.ERROR for problem in found),
            "warnings": sum(problem.severity is Severity.WARNING for problem in found),
            "suppressed": suppressed,
            "not_run": list(not_run),
        },
    }
