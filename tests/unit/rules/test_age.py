"""What a date given to the check finds; without one, no result depends on the day."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from kbgen.pipeline import compile_folder
from tests.unit.shops import sign_all, write_shop

FILES = {
    "terms/lint.yaml": "title: lint\nmeans: Fibres.\nstatus: approved\nreview: [{by: MK, on: 2026-01-12}]\n",
    "equipment/dryer.yaml": "title: Dryer\nstatus: draft\n",
    "field_notes/plug.yaml": "title: Loose plug\nstatus: draft\nequipment: dryer\ndate: 2126-01-20\n",
    "plants/t-1.yaml": "title: Corner\nnumber: T-1\nequipment: dryer\nas_of: 2126-01-19\n",
}
TO_COME = ("field_notes/plug.yaml", "plants/t-1.yaml")


@pytest.mark.parametrize(
    ("today", "expected"),
    [
        (None, set()),
        ("2026-01-11", {("day-to-come", path) for path in (*TO_COME, "terms/lint.yaml")}),
        ("2026-01-12", {("day-to-come", path) for path in TO_COME}),
        ("2126-01-20", {("review-overdue", "terms/lint.yaml")}),
    ],
)
def test_days_are_judged_by_the_day_that_is_given(
    tmp_path: Path, today: str | None, expected: set[tuple[str, str]]
) -> None:
    day = date.fromisoformat(today) if today else None
    root = sign_all(write_shop(tmp_path / "kb", FILES), on="2026-01-12")
    found = compile_folder(root, today=day).problems
    about_days = ("day-to-come", "review-overdue")
    assert {(p.rule, p.place.path) for p in found if p.rule in about_days} == expected
