"""The order of tests as the technician gets it."""

from __future__ import annotations

import pytest

from kbgen.compute.circuit.inference import locate
from kbgen.compute.circuit.order import order
from kbgen.compute.circuit.reading import Reading
from kbgen.compute.circuit.state import State
from kbgen.views.circuit_order import numbered_tests
from kbgen.views.circuit_words import word_lines
from tests.unit.circuit.bases import read_base, string

ONDREL = read_base("ondrel")
LIMITS = order(ONDREL, "limits").to_json()
V24 = {"voltage": "24 V", "current": "DC"}
PLAIN = [{"point": "L"}, {"contact": "a"}, {"point": "X"}, {"input": "i"}, {"point": "N"}]


def every_test(tree):
    if "test" in tree:
        yield tree
        for sub in tree["outcomes"].values():
            yield from every_test(sub)


def test_the_supply_comes_first_and_the_panel_before_the_boiler_top():
    assert LIMITS["tree"]["test"] == "X1:1"
    second = LIMITS["tree"]["outcomes"]["full"]
    assert second["test"] == "X3:4"
    assert second["outcomes"]["full"]["test"] == "X3:7"


def test_expected_minutes_of_a_small_string_by_hand():
    # Running, purge: X6:1 costs 1 min and the panel door 1 min, every other point 1 min. Weights: supply ½ +
    # return 0.1 = 0.6; fan ½, air 1.5, damper ½, each with a wire of 0.1; load ½ × 0.4, a wire 0.1 and sound
    # ½ with the job not reproduced = 1.8. Total 5.2. No supply: 2 min. Else X6:3 first, then one more: 4 min.
    # (2 × 0.6 + 4 × 4.6) / 5.2 = 3.77. Along the strip the fan is known after one, the air switch after two
    # and the rest after three: (1.2 + 3 × 0.6 + 4 × 1.6 + 5 × 2.4) / 5.2 = 4.12.
    running = order(ONDREL, "running", State(stage="purge"))
    assert running.expected_minutes == pytest.approx((1.2 + 4 * 4.6) / 5.2)
    assert running.walk_minutes == pytest.approx((1.2 + 3 * 0.6 + 4 * 1.6 + 5 * 2.4) / 5.2)
    assert running.gap == 0
    assert running.advice.startswith("Walk along the strip")


def test_a_middle_reading_is_repeated_in_low_impedance_at_the_same_point():
    for test in every_test(LIMITS["tree"]):
        if test["kind"] == "point" and test["meter"] == "high_z":
            assert (test["outcomes"]["some"]["test"], test["outcomes"]["some"]["meter"]) == (
                test["test"],
                "low_z",
            )


def test_every_end_names_faults_and_how_to_tell_the_contact_from_its_wires():
    end = LIMITS["tree"]["outcomes"]["full"]["outcomes"]["full"]["outcomes"]["none"]["outcomes"]["full"]
    assert end["faults"] == ["open:first-low-water", "wire:X3:6-X3:7"]
    assert end["then"]["outcomes"] == {
        "full": {"faults": ["open:first-low-water"]},
        "none": {"faults": ["wire:X3:6-X3:7"]},
    }


def test_looks_come_before_the_meter_and_gates_stand_beside_the_minutes():
    looks = LIMITS["look_first"]
    # The flag at the panel costs half a minute, the gauge glass a way to the boiler top.
    assert (looks[0]["device"], looks[0]["minutes"]) == ("second-low-water", 0.5)
    assert {"device": "first-low-water", "notes": 2, "minutes": 4.5}.items() <= looks[3].items()
    assert LIMITS["gates"] == [{"place": "top", "needs": "Second person at the ladder"}]


def test_notes_stand_behind_the_shares():
    first = LIMITS["shares"][0]
    assert (first["fault"], first["notes"]) == ("open:first-low-water", 2)


def test_a_restart_is_told_once_for_every_attempt():
    (step,) = order(ONDREL, "limits", State(stage="pilot")).to_json()["before"]
    # 5 s before the fan and 45 s of purge.
    assert (step["each"], step["minutes"]) == ("attempt", pytest.approx(50 / 60, abs=0.01))


def test_a_restart_waits_for_no_stage_of_another_size():
    stages = [
        {"id": "fan", "title": "Fan", "lasts": "1 min"},
        {"id": "drive", "title": "Drive", "lasts": "2 min", "sizes": ["large"]},
        {"id": "light", "title": "Light", "lasts": "10 s"},
    ]
    sizes = [{"id": name, "title": name} for name in ("small", "large")]
    base = string(PLAIN, V24, plant={"sizes": sizes, "sequence": stages})
    for size, minutes in (("small", 1), ("large", 3)):
        (step,) = order(base, "c", State(size=size, stage="light")).to_json()["before"]
        assert step["minutes"] == minutes


