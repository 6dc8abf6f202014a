"""Counting leaves nothing behind and takes terms as they are."""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

from kbgen.search.gather import count


def test_counts_per_field() -> None:
    row = {
        "title": ["flame"],
        "body": ["no", "flame", "flame", "válvula", "=E 31", "3_1", "Flame"],
        "names": [],
    }
    assert count(row) == {
        "title": {"flame": 1},
        "body": {"no": 1, "flame": 2, "válvula": 1, "=E 31": 1, "3_1": 1, "Flame": 1},
        "names": {},
    }


def test_counting_touches_no_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    assert len(count({"body": [f"w{n}" for n in range(300)]})["body"]) == 300
    assert list(tmp_path.iterdir()) == []


def test_whoosh_is_used_by_its_published_names() -> None:
    script = "import warnings; warnings.simplefilter('error', DeprecationWarning); from whoosh.fields import KEYWORD"
    subprocess.run([sys.executable, "-c", script], check=True)
