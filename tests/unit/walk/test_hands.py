"""Hands in the plant: what must be gone before they go in, and what nobody leaves behind unsaid."""

from __future__ import annotations

from typing import Any

import pytest

from tests.unit.rules.cases import plant, problems_of
from tests.unit.walk.procedures import walked

_CLIP = {"do": "Clip.", "clip": "meter-1", "at": "X4", "to": "X5"}
_ZONES = {
    "only": [{"id": "inside", "title": "Inside", "reached_by": ["control"]}],
    "beside": [{"id": "inside", "title": "Inside", "reached_by": ["gas"], "beside": ["control"]}],
}


def errors(steps: list[Any], zones: str = "only", **head: Any) -> set[str]:
    """Return the rules broken on the plant of the rule cases, with other zones."""
    boiler = {**plant()["entries"]["equipment/boiler"], "zones": _ZONES[zones]}
    content = {"equipment/boiler": boiler, "procedures/case": {"steps": steps, **head}}
    return {problem.rule for problem in problems_of(content) if problem.severity == "error"}


def test_hands_in_a_place_that_nobody_knows_are_told_and_the_walk_goes_on() -> None:
    reach = {"do": "Reach in.", "work_in": "nowhere"}
    back = [{"do": "Lock off.", "unlock": "control"}, {"do": "On.", "restore": "control"}]
    assert "unknown-name" in errors(["dead", reach, *back, "leave"])
    opened = {"do": "Open it.", "open_cover": "panel-door"}
    for brings in (
        {"do": "Start.", "start_demand": "Burner switch"},
        back[1],
        {"do": "Shut it.", "close_cover": "panel-door"},
    ):
        assert "unknown-name" in errors(["dead", opened, reach, brings, "leave"])


def test_leads_that_stay_on_are_told_to_the_colleague() -> None:
    over = {"do": "Hand over.", "hand_over": "Colleague"}
    assert "leads-left-on" in errors(["dead", _CLIP, over])
    assert errors(["dead", _CLIP, {**over, "still_on": ["meter-1"]}]) == set()


def test_the_page_says_which_leads_are_on() -> None:
    walk = walked(
        ["dead", _CLIP, {"do": "Look.", "inspect": "Panel"}, {"do": "Off.", "unclip": ["meter-1"]}, "leave"]
    )
    lines = [[condition.line() for condition in before] for before in walk.before]
    on = [number for number, each in enumerate(lines) if "leads clipped on: meter-1" in each]
    assert on == [8, 9]


def test_leads_elsewhere_are_not_those_of_a_reading_across_a_device() -> None:
    watched = {"do": "Watch.", "watch": "volts", "across": "filter"}
    elsewhere = {**_CLIP, "at": "X7", "to": "X8"}
    assert "clipped-on-live" in errors(["dead", elsewhere, "live", watched, "leave"])
    assert "clipped-on-live" not in errors(["dead", _CLIP, "live", watched, "leave"])


def test_a_guard_stands_for_what_lies_beside_the_work_only() -> None:
    guard = {"do": "Cap the terminals.", "guard": "control", "with": "Insulating cap"}
    reach = {"do": "Reach in.", "work_in": "inside"}
    gone = [
        *("identify", "note", "gas off"),
        {"do": "Read it.", "prove_gone": "gas", "point": "plug", "gone": "next", "still-there": "stop"},
    ]
    assert "work-not-isolated" in errors([*gone, guard, reach, "leave"], "only")
    assert "work-not-isolated" not in errors([*gone, guard, reach, "leave"], "beside")
    closed = {"do": "Close it.", "close_cover": "panel-door"}
    assert "work-not-isolated" in errors([*gone, guard, closed, reach, "leave"], "beside")