def test_what_a_place_asks_for_is_told_even_if_the_way_there_takes_no_time():
    places = [{"id": "roof", "title": "Roof", "needs": "Second person"}]
    path = [{**part, "place": "roof"} if "point" in part else part for part in PLAIN]
    found = order(string(path, V24, plant={"places": places}), "c")
    assert found.to_json()["gates"] == [{"place": "roof", "needs": "Second person"}]
    assert found.tree.minutes == 1


def test_with_the_supply_off_only_ohms_that_decide_something_are_left():
    dead = order(ONDREL, "limits", State(supply_on=False)).to_json()
    assert dead["before"][0]["what"].startswith("Lock off")
    named = {test["test"] for test in every_test(dead["tree"])}
    assert {test["meter"] for test in every_test(dead["tree"])} == {"ohms"}
    assert "second-low-water" not in named  # a relay: open on dead plant
    assert {"first-low-water", "operating-pressure"} <= named
    beside = order(read_base("vashby"), "string", State(supply_on=False)).to_json()
    assert "start-timer" not in {test["test"] for test in every_test(beside["tree"])}


def test_volts_are_not_proposed_with_the_supply_off():
    verdict = locate(ONDREL, "limits", [], State(supply_on=False))
    assert verdict.next is None
    assert "back-feed" in verdict.to_json()["warnings"][0]


def test_behind_a_door_that_opens_the_string_nothing_is_read_with_the_door_shut():
    string = read_base("vashby")
    shut = {
        test["test"] for test in every_test(order(string, "string", State(stage="heat")).to_json()["tree"])
    }
    assert shut.isdisjoint({"6", "7"})


def test_a_door_that_is_open_already_costs_nothing_more():
    shut, opened = (
        order(ONDREL, "limits", State(covers_off=frozenset(off))).tree.minutes for off in ((), {"panel-door"})
    )
    assert (shut, opened) == (2, 1)


def test_behind_a_door_that_was_opened_for_the_reading_before_the_next_one_costs_less():
    first = locate(ONDREL, "limits", [])
    assert (first.next.port, first.next.minutes) == ("X1:1", 2)
    after = locate(ONDREL, "limits", [Reading("X1:1", "full")])
    assert (after.next.port, after.next.minutes) == ("X3:4", 1)


def test_ohms_decide_nothing_across_what_nobody_knows_to_be_closed_on_dead_plant():
    states = {"a": "closed", "b": "open", "c": "unknown"}
    devices = {name: {"title": name, "dead_state": state} for name, state in states.items()}
    path = [{"point": "L"}, *[{"contact": name} for name in states], {"input": "i"}, {"point": "N"}]
    dead = order(string(path, V24, devices=devices), "c", State(supply_on=False)).to_json()
    assert {test["test"] for test in every_test(dead["tree"])} == {"a"}


def test_an_open_contact_behind_a_resistor_is_not_called_made():
    # It leaves the whole supply before it, more than a made string does: 2.2 kΩ into 9 kΩ hold 19 of 24 V.
    path = [
        *PLAIN[:3],
        {"resistor": "end", "resistance": "2.2 kΩ"},
        {"point": "Y"},
        {"contact": "b"},
        {"point": "Z"},
        {"input": "i", "impedance": "9 kΩ"},
        PLAIN[-1],
    ]
    base = string(path, V24)
    found = order(base, "c")
    at_y = [t for t in every_test(found.to_json()["tree"]) if (t["test"], t["meter"]) == ("Y", "high_z")]
    over = [test["outcomes"]["over"] for test in at_y]
    assert over
    assert all(each["test"] == "Z" for each in over)
    assert over[0]["outcomes"]["none"]["test"] == "b"
    assert over[0]["outcomes"]["none"]["outcomes"]["full"]["faults"] == ["open:b"]
    read = numbered_tests(base, found)
    assert any(
        "Over → " in said(item) and "b open" in said(item) and "read Z" in said(item) for item in read.items
    )
    assert "X: full" not in " ".join(word_lines(found.probing.table))
    assert "More, up to the supply: open behind it" in " ".join(word_lines(found.probing.table))


def said(item) -> str:
    return "".join(getattr(part, "text", "") for part in item.line)
