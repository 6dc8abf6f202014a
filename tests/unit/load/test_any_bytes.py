"""Whatever stands in a file: data or problems, never an exception, never a long wait."""

from __future__ import annotations

import time
from datetime import timedelta

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from kbgen.load.decode import MOST_BYTES, decode
from kbgen.load.scan import scan
from tests.unit.load.reading import read_text

PIECES = [
    "a: ",
    "b: ",
    "- ",
    "\n",
    "  ",
    "    ",
    "\t",
    " #",
    "'",
    '"',
    "[",
    "]",
    "{",
    "}",
    ", ",
    ": ",
    ":",
    "|\n",
    ">\n",
    "---\n",
    "...\n",
    "&a ",
    "*a ",
    "!t ",
    "<<: ",
    "@",
    "? ",
    "x",
    "é",
    "🔥",
    "\u2028",
    "\r",
    "\r\n",
    "\x00",
    "\\",
    "1. x\n",
    "=======\n",
    "<<<<<<< a\n",
    ">>>>>>> b\n",
    "\ufeff",
    "\u202e",
    "| #c\n",
    '"a": ',
    "%",
]
LIKE_YAML = st.lists(st.sampled_from(PIECES), max_size=50).map("".join)
PATIENCE = settings(deadline=timedelta(seconds=1), max_examples=300, derandomize=True)


@PATIENCE
@given(st.binary(max_size=400))
def test_random_bytes(data: bytes) -> None:
    document, problems = read_text(data)
    assert document.data or problems


@PATIENCE
@given(LIKE_YAML)
def test_text_that_looks_like_yaml(text: str) -> None:
    document, problems = read_text(text)
    assert document.data or problems
    assert document.sound == (not problems)
    lines = text.count("\n") + 1
    for problem in problems:
        position = document.source.resolve(problem.place)
        assert 1 <= position.line <= lines
        assert 1 <= position.column <= len(document.source.line(position.line)) + 1


@PATIENCE
@given(LIKE_YAML)
def test_mending_keeps_the_length(text: str) -> None:
    tidy = decode(text.encode()).text
    assert len(scan(tidy).mended) == len(tidy)


@PATIENCE
@given(LIKE_YAML)
def test_what_has_no_fault_means_what_the_parser_says(text: str) -> None:
    document, problems = read_text(text)
    if not problems:
        assert _comparable(document.data) == _comparable(yaml.load(text, yaml.BaseLoader))


@pytest.mark.parametrize(
    "text", ["[", "a: x: ", "- ", "a: 'x\n", "- [x\n", "\r", "<<<<<<< \n", "a: b\n", "- - x\n"]
)
def test_the_largest_file_allowed_is_read_in_time(text: str) -> None:
    start = time.process_time()
    read_text("a: " + text * (MOST_BYTES // len(text) - 3))
    # Processor time of one reading; a machine ten times slower than the slowest case still passes.
    assert time.process_time() - start < 10


def _comparable(value: object) -> object:
    """Data without what reading settles on purpose: empty values, blanks at line ends."""
    if isinstance(value, dict):
        return {key: _comparable(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_comparable(item) for item in value]
    return "" if value is None else "\n".join(line.rstrip() for line in str(value).rstrip().split("\n"))