@pytest.mark.parametrize(("point", "refused"), [("", True), ("plug", False)])
def test_fuel_is_proved_gone_where_its_pressure_is_read(point: str, refused: bool) -> None:
    proof = {"do": "Read it.", "prove_gone": "gas", "gone": "next", "still-there": "stop"}
    points = [{"id": "plug", "title": "Plug", "section": "front"}]
    boiler = {**plant()["entries"]["equipment/boiler"], "fuel_points": points}
    steps = [
        *("identify", "note"),
        *[each for each in plant()["snippets"]["gas off"] if "watch" not in each],
        {**proof, **({"point": point} if point else {})},
        {"do": "Take it out.", "open_gas_train": "plug"},
        {"do": "Put it in.", "cap": "plug"},
        "leave",
    ]
    content = {"equipment/boiler": boiler, "procedures/case": {"steps": steps, "who": "licensed-gas"}}
    found = {problem.rule for problem in problems_of(content) if problem.severity == "error"}
    assert ("gas-opened-under-pressure" in found) is refused


def test_fuel_that_is_not_locked_is_not_proved_gone() -> None:
    steps = [
        "identify",
        {"do": "Swing the plate over.", "isolate": "gas"},
        {"do": "Read it.", "prove_gone": "gas", "point": "plug", "gone": "next", "still-there": "stop"},
        {"do": "Lock it.", "lock": "gas"},
        "leave",
    ]
    assert "proof-without-lock" in errors(steps)


def test_a_device_that_did_not_trip_does_not_go_into_service() -> None:
    trip = {"do": "See it trip.", "prove_trip": "filter", "tripped": "served", "not-tripped": "served"}
    served = {"id": "served", "do": "Write it down.", "end": "returned-to-service"}
    assert "trip-not-proved" in errors([trip, served])
    assert "trip-not-proved" not in errors([{**trip, "not-tripped": "stop"}, served])


def test_only_plant_that_turned_out_to_be_another_is_left_without_a_lock() -> None:
    look = {"do": "Look.", "inspect": "Boiler"}
    left = {"id": "left", "do": "Go.", "end": "left-safe"}
    compare = {"do": "Compare.", "identify": "Number", "same": "next", "different": "left"}
    assert "left-unlocked" in errors([look, left])
    assert "left-unlocked" not in errors([compare, "safe", left])


@pytest.mark.parametrize("word", ["none", "some", "outside"])
def test_nothing_short_of_full_is_blamed_behind_a_contact_that_stands_open(word: str) -> None:
    air = {**plant()["entries"]["devices/filter"], "guards": "air-flow", "dead_state": "open"}
    good = "within" if word == "outside" else "full"
    ways = (
        {"within": "next", "outside": "stop"}
        if good == "within"
        else {"full": "next", "none": "next", "some": "next"}
    )
    behind = {"do": "Read.", "measure": "volts", "at": "X5", "to": "N", **ways}
    if word == "some":
        behind = {
            **behind,
            "ask": "What?",
            "outcomes": [{"when": "All", "full": "next"}, {"when": "Less", "some": "stop"}],
        }
        behind = {key: value for key, value in behind.items() if key not in ("full", "none", "some")}
    content = {"devices/filter": air, "procedures/case": {"steps": ["note", "fuel off", behind, "safe"]}}
    assert "open-at-rest" in {problem.rule for problem in problems_of(content)}


@pytest.mark.parametrize(("quantity", "refused"), [("insulation", True), ("ohms", False)])
def test_an_insulation_tester_on_an_input_is_refused_also_where_nothing_is_asked(
    quantity: str, refused: bool
) -> None:
    tested = {"do": "Test.", "measure": quantity, "at": "X8", "to": "N"}
    assert ("ohms-across-load" in errors(["dead", tested, "leave"])) is refused


_SOAK = {
    "id": "heat",
    "title": "Heat",
    "energy": "heat",
    "isolate": "Let it cool",
    "prove": "Thermometer below 45 °C",
}


@pytest.mark.parametrize("gone", [True, False])
def test_what_reaches_a_device_is_gone_before_it_is_taken_out(gone: bool) -> None:
    entries = plant()["entries"]
    boiler = {**entries["equipment/boiler"]}
    boiler["sources"] = [*boiler["sources"], _SOAK]
    filter_ = {**entries["devices/filter"], "reached_by": ["heat"]}
    proof = {"do": "Read it.", "prove_gone": "heat", "gone": "swap", "still-there": "stop"}
    swap = {"id": "swap", "do": "Change it.", "replace": "filter"}
    steps = ["dead", *([proof] if gone else []), swap, "leave"]
    content = {"equipment/boiler": boiler, "devices/filter": filter_, "procedures/case": {"steps": steps}}
    assert ("replaced-live" in {each.rule for each in problems_of(content)}) is not gone


