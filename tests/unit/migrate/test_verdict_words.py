"""What an outcome meant, and the verdict word it carries now."""

from __future__ import annotations

import pytest

from tests.unit.migrate.pages import left, step


def asked(head: str, *outcomes: str, ask: str = "Is it so?") -> str:
    listed = "".join(f"  - {{{each}}}\n" for each in outcomes)
    return f"{head}\nask: {ask}\noutcomes:\n{listed}"


THREE = ("when: Yes, go: on", "when: No, go: stop", "when: Not sure, go: stop")


@pytest.mark.parametrize(
    ("head", "passes", "doubt"),
    [
        ("identify: Plates", "same", "different"),
        ("prove_dead: control", "dead", "live"),
        ("try_start: Both switches", "dead", "live"),
        ("leak_check: [p2]", "tight", "leaks"),
        ("prove_trip: water", "tripped", "not-tripped"),
        ("find_cause: water", "cause-mended", "not-found"),
        ("observe: purge", "seen", "not-seen"),
        ("observe: start", "seen", "not-seen"),
        ("measure: flue-gas", "within", "outside"),
        ("watch: temperature", "within", "outside"),
    ],
)
def test_yes_passes_and_no_takes_doubt(head, passes, doubt):
    expected = asked(head, f"when: Yes, {passes}: on", f"when: No, {doubt}: stop")
    assert step(asked(head, *THREE)) == expected


def test_yes_of_the_job_check_is_real_and_takes_doubt():
    old = asked("check_real: water", "when: Yes, go: a", "when: No, go: b", "when: Not sure, go: a")
    assert step(old) == asked("check_real: water", "when: Yes, real: a", "when: No, faulty: b")


def test_doubt_of_two_ways_is_never_left_out():
    old = asked(
        "check_real: water",
        'when: "Yes, in sight", go: low',
        'when: "Yes, out of sight", go: dry',
        "when: No, go: false-trip",
        "when: Not sure, go: dry",
    )
    assert step(old) == asked(
        "check_real: water",
        'when: "Yes, in sight", real: low',
        'when: "Yes, out of sight", real: dry',
        "when: No, faulty: false-trip",
        "when: Not sure, real: dry",
    )


def test_doubt_that_leads_elsewhere_is_kept_with_the_word_that_takes_doubt():
    old = asked("prove_trip: water", "when: Yes, go: a", "when: No, go: b", "when: Not sure, go: c")
    assert step(old) == asked(
        "prove_trip: water",
        "when: Yes, tripped: a",
        "when: No, not-tripped: b",
        "when: Not sure, not-tripped: c",
    )


def test_doubt_with_another_limit_is_kept():
    old = asked(
        "prove_trip: water", "when: Yes, go: a", "when: No, go: b, at_most: 2", "when: Not sure, go: b"
    )
    assert "when: Not sure, not-tripped: b" in step(old)


@pytest.mark.parametrize(
    ("head", "question", "fields"),
    [
        ("identify: Plates", "Are they all the same?", "same: on\ndifferent: stop\n"),
        ("prove_dead: control", "Is it dead?", "dead: on\nlive: stop\n"),
        ("leak_check: [p2]", "Is it  tight?", "tight: on\nleaks: stop\n"),
        ("find_cause: water", "Is the cause found and mended?", "cause-mended: on\nnot-found: stop\n"),
        ("observe: full-cycle", "Was all of it as it should be?", "seen: on\nnot-seen: stop\n"),
    ],
)
def test_a_question_that_says_nothing_more_than_the_action_goes(head, question, fields):
    assert step(asked(head, *THREE, ask=question)) == f"{head}\n{fields}"


@pytest.mark.parametrize(
    "outcomes",
    [
        ("when: Yes, go: on", 'when: "No, 5 V", go: stop', "when: Not sure, go: stop"),
        ("when: Yes, go: on", "when: No, go: stop", "when: Not sure, go: elsewhere"),
        ("when: Yes, go: on", "when: No, go: stop, at_most: 2", "when: Not sure, go: stop"),
    ],
)
def test_outcomes_that_say_more_stay(outcomes):
    new = step(asked("prove_dead: control", *outcomes, ask="Is it dead?"))
    assert "ask: Is it dead?\noutcomes:\n" in new
    assert "dead: on" in new
    assert "live: stop" in new


def test_the_authors_question_about_a_voltage_stays_beside_the_words():
    old = asked(
        "measure: volts",
        *(
            "when: Full, go: a",
            "when: None, go: b",
            "when: In between, is: some, go: c",
            "when: Not sure, go: c",
        ),
        ask="What does meter 2 read?",
    )
    assert step(old) == "measure: volts\nask: What does meter 2 read?\nfull: a\nnone: b\nsome: c\n"
    usual = old.replace("What does meter 2 read?", "What does the meter read?")
    assert step(usual) == "measure: volts\nfull: a\nnone: b\nsome: c\n"


