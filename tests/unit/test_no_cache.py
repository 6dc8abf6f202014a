"""Every command that reads a knowledge base makes the same with the store, with what it kept, and without."""

from __future__ import annotations

import hashlib
import shutil
from pathlib import Path

import pytest

from kbgen.cli import main, make_parser
from kbgen.cli.commands import COMMANDS
from tests.unit.shops import sign_all

SHOP = Path(__file__).parents[1] / "kb" / "good" / "hands"
READING = {
    "check": "",
    "build": "--out OUT/site",
    "guide": "--binder --out OUT/guide.pdf",
    "search": "limits not made",
    "readings": "limits",
    "locate": "limits",
    "order": "limits",
    "walk": "change-the-vane",
    "export": "--out OUT/all.json",
    "new": "term another",
    "review": f"--base {SHOP}",
    "rename": "term lockout held-off",
    "sign": "term:lockout --by MK --dry-run",
    "migrate": "",
}
OTHERS = ("serve", "explain", "verify")
"""The preview goes on and on, and has tests of its own; the last two read no knowledge base."""


def test_every_command_is_here() -> None:
    assert {*READING, *OTHERS} == set(COMMANDS)


@pytest.mark.parametrize("command", ["serve", *READING])
def test_every_command_that_reads_has_the_option(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        make_parser(command).parse_args([command, "--help"])
    assert "--no-cache" in capsys.readouterr().out


@pytest.mark.parametrize("command", READING)
def test_a_command_gives_the_same_with_and_without_the_store(
    command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def run(*more: str) -> tuple[object, ...]:
        shutil.rmtree(tmp_path / "work", ignore_errors=True)
        root, out = shutil.copytree(SHOP, tmp_path / "work" / "kb"), tmp_path / "work" / "out"
        out.mkdir()
        # One entry is approved, so that there is something to print.
        with (root / "terms" / "lockout.yaml").open("a", encoding="utf-8") as file:
            file.write("status: approved\n")
        with (root / "kb.yaml").open("a", encoding="utf-8") as file:
            file.write("people: [{initials: MK}]\n")
        sign_all(root)
        words = READING[command].replace("OUT", str(out)).split()
        status = main([command, *words, "--kb", str(root), *more])
        files = [file for file in sorted((tmp_path / "work").rglob("*")) if file.is_file()]
        return (
            status,
            capsys.readouterr(),
            [(file, hashlib.sha256(file.read_bytes()).digest()) for file in files],
        )

    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "none"))
    without = run("--no-cache")
    assert not (tmp_path / "none").exists()
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    assert run() == without
    assert run() == without
    # A review has something to tell: who signs is new.
    assert without[0] == (1 if command == "review" else 0)
