"""The table of danger words: every line is held to its example, and to sentences of people in fear and not."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from kbgen.search.danger import HARMLESS, Danger, Row, Table, read_table
from kbgen.search.languages import LANGUAGES
from kbgen.search.normalise import atoms
from kbgen.search.stem import stem
from kbgen.views.leave_now import PARTS

SENTENCES = Path(__file__).parents[2] / "data" / "search" / "danger.tsv"
LINES = [(code, row) for code, language in LANGUAGES.items() for row in language.danger.rows]


@cache
def _reader(code: str) -> Danger:
    """Return the reader of a language; it makes ready once what every sentence needs."""
    return _with(code, LANGUAGES[code].danger)


def _with(code: str, table: Table) -> Danger:
    return Danger(table, lambda word: stem(word, LANGUAGES[code]), lambda _: False)


def danger_of(code: str, text: str, table: Table | None = None) -> str | None:
    asked = _with(code, table) if table else _reader(code)
    return asked.kind([atom.text for atom in atoms(text)])


@pytest.mark.parametrize(
    ("code", "row"), LINES, ids=lambda each: each.example if isinstance(each, Row) else each
)
def test_every_line_holds_for_its_example(code: str, row: Row) -> None:
    assert danger_of(code, row.example) == (None if row.kind == HARMLESS else row.kind)


def test_every_kind_of_danger_has_its_part_of_the_page() -> None:
    kinds = {row.kind for _, row in LINES} - {HARMLESS}
    assert kinds == {part.kind for part in PARTS}


def test_people_in_fear_are_understood_and_harmless_talk_is_left_alone() -> None:
    rows = [line.split("\t") for line in SENTENCES.read_text(encoding="utf-8").splitlines()]
    missed = [text for label, text in rows if label == "danger" and not danger_of("en", text)]
    false = [text for label, text in rows if label == "harmless" and danger_of("en", text)]
    assert len(rows) >= 300
    assert len(missed) <= 0.03 * len(rows), missed
    assert len(false) <= 0.03 * len(rows), false


def test_without_the_harmless_lines_harmless_talk_is_danger() -> None:
    table = LANGUAGES["en"].danger
    bare = replace(table, rows=tuple(row for row in table.rows if row.kind != HARMLESS))
    for text in (
        "no smell of gas anywhere",
        "clean the fire tubes",
        "float flooded",
        "shock absorber is worn",
    ):
        assert danger_of("en", text) is None
        assert danger_of("en", text, bare), text


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("no gas coming to the burner", None),
        ("gas coming out of the pipe", "gas"),
        ("got a belt off it", "shock"),
        ("burner won't shut off", "stop"),
        ("flame won't go out", "stop"),
        ("fan won't shut off", None),
        ("he is unconcious", "hurt"),
        ("fire", "fire"),
        ("999", "help"),
        ("gas check passed", None),
        ("found a burnt out relay", None),
        ("low water alarm", None),
    ],
)
def test_neighbours_are_told_apart(text: str, kind: str | None) -> None:
    assert danger_of("en", text) == kind


def test_a_line_that_is_not_understood_is_named(tmp_path: Path) -> None:
    table = tmp_path / "danger_xx.txt"
    table.write_text("small | a the\n\ngas | SMELL GAS | many | gas smell\n", encoding="utf-8")
    with pytest.raises(ValueError, match=r"danger_xx\.txt:3"):
        read_table(table)
