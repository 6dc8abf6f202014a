"""What a page has done by a line: on every way, or on some; it is put back in reverse, and loops come to rest."""

from __future__ import annotations

import pytest

from kbgen.compose.ledger import COVER, Thing, after, join
from tests.unit.compose.ground import faults, steps

END = "- {do: Hang the tag., end: left-safe}\n"
DOOR, CAP = Thing(COVER, "panel-door"), Thing(COVER, "float-cap")


def test_ways_join_and_what_is_so_on_some_only_is_kept_as_that() -> None:
    one = after({"open_cover": "panel-door"}, {})
    other = after({"open_cover": "float-cap"}, one)
    assert join(one, other) == {DOOR: True, CAP: False}
    assert join(None, one) == join(one, None) == one
    assert after({"close_cover": "panel-door"}, other) == {CAP: True}


def test_the_last_thing_is_put_back_first() -> None:
    found = steps("- {open: [panel-door, float-cap]}\n- {burner_on: demand}\n- {put_back: [all]}\n" + END)
    back = [name for name in found if name.startswith("put-back")]
    assert back == ["put-back.demand", "put-back.float-cap", "put-back.panel-door"]


def test_what_was_opened_on_one_way_only_is_closed_with_if() -> None:
    found = steps(
        """
- {do: Look., ask: "Wet?", outcomes: [{when: "Yes", go: next}, {when: No or not sure, go: dry-way}]}
- {open: [float-cap]}
- {id: dry-way, open: [panel-door]}
- {put_back: [all]}
"""
        + END
    )
    assert found["put-back.float-cap"]["do"].startswith(
        "If it is open: put the cap of the float switch back on."
    )
    assert found["put-back.panel-door"]["do"] == "Close the panel door."


def test_a_loop_comes_to_rest_and_carries_what_it_opened_back_up() -> None:
    found = steps(
        """
- {id: again, do: Look., ask: "Well?", outcomes: [{when: "Yes", go: next}, {when: No or not sure, go: back}]}
- {open: [panel-door]}
- {do: Look., ask: "Once more?", outcomes: [{when: "Yes", go: again, at_most: 2}, {when: No or not sure, go: back}]}
- {id: back, put_back: [all]}
"""
        + END
    )
    assert found["back.panel-door"]["do"] == "If it is open: close the panel door."


