"""What a file says and YAML would change without a word: items glued, torn, or spelt with look-alikes."""

from __future__ import annotations

import pytest

from tests.unit.load.reading import data_of, faults_of, read_text, sentence_of


@pytest.mark.parametrize(
    "mark", ["- ", "* ", "• ", "– ", "— ", "+ ", "1. ", "12) ", "(3) ", "a) ", "· ", "▪ ", "− ", "-", "•"]
)
@pytest.mark.parametrize("indent", ["   ", "    ", "      "])
def test_an_item_indented_too_far_is_told(mark: str, indent: str) -> None:
    text = f"between:\n  - L to earth\n{indent}{mark}N to earth\n  - L to N\n"
    assert faults_of(text) == [f"3:{len(indent) + 1} item-in-text"]
    assert "dash of the item above" in sentence_of(text)


@pytest.mark.parametrize(
    "text",
    [
        "do: Look at\n  - the glass\n",
        'do: "Look at\n  - the glass"\n',
        "do: 'Look at\n  1. the glass'\n",
        "do: [Look at\n  - the glass, done]\n",
    ],
)
def test_an_item_in_any_text_over_several_lines_is_told(text: str) -> None:
    assert faults_of(text) == ["2:3 item-in-text"]


def test_one_item_that_a_folded_block_joins_is_told() -> None:
    assert faults_of("do: >\n  Look at\n  - the glass\n") == ["1:5 folded-list"]
    assert "line 3 looks like an item" in sentence_of("do: >\n  Look at\n  - the glass\n")


@pytest.mark.parametrize(
    "text",
    [
        "do: wait for\n  -24 V, or\n  +24 V\n",
        "do: a text\n  that goes on\n",
        "do:\n  - one\n  - two\n    goes on\n",
        "do: |\n  - one\n  - two\n",
        "do: >\n  - one\n  goes on\n",
    ],
)
def test_a_line_that_begins_otherwise_is_not_told(text: str) -> None:
    assert faults_of(text) == []


@pytest.mark.parametrize(
    ("items", "torn"),
    [
        ("[float “first, low”, cutoff]", True),
        ("[„erst, dann“, cutoff]", True),
        ("[«a, b», c]", True),
        ("[‘a, b’, c]", True),
        ('[say "a, b", c]', True),
        ("[gauge (first, low), c]", True),
        ("[1,000 V, 2 V]", True),
        ("[Hot water is wanted, and nothing happens, The lamp is dark]", True),
        ("[Proving unit, Thermometer, 0 to 120 °C, for pipe surfaces]", True),
        ("[hot, or cold]", True),
        ("[thermometer, 0 to 120 °C]", True),
        ("[20 V, 0 to 120 V, 3–5 s]", False),
        ("[wash-down heater; boot-wash boiler; hot-water box]", True),
        ('["hot; cold", warm]', False),
        ("['hot', \"and cold\"]", False),
        ("[no heat, for the operator, with the lamp dark, o ring, order]", False),
        ("[and-gate, Andy, fortune]", False),
        ("[0,5 V, 2 V]", True),
        ('[3/4" pipe, 1/2" pipe]', False),
        ("[won’t start, can’t stop]", False),
        ("[“a”, “b”]", False),
        ("[(a), (b)]", False),
        ("[a) first, b) second]", False),
        ("[3,4]", False),
        ("[108 V, 132 V]", False),
        ('["a (b", "c)"]', False),
    ],
)
def test_an_item_torn_by_its_own_comma_is_told(items: str, torn: bool) -> None:
    assert [fault.split()[1] for fault in faults_of(f"a: {items}\n")] == ["torn-item"] * torn


@pytest.mark.parametrize("indent", ["", "  ", "    ", "\t", "  - "])
def test_marks_of_a_merge_are_told_at_any_indentation(indent: str) -> None:
    text = f"do: |\n  one\n{indent}<<<<<<< mine\n  a\n{indent}=======\n  b\n{indent}>>>>>>> theirs\n"
    assert faults_of(text) == [f"3:{len(indent) + 1} merge-conflict"]


