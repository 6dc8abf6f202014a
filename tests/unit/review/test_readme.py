"""The change that README.md shows, reviewed as it says: out of git, in a copy of the demonstration."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from kbgen.cli import main
from tests.unit.review.test_cli_review import git

ROOT = Path(__file__).resolve().parents[3]
CHAPTER = (
    (ROOT / "README.md").read_text(encoding="utf-8").partition("## Review a change")[2].partition("\n## ")[0]
)
PLANT = (
    "equipment/vashby-mah.yaml",
    "procedures/mah-fan-off.yaml",
    "procedures/mah-make-safe.yaml",
    "procedures/mah-record-evidence.yaml",
    "kb.yaml",
)


def test_the_change_of_the_readme_is_told_as_the_readme_says(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    # The plant of the page alone: the whole demonstration takes its time, and the page asks for nothing else.
    for name in PLANT:
        (tmp_path / "kb_source" / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(ROOT / "kb_source" / name, tmp_path / "kb_source" / name)
    git(tmp_path, "init", "-q", "-b", "main")
    git(tmp_path, "add", ".")
    git(tmp_path, "commit", "-q", "-m", "first")
    (diff,) = re.findall(r"^```diff\n(.*?)^```", CHAPTER, re.MULTILINE | re.DOTALL)
    subprocess.run(["git", "apply", "-"], cwd=tmp_path, input=diff.encode(), check=True)
    monkeypatch.chdir(tmp_path)
    (line,) = re.findall(r"^```sh\n(.*?)\n```", CHAPTER, re.MULTILINE | re.DOTALL)
    assert main(line.split()[1:]) == 1
    out = capsys.readouterr().out
    said = re.findall(r"^\| less safe \| .*? \| (.*?) \|$", CHAPTER, re.MULTILINE)
    assert said[0] in out
    assert "LESS SAFE" in out
    assert re.search(r"procedures/mah-make-safe\.yaml:\d+:\d+", out)
