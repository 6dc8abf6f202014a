"""Each routine by itself, on the boiler: the steps it writes, their ids, words and actions."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from kbgen.compute.circuit.order import order
from kbgen.compute.circuit.state import State
from kbgen.compute.walk import walk
from kbgen.link.base import KnowledgeBase
from kbgen.model.entry import make_entry
from kbgen.model.equipment import Equipment
from kbgen.model.handling import OPENED_AS_USUAL
from kbgen.model.routine import BY_NAME
from kbgen.ref import Kind
from tests.unit.compose.ground import _base, faults, page, steps, typed

END = "- {do: Hang the tag., end: left-safe}\n"
DONE = "- {id: there, do: Hang the tag., end: left-safe}\n"


def own(found: dict[str, dict], routine: str) -> list[str]:
    return [name for name, step in found.items() if step.get("origin", {}).get("routine") == routine]


def test_arriving_asks_in_the_order_of_the_line_and_every_other_answer_leads_to_the_ending() -> None:
    found = steps("- {arrive: [water, smell, identify]}\n" + END)
    assert own(found, "arrive") == ["arrive.water", "arrive.smell", "arrive.identify"]
    smell = found["arrive.smell"]["outcomes"]
    assert smell[0] == {"when": "No", "go": "arrive.identify"}
    assert {(each["when"], each["go"], each["danger"]) for each in smell[1:]} == {
        ("Yes", "leave-now", True),
        ("Not sure", "leave-now", True),
    }
    assert found["arrive.identify"]["different"] == "wrong-plant"
    assert found["wrong-plant"]["next"] == "case"
    assert found["leave-now"]["end"] == "evacuated"


def test_all_stands_for_every_question() -> None:
    every = own(steps("- {arrive: [all]}\n" + END), "arrive")
    assert every == [f"arrive.{asked['id']}" for asked in typed()["arrive"]]


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("{burner_off: demand}", ["demand"]),
        ("{burner_off: valves}", ["demand", "burner-cock", "pilot-cock"]),
        ("{burner_off: valves, still: 'yes'}", ["demand", "burner-cock", "pilot-cock", "still"]),
    ],
)
def test_burner_off_goes_as_far_as_it_says(line: str, expected: list[str]) -> None:
    found = steps(f"- {line}\n" + END)
    assert own(found, "burner_off") == [f"burner-off.{each}" for each in expected]
    assert found["burner-off.demand"]["stop_demand"] == "Burner switch to OFF"


def test_locking_off_follows_the_order_of_the_plant_whatever_the_line_says() -> None:
    found = steps("- {lock_off: [control, fan, gas]}\n" + END)
    assert own(found, "lock_off") == [
        *("lock-off.plant-cock", "lock-off.gas", "lock-off.gas.lock"),
        *("lock-off.fan", "lock-off.fan.lock", "lock-off.control", "lock-off.control.lock"),
    ]
    assert found["lock-off.control"]["isolate"] == found["lock-off.control.lock"]["lock"] == "control"
    assert found["lock-off.control.lock"]["do"] == "Put padlock and tag on `Q2`. Try the handle."
    assert found["lock-off.fan"]["cautions"] == ["high-voltage-fan"]


def test_what_has_no_lock_is_not_locked() -> None:
    found = faults("- {lock_off: [heat]}\n" + END)
    assert [(rule, route) for rule, route, _ in found] == [("plant-data-missing", "steps[1]")]


def test_a_proof_measures_every_conductor_and_every_supply_point_behind_the_cover() -> None:
    found = steps("- {prove: [control]}\n" + END)
    assert own(found, "prove") == ["prove.panel-door", "prove.control"]
    proof = found["prove.control"]
    assert proof["between"] == [
        *("T10 to T90", "T19 to T90", "T20 to T90", "T27 to T90"),
        *("T10 to earth", "T90 to earth", "T19 to earth", "T20 to earth", "T27 to earth"),
    ]
    assert (proof["dead"], proof["live"], proof["known_source"]) == (
        *("hang-the-tag", "not-dead", "Proving unit"),
    )


def test_three_phases_are_proved_each_to_each_and_to_earth() -> None:
    between = steps("- {prove: [fan]}\n" + END)["prove.fan"]["between"]
    assert set(between) == {"L1 to L2", "L1 to L3", "L2 to L3", "L1 to earth", "L2 to earth", "L3 to earth"}


def test_a_cover_that_is_open_on_every_way_is_not_opened_again() -> None:
    found = steps("- {open: [panel-door]}\n- {prove: [control]}\n" + END)
    assert own(found, "prove") == ["prove.control"]


def test_what_is_stored_is_waited_for_and_seen_gone() -> None:
    found = steps("- {prove: [steam], live: there}\n" + DONE)
    assert own(found, "prove") == ["prove.steam.wait", "prove.steam"]
    assert found["prove.steam.wait"]["wait"] == "12 h"
    assert found["prove.steam"]["prove_gone"] == "steam"
    assert found["prove.steam"]["still-there"] == "there"


def test_no_routine_proves_fuel_gone() -> None:
    assert [rule for rule, _, _ in faults("- {prove: [gas]}\n" + END)] == ["routine-misused"]


def test_making_safe_is_telling_stopping_locking_and_proving() -> None:
    found = steps("- make_safe: [control, gas, alarm]\n" + END)
    assert [each.removeprefix("make-safe.") for each in own(found, "make_safe")] == [
        *("tell", "demand", "burner-cock", "pilot-cock", "plant-cock", "gas", "gas.lock", "still"),
        *("control", "control.lock", "alarm", "alarm.lock"),
        *("panel-door", "control.gone", "float-cap", "alarm.gone"),
    ]
    assert found["make-safe.tell"]["inform"] == "Laundry shift lead and building watch"


def test_standing_still_takes_as_long_as_the_plant_says_in_every_routine() -> None:
    # The pump of the pool heater runs on for minutes, and carries the heat out of the coil.
    found = steps(
        "- {id: off, burner_off: demand, still: yes}\n- {make_safe: [control]}\n" + END, of="zellick-ph"
    )
    assert [found[name]["minutes"] for name in ("off.still", "make-safe.still")] == ["6 min", "6 min"]


def test_telling_takes_as_long_as_the_plant_says() -> None:
    told = steps("- {make_safe: [control]}\n" + END, of="vashby-mah")["make-safe.tell"]
    assert told["minutes"] == "3 min"


def test_bringing_back_asks_tells_and_follows_the_order_of_the_author() -> None:
    found = steps("- {bring_back: [control, gas]}\n" + END)
    assert [each.removeprefix("bring-back.") for each in own(found, "bring_back")] == [
        *("off", "tags", "tell", "control.unlock", "control", "gas.unlock", "gas", "plant-cock"),
    ]
    assert found["bring-back.off"]["outcomes"][0]["go"] == "hang-the-tag"
    assert found["bring-back.control.unlock"]["do"].startswith("If your lock is on it: take")
    assert found["bring-back.tags"]["do"] == "Read every tag and every padlock on them."


def test_of_a_foreign_feed_the_lock_is_theirs() -> None:
    found = steps("- {bring_back: [alarm]}\n" + END)
    assert found["bring-back.alarm.unlock"]["do"].startswith("If it is locked: have the building's people")


def test_a_line_may_lead_elsewhere_at_the_door_but_never_from_danger() -> None:
    found = steps("- {arrive: [smell, water], otherwise: there}\n" + DONE)
    assert [each["go"] for each in found["arrive.smell"]["outcomes"][1:]] == ["leave-now", "leave-now"]
    assert [each["go"] for each in found["arrive.water"]["outcomes"][1:]] == ["there", "there"]


def test_locks_that_were_looked_at_above_are_not_asked_about_again() -> None:
    found = steps("- {arrive: [locks]}\n- {bring_back: [control], when: always}\n" + END)
    assert own(found, "bring_back")[0] == "bring-back.tell"


def test_what_this_page_took_off_is_not_asked_about() -> None:
    found = steps("- {lock_off: [control]}\n- {bring_back: [control]}\n" + END)
    assert own(found, "bring_back")[0] == "bring-back.tags"
    assert found["bring-back.tags"]["do"] == "Read every tag and every padlock on `Q2`."
    assert found["bring-back.control.unlock"]["do"].startswith("Take your own padlock")


def test_who_is_handed_the_job_is_told_what_is_left_and_on_which_ways() -> None:
    found = steps(
        """
