"""What README.md and DEVELOPERS.md show is run."""

from __future__ import annotations

import os
import re
import shlex
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from kbgen.cli import main
from kbgen.pipeline import compile_folder
from kbgen.problems import Severity
from tests import shared
from tests.unit.shops import problems as problems_of

ROOT = Path(__file__).resolve().parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def blocks(text: str, language: str) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?)^```", text, re.MULTILINE | re.DOTALL)


def previewed() -> int:
    """Start the preview, which runs until somebody ends it, and end it once it says where it is."""
    words = [sys.executable, "-m", "kbgen", "serve"]
    running = subprocess.Popen(
        words, stdout=subprocess.PIPE, text=True, env={**os.environ, "PYTHONPATH": str(ROOT)}
    )
    assert running.stdout is not None
    assert "http://127.0.0.1" in running.stdout.readline()
    assert "0 errors" in running.stdout.readline()
    running.send_signal(signal.SIGINT)
    running.communicate(timeout=60)
    return running.returncode


def test_the_tour_of_the_readme_works(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copytree(ROOT / "kb_source", tmp_path / "kb_source")
    monkeypatch.chdir(tmp_path)
    lines = [line for block in blocks(README, "console") for line in block.splitlines()]
    assert len(lines) >= 8
    for line in lines:
        prompt, program, *words = shlex.split(line)
        assert (prompt, program) == ("$", ".venv/bin/kbgen")
        assert (previewed() if words == ["serve"] else main(words)) == 0, line
    assert (tmp_path / "site" / "index.html").is_file()
    assert (tmp_path / "pocket-guide" / "ondrel-sb.pdf").read_bytes().startswith(b"%PDF")


def test_the_symptom_of_the_readme_is_a_whole_entry(tmp_path: Path) -> None:
    example = next(each for each in blocks(README, "yaml") if each.startswith("title:"))
    assert problems_of(tmp_path, {"symptoms/panel-stays-dark.yaml": example}) == []


def test_the_composed_page_of_the_readme_stands_on_the_demonstration_s_boiler(tmp_path: Path) -> None:
    shop = shutil.copytree(ROOT / "kb_source", tmp_path / "kb")
    page = next(each for each in blocks(README, "yaml") if "hunt:" in each)
    head = "title: Find the open contact of a boiler as the README does\nequipment: [ondrel-sb]\n"
    (shop / "procedures" / "as-in-the-readme.yaml").write_text(head + page, encoding="utf-8")
    problems = shared.compiled(shop).problems
    found = [each for each in problems if each.place.path.endswith("as-in-the-readme.yaml")]
    assert [each.message for each in found if each.severity is Severity.ERROR] == []


def test_the_plant_of_the_readme_has_its_pages_from_an_empty_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    files = [each.split("\n", 1) for each in blocks(README, "yaml") if each.startswith("# my-plant/")]
    for name, text in files:
        path = tmp_path / name.removeprefix("# ")
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    (commands,) = (each for each in blocks(README, "sh") if "my-plant" in each)
    for line in commands.splitlines():
        assert main(shlex.split(line)[1:]) == 0, line
    printed = capsys.readouterr().out
    assert "note:" not in printed
    assert "Meter in high impedance. Red probe on `K2`." in printed
    derived = compile_folder(tmp_path / "my-plant")
    assert sorted(each.id for each in derived.derived) == [
        "copper-make-safe",
        "copper-record",
        "string-find-dead",
    ]
    assert [each.message for each in derived.problems if each.severity is Severity.ERROR] == []
    assert (tmp_path / "my-plant" / "procedures" / "string-find-live.yaml").is_file()


@pytest.mark.parametrize("text", [README, DEVELOPERS], ids=["README", "DEVELOPERS"])
def test_every_path_and_target_that_is_named_exists(text: str) -> None:
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    for target in re.findall(r"(?:`|^)make ([\w-]+)", text, re.MULTILINE):
        assert re.search(rf"^{target}:", makefile, re.MULTILINE), target
    for path in re.findall(r"`((?:kbgen|schema|tests|site_overrides|kb_source)/[\w./-]*)`", text):
        assert (ROOT / path).exists(), path


def test_the_readme_opens_with_the_job_in_one_paragraph() -> None:
    title, job = README.split("\n\n", 2)[:2]
    assert title == "# kbgen"
    assert job.startswith("A service technician")