_BRUSH = {"do": "Brush it.", "leak_check": ["plug"], "tight": "next", "leaks": "stop"}


@pytest.mark.parametrize(
    ("section", "at_the_flame", "refused"),
    [
        ("between-valves", ["brush", "gas checked"], False),
        ("between-valves", ["gas checked", "brush"], True),
        ("between-valves", ["gas checked"], True),
        ("supply-side", ["brush", "gas checked"], True),
    ],
)
def test_a_cap_behind_the_shut_off_valves_is_brushed_at_the_first_flame(
    section: str, at_the_flame: list[str], refused: bool
) -> None:
    """Gas stands there only while it burns, so that nothing could be proved before."""
    points = [{"id": "plug", "title": "Plug", "section": section}]
    boiler = {**plant()["entries"]["equipment/boiler"], "fuel_points": points}
    steps = [
        *("identify", "gas off"),
        {"do": "Take the plug out.", "open_gas_train": "plug"},
        {"do": "Put the plug in.", "cap": "plug"},
        *("gas on", "fire"),
        *[_BRUSH if each == "brush" else each for each in at_the_flame],
        "served",
    ]
    content = {"equipment/boiler": boiler, "procedures/case": {"steps": steps, "who": "licensed-gas"}}
    found = {problem.rule for problem in problems_of(content) if problem.severity == "error"}
    assert ("leak-check-missing" in found) is refused


def test_a_part_is_changed_with_the_electricity_of_its_place_dead() -> None:
    content = plant()["entries"]
    boiler = content["equipment/boiler"]
    fan = {
        "id": "fan",
        "title": "Fan",
        "energy": "electric",
        "voltage": "230 V",
        "isolate": "Q1",
        "conductors": ["L", "N"],
        "prove": "L to N",
    }
    here = {"id": "inside", "title": "Terminals", "place": "panel", "reached_by": ["control", "fan"]}
    swap = {"do": "Change it.", "replace": "filter"}
    fan_dead = [
        *({"do": "Off.", "isolate": "fan"}, {"do": "Lock.", "lock": "fan"}),
        {"do": "Prove it.", "prove_dead": "fan", "dead": "next", "live": "stop"},
    ]

    def told(place: str, steps: list[Any], zones: list[Any]) -> bool:
        entries = {
            "equipment/boiler": {**boiler, "sources": [*boiler["sources"], fan], "zones": zones},
            "devices/filter": {**content["devices/filter"], "place": place},
            "procedures/case": {"steps": ["dead", *steps, swap, "leave"]},
        }
        return "replaced-live" in {each.rule for each in problems_of(entries)}

    assert told("panel", [], [here])
    assert not told("panel", fan_dead, [here])
    assert not told("front", [], [here])
    assert not told("panel", [], [here, {**here, "id": "other", "reached_by": ["control"]}])
    assert not told("panel", [{"do": "Cap them.", "guard": "fan", "with": "Cap"}], [here])


@pytest.mark.parametrize("seen", [True, False])
def test_what_hangs_at_a_fan_comes_out_with_the_fan_seen_at_rest(seen: bool) -> None:
    still = {"do": "See it.", "observe": "standstill", "seen": "next", "not-seen": "stop"}
    steps = [
        *("identify", "note", "tell", "gas off"),
        {"do": "Tee it in.", "fit": "unplugged-tube", "name": "tee", "over": "filter", "at": "Tube"},
        {"do": "Start the fan.", "start_demand": "Fan switch"},
        {"do": "Stop it.", "stop_demand": "Fan switch off"},
        *([still] if seen else []),
        *({"do": "Take it out.", "undo": "tee"}, "leave"),
    ]
    assert ("undone-unlocked" in errors(steps)) is not seen


def test_who_was_told_before_hands_changed_a_part_is_told_anew() -> None:
    swap = {"do": "Change it.", "replace": "filter"}
    back = [{"do": "Take the lock off.", "unlock": "control"}, {"do": "On.", "restore": "control"}, "safe"]
    assert "unlock-without-telling" in errors(["dead", "tell", swap, *back])
    assert "unlock-without-telling" not in errors(["dead", swap, "tell", *back])
