"""An edition names what the knowledge base says, not how or when it was saved."""

from __future__ import annotations

from pathlib import Path

import pytest

from kbgen.compute.review import due
from kbgen.pipeline import compile_folder
from tests.unit.shops import compiled, write_shop

ENTRY = "title: Dark\nmeans: No supply\nstatus: approved\nreview: [{by: MK, on: 2026-05-04}]\n"


def test_line_ends_comments_and_blanks_do_not_make_a_new_edition(tmp_path: Path) -> None:
    first = compiled(tmp_path / "a", {"symptoms/dark.yaml": ENTRY}).edition
    other = write_shop(tmp_path / "b", {"symptoms/dark.yaml": ENTRY})
    noisy = "\ufeff# note\n" + ENTRY.replace("\n", "  \n").rstrip()
    (other / "symptoms" / "dark.yaml").write_bytes(noisy.replace("\n", "\r\n").encode())
    assert compile_folder(other).edition == first


def test_another_word_makes_another_edition(tmp_path: Path) -> None:
    first = compiled(tmp_path / "a", {"symptoms/dark.yaml": ENTRY}).edition
    second = compiled(tmp_path / "b", {"symptoms/dark.yaml": ENTRY.replace("Dark", "Blank")}).edition
    assert first.id != second.id


def test_the_date_is_the_newest_in_the_content(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    note = "title: Found\ndate: 2026-06-01\nequipment: plant\n"
    files = {"symptoms/dark.yaml": ENTRY, "equipment/plant.yaml": "title: P\n", "field_notes/n.yaml": note}
    assert compiled(tmp_path, files).edition.date == "2026-06-01"


def test_source_date_epoch_sets_the_date(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1767225600")
    assert compiled(tmp_path, {"symptoms/dark.yaml": ENTRY}).edition.date == "2026-01-01"


@pytest.mark.parametrize(
    ("on", "months", "until"),
    [
        ("2026-05-04", 12, "2027-05-04"),
        ("2026-01-31", 1, "2026-02-28"),
        ("2024-02-29", 12, "2025-02-28"),
        ("2026-12-15", 1, "2027-01-15"),
    ],
)
def test_a_review_runs_out_after_its_months(on: str, months: int, until: str) -> None:
    assert due(on, months) == until
