"""Where answers lead, and what the trade does that the check once took for unsafe or for safe."""

from __future__ import annotations

from typing import Any

import pytest

from kbgen.rules.words.english import ENGLISH
from kbgen.rules.words.told import Reader
from tests.unit.rules.cases import problems_of

READER = Reader(ENGLISH)
_OFF = {"do": "Turn it off.", "stop_demand": "Burner switch off"}
_ON = {"do": "Start.", "start_demand": "Burner switch on"}


def _rules(*steps: Any) -> set[str]:
    return {problem.rule for problem in problems_of(list(steps))}


def _asked(answer: str, question: str = "What is there?", *more: dict[str, Any]) -> set[str]:
    outcomes = [{"when": answer, "go": "open"}, {"when": "Not sure", "go": "stop"}]
    return _rules(
        {"do": "Stop at the door.", "ask": question, "outcomes": outcomes},
        {"id": "open", "do": "Open the unit.", "open_cover": "unit-door"},
        {"do": "Close the unit.", "close_cover": "unit-door"},
        "safe",
        *more,
    )


@pytest.mark.parametrize("danger", ENGLISH.dangers)
def test_nothing_is_opened_after_any_word_of_danger(danger: str) -> None:
    assert "danger-goes-on" in _asked(f"There is {danger}, but weak")
    assert "danger-goes-on" in _asked("Yes", f"Is there {danger}?")
    assert "danger-goes-on" not in _asked(f"No {danger}")
    assert "danger-goes-on" not in _asked("No", f"Is there {danger}?")


def test_a_question_put_the_other_way_round_has_its_danger_behind_no() -> None:
    for question in (
        "Are smoke and alarm all absent?",
        "Can smoke and alarm all be ruled out?",
        "Can you rule out smoke?",
        "Is the room free of smoke?",
        "Is there no smoke, no alarm?",
    ):
        assert "danger-goes-on" in _asked("No", question)
        assert "danger-goes-on" not in _asked("Yes", question)


@pytest.mark.parametrize("word", sorted(ENGLISH.in_air))
def test_whoever_has_anything_in_the_air_is_not_kept(word: str) -> None:
    assert "danger-goes-on" in _at_the_door(f"There is {word}")
    assert "danger-goes-on" not in _at_the_door(f"No {word}")


@pytest.mark.parametrize("word", sorted(ENGLISH.burnt))
def test_what_smells_burnt_is_left_at_once_and_noted_by_nobody(word: str) -> None:
    def asked(answer: str, question: str, *end: dict[str, Any]) -> set[str]:
        outcomes = [{"when": answer, "go": "note"}, {"when": "Not sure", "go": "note"}]
        noted = {"id": "note", "do": "Write down where.", "record": ["state"]}
        return _rules({"do": "Sniff along the gap.", "ask": question, "outcomes": outcomes}, noted, *end)

    away = {"do": "Leave at once.", "end": "evacuated"}
    assert "danger-goes-on" in asked(f"Hot cloth, {word}", "What does it smell of?", "leave")
    assert "danger-goes-on" in asked("Yes", f"Does it smell {word}?", "leave")
    assert "danger-goes-on" not in asked(f"Hot cloth, {word}", "What does it smell of?", away)
    assert "danger-goes-on" not in asked(f"Nothing {word}, no", f"Is nothing {word}?", "leave")
    assert "danger-goes-on" not in asked("No", f"Does it smell {word}?", "leave")


@pytest.mark.parametrize("word", sorted(ENGLISH.nosed))
def test_the_nose_is_asked_by_each_of_its_words(word: str) -> None:
    outcomes = [
        {"when": "Scorched", "go": "next"},
        {"when": "Plain", "go": "next"},
        {"when": "Not sure", "go": "next"},
    ]
    assert "danger-goes-on" in _rules(
        {"do": "Look.", "ask": f"What {word} is it?", "outcomes": outcomes}, "leave"
    )


@pytest.mark.parametrize("word", sorted(ENGLISH.wound))
def test_a_dead_part_that_smells_burnt_is_a_finding(word: str) -> None:
    outcomes = [
        {"when": "Scorched", "go": "next"},
        {"when": "Plain", "go": "next"},
        {"when": "Not sure", "go": "next"},
    ]
    asks = f"What does the {word} smell of?"
    assert "danger-goes-on" not in _rules({"do": "Look.", "ask": asks, "outcomes": outcomes}, "leave")


@pytest.mark.parametrize("pair", sorted(ENGLISH.no_air))
def test_the_alarm_for_low_water_is_not_in_the_air(pair: str) -> None:
    assert "danger-goes-on" not in _at_the_door(f"There is a {pair}")


@pytest.mark.parametrize("phrase", ENGLISH.little)
def test_a_little_of_it_is_not_made_nothing_of(phrase: str) -> None:
    assert "danger-goes-on" in _at_the_door(f"No, {phrase}")
    assert "danger-goes-on" not in _at_the_door("No")


@pytest.mark.parametrize("word", sorted(ENGLISH.strong))
def test_the_door_asks_for_any_smell(word: str) -> None:
    assert "danger-goes-on" in _at_the_door("No", f"Is there a {word} smell?")
    assert "danger-goes-on" not in _at_the_door("No", "Is there any smell?")


