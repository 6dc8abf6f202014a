"""A second check of an unchanged knowledge base is answered from the first, and nothing else is."""

from __future__ import annotations

from pathlib import Path

import pytest

from kbgen import pipeline
from kbgen.cli import main
from tests.unit.shops import write_shop

FILES = {
    "devices/a.yaml": "title: A °\nstatus: draft\nmeens: y\n",
    "symptoms/b.yaml": "title: B\nstatus: draft\nmeans: See [it](device:gone).\n",
}


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return write_shop(tmp_path / "shop", FILES)


@pytest.fixture
def runs(monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """Every folder that was really checked."""
    checked: list[Path] = []
    whole = pipeline.compile_folder

    def counted(root: Path, *args: object, **named: object) -> pipeline.Compiled:
        checked.append(root)
        return whole(root, *args, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(pipeline, "compile_folder", counted)
    return checked


def check(shop: Path, capsys: pytest.CaptureFixture[str], *options: str) -> tuple[int, str]:
    code = main(["check", "--kb", str(shop), *options])
    return code, capsys.readouterr().out


@pytest.mark.parametrize("options", [(), ("--json",), ("--format", "github"), ("--format", "sarif")])
def test_the_second_check_says_the_same_without_checking(
    options: tuple[str, ...], shop: Path, runs: list[Path], capsys: pytest.CaptureFixture[str]
) -> None:
    first = check(shop, capsys, *options)
    assert first[0] == 1
    assert check(shop, capsys, *options) == first
    assert len(runs) == 1
    assert check(shop, capsys, "--no-cache", *options) == first
    assert len(runs) == 2


def test_nothing_is_written_into_the_knowledge_base(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = sorted(shop.rglob("*"))
    check(shop, capsys)
    assert sorted(shop.rglob("*")) == before


@pytest.mark.parametrize(
    "change",
    [
        lambda shop: (shop / "devices/a.yaml").write_text("title: A\nstatus: draft\n"),
        lambda shop: (shop / "devices/a.yaml").rename(shop / "devices/gone.yaml"),
        lambda shop: (shop / "devices/a.yaml").unlink(),
        lambda shop: (shop / "devices/new.yaml").write_text("title: N\n"),
        lambda shop: (shop / "stray.yaml").write_text("title: N\n"),
        lambda shop: (shop / "devices/linked.yaml").symlink_to(shop / "devices/a.yaml"),
    ],
    ids=["edited", "renamed", "deleted", "added", "misplaced", "linked"],
)
def test_a_change_is_checked(
    change: object, shop: Path, runs: list[Path], capsys: pytest.CaptureFixture[str]
) -> None:
    check(shop, capsys)
    change(shop)  # type: ignore[operator]
    check(shop, capsys)
    assert len(runs) == 2


def test_another_day_is_checked(shop: Path, runs: list[Path], capsys: pytest.CaptureFixture[str]) -> None:
    check(shop, capsys, "--today", "2026-11-25")
    check(shop, capsys, "--today", "2028-11-25")
    assert len(runs) == 2


def test_a_damaged_cache_is_not_believed(
    shop: Path, runs: list[Path], capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    first = check(shop, capsys)
    (file,) = (tmp_path / "cache" / "kbgen").iterdir()
    whole = file.read_bytes()
    damages = [
        b"",
        b"\xff\xfe",
        whole[: len(whole) // 2],
        whole.replace(b"unknown-field", b"unknown-fault"),
        whole[:4096],
        b"[" * 100_000,
    ]
    for count, damage in enumerate(damages, 2):
        file.write_bytes(damage)
        assert check(shop, capsys) == first
        assert len(runs) == count
        assert check(shop, capsys) == first
        assert len(runs) == count


def test_a_file_saved_while_the_check_runs_is_checked_again(
    shop: Path, runs: list[Path], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = pipeline.compile_folder

    def saved_meanwhile(root: Path, *args: object, **named: object) -> pipeline.Compiled:
        (root / "devices/a.yaml").write_text("title: Other\nstatus: draft\n")
        return whole(root, *args, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(pipeline, "compile_folder", saved_meanwhile)
    check(shop, capsys)
    write_shop(shop, FILES)
    monkeypatch.setattr(pipeline, "compile_folder", whole)
    _, said = check(shop, capsys)
    assert "meens" in said
    assert len(runs) == 2


def test_a_cache_folder_that_cannot_be_made_is_no_mistake(
    shop: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "file"))
    assert check(shop, capsys)[0] == 1
