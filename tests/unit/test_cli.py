"""The command line as a new user meets it: exit codes, JSON, one clear sentence for wrong use."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from kbgen.cli import COMMANDS, main, make_parser
from kbgen.ref import FOLDERS, Kind
from kbgen.rules.registry import RULES
from kbgen.schemas.placeholder import PLACEHOLDER
from tests.unit.shops import SETTINGS, sign_all, write_shop

GOOD = {
    "symptoms/dark.yaml": """\
        title: Panel stays dark
        means: The panel has no supply.
        displays: [blank panel]
        look_first:
          - look: Isolator of the panel
        status: approved
        review: [{by: MK, on: 2026-05-04}]
        """
}
BAD = {"symptoms/dark.yaml": "title: Dark\nmeens: x\n"}


@pytest.fixture
def good(tmp_path: Path) -> Path:
    return write_shop(tmp_path / "kb", GOOD)


@pytest.fixture
def bad(tmp_path: Path) -> Path:
    return write_shop(tmp_path / "kb", BAD)


def run_json(capsys: pytest.CaptureFixture[str], *argv: str) -> dict:
    main([*argv, "--json"])
    return json.loads(capsys.readouterr().out)


def test_a_good_knowledge_base_is_checked_with_exit_0(good: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "--kb", str(good)]) == 0
    assert "1 entry checked: 0 errors" in capsys.readouterr().out


def test_a_bad_one_says_file_line_column_and_what_to_type(
    bad: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", "--kb", str(bad)]) == 1
    out = capsys.readouterr().out
    assert "symptoms/dark.yaml:2:1: error:" in out
    assert "`means`" in out


def test_check_json_has_the_fixed_names(bad: Path, capsys: pytest.CaptureFixture[str]) -> None:
    found = run_json(capsys, "check", "--kb", str(bad))
    assert {"version", "edition", "problems", "summary"} <= set(found)
    (problem,) = found["problems"]
    assert set(problem) >= {"rule", "severity", "path", "line", "column", "message", "hint", "related"}
    assert problem["path"] == "symptoms/dark.yaml"
    assert set(found["summary"]) >= {"entries", "errors", "warnings", "suppressed", "not_run"}


def test_strict_makes_a_warning_count(good: Path) -> None:
    assert main(["check", "--kb", str(good), "--today", "2026-11-25"]) == 0
    assert main(["check", "--kb", str(good), "--today", "2028-01-01"]) == 0
    assert main(["check", "--kb", str(good), "--today", "2028-01-01", "--strict"]) == 1


@pytest.mark.parametrize("command", ["build", "guide", "export", "search"])
def test_nothing_is_made_while_an_error_stands(
    command: str, bad: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    last = ["dark"] if command == "search" else ["--out", str(out)]
    assert main([command, "--kb", str(bad), *last]) == 1
    assert not out.exists()
    assert "symptoms/dark.yaml:2:1" in capsys.readouterr().err


def test_export_holds_every_entry_with_kind_id_and_title(
    good: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "all.json"
    assert main(["export", "--kb", str(good), "--out", str(out)]) == 0
    data = json.loads(out.read_text())
    (entry,) = data["entries"]
    assert (entry["kind"], entry["id"], entry["title"]) == ("symptom", "dark", "Panel stays dark")
    before = out.read_bytes()
    main(["export", "--kb", str(good), "--out", str(out)])
    assert out.read_bytes() == before


def test_search_finds_by_display_and_shows_the_notice(good: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["search", "--kb", str(good), "blank", "panel"]) == 0
    out = capsys.readouterr().out
    assert "Panel stays dark" in out
    assert "local codes" in out
    found = run_json(capsys, "search", "--kb", str(good), "blank panel")
    assert found["query"] == "blank panel"
    assert [hit["id"] for hit in found["results"]] == ["dark"]
    assert set(found["results"][0]) == {"kind", "id", "title", "score", "why", "note"}


def test_an_emergency_puts_the_way_out_first(good: Path, capsys: pytest.CaptureFixture[str]) -> None:
    main(["search", "--kb", str(good), "smell", "of", "gas"])
    assert capsys.readouterr().out.startswith("!! Leave now")


@pytest.mark.parametrize("kind", list(Kind))
def test_a_new_entry_is_refused_until_what_must_be_written_is(kind: Kind, tmp_path: Path) -> None:
    root = write_shop(tmp_path / "kb", {"equipment/plant.yaml": "title: Plant\n"})
    assert main(["new", str(kind), 'Häuptling: "X" #2', "--kb", str(root)]) == 0
    assert (root / FOLDERS[kind] / "hauptling-x-2.yaml").is_file()
    text = (root / FOLDERS[kind] / "hauptling-x-2.yaml").read_text(encoding="utf-8")
    unwritten = [line for line in text.splitlines() if PLACEHOLDER in line and not line.startswith("#")]
    assert main(["check", "--kb", str(root)]) == (1 if unwritten else 0)
    assert main(["new", str(kind), "Häuptling X 2", "--kb", str(root)]) == 2


def test_every_field_of_a_new_entry_stands_as_a_comment_with_its_description(tmp_path: Path) -> None:
    root = write_shop(tmp_path / "kb", {})
    main(["new", "symptom", "Dark", "--kb", str(root)])
    text = (root / "symptoms" / "dark.yaml").read_text()
    for field in ("displays", "look_first", "stop_and_call", "look_alikes"):
        assert re.search(rf"^# {field}:", text, re.MULTILINE)


def test_help_of_every_command_has_an_example() -> None:
    for name, says in COMMANDS.items():
        (command,) = next(action.choices for action in make_parser(name)._actions if action.choices).values()
        text = command.format_help()
        assert "Example: kbgen" in text, name
        assert " ".join(says[1:].split()) in " ".join(text.split()), name


def test_help_lists_every_command() -> None:
    text = " ".join(make_parser("--help").format_help().split())
    assert [says for says in COMMANDS.values() if says not in text] == []


def test_settings_alone_are_a_knowledge_base(tmp_path: Path) -> None:
    (tmp_path / "kb.yaml").write_text(SETTINGS)
    assert main(["check", "--kb", str(tmp_path)]) == 0


def test_check_tells_what_was_accepted_and_what_did_not_run(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    entry = "title: Dark\nmeans: x\nlook_first: [{look: Isolator}]\nstatus: draft\n"
    root = write_shop(tmp_path, {"symptoms/dark.yaml": entry})
    assert main(["check", "--kb", str(root)]) == 0
    assert main(["check", "--kb", str(root), "--strict"]) == 1
    capsys.readouterr()
    accepted = "accept:\n- {rule: symptom-without-look-alike, reason: Nothing looks like it., by: MK}\n"
    write_shop(root, {"symptoms/dark.yaml": entry + accepted})
    assert main(["check", "--kb", str(root), "--strict"]) == 0
    assert capsys.readouterr().out.splitlines() == [
        "1 entry checked: 0 errors, 0 warnings, 1 warning accepted with a reason",
        "not run: reviews that have run out (give --today)",
    ]
    assert run_json(capsys, "check", "--kb", str(root), "--today", "2026-11-25")["summary"] == {
        "entries": 1,
        "errors": 0,
        "warnings": 0,
        "suppressed": 1,
        "not_run": [],
    }


def test_the_page_of_rules_is_made_of_their_records(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["explain", "--all"]) == 0
    page = capsys.readouterr().out
    for rule in RULES:
        assert f"### `{rule.name}`" in page
        assert rule.why in page
    assert page.count("\nWrong:") == page.count("\nRight:") == len(RULES)


def test_a_guide_of_one_plant_leaves_the_others_out(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    approved = "status: approved\nreview: [{by: MK, on: 2026-05-04}]\n"
    files = {
        "equipment/one.yaml": f"title: One\n{approved}",
        "equipment/two.yaml": f"title: Two\n{approved}",
        "terms/word.yaml": f"title: Word\nmeans: A word.\n{approved}",
    }
    root = sign_all(write_shop(tmp_path / "kb", files))
    out = tmp_path / "guide.pdf"
    binder = ("guide", "--kb", str(root), "--out", str(out), "--binder")
    assert run_json(capsys, *binder)["entries"] == 3
    assert run_json(capsys, *binder, "--equipment", "one")["entries"] == 2
    assert main([*binder, "--equipment", "ones"]) == 2
    assert "there is no equipment `ones`" in capsys.readouterr().err
