"""Whatever name a stage prints, ``kbgen explain`` knows it."""

from __future__ import annotations

import re
from pathlib import Path

from kbgen.compute import walk
from kbgen.rules.registry import BY_NAME, RULES

SOURCE = Path(walk.__file__).parents[2]
# A rule is named in the first place of a call that makes a problem, a fault or a finding.
CALL = re.compile(
    r"""(?:\berror|\bwarning|\w*[Ff]ault|\bFinding|_Saying|_never_jumped)\(\s*(?:"([a-z]+(?:-[a-z]+)+|tab|indentation)")"""
)
STAGES = ("load", "schemacheck", "link", "compute/walk", "rules", "photo.py")


def emitted() -> dict[str, str]:
    found = {}
    for stage in STAGES:
        path = SOURCE / stage
        for file in [path] if path.is_file() else sorted(path.rglob("*.py")):
            for name in CALL.findall(file.read_text(encoding="utf-8")):
                found.setdefault(name, str(file.relative_to(SOURCE)))
    return found


def test_every_emitted_name_has_a_record() -> None:
    missing = {name: file for name, file in emitted().items() if name not in BY_NAME}
    assert missing == {}


def test_the_search_for_names_finds_names_of_every_stage() -> None:
    files = {file.split("/")[0] for file in emitted().values()}
    assert {"load", "schemacheck", "link", "compute", "rules"} <= files
    assert len(emitted()) > 120


def test_every_checked_record_is_emitted_somewhere() -> None:
    names = set(emitted())
    # The looks of privacy hand their name on in a variable.
    silent = {
        rule.name for rule in RULES if rule.check and rule.name not in names and rule.family != "Privacy"
    }
    assert silent == set()
