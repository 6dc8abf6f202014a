"""``kbgen new field-note --from``: what a tablet saved becomes a draft, and tells nobody whose plant it is."""

from __future__ import annotations

import base64
import json
import time
import zlib
from pathlib import Path
from typing import Any

import pytest
import yaml

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
    "wrong": [
        {"page": "example-make-safe", "step": "step-make-safe.mains", "text": "the cover has four screws"}
    ],
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
    assert "open remark on example-make-safe, step make-safe.mains: the cover has four screws" in said
    assert "no machine was written for AH-3: its size is not said; kbgen new plant AH-3" in said
    (note,) = notes(shop)
    text = note.read_text(encoding="utf-8")
    assert "status: draft" in text
    assert "lint screen full" in text
    assert "118 V" in text
    capsys.readouterr()
    assert main(["check", "--kb", str(shop)]) == 0
    assert "step `make-safe.mains` of `example-make-safe` was said to be wrong" in capsys.readouterr().out


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
        ({"minutes": -5}, "damaged"),
        ({"minutes": float("inf")}, "damaged"),
        ({"minutes": 1.5}, "damaged"),
        ({"day": "next tuesday"}, "damaged"),
        ({"day": "20261129"}, "damaged"),
        ({"day": ["2026-11-29"]}, "damaged"),
        ({"plant": 88}, "damaged"),
        ({"wrong": [{"page": ["a"], "step": "b"}]}, "damaged"),
        ({"wrong": [{"page": "a", "step": 3}]}, "damaged"),
    ],
)
def test_what_tells_whose_plant_it_is_or_is_no_record_writes_nothing(
    shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], more: dict[str, Any], said: str
) -> None:
    assert main(["new", "field-note", "--from", str(saved(tmp_path, **more)), "--kb", str(shop)]) == 2
    assert said in capsys.readouterr().err
    assert notes(shop) == []


@pytest.mark.parametrize("deep", [400, 950, 120_000])
def test_a_file_of_brackets_is_no_record(
    shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], deep: int
) -> None:
    file = tmp_path / "deep.json"
    file.write_text(f'{{"kbgen": "job-record", "v": 1, "x": {"[" * deep}{"]" * deep}}}', encoding="utf-8")
    assert main(["new", "field-note", "--from", str(file), "--kb", str(shop)]) == 2
    assert "job record" in capsys.readouterr().err


def test_title_and_address_of_a_note_do_not_tell_the_machine(shop: Path, tmp_path: Path) -> None:
    first = saved(tmp_path).rename(tmp_path / "first.json")
    other = saved(tmp_path, plant="AH-4")
    assert main(["new", "field-note", "--from", str(first), str(other), "--kb", str(shop)]) == 0
    assert len(notes(shop)) == 2, "two jobs of one day are two notes"
    for note in notes(shop):
        assert "ah-" not in note.stem
        assert written(shop, "field_notes", note.stem)["title"].startswith("Job of 2026-11-29, ")


def test_a_record_becomes_one_note_once(shop: Path, tmp_path: Path) -> None:
    command = ["new", "field-note", "--from", str(saved(tmp_path)), "--kb", str(shop)]
    assert (main(command), main(command)) == (0, 2)
    assert main(["new", "symptom", "--from", str(saved(tmp_path)), "--kb", str(shop)]) == 2


def code(folder: Path, **more: Any) -> Path:
    """Save what the QR code of a record says, as a telephone hands it on."""
    packer = zlib.compressobj(9, wbits=-zlib.MAX_WBITS)
    packed = packer.compress(json.dumps(RECORD | more).encode()) + packer.flush()
    file = folder / "scanned.txt"
    file.write_bytes(b"Scanned:\nKBJ1." + base64.urlsafe_b64encode(packed).rstrip(b"=") + b"\n")
    return file


def written(shop: Path, kind: str, name: str) -> dict[str, Any]:
    data: dict[str, Any] = yaml.safe_load((shop / kind / f"{name}.yaml").read_text(encoding="utf-8"))
    return data


def test_a_scanned_code_says_the_same_as_the_file(shop: Path, tmp_path: Path) -> None:
    assert main(["new", "field-note", "--from", str(saved(tmp_path)), "--kb", str(shop)]) == 0
    (note,) = notes(shop)
    first = note.read_bytes()
    note.unlink()
    assert main(["new", "field-note", "--from", str(code(tmp_path)), "--kb", str(shop)]) == 0
    assert note.read_bytes() == first


def test_words_that_a_code_leaves_out_are_looked_up(shop: Path, tmp_path: Path) -> None:
    reading = {"page": "example-make-safe", "values": [118], "unit": "V", "meter": "low impedance"}
    readings = [reading | {"step": "step-make-safe.mains.lock"}, reading | {"step": "step-gone"}]
    small = {"readings": readings, "pages": [], "notes": [], "on": [], "wrong": [], "outstanding": []}
    assert main(["new", "field-note", "--from", str(code(tmp_path, **small)), "--kb", str(shop)]) == 0
    first, second = written(shop, "field_notes", notes(shop)[0].stem)["cause"].splitlines()
    assert first == "- Put padlock and tag on isolator Q1. Try the handle. Read: 118 V (low impedance)."
    assert second == "- example-make-safe, step gone. Read: 118 V (low impedance)."


