"""Every fault of a file in one run, each in one sentence, without its consequences."""

from __future__ import annotations

import pytest

from tests.unit.load.reading import data_of, faults_of, read_text, sentence_of


def test_tabs_in_indentation_and_before_a_comment() -> None:
    text = "a: 1\nkind: procedure\nsteps:\n\t- Turn the selector off\ntitle: Reset\t# shop wording\n"
    assert faults_of(text) == ["4:1 tab", "5:13 tab"]
    assert read_text(text)[0].data["steps"] == ["Turn the selector off"]


def test_a_tab_explains_the_misplaced_line_it_makes() -> None:
    assert faults_of("a: 1\n\tb: 2\n") == ["2:1 tab"]


def test_a_tab_as_indentation_of_a_block_of_text() -> None:
    assert faults_of("a: |\n\tx\n") == ["2:1 tab"]


def test_a_repeated_field_names_the_earlier_line() -> None:
    text = "id: a\nkind: b\ncautions: [hot-water]\nterminals: [3, 4]\ncautions: []\n"
    assert faults_of(text) == ["5:1 repeated-field"]
    assert sentence_of(text) == "`cautions` was already given on line 3; Keep one of the two."
    assert read_text(text)[0].data["cautions"] == ["hot-water"]


def test_repeated_fields_in_nested_and_bracketed_maps_and_between_quoted_and_plain_keys() -> None:
    text = 'a: {x: 1, x: 2}\nb:\n  - c: 1\n    c: 2\n"d": 1\nd: 2\n'
    assert faults_of(text) == ["1:11 repeated-field", "4:5 repeated-field", "6:1 repeated-field"]


def test_hash_and_colon_inside_sentences() -> None:
    text = "id: b\nkind: symptom\ntitle: Burner #2 locks out\nnote: see: wiring page\ncauses:\n  - Check fuse: F2\n"
    # The last line is a map to YAML; only the schema knows that text was meant.
    assert faults_of(text) == ["3:15 hash-in-text", "4:10 colon-in-text"]


def test_hash_in_a_bracketed_list_and_in_a_later_line_of_plain_text() -> None:
    assert faults_of("a: [Burner #2, b]\nb: long\n  text #3\n  goes on\n") == [
        "1:12 hash-in-text",
        "3:8 hash-in-text",
    ]


def test_nothing_after_a_bracket_that_never_closes_is_its_own_fault() -> None:
    assert faults_of("a: [b, c\n\n# A comment on the next field.\nd: e\n") == ["1:4 open-bracket"]


@pytest.mark.parametrize("text", ["a: [b,, c]\n", "a: [,,b]\n", "a: {b: 1,, c: 2}\n", "a: [: bc]\n"])
def test_a_sign_too_many_inside_brackets(text: str) -> None:
    assert sentence_of(text) == (
        "inside these brackets a value is missing before this sign; "
        "Take the sign out, or quote it if it is text."
    )


def test_curly_quotes_are_named_where_they_were_meant_as_quotes() -> None:
    for text in ("a: “Terminals: 1 and 2”\n", "a: „Burner #2“\n"):
        assert sentence_of(text).endswith(
            '; Curly quotes are part of the text; put straight ones (") around the whole value.'
        )
    assert faults_of("a: “Terminals”\n") == []


def test_no_break_spaces_as_indentation() -> None:
    text = "sizes:\n  - {id: a}\n\u00a0\u00a0- {id: b}\n \u00a0- {id: c}\n"
    assert faults_of(text) == ["3:1 indentation", "4:2 indentation"]
    assert sentence_of(text[:32]) == (
        "a no-break space (U+00A0) stands in the indentation; Type ordinary blanks."
    )
    assert read_text(text)[0].data["sizes"] == [{"id": "a"}, {"id": "b"}, {"id": "c"}]


def test_a_colon_far_out_in_a_long_line() -> None:
    assert faults_of("a: b\nc: " + "x" * 4096 + ": y" + "z" * 900 + "\n") == ["2:4100 colon-in-text"]


def test_bytes_that_are_not_utf_8() -> None:
    text = "id: r\nkind: s\ntitle: Return water 72°F and “short” cycling\n".encode("cp1252")
    assert faults_of(text) == ["3:23 not-utf-8"]
    assert sentence_of(text) == (
        "byte 0xB0 is not UTF-8; it looks like `°` in Windows-1252; Save the file as UTF-8."
    )


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be"])
def test_a_file_saved_as_utf_16(encoding: str) -> None:
    assert (
        sentence_of("title: x\n".encode(encoding)) == "the file is saved as UTF-16; Save the file as UTF-8."
    )


def test_a_folded_list_and_a_second_document() -> None:
    text = "id: v\nkind: p\nbody: >\n  1. Close\n  2. Wait\n  3. Open\n---\n"
    assert faults_of(text) == ["3:7 folded-list", "7:1 second-document"]
    assert "lines 4 to 6 look like a list" in read_text(text)[1][0].message


def test_a_list_under_plain_text_would_be_joined_too() -> None:
    assert faults_of("a: See\n  - one\n  - two\n") == ["2:3 item-in-text"]


def test_a_list_with_blank_lines_between_is_not_joined() -> None:
    assert data_of("a: >\n  - one\n\n  - two\n") == {"a": "- one\n- two"}


def test_text_after_three_dots() -> None:
    assert faults_of("a: 1\n...\nb: 2\n") == ["2:1 second-document"]


def test_marks_of_an_unfinished_merge_are_one_fault_and_hide_no_other() -> None:
    text = "<<<<<<< mine\na: 1\n=======\na: 2\n>>>>>>> theirs\nb: x #2\n"
    assert faults_of(text) == ["1:1 merge-conflict", "6:6 hash-in-text"]