@pytest.mark.parametrize(
    ("word", "says"),
    [
        ("mеans", "the e of `mеans` is Cyrillic (U+0435)"),
        ("ТВ1", "the T of `ТВ1` is Cyrillic (U+0422)"),
        ("Τ1", "the T of `Τ1` is Greek (U+03A4)"),
        ("Оff", "the O of `Оff` is Cyrillic (U+041E)"),
        ("lımit", "the i of `lımit` is Latin (U+0131)"),
        ("сор", "the c of `сор` is Cyrillic (U+0441)"),
        ("Wаter-Сlosed", "the a of `Wаter` is Cyrillic (U+0430)"),
        ("ＴＢ1", "fullwidth latin capital letter t (U+FF34)"),
        ("ﬁlter", "latin small ligature fi (U+FB01)"),
        ("𝐀1", "mathematical bold capital a (U+1D400)"),
        ("٣ V", "arabic-indic digit three (U+0663)"),
        ("a＠b", "fullwidth commercial at (U+FF20)"),
    ],
)
def test_a_sign_that_passes_for_another_is_named(word: str, says: str) -> None:
    _, problems = read_text(f"title: the {word} here\n")
    assert problems[0].rule == "odd-letter"
    assert says in problems[0].message


@pytest.mark.parametrize(
    "word",
    [
        "kΩ",
        "2 µA",
        "2 μA",
        "Δp",
        "cosφ",
        "СТОП",
        "°C",
        "m³",
        "Größe",
        "niño",
        "½",
        "№ 5",
        "η",
        "Ωm",
        "⚠️",
        "H₂O",
        "kapama vanası İğne",
        "ışık şalteri",
    ],
)
def test_a_word_of_one_script_and_a_unit_are_left_alone(word: str) -> None:
    assert data_of(f"title: {word}\n") == {"title": word}


@pytest.mark.parametrize(
    ("text", "says", "type_"),
    [
        ("65 Â°C", "`Â°` is damaged", "`°`"),
        ("98=C2=B0C", "`=C2=B0` is a sign as a mail carries it", "`°`"),
        ("5=C2=A0V", "`=C2=A0` is a sign as a mail carries it", "a blank"),
        ("loop ven=\n  ted", "a mail has wrapped the line here", "join the two lines"),
        ("donâ€™t wait", "`â€™` is damaged", "`’`"),
        ("grÃ¶ÃŸer", "`Ã¶` is damaged", "`ö`"),
        ("2 ÂµA", "`Âµ` is damaged", "`µ`"),
        ("10 kÎ© here", "`Î©` is damaged", "`Ω`"),
        ("a â†’ b", "`â†’` is damaged", "`→`"),
        ("65 \ufffdC", "a sign was lost", "°"),
    ],
)
def test_a_sign_damaged_by_a_wrong_encoding_is_told(text: str, says: str, type_: str) -> None:
    _, problems = read_text(f"title: {text}\n")
    assert problems[0].rule == "damaged-sign"
    assert says in problems[0].message
    assert type_ in problems[0].hint


@pytest.mark.parametrize(
    "word",
    [
        "São Ângela",
        "«CAFÉ»",
        "tân”",
        "« LÂ »",
        "ÃO",
        "â",
        "65 °C ± 3",
        "Îlot",
        "“VANÃ”",
        "I=20",
        "R=C5=2",
        "t=D0",
        "a = b",
    ],
)
def test_a_word_of_any_language_is_not_damaged(word: str) -> None:
    assert data_of(f"title: {word}\n") == {"title": word}


def test_an_escape_brings_no_look_alike_in() -> None:
    assert faults_of('title: "m\\u0435ans"\n') == ["1:8 odd-letter"]


@pytest.mark.parametrize(
    ("sign", "name"),
    [
        ("\u200c", "zero width non-joiner (U+200C)"),
        ("\u200d", "zero width joiner (U+200D)"),
        ("\u200e", "left-to-right mark (U+200E)"),
        ("\u061c", "arabic letter mark (U+061C)"),
        ("\u034f", "combining grapheme joiner (U+034F)"),
        ("\u3164", "hangul filler (U+3164)"),
        ("\ufe0f", "variation selector-16 (U+FE0F)"),
        ("\U000e0041", "tag latin capital letter a (U+E0041)"),
        ("\uf0b7", "somebody's own font (U+F0B7)"),
        ("\u2800", "braille pattern blank (U+2800)"),
    ],
)
def test_a_sign_that_nobody_sees_is_named(sign: str, name: str) -> None:
    text = f"title: Low{sign}water\n"
    assert faults_of(text) == ["1:11 forbidden-character"]
    assert name in sentence_of(text)


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("title: Burner\n  #2 locks out\n", "2:3"),
        ("title: Burner\n  # 2 locks out\n", "2:3"),
        ("title: # 2 burner\n  locks out\n", "1:8"),
        ("list:\n  - # 2 burner\n    locks out\n", "2:5"),
    ],
)
def test_a_line_of_text_that_yaml_drops_as_a_comment_is_told(text: str, place: str) -> None:
    assert faults_of(text) == [f"{place} hash-in-text"]
