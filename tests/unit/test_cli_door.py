"""One door for output: no terminal's encoding and no refusal of the system ends in a traceback."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.unit.shops import write_shop


def run(root: Path, *words: str, encoding: str = "utf-8") -> subprocess.CompletedProcess[bytes]:
    environment = {**os.environ, "PYTHONIOENCODING": encoding, "PYTHONUTF8": "0"}
    return subprocess.run(
        [sys.executable, "-m", "kbgen", *words], cwd=root, env=environment, capture_output=True, check=False
    )


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "cp437", "utf-8"])
def test_any_encoding_can_be_written_to(tmp_path: Path, encoding: str) -> None:
    write_shop(tmp_path, {"terms/a.yaml": "title: Δp → 漢 mеans\nmeans: B\n"})
    text = run(tmp_path, "check", encoding=encoding)
    assert (text.returncode, text.stderr) == (1, b"")
    assert b"odd-letter" in text.stdout
    data = json.loads(run(tmp_path, "check", "--json", encoding=encoding).stdout.decode(encoding))
    assert "mеans" in data["problems"][0]["message"]


def test_what_the_system_refuses_is_one_sentence(tmp_path: Path) -> None:
    done = run(tmp_path, "check", "--kb", "x" * 300)
    assert done.returncode == 2
    assert done.stderr.startswith(b"kbgen: ")
    assert b"Traceback" not in done.stderr
