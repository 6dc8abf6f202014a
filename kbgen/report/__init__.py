"""Problems, located and written for a person, a script or a pull request."""

from __future__ import annotations

import os
from pathlib import Path

from kbgen.report.codequality import as_codequality
from kbgen.report.github import as_github
from kbgen.report.json import as_json
from kbgen.report.locate import Located, LocatedRelated, locate
from kbgen.report.text import as_text, counts

__all__ = [
    "Located",
    "LocatedRelated",
    "as_codequality",
    "as_github",
    "as_json",
    "as_text",
    "counts",
    "locate",
    "prefix_to",
]


def prefix_to(root: Path, current: Path) -> str:
    """Return what to put before a knowledge base's paths so that they lead there from ``current``."""
    relative = os.path.relpath(root, current).replace(os.sep, "/")
    return "" if relative == "." else f"{relative}/"
