"""Problems as a code quality report, the JSON that a forge shows beside the changed lines of a merge request."""

from __future__ import annotations

import hashlib
import json
from collections import Counter
from collections.abc import Sequence

from kbgen.report.locate import Located


def as_codequality(found: Sequence[Located], prefix: str = "") -> str:
    """Write one issue per problem; its fingerprint stays the same while only lines above it move.

    Args:
        found: Located problems.
        prefix: What leads from the top of the repository to the knowledge base, e.g. ``kb_source/``.
    """
    seen: Counter[str] = Counter()
    issues = []
    for problem in found:
        path = f"{prefix}{problem.path}"
        said = f"{path} {problem.rule} {problem.message}"
        seen[said] += 1
        issues.append(
            {
                "description": f"{problem.message}. {problem.hint}",
                "check_name": problem.rule,
                "fingerprint": hashlib.sha256(f"{said} {seen[said]}".encode()).hexdigest()[:32],
                "severity": "major" if problem.severity.value == "error" else "minor",
                "location": {"path": path, "lines": {"begin": problem.line}},
            }
        )
    return json.dumps(issues, ensure_ascii=False, indent=1) + "\n"
