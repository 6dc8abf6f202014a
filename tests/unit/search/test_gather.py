"""Indexing leaves nothing behind and does not meet other builds on the same machine."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest

from kbgen.search.gather import gather


def test_gathers_counts_per_field() -> None:
    rows = [
        {"title": ["flame"], "body": ["no", "flame", "flame"]},
        {"title": [], "body": ["válvula", "flame"]},
    ]
    assert {(field, term): postings for field, term, postings in gather(("title", "body"), rows)} == {
        ("title", "flame"): [(0, 1.0)],
        ("body", "flame"): [(0, 2.0), (1, 1.0)],
        ("body", "no"): [(0, 1.0)],
        ("body", "válvula"): [(1, 1.0)],
    }


def test_indexing_touches_no_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    assert len(list(gather(("body",), [{"body": [f"w{n}", "all"]} for n in range(300)]))) == 301
    assert list(tmp_path.iterdir()) == []
