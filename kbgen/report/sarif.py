"""Problems as SARIF 2.1.0, the open format in which code reviews take the findings of a check."""

from __future__ import annotations

import json
from collections.abc import Sequence
from textwrap import indent
from typing import Any
from urllib.parse import quote

from kbgen import __version__
from kbgen.report.locate import Located
from kbgen.rules.registry import BY_NAME

_SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"


def as_sarif(
    found: Sequence[Located], prefix: str = "", suppressed: int = 0, not_run: Sequence[str] = ()
) -> str:
    """Write problems as one SARIF run.

    Args:
        found: Located problems.
        prefix: What leads from the current folder to the knowledge base, e.g. ``kb_source/``.
        suppressed: Number of warnings that entries accept with a reason.
        not_run: Names of the checks that could not run.
    """
    names = sorted({problem.rule for problem in found})
    index = {name: number for number, name in enumerate(names)}
    run = {
        "tool": {
            "driver": {"name": "kbgen", "version": __version__, "rules": [_rule(name) for name in names]}
        },
        "columnKind": "unicodeCodePoints",
        "invocations": [
            {
                "executionSuccessful": True,
                "toolExecutionNotifications": [
                    {"level": "note", "message": {"text": f"not run: {name}"}} for name in not_run
                ],
            }
        ],
        "properties": {"suppressed": suppressed},
        "results": [_result(problem, index[problem.rule], prefix) for problem in found],
    }
    whole = {"$schema": _SCHEMA, "version": "2.1.0", "runs": [run]}
    return f"{json.dumps(whole, ensure_ascii=False, indent=2)}\n"


def _rule(name: str) -> dict[str, Any]:
    rule = BY_NAME[name]
    help_text = (
        f"Wrong:\n{indent(rule.before.rstrip(), '    ')}\n\nRight:\n{indent(rule.after.rstrip(), '    ')}"
    )
    help_text += f"\n\nRests on: {rule.family.practice}"
    return {
        "id": name,
        "shortDescription": {"text": rule.why},
        "help": {"text": help_text},
        "defaultConfiguration": {"level": str(rule.severity)},
        "properties": {"tags": [rule.family.title, *(["safety"] if rule.safety else [])]},
    }


def _result(problem: Located, rule_index: int, prefix: str) -> dict[str, Any]:
    result: dict[str, Any] = {
        "ruleId": problem.rule,
        "ruleIndex": rule_index,
        "level": str(problem.severity),
        "message": {"text": f"{problem.message}. {problem.hint}"},
        "locations": [{"physicalLocation": _place(prefix + problem.path, problem.line, problem.column)}],
    }
    if problem.related:
        result["relatedLocations"] = [
            {
                "id": number,
                "physicalLocation": _place(prefix + near.path, near.line, near.column),
                "message": {"text": near.message},
            }
            for number, near in enumerate(problem.related)
        ]
    return result


def _place(path: str, line: int, column: int) -> dict[str, Any]:
    return {
        "artifactLocation": {"uri": quote(path, safe="/")},
        "region": {"startLine": line, "startColumn": column},
    }