def test_words_of_a_reading_that_say_more_stay():
    old = asked(
        "measure: volts",
        *(
            'when: "17 V to 21 V", is: full, go: a',
            "when: Nothing, go: b",
            "when: In between or not sure, go: c",
        ),
    )
    assert step(old) == asked(
        "measure: volts",
        *('when: "17 V to 21 V", full: a', "when: Nothing, none: b", "when: In between or not sure, some: c"),
    )


def test_is_goes_from_questions_that_prove_and_read_nothing():
    old = asked("inspect: Glass", "when: Red, is: other, go: a", "when: Blue, go: b, is: other")
    assert step(old) == asked("inspect: Glass", "when: Red, go: a", "when: Blue, go: b")
    ohms = ("when: Under 2 Ω, is: full, go: a", "when: Open, is: none, go: b", "when: Not sure, go: b")
    assert step(asked("measure: ohms", *ohms)) == asked(
        "measure: ohms", "when: Under 2 Ω, go: a", "when: Open, go: b", "when: Not sure, go: b"
    )


@pytest.mark.parametrize(
    ("question", "passes", "doubt"),
    [
        ("Is it 0 mbar, without any rise?", "no-pressure", "pressure-left"),
        ("Is the pressure gone?", "no-pressure", "pressure-left"),
        ("Is it at 10 mbar, as on the sheet?", "within", "outside"),
    ],
)
def test_a_pressure_is_gone_or_held_against_what_is_right(question, passes, doubt):
    new = step(asked("watch: pressure", *THREE, ask=f'"{question}"'))
    assert new == asked(
        "watch: pressure", f"when: Yes, {passes}: on", f"when: No, {doubt}: stop", ask=f'"{question}"'
    )


def test_a_pressure_asked_for_the_other_way_round_claims_nothing():
    old = asked("watch: pressure", *THREE, ask="Is it above 0 mbar?")
    assert step(old) == old


@pytest.mark.parametrize(
    ("outcomes", "line"),
    [
        # Bubbles? Yes: stop. The good answer is No, which the old words took for failed.
        (("when: Yes, go: stop", "when: No, go: on", "when: Not sure, go: stop"), 3),
        (("when: Yes, go: on", "when: No, go: stop"), 3),
    ],
)
def test_a_question_put_the_other_way_round_is_left_to_a_person(outcomes, line):
    ((at, says),) = left(asked("leak_check: [p2]", *outcomes, ask="Do you see bubbles?"))
    assert at == line
    assert "`tight:` or `leaks:`" in says


def test_a_job_check_whose_doubt_goes_with_no_is_left_to_a_person():
    ((_, says),) = left(asked("check_real: water", *THREE))
    assert "`real:` or `faulty:`" in says


@pytest.mark.parametrize(
    ("head", "outcome", "words"),
    [
        ("observe: full-cycle", "when: F24 at light-up, is: other, go: third", "`seen:`, `not-seen:`"),
        (
            "find_cause: water",
            "when: Not yet, is: other, go: third",
            "`cause-mended:`, `cause-left:`, `not-found:`",
        ),
        ("prove_dead: control", "when: 120 V on one pair, go: third", "`dead:`, `live:`"),
        ("leak_check: [p2]", "when: No bubbles, go: third", "`tight:`, `leaks:`"),
        ("prove_trip: water", "when: Full, go: third", "`tripped:`, `not-tripped:`"),
        ("prove_dead: control", 'when: "Yes, or not sure", go: third', "`dead:`, `live:`"),
    ],
)
def test_what_cannot_be_told_is_left_and_doubt_then_stays(head, outcome, words):
    new = step(asked(head, THREE[0], THREE[1], outcome, THREE[2]))
    assert outcome in new
    assert "{when: Not sure, " in new
    assert "go: stop" not in new
    ((line, says),) = left(new)
    assert line == 7
    assert words in says


@pytest.mark.parametrize("words", ["Not full", "Less than full", "Half full or none", "120 V"])
def test_words_that_only_hold_a_word_of_the_row_are_not_taken_for_it(words):
    others = ("when: None, none: b", "when: In between, some: c")
    assert len(left(asked("measure: volts", f"when: {words}, go: a", *others))) == 1


def test_yes_on_a_voltage_is_left_to_a_person():
    found = left(asked("measure: volts", "when: Yes, go: a", "when: No, go: b"))
    assert [line for line, _ in found] == [5, 6]


def test_an_unknown_word_of_is_and_an_unknown_action_are_left():
    assert left(asked("prove_dead: control", "when: Yes, is: passed, go: a", "when: No, go: b"))[0][0] == 5
    ((_, says),) = left(asked("mesure: volts", "when: 120 V, is: full, go: a", "when: 0 V, is: none, go: b"))
    assert "`mesure`" in says


@pytest.mark.parametrize(
    "value", ["", "outcomes: Yes", "outcomes: [Yes, No]", "outcomes: [{when: [Yes], go: a}]"]
)
def test_shapes_that_the_check_refuses_are_passed_over(value):
    assert left(f"prove_dead: control\nask: {{a: b}}\n{value}\n") == []