- {lock_off: [fan]}
- {do: Clip it., clip: meter-1, at: T20}
- {do: Look., ask: "Wet?", outcomes: [{when: "Yes", go: next}, {when: No or not sure, go: over}]}
- {open: [float-cap]}
- {id: over, hand_to: Licensed electrician, next: sb-make-safe}
"""
    )
    assert own(found, "hand_to") == ["over.tag", "over.over"]
    last = found["over.over"]
    assert (last["hand_over"], last["next"], last["still_on"]) == (
        *("Licensed electrician", "sb-make-safe"),
        ["meter-1"],
    )
    assert last["do"] == "Call the licensed electrician and stay until they come."
    assert last["expect"] == (
        "The licensed electrician knows what is left: off and locked: `Q1`; with leads on: meter 1; "
        "perhaps open: the cap of the float switch."
    )


def test_a_job_with_nothing_done_is_handed_over_without_a_tag() -> None:
    found = steps("- {hand_to: Lead technician, tag: Leave it}\n")
    assert own(found, "hand_to") == ["hand-to.over"]
    assert "expect" not in found["hand-to.over"]
    tagged = steps("- {lock_off: [fan]}\n- {hand_to: Lead technician, tag: Leave it}\n")
    assert tagged["hand-to.tag"]["do"] == "Leave the locks on. The tag says your name and “Leave it”."


def test_opening_and_closing_name_covers_and_cocks() -> None:
    found = steps("- {open: [panel-door, plant-cock]}\n- {close: [plant-cock, panel-door]}\n" + END)
    assert own(found, "open") == ["open.panel-door", "open.plant-cock"]
    assert found["close.plant-cock"]["shut_valve"] == "plant-cock"
    assert found["close.panel-door"]["do"] == "Close the panel door."
    assert len(own(steps("- {close: [all]}\n" + END), "close")) == 6


def test_a_button_of_a_device_resets_the_device_and_asks_whether_it_stays() -> None:
    press = steps("- {reset_once: second-low-flag, stays: stop-here}\n" + END)["reset-once.press"]
    assert press["reset"] == "sb-second-low-water"
    assert press["ask"] == "Does it stay?"
    assert steps("- {reset_once: lockout}\n" + END)["reset-once.press"]["reset"] == "lockout"


def test_a_full_cycle_and_one_reset_take_their_words_from_the_plant() -> None:
    found = steps("- {reset_once: lockout}\n- {burner_on: demand}\n- {full_cycle: stop-here}\n" + END)
    assert found["reset-once.press"]["reset"] == "lockout"
    assert [each["go"] for each in found["reset-once.press"]["outcomes"]] == [
        "burner-on.tell",
        "stop-here.burner-off.demand",
        "stop-here.burner-off.demand",
    ]
    assert found["full-cycle.seen"]["observe"] == "full-cycle"
    assert found["full-cycle.seen"]["not-seen"] == "stop-here.burner-off.demand"


def test_nobody_is_told_twice_that_it_comes_on() -> None:
    once = steps("- {do: Tell all., inform: Everybody}\n- {burner_on: demand}\n" + END)
    assert own(once, "burner_on") == ["burner-on.demand"]
    assert own(steps("- {burner_on: demand}\n" + END), "burner_on") == ["burner-on.tell", "burner-on.demand"]


def test_the_job_check_never_takes_doubt_for_faulty() -> None:
    found = steps("- {job_check: sb-first-low-water, real: stop-here, faulty: there}\n" + DONE)
    check = found["job-check.check"]
    assert (check["check_real"], check["real"], check["faulty"]) == (
        *("sb-first-low-water", "stop-here.burner-off.demand", "there"),
    )


def test_a_job_check_says_how_the_device_is_looked_at_and_own_words_behind_it() -> None:
    line = "- {job_check: sb-outlet-damper, real: stop-here, faulty: there%s}\n" + DONE
    plain = steps(line % "")["job-check.check"]["do"]
    # Whoever only reads the name of the instrument goes to a flue damper without the detector.
    assert plain.startswith("1. CO detector on. **Alarm: leave.**")
    assert "3. Glove on." in plain
    own_words = steps(line % ", add: {check: {say: Mend nothing.}}")["job-check.check"]["do"]
    assert own_words == f"{plain}\n\nMend nothing."


def test_own_words_are_added_and_replace_nothing() -> None:
    plain = steps("- {lock_off: [fan]}\n" + END)["lock-off.fan"]
    own_words = "{say: Two hands., expect: It clacks., note_down: Time, cautions: [moving-fan]}"
    added = steps(f"- {{lock_off: [fan], add: {{fan: {own_words}}}}}\n" + END)["lock-off.fan"]
    assert added["do"] == f"{plain['do']} Two hands."
    assert added["cautions"] == [*plain["cautions"], "moving-fan"]
    assert (added["expect"], added["note_down"]) == ("It clacks.", "Time")
    rule, route, message = faults("- {lock_off: [fan], add: {control: {say: Slowly.}}}\n" + END)[0]
    assert (rule, route) == ("routine-unknown-name", "steps[1].add")
    assert "writes no step `control`" in message


def test_what_is_noted_besides_stands_behind_what_the_routine_has_noted() -> None:
    line = "- {job_check: sb-first-low-water, real: stop-here, faulty: there%s}\n" + DONE
    plain = steps(line % "")["job-check.check"]
    added = steps(line % ", add: {check: {note_down: Time}}")["job-check.check"]
    assert plain["note_down"]
    assert added == plain | {"note_down": f"{plain['note_down']}; Time"}


HUNT = "- {open: [panel-door]}\n- {hunt: sb-limits, found: there, made: there}\n" + DONE


@cache
def hunted() -> dict[str, dict]:
    return steps(HUNT)


def test_a_hunt_reads_in_the_order_of_the_circuit_and_nothing_else() -> None:
    tree = order(_base(), "sb-limits", State(size="sb-1")).to_json()["tree"]
    found = hunted()

    def follow(node: dict, step_id: str) -> int:
        if "faults" in node or node["test"].startswith("C"):
            assert step_id == "there" or step_id.split(".")[1] in ("open", "fuse", "no-supply")
            return 0
        assert step_id == f"hunt.{node['test']}"
        step = found[step_id]
        return 1 + sum(follow(node["outcomes"][word], step[word]) for word in ("full", "none"))

    assert follow(tree, "hunt.T19") == 9


def test_a_middle_reading_is_repeated_in_low_impedance_and_what_is_found_is_read_once_more() -> None:
    found = hunted()
    readings = [name for name, step in found.items() if step.get("measure") and name.count(".") == 1]
    assert len(readings) == 9
    for name in readings:
        low = found[f"{name}.low"]
        assert found[name]["some"] == f"{name}.low"
        assert low["meter"] == "low-impedance"
        assert [low["outcomes"][0]["full"], low["outcomes"][1]["none"]] == [
            found[name]["full"],
            found[name]["none"],
        ]
        assert low["outcomes"][3] == {"when": "Not sure", "some": "stop-here.burner-off.demand"}
    again = found["hunt.open.T21-T22.again"]
    assert (again["at"], again["to"], again["full"]) == ("T21", "T90", "hunt.open.T21-T22.then")
    assert again["none"] == again["some"] == "stop-here.burner-off.demand"
    then = found["hunt.open.T21-T22.then"]
    # Never across it: where another one is open too, as on a real low water, that would read nothing.
    assert (then["at"], then["to"], then["none"]) == ("T22", "T90", "hunt.open.T21-T22")
    assert then["full"] == then["some"] == "stop-here.burner-off.demand"
    assert "low gas pressure switch" in found["hunt.open.T21-T22"]["do"]
    assert found["hunt.fuse"]["go"].startswith("electrician")


def test_a_hunt_says_why_it_is_live_and_what_stands_behind_the_cover() -> None:
    live = hunted()["hunt.panel-door.live"]
    assert "480 V" in live["do"]
    assert live["why"] == "Dead plant does not show the second low-water cutoff"
    line = "- {open: [panel-door]}\n- {hunt: sb-start-interlock, found: there, made: there}\n" + DONE
    rule, route, message = faults(line, sizes=["sb-1"])[0]
    assert (rule, route) == ("routine-misused", "steps[2].hunt")
    assert "ohms" in message


def test_the_supply_reading_says_what_is_right_in_the_words_of_the_circuit() -> None:
    first, further = hunted()["hunt.T19"], hunted()["hunt.T25"]
    bands = order(_base(), "sb-limits", State(size="sb-1")).probing.table.bands
    assert first["reads"] == f"{bands.supply[0]:g} V to {bands.supply[1]:g} V"
    assert "reads" not in further


POOL = "- {open: [panel-door]}\n- {hunt: ph-string, found: there, made: there, supply: there, unsure: there, live_because: So}\n"


def test_an_electronic_input_is_not_loaded_with_a_low_impedance() -> None:
    def silent(plant: Equipment) -> Equipment:
        return replace(plant, covers=tuple(replace(each, words=OPENED_AS_USUAL) for each in plant.covers))

    made = page(POOL + DONE, of="zellick-ph", change=silent)
    found = {step["id"]: step for steps_ in made.written for step in steps_}
    assert found["hunt.live"]["do"].startswith("Meter on volts DC")
    assert found["hunt.lead"]["why"].endswith("a reading to earth decides nothing here")
    assert not [name for name in found if name.endswith(".low")]
    # More than full behind the resistor: nothing flows, so what lies behind it is read on.
    assert found["hunt.J8"]["outcomes"][3] == {"when": "Above 20.8 V", "some": "hunt.J9.above"}
    assert [list(each.values())[1] for each in found["hunt.J9.above"]["outcomes"]] == [
        *("hunt.open.J8-J9.again", "there", "hunt.bridged", "there"),
    ]
    assert found["hunt.bridged"]["go"] == "there"
    # Read as if every option were fitted; a link in its place reads alike.
    assert "room fan" in found["hunt.open.J8-J9"]["do"]
    assert [each["some"] for each in found["hunt.J4"]["outcomes"] if "some" in each] == ["hunt.weak", "there"]
    assert found["hunt.weak"]["do"].startswith("Part of the voltage is lost. A contact")
    # Behind the end-of-line resistor full is less.
    assert found["hunt.J8"]["reads"] == "17.6 V to 20.8 V"
    assert "reads" not in found["hunt.J4"]


def test_what_a_middle_reading_means_on_an_electronic_input_is_not_asked_for_again() -> None:
    lines = POOL.replace("supply: there, unsure: there", "supply: left, unsure: left")
    lines += "- {id: there, do: Write it down., end: found, next: ph-is-it-doing-its-job}\n"
    lines += "- {id: left, do: Hang the tag., end: left-safe}\n"
    written = [step for made in page(lines, of="zellick-ph").written for step in made]
    data = {"title": "Case", "equipment": ["zellick-ph"], "steps": written}
    case = make_entry(Kind.PROCEDURE, "case", "procedures/case.yaml", data)
    base = _base("zellick-ph")
    found = walk(KnowledgeBase(base.shop, {**base.entries, case.ref: case}, {}), case).violations
    assert found
    assert "middle-reading-decides" not in {each.rule.name for each in found}


def test_a_lead_that_hangs_since_it_was_dead_is_not_moved_live() -> None:
    clip = "- {do: Clip it., clip: black-lead, at: J0}\n"
    found = {
        step["id"]: step
        for made in page(clip + POOL + "- {id: there, put_back: [all]}\n" + END, of="zellick-ph").written
        for step in made
        if "id" in step
    }
    assert "hunt.lead" not in found
    assert found["hunt.held"]["do"].startswith("The black lead hangs on `J0` since it was dead.")
    assert found["hunt.open.J4-J5.again"]["do"] == "Meter in high impedance, never low. Red probe on `J4`."
    assert [name for name in found if name.startswith("there")] == [
        "there.panel-door",
        "there.black-lead",
    ]


def test_plant_that_can_runs_without_fire() -> None:
    rule, _, message = faults("- {burner_on: cold}\n" + END)[0]
    assert (rule, message.rpartition(" does ")[2]) == (
        "plant-data-missing",
        "not say how it runs without fire",
    )


def test_a_hunt_stays_behind_the_covers_that_are_open() -> None:
    marks = {step["at"] for step in hunted().values() if step.get("measure")}
    assert not {mark for mark in marks if mark.startswith("C")}
    rule, route, message = faults("- {hunt: sb-limits, found: there, made: there}\n" + DONE)[0]
    assert (rule, route) == ("routine-misused", "steps[1].hunt")
    assert "T19" in message


def test_a_hunt_whose_next_point_no_probe_reaches_calls_nothing_made() -> None:
    """What lies on the roof behind the last point in the panel was never read."""
    line = (
        "- {open: [panel-door]}\n"
        "- {hunt: mah-air-check, live_because: So, found: there, made: there, supply: there, unsure: there}\n"
    )
    (rule, route, message), *more = faults(line + DONE, of="vashby-mah")
    assert not more
    assert (rule, route) == ("routine-misused", "steps[2].hunt")
    assert "H10" in message


ROOF = (
    "- {open: [panel-door, roof-box]}\n"
    "- {hunt: CIRCUIT, live_because: So, return_at: [roof], found: there, made: made, supply: there, unsure: there}\n"
    "- {id: made, do: Write it down., end: left-safe}\n"
)


def roof_hunt(circuit: str) -> dict[str, dict[str, Any]]:
    made = page(ROOF.replace("CIRCUIT", circuit) + DONE, of="vashby-mah")
    return {step["id"]: step for written in made.written for step in written if "id" in step}


def test_points_at_another_place_are_read_to_the_return_that_is_led_there() -> None:
    found = roof_hunt("mah-air-check")
    assert found["hunt.M1"]["do"].endswith("Workshop panel: black lead on `M0` there, red probe on `M1`.")
    assert found["hunt.H10"]["do"].endswith("Unit on the roof: black lead on `M0` there, red probe on `H10`.")
    # One meter reaches both ends of what is open only where they lie together.
    assert "hunt.open.H1-H10.again" in found
    assert "hunt.open.M2-H1" in found
    assert "hunt.open.M2-H1.again" not in found
    lost = ROOF.replace("CIRCUIT", "mah-air-check").replace("[roof]", "[rof]")
    assert ("routine-unknown-name", "steps[2].return_at") in {
        (rule, route) for rule, route, _ in faults(lost + DONE, of="vashby-mah")
    }


def test_parts_side_by_side_without_a_point_between_count_as_one_place() -> None:
    last = roof_hunt("mah-string")["hunt.open.H7-H9"]["do"]
    assert all(name in last for name in ("limit 75 °C", "low-outlet", "start timer"))


def test_ohms_never_reach_over_a_pair_side_by_side() -> None:
    lines = "- {open: [panel-door, roof-box]}\n- {hunt_dead: mah-string, found: there, made: there, supply: there, unsure: there}\n"
    made = page(lines + DONE, of="vashby-mah").written
    read = {step["note_down"] for written in made for step in written if step.get("measure") == "ohms"}
    assert "H6 to H7" in read
    assert "H7 to H9" not in read, "a pair side by side lies between"


def test_what_hangs_on_a_tap_hides_no_contact_from_ohms() -> None:
    lines = "- {open: [box-cover]}\n- {hunt_dead: td-heat, found: there, made: there, supply: there, unsure: there}\n"
    made = page(lines + DONE, of="harnok-td").written
    assert "hunt-dead.td-cabinet-limit" in {step.get("id") for written in made for step in written}


def test_a_hunt_takes_the_fullest_of_the_pages_sizes() -> None:
    line = (
        "- {open: [panel-door]}\n- {hunt: sb-start-interlock, live_because: It is open, found: there, made: there%s}\n"
        + DONE
    )
    assert "The damper is not proved at low fire." in steps(line % "")["hunt.open.T42-T43"]["do"]
    small = steps(line % "", sizes=["sb-1"])["hunt.open.T42-T43"]["do"]
    assert "Only wires and terminals lie between them." in small
    assert [rule for rule, _, _ in faults(line % ", size: sb-9")] == ["routine-misused"]


@pytest.mark.parametrize(
    ("line", "route"),
    [
        ("{arrive: [smel]}", "arrive"),
        ("{lock_off: [fann]}", "lock_off"),
        ("{prove: [contol]}", "prove"),
        ("{make_safe: [gass]}", "make_safe"),
        ("{bring_back: [oil]}", "bring_back"),
        ("{open: [panel]}", "open"),
        ("{close: [burner-cok]}", "close"),
        ("{hunt: ph-string, found: there, made: there}", "hunt"),
        ("{reset_once: lockot}", "reset_once"),
        ("{put_back: [meter-9]}", "put_back"),
        ("{prove_trips: [fan]}", "prove_trips"),
        ("{check_leaks: [p9]}", "check_leaks"),
        ("{job_check: ph-vent-pressure, real: there, faulty: there}", "job_check"),
    ],
)
def test_a_name_that_is_not_there_is_told_at_the_author_s_line(line: str, route: str) -> None:
    found = faults("- {do: Look.}\n" + f"- {line}\n" + DONE)
    assert [(rule, where) for rule, where, _ in found] == [("routine-unknown-name", f"steps[2].{route}")]


def test_every_routine_has_a_test() -> None:
    text = "".join(each.read_text(encoding="utf-8") for each in Path(__file__).parent.glob("test_*.py"))
    assert [name for name in BY_NAME if f"{name}:" not in text] == []


def _spans(one: str, *between: dict[str, str], until: str = "T21") -> KnowledgeBase:
    """Return the boiler with other parts between two points of its limit string."""
    base = _base()
    entries = dict(base.entries)
    ref = next(each for each in entries if each.kind is Kind.CIRCUIT and each.id == "sb-limits")
    data = entries[ref].data
    path = data["path"]
    at = next(index for index, part in enumerate(path) if part.get("point") == one)
    behind = next(index for index, part in enumerate(path) if part.get("point") == until)
    changed = {**data, "path": [*path[: at + 1], *between, *path[behind:]]}
    entries[ref] = make_entry(Kind.CIRCUIT, ref.id, entries[ref].path, changed)
    return KnowledgeBase(base.shop, entries, {})


DEAD = (
    "- {make_safe: [gas, control]}\n- {hunt_dead: sb-limits, found: there, made: there, unsure: there}\n"
    + DONE
)
LIVE = "- {open: [panel-door]}\n- {hunt: sb-limits, found: there, made: there, unsure: there}\n" + DONE


def test_a_hunt_with_ohms_reads_every_fuse_that_has_its_own_points() -> None:
    found = steps(DEAD)
    fuse = found["hunt-dead.F3"]
    assert (fuse["measure"], fuse["at"], fuse["to"]) == ("ohms", "T19", "T20")
    assert fuse["reads"] == "under 2 Ω when whole"
    assert [(each["when"], each["go"]) for each in fuse["outcomes"]] == [
        ("Under 2 Ω", "hunt-dead.sb-operating-pressure"),
        ("More", "hunt-dead.open.F3"),
        ("Not sure", "there"),
    ]
    assert found["hunt-dead.open.F3"]["do"].startswith("Fuse `F3` is open, or its holder is bad.")
    assert found["hunt-dead.open.F3"]["go"].startswith("electrician")
    assert "Fuse" not in found["hunt-dead.not-shown"]["do"]


def test_a_small_fuse_may_have_ohms_of_its_own(monkeypatch: pytest.MonkeyPatch) -> None:
    small = _spans(
        "T19", {"fuse": "F9", "rating": "0.1 A"}, {"point": "T20"}, {"contact": "sb-burner-switch"}
    )
    monkeypatch.setattr("tests.unit.compose.ground._base", lambda *_: small)
    assert steps(DEAD)["hunt-dead.F9"]["reads"] == "under 20 Ω when whole"


BOTH = ({"contact": "sb-burner-switch"}, {"fuse": "F8"}, {"fuse": "F9"})


def test_where_a_contact_and_fuses_share_a_span_all_of_them_are_asked(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("tests.unit.compose.ground._base", lambda *_: _spans("T20", *BOTH))
    found = steps(LIVE)
    words = found["hunt.open.T20-T21"]["do"]
    assert words.startswith("Open between `T20` and `T21`. That is the burner switch")
    assert "Or fuse `F8` is open" in words
    assert "Or fuse `F9` is open" in words
    assert found["hunt.fuse"]["do"].startswith("Fuse `F3` is open.")


def test_fuses_in_two_places_each_have_an_end(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(
        "tests.unit.compose.ground._base", lambda *_: _spans("T20", {"fuse": "F8"}, {"fuse": "F9"})
    )
    found = steps(LIVE)
    assert found["hunt.fuse"]["do"].startswith("Fuse `F3` is open.")
    assert found["hunt.fuse.F8"]["do"].startswith("Fuse `F8` or fuse `F9` is open.")


def test_what_lies_across_a_resistor_is_not_told_with_ohms(monkeypatch: pytest.MonkeyPatch) -> None:
    assert "hunt-dead.sb-high-steam-pressure" in steps(DEAD)
    resistor = (
        {"point": "T24"},
        {"contact": "sb-high-steam-pressure"},
        {"resistor": "R1", "resistance": "2.2 kΩ"},
    )
    base = _spans("T23", {"contact": "sb-operating-pressure"}, *resistor, until="T25")
    monkeypatch.setattr("tests.unit.compose.ground._base", lambda *_: base)
    found = steps(DEAD)
    assert "hunt-dead.sb-high-steam-pressure" not in found
    assert "high steam pressure limit" in found["hunt-dead.not-shown"]["do"]
