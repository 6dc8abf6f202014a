"""The pictures of README: there, said in words, of a tablet's size, and small."""

from __future__ import annotations

import re
from pathlib import Path

from PIL import Image

ROOT = Path(__file__).parents[2]
MOST_BYTES = 50 * 1024
README = (ROOT / "README.md").read_text(encoding="utf-8")
SHOWN = re.findall(r"!\[([^\]]*)\]\(([^)]+)\)", README)


def test_every_picture_is_there_small_and_said_in_words() -> None:
    assert len(SHOWN) >= 6
    for words, path in SHOWN:
        assert len(words.split()) >= 8, path
        assert (ROOT / path).stat().st_size < MOST_BYTES, path
        with Image.open(ROOT / path) as picture:
            assert picture.size == (820, 1180), path


def test_no_picture_lies_there_that_nobody_shows() -> None:
    assert {path for _, path in SHOWN} == {
        file.relative_to(ROOT).as_posix() for file in (ROOT / "tests/pictures").iterdir()
    }
