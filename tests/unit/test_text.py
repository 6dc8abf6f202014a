"""Long text: what authors may mark, and what stays as typed."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kbgen.ref import Kind, Ref
from kbgen.text import (
    Break,
    Code,
    Emphasis,
    Link,
    Listing,
    Paragraph,
    Strong,
    Words,
    first_sentence,
    read,
    told,
    words,
)


def only(text: str) -> tuple[object, ...]:
    (block,) = read(text)
    assert isinstance(block, Paragraph)
    return block.children


@pytest.mark.parametrize(
    "typed",
    [
        "TB_1_2 and _NC_ contact",
        "24*2*3",
        "LWC__1__2",
        "[1](2)",
        '3/4" pipe, 6\' 2" run',
        "(c) valve -- 1/2 open",
        "{{ volts }} {% if hot %} {: .warn } {K1}",
        '--8<-- "mkdocs.yml"',
        "<b>bold</b> &amp; <!-- no -->",
        "5 * 3 * 2",
        "https://example.org/a_b",
    ],
)
def test_ordinary_values_stay_as_typed(typed: str) -> None:
    assert only(typed) == (Words(typed),)


def test_emphasis_strong_and_marks_of_the_panel() -> None:
    assert only("Look at `X3:5` *first*, **never** later.") == (
        Words("Look at "),
        Code("X3:5"),
        Words(" "),
        Emphasis((Words("first"),)),
        Words(", "),
        Strong((Words("never"),)),
        Words(" later."),
    )


def test_a_link_names_an_entry() -> None:
    assert only("[the float](device:first-low-water)") == (
        Link((Words("the float"),), Ref(Kind.DEVICE, "first-low-water")),
    )


def test_a_link_to_an_unknown_kind_stays_text() -> None:
    assert only("[x](devise:y)") == (Words("[x](devise:y)"),)


def test_lists_keep_their_numbers_and_paragraphs_their_breaks() -> None:
    first, second = read("3. shut\n4. wait\n\nOne  \ntwo")
    assert first == Listing(
        ordered=True, items=((Paragraph((Words("shut"),)),), (Paragraph((Words("wait"),)),)), start=3
    )
    assert second == Paragraph((Words("One"), Break(), Words("two")))


def test_a_heading_sign_is_no_heading() -> None:
    assert only("# 2 burner") == (Words("# 2 burner"),)


def test_words_lose_the_markup_and_nothing_else() -> None:
    text = read("Look at `X3:5`.\n\n- *one*\n- [two](term:x)")
    assert words(text) == "Look at X3:5. one two"
    assert first_sentence(text) == "Look at X3:5."


@given(st.text(max_size=200))
def test_any_text_can_be_read(text: str) -> None:
    words(read(text))


@given(
    st.text(
        alphabet=st.characters(whitelist_categories=["L", "N", "P", "S"], blacklist_characters="*`[]\\"),
        min_size=1,
        max_size=60,
    )
)
def test_text_without_marks_comes_back_letter_by_letter(text: str) -> None:
    if not text.startswith(("-", "+")) and not text[0].isdigit():
        assert words(read(text)) == text


@pytest.mark.parametrize(
    "typed",
    [
        "The reading falls to\n- 24 V and stays",
        "The reading rises to\n+ 24 V and stays",
        "Seen with a spread of\n- 3 K against the thermometer",
        "Wait until the panel shows\n24. Do not press it",
        "- 24 V",
        "+ 24 V at T19",
        "24. Do it",
        "-",
        "* * *",
        "(*) and (*)",
        "C:\\temp and \\\\share\\x",
        "3) shut",
    ],
)
def test_a_sign_at_the_start_of_a_line_is_kept(typed: str) -> None:
    assert words(read(typed)) == " ".join(typed.split())
    assert told(typed) == []


@pytest.mark.parametrize(
    ("typed", "piece"),
    [
        ("Look at:\n- the glass\n- the gauge", "- the glass"),
        ("Look at\n* the glass", "* the glass"),
        ("Do:\n1. shut\n2. wait", "1. shut"),
        ("1. shut\n1. wait", "1. wait"),
        ("1. shut\n3. wait", "3. wait"),
        ("- Right is\n- 24 V here", "- 24 V here"),
        ("- 24 V: sound\n- 0 V: open", "- 0 V: open"),
        ('[cutoff](device:x "its title")', '"its'),
        ("the [](device:x) there", "[]("),
        ("- one\n  • two", "• two"),
    ],
)
def test_what_would_be_run_together_or_lost_is_told(typed: str, piece: str) -> None:
    assert [each.piece for each in told(typed)] == [piece]


@pytest.mark.parametrize(
    "typed",
    [
        "Look at:\n\n- the glass\n- the gauge\n\nThen go on.",
        "1. shut\n2. wait\n   a while\n\n   and again",
        "- one\n\n  - inner\n  - more\n- two",
        "**Never** *once* `X3:5` [words](device:x) \\*",
        "- 3 short flashes\n- 1 long one",
    ],
)
def test_what_is_written_as_documented_is_not_told(typed: str) -> None:
    assert told(typed) == []


def test_a_list_in_an_item_and_a_paragraph_behind_it() -> None:
    (outer,) = read("- one\n\n  - inner\n\n  more of one\n- two")
    assert isinstance(outer, Listing)
    assert [words(item) for item in outer.items] == ["one inner more of one", "two"]
    assert isinstance(outer.items[0][1], Listing)
