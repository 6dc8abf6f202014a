"""What you type is what you get."""

from __future__ import annotations

import codecs

import pytest
import yaml

from kbgen.load.tree import Tree
from tests.unit.load.reading import data_of, faults_of


@pytest.mark.parametrize(
    "word",
    [
        "off",
        "on",
        "yes",
        "no",
        "y",
        "n",
        "ON",
        "Off",
        "null",
        "~",
        "true",
        "012",
        "08",
        "1.10",
        "1e3",
        "1.5E+2",
        "12:30",
        "0x1F",
        "+24",
        "2026-03-01",
        "2026-02-30",
        "1_000",
        ".5",
        "-5",
        "F1:2",
        "10:1 ratio",
        "C:\\x",
        '3/4" pipe, 6\' 2" run',
        "it's",
        "TB_1_2",
        "24*2*3",
        "(c) valve",
        "a#b",
    ],
)
def test_a_plain_word_stays_the_text_that_was_typed(word: str) -> None:
    assert data_of(f"value: {word}\nlist:\n  - {word}\n") == {"value": word, "list": [word]}


def test_words_in_a_bracketed_list_stay_text() -> None:
    assert data_of("states: [on, standby, 012, 1.5E+2]\n") == {"states": ["on", "standby", "012", "1.5E+2"]}


def test_keys_stay_text_too() -> None:
    assert data_of("on: a\n1: b\n'1.0': c\nnull: d\n") == {"on": "a", "1": "b", "1.0": "c", "null": "d"}


def test_a_field_with_nothing_behind_it_is_none_and_empty_quotes_are_empty_text() -> None:
    assert data_of("a:\nb: ''\nc: ~\n") == {"a": None, "b": "", "c": "~"}


def test_quoted_text_may_hold_tabs_hashes_and_colons() -> None:
    assert data_of("a: \"x\ty #2: z\"\nb: 'it''s: #' # remark\n") == {"a": "x\ty #2: z", "b": "it's: #"}


def test_a_tab_inside_a_block_of_text_is_kept() -> None:
    assert data_of("a: |\n  x\ty\n  \tz\n") == {"a": "x\ty\n\tz"}


def test_a_leading_marker_and_a_trailing_one_are_accepted() -> None:
    assert data_of("---\na: 1\n...\n") == {"a": "1"}


def test_a_windows_file_reads_like_any_other() -> None:
    text = "title: 72 °F “short”\nbody: |\n  one  \n\n  two\nlist: [a,\n  b]\n"
    windows = codecs.BOM_UTF8 + text.replace("\n", "\r\n").rstrip("\r\n").encode()
    assert data_of(windows) == data_of(text)
    assert "\r" not in str(data_of(windows))
    assert "\ufeff" not in str(data_of(windows))


def test_blanks_at_line_ends_and_a_missing_last_line_end_change_nothing() -> None:
    tidy = "a: x\nb: |\n  one\n\n  two\nc: >\n  three\n  four\nd:\n  - e\n"
    messy = "a: x  \nb: |  \n  one \t\n   \n  two  \nc: > \n  three  \n  four\nd:   \n  - e   "
    assert data_of(messy) == data_of(tidy)


def test_folded_paragraphs_are_joined_and_blank_lines_kept() -> None:
    assert data_of("a: >\n  one\n  two\n\n  three\n") == {"a": "one two\nthree"}


def test_both_parsers_read_the_same() -> None:
    text = "title: Low water °C 🔥\nlist:\n  - a: 1\n    b: >\n      x\n      y\n  - [p, 'q', {z: 1}]\n"
    compiled, plain = Tree(text), Tree(text, yaml.SafeLoader)
    assert (compiled.data, compiled.spans) == (plain.data, plain.spans)


def test_trailing_text_marks_do_not_matter() -> None:
    assert data_of("a: |-\n  x\nb: |+\n  x\n\nc: |\n  x\n") == {"a": "x", "b": "x", "c": "x"}


def test_comments_on_their_own_line_after_quotes_and_after_brackets_are_welcome() -> None:
    text = "# one\na: 'b' # two\nc: [d] # three\ne: # four\n  - f\n  # five\n  - g\nh: | # six\n  i # text\n"
    assert data_of(text) == {"a": "b", "c": ["d"], "e": ["f", "g"], "h": "i # text"}
    assert faults_of(text) == []