def test_a_page_that_does_not_come_to_rest_is_told_at_its_line(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("kbgen.compose.page._MOST_ROUNDS", 1)
    loop = '- {id: again, do: Look., ask: "Well?", outcomes: [{when: "Yes", go: next}, {when: No or not sure, go: again}]}\n'
    found = faults("- {do: Begin.}\n" + loop + END)
    assert [(rule, route) for rule, route, _ in found] == [("routine-misused", "steps[3]")]
    assert "still reached with more than before" in found[0][2]


def test_an_alteration_comes_out_with_the_words_of_the_step_that_fits_it() -> None:
    fit = "- {do: Pull the tube off., fit: unplugged-tube, name: vent-tube, at: Switch, back: Push the tube home., back_expect: It sits.}\n"
    found = steps(fit + "- {put_back: [vent-tube]}\n" + END)
    assert found["put-back.vent-tube"] | {"origin": 0} == {
        "id": "put-back.vent-tube",
        "do": "Push the tube home.",
        "origin": 0,
        "undo": "vent-tube",
        "minutes": "2 min",
        "expect": "It sits.",
    }
    bare = fit.replace(", back: Push the tube home., back_expect: It sits.", "")
    assert [rule for rule, _, _ in faults(bare + "- {put_back: [all]}\n" + END)] == ["plant-data-missing"]


def test_a_tube_that_is_off_on_some_ways_is_not_asked_whether_it_is_in() -> None:
    found = steps(
        """
- {do: Look., ask: "Air?", outcomes: [{when: "Yes", go: next}, {when: No or not sure, go: home}]}
- {do: Pull the tube off., fit: unplugged-tube, name: vent-tube, at: Switch, back: Push the tube home.}
- {id: home, put_back: [all]}
"""
        + END
    )
    assert found["home.vent-tube"]["do"] == "If it is still altered: push the tube home."


def test_leads_of_a_hunt_come_off_before_the_cover_goes_on() -> None:
    lines = """
- {open: [panel-door]}
- {hunt: sb-limits, found: there, made: there}
- {id: there, put_back: [all]}
"""
    assert [name for name in steps(lines + END) if name.startswith("there")] == [
        "there.lead",
        "there.panel-door",
    ]


def test_leads_of_two_meters_come_off_by_their_names() -> None:
    clip = "- {do: Clip it on., clip: meter-%d, at: T41, to: T90}\n"
    found = steps(clip % 1 + clip % 2 + "- {put_back: [all]}\n" + END)
    off = {tuple(step["unclip"]): step["do"] for step in found.values() if "unclip" in step}
    assert off == {
        ("meter-2",): "Take the leads off, by their insulation (meter 2).",
        ("meter-1",): "Take the leads off, by their insulation (meter 1).",
    }


def test_an_ending_puts_back_what_the_ways_to_it_have_opened() -> None:
    ask = '- {do: Look., ask: "Well?", outcomes: [{when: "Yes", go: next}, {when: No or not sure, go: stop-here}]}\n'
    none = steps(ask + END)
    some = steps(ask + "- {open: [panel-door]}\n" + ask + END)
    every = steps("- {open: [panel-door]}\n" + ask + END)
    name = "stop-here.put-back.panel-door"
    assert name not in none
    assert some[name]["do"] == "If it is open: close the panel door."
    assert every[name]["do"] == "Close the panel door."


def test_what_was_altered_and_opened_is_owed_until_it_is_proved() -> None:
    fit = {"fit": "unplugged-tube", "name": "tube", "over": "air"}
    owed = after({"open_gas_train": "p2"}, after(fit, {}))
    assert {thing.kind for thing in owed} == {"fitted", "owed", "joint"}
    assert {thing.kind for thing in after({"leak_check": ["p2"]}, after({"prove_trip": "air"}, owed))} == {
        "fitted"
    }
    assert [rule for rule, _, _ in faults("- {prove_trips: [altered]}\n" + END)] == ["routine-misused"]
    assert [rule for rule, _, _ in faults("- {check_leaks: [opened]}\n" + END)] == ["routine-misused"]
    replaced = "- {do: Put the new one in., replace: sb-low-gas-pressure}\n- {prove_trips: [altered]}\n"
    assert [each[2] for each in faults(replaced + END)] == [
        "devices/sb-low-gas-pressure.yaml does not say how it is made to trip"
    ]


def test_who_comes_into_the_middle_of_a_routine_brings_what_was_opened() -> None:
    found = steps(
        """
- {do: Look., ask: "Well?", outcomes: [{when: "Yes", go: next}, {when: No or not sure, go: later}]}
- {lock_off: [fan, control]}
- {put_back: [all]}
- {do: Hang the tag., end: left-safe}
- {id: later, open: [float-cap], go: lock-off.control}
"""
    )
    assert found["put-back.float-cap"]["do"].startswith("If it is open: ")


def test_whoever_is_handed_a_step_of_this_page_brings_what_was_opened() -> None:
    found = steps(
        """
- {id: look, do: Look., ask: "Well?", outcomes: [{when: "Yes", go: next}, {when: No or not sure, go: later}]}
- {put_back: [all]}
- {do: Hang the tag., end: left-safe}
- {id: later, open: [float-cap]}
- {do: Call., hand_over: Lead technician, next: case, next_step: look}
"""
    )
    assert found["put-back.float-cap"]["do"].startswith("If it is open: ")


def test_a_page_begins_with_what_its_starts_say() -> None:
    lines = "- {open: [panel-door]}\n- {hunt_dead: sb-limits, found: there, made: there}\n"
    there = "- {id: there, put_back: [all]}\n"
    found = steps(lines + there + END, starts=["made-safe", "proved-dead"])
    # The plant cock is shut, so that the low gas contact is open whatever it is worth.
    assert "hunt-dead.sb-low-gas-pressure" not in found
    assert "hunt-dead.sb-low-gas-pressure" in steps(lines + there + END)
    # Behind another page it may be shut; whoever opens it here knows better.
    assert "hunt-dead.sb-low-gas-pressure" not in steps(lines + there + END, after="sb-make-safe")
    opened = "- {open: [plant-cock]}\n" + lines.replace("open:", "id: door, open:")
    assert "hunt-dead.sb-low-gas-pressure" in steps(opened + there + END, after="sb-make-safe")
    back = steps("- {bring_back: [control]}\n" + END, starts=["made-safe"])
    assert next(name for name in back if name.startswith("bring-back")) == "bring-back.tags"


def test_a_proof_names_its_source_without_figures() -> None:
    assert steps("- {prove: [control]}\n" + END)["prove.control"]["do"] == "Prove the control supply dead."