def _at_the_door(answer: str, question: str = "Is it all as it should be?") -> set[str]:
    return _asked(answer, question, {"id": "stop", "do": "Go.", "end": "evacuated"})


@pytest.mark.parametrize("good", ENGLISH.goods)
def test_doubt_about_what_is_right_leads_where_no_leads(good: str) -> None:
    def asked(doubt: str) -> set[str]:
        ways = {"Yes": "shut", "No": "stop", "Not sure": doubt}
        outcomes = [{"when": when, "go": go} for when, go in ways.items()]
        return _rules(
            {"do": "Look.", "ask": f"Now {good}?", "outcomes": outcomes},
            {"id": "shut", "do": "Shut the burner cock.", "shut_valve": "burner-cock"},
            "safe",
        )

    assert "answers-crossed" in asked("shut")
    assert "answers-crossed" not in asked("stop")


@pytest.mark.parametrize(
    ("looks", "crossed"), [("Look into the sight glass.", True), ("Look outside.", False)]
)
def test_a_question_takes_its_it_from_the_instruction(looks: str, crossed: bool) -> None:
    ways = {"Yes": "shut", "No": "stop", "Not sure": "shut"}
    outcomes = [{"when": when, "go": go} for when, go in ways.items()]
    found = _rules(
        {"do": looks, "ask": "Is it dark?", "outcomes": outcomes},
        {"id": "shut", "do": "Shut the burner cock.", "shut_valve": "burner-cock"},
        "safe",
    )
    assert ("answers-crossed" in found) is crossed


@pytest.mark.parametrize("danger", sorted(ENGLISH.airs))
def test_nobody_stays_to_lock_off_in_bad_air(danger: str) -> None:
    def asked(*way: Any) -> set[str]:
        outcomes = [
            {"when": "Yes", "go": "way"},
            {"when": "No", "go": "stop"},
            {"when": "Not sure", "go": "stop"},
        ]
        return _rules({"do": "Look.", "ask": f"Is there {danger}?", "outcomes": outcomes}, *way)

    lock = {"id": "way", "do": "Shut the plant cock.", "shut_valve": "plant-cock"}
    assert "danger-goes-on" in asked(lock, "safe")
    tell = {"id": "way", "do": "Call everybody out.", "inform": "Everybody"}
    assert "danger-goes-on" not in asked(tell, {"do": "Go.", "end": "evacuated"})


def test_a_reading_that_asks_nothing_settles_nothing() -> None:
    zero = {
        "do": "Read X6.",
        "measure": "volts",
        "at": "X6",
        "to": "N",
        "none": "again",
        "full": "stop",
        "some": "stop",
    }
    found = {"id": "found", "do": "Write it down.", "end": "found", "next": "reset-water"}
    plain = {"id": "again", "do": "Look at X6.", "watch": "volts", "at": "X6", "to": "N"}
    assert "zero-without-supply" in _rules("fuel off", zero, {**plain, "go": "found"}, found)


@pytest.mark.parametrize("word", sorted(ENGLISH.rid))
def test_what_is_gone_is_no_danger(word: str) -> None:
    assert "danger-goes-on" not in _asked(f"{word} of smoke")


def test_doubt_may_wait_and_look_again() -> None:
    outcomes = [
        {"when": "Yes", "go": "end"},
        {"when": "No", "go": "wait"},
        {"when": "Not sure", "go": "wait"},
    ]
    waits = [
        {"do": "Look.", "ask": "Is it 5 min?", "outcomes": outcomes},
        {"id": "wait", "do": "Wait.", "wait": "5 min", "for": "The timer lets go"},
        _ON,
        {"id": "end", **_OFF},
        "safe",
    ]
    assert "doubt-goes-on" not in _rules(*waits)
    waits[1] = {"id": "wait", "do": "Go on."}
    assert "doubt-goes-on" in _rules(*waits)


def test_a_test_is_the_cause_of_its_own_trip() -> None:
    trip = {"do": "Drain it.", "prove_trip": "water", "tripped": "next", "not-tripped": "stop"}
    press = {"id": "press", "do": "Press the button.", "reset": "water"}
    assert not _rules("note", trip, press, _OFF, "safe") & {"reset-without-cause", "reset-before-evidence"}
    # After another start it may have tripped for a reason of its own.
    assert "reset-without-cause" in _rules("note", trip, _ON, press, _OFF, "safe")


def test_people_told_before_the_locks_are_told_until_hands_go_in() -> None:
    tried = {"do": "Press START.", "try_start": "Burner switch", "dead": "next", "live": "stop"}
    gas = ["fuel off", {"do": "Plate over.", "isolate": "gas"}, {"do": "Lock it.", "lock": "gas"}]
    off = [{"do": "Off.", "isolate": "control"}, {"do": "Lock it.", "lock": "control"}]
    told = ["identify", "note", "tell", *gas, *off]
    door = {"do": "Open the unit.", "open_cover": "unit-door"}
    shut = {"do": "Close the unit.", "close_cover": "unit-door"}
    assert "tried-not-locked" not in _rules(*told, tried, "leave")
    assert "tried-not-locked" in _rules(*told, door, shut, tried, "leave")
    assert "tried-not-locked" in _rules("identify", "note", *gas, *off, tried, "leave")


