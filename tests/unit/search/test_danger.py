"""The table of danger words: every line is held to its example, and to sentences of people in fear and not."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from kbgen.search.danger import Danger
from kbgen.search.danger_table import HARMLESS, Row, Table, phrase_row, read_table
from kbgen.search.languages import LANGUAGES
from kbgen.search.normalise import atoms
from kbgen.search.stem import stem
from kbgen.search.weights import Weights, mark, read_weights
from kbgen.views.leave_now import PARTS

DATA = Path(__file__).parents[2] / "data" / "search"
LINES = [(code, row) for code, language in LANGUAGES.items() for row in language.danger.rows]


@cache
def _reader(code: str) -> Danger:
    """Return the reader of a language; it makes ready once what every sentence needs."""
    return _with(code, LANGUAGES[code].danger)


@cache
def _by_line(code: str) -> Danger:
    """Return the reader of the lines alone."""
    return _with(code, replace(LANGUAGES[code].danger, weights=Weights()))


def _with(code: str, table: Table) -> Danger:
    return Danger(table, lambda word: stem(word, LANGUAGES[code]), lambda _: False)


def danger_of(code: str, text: str, table: Table | None = None) -> str | None:
    asked = _with(code, table) if table else _reader(code)
    return asked.kind([atom.text for atom in atoms(text)])


@pytest.mark.parametrize(
    ("code", "row"), LINES, ids=lambda each: each.example if isinstance(each, Row) else each
)
def test_every_line_holds_for_its_example(code: str, row: Row) -> None:
    assert _by_line(code).kind([atom.text for atom in atoms(row.example)]) == (
        None if row.kind == HARMLESS else row.kind
    )


def test_every_kind_of_danger_has_its_part_of_the_page() -> None:
    kinds = {row.kind for _, row in LINES} - {HARMLESS}
    assert kinds == {part.kind for part in PARTS}


@pytest.mark.parametrize(
    ("code", "file", "least"),
    [("en", "danger.tsv", 9000), ("en", "danger-es.tsv", 150), ("es", "danger-es.tsv", 150)],
)
def test_people_in_fear_are_understood_and_harmless_talk_is_left_alone(
    code: str, file: str, least: int
) -> None:
    rows = [line.split("\t") for line in (DATA / file).read_text(encoding="utf-8").splitlines()]
    missed = [text for label, text in rows if label == "danger" and not danger_of(code, text)]
    false = [text for label, text in rows if label == "harmless" and danger_of(code, text)]
    assert len(rows) >= least
    assert len(missed) <= 0.03 * len(rows), missed
    assert len(false) <= 0.03 * len(rows), false


def test_words_that_no_line_has_are_weighed_together() -> None:
    for text, by_line in (
        ("whole place is choking in fumes and kids are in there", True),
        ("quiz about gas", False),
    ):
        assert bool(danger_of("en", text)) is by_line
    unheard = "an ember dropped and now the rafters flare"
    assert _by_line("en").kind(unheard.split()) is None
    assert danger_of("en", unheard) == "other"


def test_what_a_line_takes_for_danger_may_weigh_too_little() -> None:
    text = "quiz answer for smell of gas step two"
    assert _by_line("en").kind(text.split()) == "gas"
    assert danger_of("en", text) is None


def test_a_shops_own_words_count_whatever_they_weigh() -> None:
    table = LANGUAGES["en"].danger
    own = replace(table, rows=(*table.rows, phrase_row(["poster", "order"])))
    assert danger_of("en", "order the poster", own) == "shop"


def test_a_word_that_is_weighed_is_not_taken_for_one_of_the_lines_that_is_spelt_alike() -> None:
    table = LANGUAGES["en"].danger
    weighed = replace(table, weights=Weights(0, {stem("racing", LANGUAGES["en"]): 6}))
    assert danger_of("en", "racing", weighed) == "other"


def test_weights_are_read_and_count_once(tmp_path: Path) -> None:
    file = tmp_path / "points.txt"
    file.write_text("# remark\n\nbase | -3\n12 | flare it_keep\n-7 | poster\n", encoding="utf-8")
    weights = read_weights(file)
    assert weights == Weights(-3, {"flare": 12, "it_keep": 12, "poster": -7})
    assert weights.of(["it", "keep", "flare", "flare"]) == 21
    assert weights.of(["ends"]) == -3


def test_the_first_and_the_last_word_weigh_something_of_their_own() -> None:
    weights = Weights(0, {"_quick": 12, "quick_": 5, "quick": 1})
    assert [weights.of(said) for said in (["quick", "gas"], ["gas", "quick"], ["a", "quick", "gas"])] == [
        13,
        6,
        1,
    ]


def test_a_word_has_the_number_of_the_hash_that_is_published() -> None:
    # Fowler, Noll and Vo's own test values of 32 bits: foobar is bf9cf968.
    assert mark("foobar") == 0xBF9CF968 >> 12


def test_without_the_harmless_lines_harmless_talk_is_danger() -> None:
    table = replace(LANGUAGES["en"].danger, weights=Weights())
    bare = replace(table, rows=tuple(row for row in table.rows if row.kind != HARMLESS))
    for text in (
        "no smell of gas anywhere",
        "clean the fire tubes",
        "float flooded",
        "shock absorber is worn",
    ):
        assert danger_of("en", text) is None, text
        assert danger_of("en", text, bare), text


RULES = {
    "long past": "fire in the dryer was last year, closed",
    "drill": "fire shutter drill on thursday, leave burner off",
    "what a word means": "what does flame rollout mean",
    "parts to order": "fire damage quote",
    "training": "where is the poster about electric shock",
    "another house": "the boiler of the fire station",
    "name of a part": "fire tubes cleaning interval",
    "another sense": "thermal shock of the coil, how to avoid",
    "said not to be there": "no shock felt at the cabinet any more after earth fixed",
    "visit or part": "smoke alarm low battery beep in corridor",
    "test of an alarm": "bump test gas detector how often",
    "normal firing": "locked in low fire",
    "test of tightness": "gas leak check done, no bubbles",
    "mended": "steam leak repaired gasket replaced",
    "part burnt out": "melted connector replaced",
    "harmless smell": "paint fumes in the booth",
    "part that is wet": "flooding of float chamber for test procedure",
    "help with reading": "help me read this drawing",
    "thing that sticks": "jammed drum with a sock",
    "plant laid up": "boiler is empty for the inspector",
}
"""A harmless sentence that each named rule takes away."""


@pytest.mark.parametrize(("rule", "text"), RULES.items(), ids=list(RULES))
def test_each_kind_of_false_alarm_is_taken_away_by_a_rule_with_a_name(rule: str, text: str) -> None:
    table = replace(LANGUAGES["en"].danger, weights=Weights())
    without = replace(table, rows=tuple(row for row in table.rows if row.rule != rule))
    assert danger_of("en", text, without)
    assert danger_of("en", text, table) is None
    assert danger_of("en", text) is None


def test_every_harmless_line_says_which_rule_it_belongs_to() -> None:
    assert {row.rule for row in LANGUAGES["en"].danger.rows if row.kind == HARMLESS} == set(RULES)


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
        ("boiler made a bang when it lit", "fire"),
        ("boom when the burner lights", "fire"),
        ("burner bangs at start", "fire"),
        ("no bang when it lit", None),
        ("bang from the duct when the fan starts", None),
        ("water dripping under it and its stopped", None),
        ("water dripping on the board", "water"),
        ("how refill the boiler after water is finish, it is hot", "pressure"),
        ("flame comes and then goes out", None),
    ],
)
def test_neighbours_are_told_apart(text: str, kind: str | None) -> None:
    assert danger_of("en", text) == kind


def test_a_line_that_is_not_understood_is_named(tmp_path: Path) -> None:
    table = tmp_path / "danger_xx.txt"
    table.write_text("small | a the\n\ngas | SMELL GAS | many | gas smell\n", encoding="utf-8")
    with pytest.raises(ValueError, match=r"danger_xx\.txt:3"):
        read_table(table)
