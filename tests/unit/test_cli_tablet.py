"""What `kbgen build` says of the room that an edition takes on a tablet."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from kbgen.cli import build, main
from tests.unit.shops import write_shop

SYMPTOM = {"symptoms/dark.yaml": "title: Panel stays dark\nmeans: The panel has no supply.\n"}


@pytest.mark.parametrize("large", [False, True])
def test_build_says_how_large_the_edition_is_and_warns_of_a_large_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, large: bool
) -> None:
    assert build._LARGE == 50_000_000
    root, out = write_shop(tmp_path / "kb", SYMPTOM), tmp_path / "site"
    if large:
        monkeypatch.setattr(build, "_LARGE", 100_000)
    assert main(["build", "--kb", str(root), "--out", str(out)]) == 0
    size = sum(file.stat().st_size for file in out.rglob("*") if file.is_file())
    size -= (out / "edition-files.json").stat().st_size
    said = capsys.readouterr()
    assert f"{size / 1e6:.1f} MB for a tablet, fingerprint " in said.out
    assert ("warning: " in said.err) is large
    if large:
        assert "is much for a tablet (0.1 MB at most); 0.0 MB of it are photos" in said.err
    main(["build", "--kb", str(root), "--out", str(out), "--json"])
    assert json.loads(capsys.readouterr().out)["bytes"] == size