def test_half_a_code_writes_nothing(shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = code(tmp_path)
    file.write_bytes(file.read_bytes()[:-40])
    assert main(["new", "field-note", "--from", str(file), "--kb", str(shop)]) == 2
    assert "a part of a code only; scan it anew" in capsys.readouterr().err
    assert notes(shop) == []


@pytest.mark.parametrize("machine", ["example-1044", ""], ids=["named", "by its number"])
def test_a_note_names_the_machine_that_is_known_and_says_what_to_write_there(
    shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], machine: str
) -> None:
    file = saved(tmp_path, plant="1044", machine=machine, size="eh-20")
    assert main(["new", "field-note", "--from", str(file), "--kb", str(shop)]) == 0
    assert written(shop, "field_notes", notes(shop)[0].stem)["plant"] == "example-1044"
    assert written(shop, "field_notes", notes(shop)[0].stem)["size"] == "eh-20"
    said = capsys.readouterr().out
    assert 'in plants/example-1044.yaml write as_of: "2026-11-29"' in said
    assert '{what: "no full cycle seen since the work", since: "2026-11-29"}' in said
    assert '{what: "locked Mains", since: "2026-11-29"}' in said


def test_a_record_of_another_size_than_its_machine_is_refused(
    shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = saved(tmp_path, plant="1044", machine="example-1044", size="eh-40")
    assert main(["new", "field-note", "--from", str(file), "--kb", str(shop)]) == 2
    assert (
        "is of example-heater, size eh-40, plants/example-1044.yaml is of example-heater, size eh-20; look"
        in capsys.readouterr().err
    )
    assert notes(shop) == []


@pytest.mark.parametrize("size", ["eh-40", ""])
def test_a_typed_number_of_another_size_is_not_taken_for_the_machine(
    shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], size: str
) -> None:
    file = saved(tmp_path, plant="1044", machine="", size=size)
    assert main(["new", "field-note", "--from", str(file), "--kb", str(shop)]) == 0
    assert "plant" not in written(shop, "field_notes", notes(shop)[0].stem)
    assert "is it plants/example-1044.yaml? then write plant: example-1044" in capsys.readouterr().out


def test_two_machines_of_one_name_do_not_become_one(
    shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    first = saved(tmp_path, plant="Boiler", size="eh-20").rename(tmp_path / "first.json")
    other = saved(tmp_path, plant="Boiler", size="eh-40")
    assert main(["new", "field-note", "--from", str(first), str(other), "--kb", str(shop)]) == 2
    assert "boiler.yaml is of another machine; give the number as on the tag" in capsys.readouterr().err
    assert notes(shop) == []


def test_a_machine_nobody_wrote_down_becomes_a_draft_once_for_all_its_records(
    shop: Path, tmp_path: Path
) -> None:
    first = saved(tmp_path, size="eh-40")
    second = first.rename(tmp_path / "second.json")
    first = saved(tmp_path, size="eh-40", day="2026-11-30")
    assert main(["new", "field-note", "--from", str(second), str(first), "--kb", str(shop)]) == 0
    machine = written(shop, "plants", "ah-3")
    assert str(machine["as_of"]) == "2026-11-30"
    assert (machine["number"], machine["size"], machine["status"]) == ("AH-3", "eh-40", "draft")
    assert [each["what"] for each in machine["outstanding"]] == [
        "locked Mains",
        "no full cycle seen since the work",
    ]
    assert [written(shop, "field_notes", note.stem)["plant"] for note in notes(shop)] == ["ah-3", "ah-3"]
    assert main(["check", "--kb", str(shop)]) == 0


def test_what_was_found_without_a_procedure_names_entries_that_are_there(
    shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    found = {
        "symptom": "example-string-open",
        "device": "example-high-limit",
        "fault": "Doing its job",
        "cause": "Pump stood",
    }
    assert (
        main(["new", "field-note", "--from", str(saved(tmp_path, found=found, pages=[])), "--kb", str(shop)])
        == 0
    )
    note = written(shop, "field_notes", notes(shop)[0].stem)
    assert (note["symptom"], note["device"]) == ("example-string-open", "example-high-limit")
    assert note["cause"].startswith("- Doing its job.\n- Pump stood.\n")
    notes(shop)[0].unlink()
    wrong = saved(tmp_path, found=found | {"device": "example-hihg-limit"})
    assert main(["new", "field-note", "--from", str(wrong), "--kb", str(shop)]) == 2
    assert "example-high-limit" in capsys.readouterr().err
    assert notes(shop) == []


def test_corrections_stand_beside_what_they_correct_and_one_tap_is_a_remark(
    shop: Path, tmp_path: Path
) -> None:
    more = {
        "added": [{"line": 3, "text": "It was the other pump", "of": "Open contact: lint screen full"}],
        "wrong": [
            {
                "page": "example-make-safe",
                "step": "step-make-safe.mains",
                "text": "",
                "edition": "e7",
                "photo": "a.jpg",
            }
        ],
    }
    assert main(["new", "field-note", "--from", str(saved(tmp_path, **more)), "--kb", str(shop)]) == 0
    note = written(shop, "field_notes", notes(shop)[0].stem)
    assert "- Added to “Open contact: lint screen full”: It was the other pump.\n" in note["cause"]
    (remark,) = note["remarks"]
    assert remark == {
        "page": "example-make-safe",
        "step": "make-safe.mains",
        "said": "No word was given (photo: a.jpg)",
        "edition": "e7",
    }


def test_a_new_entry_is_of_the_day_where_it_is_written(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    days = []
    # 26 hours lie between them, so it is never the same day in both.
    for number, zone in (("91", "<+14>-14"), ("92", "<-12>12")):
        monkeypatch.setenv("TZ", zone)
        time.tzset()
        assert main(["new", "plant", number, "--kb", str(shop)]) == 0
        days.append(str(written(shop, "plants", number)["as_of"]))
    monkeypatch.undo()
    time.tzset()
    assert days[0] > days[1]