@pytest.mark.parametrize("verb", ["Cut", "Force", "Drill", "Snap"])
def test_a_lock_that_is_cut_is_no_lock_taken_off(verb: str) -> None:
    step = {"do": f"{verb} the lock on Q2.", "unlock": "control"}
    assert "words-tell-alteration" in _rules(
        "dead", "tell", step, {"do": "On.", "restore": "control"}, "safe"
    )


@pytest.mark.parametrize("thing", sorted(ENGLISH.beside_lock))
def test_a_lock_beside_something_is_a_thing(thing: str) -> None:
    assert {told.kind for told in READER.told(f"Take {thing} and lock off the plant cock.")} <= {
        "unlock",
        "on",
        "off",
    }
    assert "lock" in {told.kind for told in READER.told("Shut the plant cock and lock it.")}


@pytest.mark.parametrize(
    ("words", "action"),
    [
        ("Swing the lock plate over the cock, padlock and tag.", {"lock": "gas"}),
        ("Take the lock plate off the plant cock.", {"unlock": "gas"}),
        ("Tools counted, unit door back on.", {"close_cover": "unit-door"}),
        ("Burner switch to ON, fan switch OFF.", {"start_demand": "Burner switch ON, fan switch OFF"}),
        ("S2 to HAND, S1 OFF.", {"start_demand": "S2 to HAND"}),
        ("Write lockout, cause and reset into the log.", {"inspect": "Log"}),
        ("Read the thermometer. Fire out and burner locked.", {"inspect": "Thermometer"}),
    ],
)
def test_words_of_the_trade_that_go_with_their_action(words: str, action: dict[str, str]) -> None:
    assert not {rule for rule in _rules({"do": words, **action}, "safe") if rule.startswith("words-")}


def test_the_flame_went_out_means_tripped() -> None:
    step = {
        "do": "Drain it.",
        "prove_trip": "water",
        "ask": "Did the flame go out by itself?",
        "outcomes": [{"when": "Yes", "tripped": "next"}, {"when": "No", "not-tripped": "stop"}],
    }
    assert "words-against-verdict" not in _rules("note", step, "safe")


def test_a_cause_is_good_for_one_reset() -> None:
    cause = {"do": "Find why.", "find_cause": "lockout", "cause-mended": "next", "not-found": "stop"}
    press = {"do": "Press it.", "reset": "lockout"}
    assert "second-reset" not in _rules("note", cause, press, _OFF, "safe")
    assert "second-reset" in _rules("note", cause, press, "note", dict(press), _OFF, "safe")


@pytest.mark.parametrize("behind", ENGLISH.behind)
def test_dead_behind_the_switch_is_no_proof(behind: str) -> None:
    proof = {"prove_dead": "control", "dead": "next", "live": "stop"}
    start = ["identify", "note", "tell", "fuel off", {"do": "Off.", "isolate": "control"}]
    lock = {"do": "Lock it.", "lock": "control"}
    assert "words-against-action" in _rules(
        *start, lock, {"do": f"Measure at the {behind}.", **proof}, "leave"
    )
    assert "words-against-action" not in _rules(*start, lock, {"do": "Measure X1 to N.", **proof}, "leave")


@pytest.mark.parametrize("known", ["Proving unit, before and after", "Proving unit"])
def test_a_known_source_before_and_after_is_one(known: str) -> None:
    proof = {
        "do": "Prove it.",
        "prove_dead": "control",
        "known_source": known,
        "dead": "next",
        "live": "stop",
    }
    start = ["identify", "note", "tell", "fuel off", {"do": "Off.", "isolate": "control"}]
    lock = {"do": "Lock it.", "lock": "control"}
    assert "meter-not-proved" not in _rules(*start, lock, proof, "leave")
    assert "meter-not-proved" in _rules(
        *start, lock, proof | {"known_source": "Proving unit, before only"}, "leave"
    )


def test_a_denial_goes_on_over_a_list_and_an_answer_does_not() -> None:
    assert "danger-goes-on" not in _asked("Yes", "Is all of it free of gas alarm, smoke and hiss?")
    assert "danger-goes-on" in _asked("No, only a smell of burning")


def test_a_boiler_that_words_alone_feed_is_fed_without_water() -> None:
    def fed(question: str) -> set[str]:
        return _rules(
            {
                "do": "Look into the glass.",
                "ask": question,
                "outcomes": [{"when": "Yes", "go": "hand"}, {"when": "No or not sure", "go": "low"}],
            },
            {"id": "low", "do": "Look at the glass. Bring the level back with the pump.", "inspect": "Glass"},
            {"id": "hand", "do": "Call the lead.", "hand_over": "Lead"},
        )

    assert "fed-without-water" in fed("Is water in sight?")
    assert "fed-without-water" not in fed("Is the lamp dark?")