@pytest.mark.parametrize(
    ("sign", "named"),
    [
        ("\x00", "NUL"),
        ("\x07", "U+0007"),
        ("\x1b", "escape"),
        ("\x7f", "U+007F"),
        ("\x85", "NEL"),
        ("\u2028", "U+2028"),
        ("\u2029", "U+2029"),
        ("\u202e", "direction"),
        ("\u2066", "direction"),
        ("\ufeff", "byte order mark"),
        ("\ufffe", "U+FFFE"),
        ("\r", "carriage return"),
    ],
)
def test_characters_no_entry_may_hold(sign: str, named: str) -> None:
    text = f"title: some text\nb: x{sign}y\nc: 'd'\n"
    assert faults_of(text) == ["2:5 forbidden-character"]
    assert named in sentence_of(text)


def test_a_backslash_cannot_bring_a_forbidden_character_in() -> None:
    assert faults_of('a: "x\\ry"\nb: "\\t"\n') == ["1:4 forbidden-character"]


def test_columns_count_characters_not_bytes() -> None:
    assert faults_of("ä🔥: °x #2\n") == ["1:8 hash-in-text"]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("a: &x\n  b: c\nd: *x\n", ["1:4 yaml-anchor", "3:4 yaml-alias"]),
        ("a: !str b\nc: !!int 3\n", ["1:4 yaml-tag", "2:4 yaml-tag"]),
        ("a: [*x, &y z, !t u]\n", ["1:5 yaml-alias", "1:9 yaml-anchor", "1:15 yaml-tag"]),
        ("<<: {a: 1}\nb: 2\n", ["1:1 yaml-merge"]),
        ("a: *NC* contact\n", ["1:4 yaml-alias"]),
        ("%YAML 1.1\n---\na: b\n", ["1:1 yaml-directive"]),
        (
            "a: @x\nb: %y\nc: `z`\nd: > 5 psi\n",
            ["1:4 reserved-sign", "2:4 reserved-sign", "3:4 reserved-sign", "4:4 reserved-sign"],
        ),
        ("? [a]\n: b\n", ["1:3 field-name"]),
        ("'': b\n", ["1:1 field-name"]),
        ("a: - b\n", ["1:4 list-beside-field"]),
        ('a: "K1" check\nb: [NC] contact\n', ["1:9 text-after-value", "2:9 text-after-value"]),
        ("a: 'b\nc: d #2\n", ["1:4 open-quote", "2:6 hash-in-text"]),
        ("a: [b\nc: d #2\n", ["1:4 open-bracket", "2:6 hash-in-text"]),
        ("a: b\nc:d\ne: f #2\n", ["2:1 missing-colon", "3:6 hash-in-text"]),
        ("a: b\n  c: d\n", ["2:3 indentation"]),
        ("a:\n  - b\n c: d\n", ["3:2 indentation"]),
        ('a: "\\q"\n', ["1:5 unknown-escape"]),
        ("a: {b: c: d}\n", ["1:4 open-bracket"]),
        ("", ["1:1 empty-file"]),
        ("# nothing\n", ["1:1 empty-file"]),
        ("- a\n- b\n", ["1:1 not-fields"]),
        ("just words\n", ["1:1 missing-colon"]),
    ],
)
def test_yaml_that_is_refused(text: str, expected: list[str]) -> None:
    assert faults_of(text) == expected


@pytest.mark.parametrize("text", ["[" * 1200 + "]" * 1200, "{a: " * 1200 + "}" * 1200, "- " * 1200 + "x"])
def test_nesting_without_end(text: str) -> None:
    assert [fault.split()[1] for fault in faults_of(f"a: 1\nb:\n  {text}\nc: x #2\n")][:1] == [
        "nested-too-deeply"
    ]


def test_thirty_levels_are_read() -> None:
    assert data_of("a: " + "[" * 29 + "]" * 29 + "\n")


def test_many_faults_of_many_sorts_come_out_in_one_run() -> None:
    text = (
        "title: Burner #2\n"
        "note: see: page\n"
        "note: twice\n"
        "list:\n"
        "\t- x\n"
        'quoted: "K1" relay\n'
        "where: @panel\n"
        "odd: a\x07b\n"
        "text: >\n"
        "  - a\n"
        "  - b\n"
    )
    assert faults_of(text) == [
        "1:15 hash-in-text",
        "2:10 colon-in-text",
        "3:1 repeated-field",
        "5:1 tab",
        "6:14 text-after-value",
        "7:8 reserved-sign",
        "8:7 forbidden-character",
        "9:7 folded-list",
    ]


@pytest.mark.parametrize(
    ("text", "place", "words"),
    [
        ("title:\u00a0Dark\n", "1:7", "no-break space (U+00A0)"),
        ("record:\n  - a\n\u00a0\u00a0- b\n", "3:1", "no-break space (U+00A0)"),
        ("record:\n  - a\n  -\u00a0b\n", "3:4", "no-break space (U+00A0)"),
        ("record:\n  - a\n  – b\n", "3:3", "`–` begins no item of a list"),
        ("record:\n  - a\n  • b\n", "3:3", "`•` begins no item of a list"),
        ("title\uff1a Dark\n", "1:6", "full-width colon"),
        ("title: Low\u00adwater\n", "1:11", "invisible hyphen"),
        ("title: Low\u200bwater\n", "1:11", "invisible blank"),
    ],
)
def test_signs_that_look_like_those_of_yaml_are_named(text: str, place: str, words: str) -> None:
    document, (problem,) = read_text(text)
    position = document.source.resolve(problem.place)
    assert f"{position.line}:{position.column}" == place
    assert words in problem.message
