"""Which lines of a knowledge base changed since a revision, so that only what somebody touched is told."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Container, Iterable, Mapping
from pathlib import Path

from kbgen.problems import Severity
from kbgen.report.locate import Located

_HUNK = re.compile(r"@@ -\S+ \+(\d+)(?:,(\d+))? @@")


class NoRevision(Exception):  # noqa: N818 - said to a person
    """There is no git, no repository or no such revision."""


def changed_lines(root: Path, revision: str) -> dict[str, Container[int]]:
    """Return the lines that a revision does not have, by path below ``root``; of a file that git does not know, all.

    Raises:
        NoRevision: They cannot be told.
    """
    difference = _git(
        root, "diff", "--unified=0", "--no-color", "--no-ext-diff", "--relative", revision, "--", "."
    )
    lines: dict[str, set[int]] = {}
    path = ""
    for line in difference.splitlines():
        if line.startswith("+++ "):
            path = line.removeprefix("+++ ").strip('"').removeprefix("b/")
        elif hunk := _HUNK.match(line):
            first, number = int(hunk[1]), int(hunk[2] or 1)
            lines.setdefault(path, set()).update(range(first, first + number))
    unknown = _git(root, "ls-files", "--others", "--exclude-standard", "-z").split("\0")
    return {**lines, **dict.fromkeys(filter(None, unknown), _ALL)}


class _Every:
    def __contains__(self, _: object) -> bool:
        return True


_ALL = _Every()


def on_changed(found: Iterable[Located], lines: Mapping[str, Container[int]]) -> tuple[Located, ...]:
    """Return every error, and the warnings on changed lines."""
    return tuple(
        each for each in found if each.severity is Severity.ERROR or each.line in lines.get(each.path, ())
    )


def _git(root: Path, *words: str) -> str:
    try:
        done = subprocess.run(["git", "-C", str(root), *words], capture_output=True, check=True)  # noqa: S603, S607
    except OSError as fault:
        raise NoRevision("git cannot be run; leave --base out") from fault
    except subprocess.CalledProcessError as fault:
        why = fault.stderr.decode(errors="replace").strip().splitlines()
        raise NoRevision(why[-1] if why else "git refused") from fault
    return done.stdout.decode("utf-8", "surrogateescape")
