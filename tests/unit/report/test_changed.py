"""Of warnings only those on changed lines are told; a code quality report keeps its fingerprints."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path

import pytest

from kbgen.cli import main
from tests.unit.shops import write_shop

TERM = "title: Word {}\nmeans: A word.\nstatus: approved\n"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """Two approved entries that nobody signed, committed; in one of them a line changed since."""
    root = write_shop(tmp_path / "kb", {f"terms/{name}.yaml": TERM.format(name) for name in ("old", "new")})
    git(root, "init", "-q")
    git(root, "add", "--all")
    git(root, "commit", "-qm", "Start")
    file = root / "terms" / "new.yaml"
    file.write_text(
        file.read_text(encoding="utf-8").replace("status: approved", "status:  approved"), encoding="utf-8"
    )
    return root


def git(root: Path, *words: str) -> None:
    who = ("-c", "user.name=Office", "-c", "user.email=office@example.org")
    subprocess.run(["git", *who, *words], cwd=root, check=True, capture_output=True)


def told(root: Path, capsys: pytest.CaptureFixture[str], *more: str) -> set[str]:
    main(["check", "--kb", str(root), "--json", *more])
    return {each["path"] for each in json.loads(capsys.readouterr().out)["problems"]}


def test_warnings_on_other_lines_are_left_out(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert told(shop, capsys) == {"terms/new.yaml", "terms/old.yaml"}
    assert told(shop, capsys, "--base", "HEAD") == {"terms/new.yaml"}


def test_a_file_that_git_does_not_know_is_new_from_its_first_line(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (shop / "terms" / "third.yaml").write_text(TERM.format("third"), encoding="utf-8")
    assert told(shop, capsys, "--base", "HEAD") == {"terms/new.yaml", "terms/third.yaml"}


def test_errors_are_told_wherever_they_are(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    git(shop, "commit", "-qam", "Second")
    (shop / "kb.yaml").write_text("shop: Test\n", encoding="utf-8")
    git(shop, "commit", "-qam", "Third")
    assert "kb.yaml" in told(shop, capsys, "--base", "HEAD")


def test_a_revision_that_is_none_is_one_sentence(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "--kb", str(shop), "--base", "nowhere"]) == 2
    assert "cannot be told" in capsys.readouterr().err


def test_a_code_quality_report_names_place_rule_and_a_lasting_fingerprint(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    def report() -> list[dict[str, object]]:
        main(["check", "--kb", str(shop), "--format", "codequality"])
        found: list[dict[str, object]] = json.loads(capsys.readouterr().out)
        return found

    first = report()
    assert {each["check_name"] for each in first} == {"not-signed"}
    assert first[0]["location"]["lines"]["begin"] == 3  # type: ignore[index]
    file = shop / "terms" / "new.yaml"
    file.write_text("# A remark.\n" + file.read_text(encoding="utf-8"), encoding="utf-8")
    assert {each["fingerprint"] for each in report()} == {each["fingerprint"] for each in first}
