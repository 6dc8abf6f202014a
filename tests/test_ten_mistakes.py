"""Ten mistakes people make in a real entry, each told in one sentence at the place to type at."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from kbgen.report import as_text, locate
from tests import shared

ENTRY = "symptoms/sb-limits-not-made.yaml"
SIGNED = re.compile(r'on: "[-0-9]+"')
"""The day of the signature: it moves with every reading, and a mistake in it stays the same mistake."""
TEN = [
    (
        "title: LIMITS",
        "titel: LIMITS",
        "1: error: there is no field `titel` [unknown-field]",
        "hint: Did you mean `title`?",
    ),
    (
        "  - limit string open",
        "\t- limit string open",
        "1: error: the line starts with a TAB [tab]",
        "hint: Use two spaces.",
    ),
    (
        "status: approved",
        "status: aproved",
        "9: error: `aproved` is not allowed for `status` [wrong-value]",
        "hint: Use approved or draft.",
    ),
    (
        'on: "2026-11-30"',
        'on: "2026-11-31"',
        "23: error: 31 November 2026 does not exist [wrong-date]",
        "hint: Write a day that exists as year-month-day, such as 2026-05-04.",
    ),
    (
        "equipment: [ondrel-sb]",
        "equipment: ondrel-sb",
        "12: error: `equipment` must be a list, not `ondrel-sb` [wrong-type]",
        "hint: Put a dash before each item.",
    ),
    (
        "circuit: sb-limits",
        "circuit: sb-limit",
        "10: error: there is no circuit called `sb-limit` [unknown-reference]",
        "hint: Did you mean `sb-limits`?",
    ),
    (
        "stage: start-check",
        "stage: Start check",
        "8: error: `Start check` does not fit `stage` [wrong-form]",
        "hint: Did you mean `start-check`?",
    ),
    (
        "normal_when: After every stop",
        "normal_when: After this: every stop",
        "24: error: a colon and a blank inside unquoted text would start a new field [colon-in-text]",
        "hint: Quote the whole value.",
    ),
    (
        "    minutes: 1 min",
        "    minutes: 1",
        "14: error: `1` has no unit [wrong-quantity]",
        "hint: Write a number and its unit: s, min, h, ms or d.",
    ),
    (
        "make_safe: sb-make-safe",
        "make_safe: sb-make-safe\nstage: standby",
        "1: error: `stage` was already given on line {stage} [repeated-field]",
        "hint: Keep one of the two.",
    ),
]


@pytest.mark.parametrize(
    ("right", "wrong", "place", "hint"), TEN, ids=[wrong.strip() for _, wrong, *_ in TEN]
)
def test_one_sentence_with_its_place(right: str, wrong: str, place: str, hint: str, tmp_path: Path) -> None:
    root = shutil.copytree(shared.DEMONSTRATION, tmp_path / "kb")
    file = root / ENTRY
    text = SIGNED.sub('on: "2026-11-30"', file.read_text(encoding="utf-8"), count=1)
    before, found_it, after = text.partition(right)
    assert found_it
    file.write_text(before + wrong + after, encoding="utf-8")
    line = (before + wrong).count("\n") + 1
    stage = text[: text.index("\nstage:")].count("\n") + 2
    compiled = shared.compiled(root)
    found = [each for each in locate(compiled.problems, compiled.documents) if each.severity == "error"]
    assert len(found) == 1
    said = as_text(found).splitlines()
    assert said[0] == f"{ENTRY}:{line}:{place.format(stage=stage)}"
    assert f"  {hint}" in said
