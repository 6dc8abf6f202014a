"""``kbgen new field-note --from``: what a tablet saved becomes a draft, and tells nobody whose plant it is."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from kbgen.cli import main

RECORD: dict[str, Any] = {
    "kbgen": "job-record",
    "v": 1,
    "edition": "abc",
    "practice": False,
    "plant": "AH-3",
    "equipment": "example-heater",
    "day": "2026-11-29",
    "minutes": 42,
    "who": ["MK"],
    "pages": [{"page": "find", "title": "Find the contact", "how": "left-safe"}],
    "readings": [
        {
            "page": "find",
            "step": "step-a",
            "values": [118],
            "what": "Red probe on `D1`.",
            "unit": "V",
            "facts": [],
        }
    ],
    "on": [{"key": "lock:m", "words": "locked Mains", "off": False}],
    "notes": [{"page": "find", "step": "step-a", "label": "Open contact", "text": "lint screen full"}],
    "wrong": [{"page": "find", "step": "step-b", "text": "the cover has four screws"}],
    "outstanding": ["no full cycle seen since the work"],
    "added": [],
}


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    assert main(["new", "shop", str(tmp_path / "shop")]) == 0
    return tmp_path / "shop"


def saved(folder: Path, **more: Any) -> Path:
    file = folder / "job.json"
    file.write_text(json.dumps(RECORD | more), encoding="utf-8")
    return file


def notes(shop: Path) -> list[Path]:
    return sorted((shop / "field_notes").glob("job-*.yaml"))


def test_a_record_becomes_a_draft_that_is_checked_without_error(
    shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["new", "field-note", "--from", str(saved(tmp_path)), "--kb", str(shop)]) == 0
    said = capsys.readouterr().out
    assert "wrong at the plant: find, step-b: the cover has four screws" in said
    (note,) = notes(shop)
    text = note.read_text(encoding="utf-8")
    assert "status: draft" in text
    assert "lint screen full" in text
    assert "118 V" in text
    assert main(["check", "--kb", str(shop)]) == 0


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"notes": [{"page": "f", "step": "s", "label": "", "text": "gate code 4711#"}]}, "take it out"),
        ({"added": [{"line": 1, "text": "ask jo@example.org"}]}, "a mail address"),
        ({"equipment": "nowhere"}, "nowhere"),
        ({"kbgen": "other"}, "no job record"),
        ({"v": 2}, "no job record"),
        ({"practice": True}, "of practice"),
        ({"minutes": "long"}, "damaged"),
    ],
)
def test_what_tells_whose_plant_it_is_or_is_no_record_writes_nothing(
    shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], more: dict[str, Any], said: str
) -> None:
    assert main(["new", "field-note", "--from", str(saved(tmp_path, **more)), "--kb", str(shop)]) == 2
    assert said in capsys.readouterr().err
    assert notes(shop) == []


def test_a_record_becomes_one_note_once(shop: Path, tmp_path: Path) -> None:
    command = ["new", "field-note", "--from", str(saved(tmp_path)), "--kb", str(shop)]
    assert (main(command), main(command)) == (0, 2)
    assert main(["new", "symptom", "--from", str(saved(tmp_path)), "--kb", str(shop)]) == 2
