"""States, ways, times and sentences, as the page and the command show them."""

from __future__ import annotations

import pytest

from kbgen.compute.walk import walk
from tests.unit.rules.cases import PROCEDURE, plant
from tests.unit.walk.procedures import procedure, question, walked

LEAVE = {"id": "leave", "do": "Everybody out.", "end": "evacuated"}


def lines(walk, step):
    return [condition.line() for condition in walk.before[step - 1]]


def test_the_shortest_way_that_breaks_a_rule_is_told_step_by_step():
    walk = walked(
        [
            {"do": "Mute the alarm.", "fit": "muted-alarm", "name": "alarm-1"},
            question("look", ("Yes", "back"), ("No", "more"), ("Not sure", "stop")),
            question("more", ("Yes", "back"), ("No", "stop"), ("Not sure", "stop")),
            {"id": "back", "do": "Alarm on.", "undo": "alarm-1"},
            {"id": "stop", "do": "Shut the plant cock.", "shut_valve": "plant-cock"},
            {"do": "Swing the plate over.", "isolate": "gas"},
            {"do": "Lock it.", "lock": "gas"},
            {"do": "Hang the tag.", "end": "left-safe"},
        ]
    )
    (violation,) = walk.violations
    assert violation.rule.name == "alteration-left"
    assert violation.sentence() == "step 2 → Not sure → step 8: `alarm-1` is still in"
    assert [(because.step, because.message) for because in violation.because] == [
        (0, "`alarm-1` is fitted here")
    ]


def test_the_state_before_each_step_is_computed():
    walk = walked(["dead", {"do": "Look.", "inspect": "Terminals"}, "leave"])
    assert lines(walk, 1) == ["control circuit live"]
    assert lines(walk, 8) == [
        "proved dead: Control supply",
        "fuel shut",
    ]


def test_what_is_so_on_some_ways_only_is_said_to_be_perhaps_so():
    walk = walked(
        [
            question("which", ("Yes", "open"), ("No", "then"), ("Not sure", "then")),
            {"id": "open", "do": "Open the panel.", "open_cover": "panel-door"},
            {"id": "then", "do": "Go on."},
            {"do": "Close it.", "close_cover": "panel-door"},
            LEAVE,
        ]
    )
    assert "perhaps open: Panel door" in lines(walk, 3)
    assert not any("Panel door" in line for line in lines(walk, 5))


def test_alterations_are_listed_by_their_tags():
    walk = walked(
        [{"do": "Mute.", "fit": "muted-alarm", "name": "alarm-1"}, {"do": "Back.", "undo": "alarm-1"}, LEAVE]
    )
    assert "alterations in: alarm-1" in lines(walk, 2)
    assert not any("alterations" in line for line in lines(walk, 3))


def test_steps_that_nothing_leads_to_have_no_state():
    walk = walked([{"do": "Go.", "go": "leave"}, {"do": "Lost."}, LEAVE])
    assert walk.before[1] == ()


def test_ways_and_times_without_loops():
    walk = walked(
        [
            question("which", ("Yes", "short"), ("No", "long"), ("Not sure", "long"), minutes="1 min"),
            {"id": "short", "do": "Short.", "minutes": "2 min", "go": "leave"},
            {"id": "long", "do": "Long.", "minutes": "5 min to 9 min"},
            LEAVE,
        ]
    )
    assert walk.paths == 3
    assert walk.minutes.least == 3
    assert walk.minutes.most == 10
    assert walk.minutes.untimed == 1


def test_a_loop_counts_as_often_as_it_may_be_taken():
    again = question("look", ("Yes", "leave"), ("No", "try"), ("Not sure", "leave"))
    again["outcomes"][1]["at_most"] = "3"
    walk = walked([{"id": "try", "do": "Try.", "minutes": "2 min"}, again, LEAVE])
    assert walk.minutes.least == 2
    assert walk.minutes.most == 8
    assert walk.paths == 2


def test_a_loop_without_limit_has_no_longest_time():
    again = question("look", ("Yes", "leave"), ("No", "try"), ("Not sure", "leave"))
    walk = walked([{"id": "try", "do": "Try.", "minutes": "2 min"}, again, LEAVE])
    assert walk.minutes.most is None


@pytest.mark.parametrize(("danger", "broken"), [("true", []), ("false", ["alteration-left"])])
def test_only_danger_leaves_an_alteration_in(danger, broken):
    smell = question("smell", ("No", "back"), ("Yes or not sure", "leave"))
    smell["outcomes"][1]["danger"] = danger
    jumper = {"do": "Fit.", "fit": "jumper", "name": "j", "over": "filter", "from": "X4", "to": "X5"}
    walk = walked(["dead", jumper, smell, {"id": "back", "do": "Out.", "undo": "j"}, "safe", LEAVE])
    assert [violation.rule.name for violation in walk.violations] == broken


def test_legitimate_work_passes():
    """A live test while firing with leads clipped on dead, and hold-to-test of the low water, no longer than it may."""
    water = plant()["entries"]["devices/water"] | {"hold_at_most": "20 s"}
    page = {
        "steps": [
            "dead",
            {"do": "Clip the leads on.", "clip": "meter-1", "at": "X2", "to": "N"},
            "live",
            {"do": "Open the burner cock.", "open_valve": "burner-cock"},
            {"do": "Start.", "start_demand": "Burner switch on"},
            {"do": "See it purge.", "observe": "purge", "seen": "next", "not-seen": "stop"},
            {"do": "See the flame.", "observe": "firing", "seen": "next", "not-seen": "stop"},
            {"do": "Watch.", "watch": "volts", "at": "X2", "to": "N", "for": "10 min"},
            {"do": "Hold the button.", "hold": "water", "for": "20 s"},
            {"do": "See it trip.", "prove_trip": "water", "tripped": "next", "not-tripped": "stop"},
            {"do": "Switch off.", "isolate": "control"},
            {"do": "Lock it.", "lock": "control"},
            {"do": "Take the leads off.", "unclip": ["meter-1"]},
            "safe",
        ],
    }
    assert walk(*procedure({"devices/water": water, PROCEDURE: page})).violations == ()
