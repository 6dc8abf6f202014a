"""Routines of gas work, and routines of the plant's own."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from kbgen.model.equipment import Equipment
from kbgen.model.handling import OwnRoutine
from tests.unit.compose.ground import faults, page, steps
from tests.unit.compose.test_routines import DONE, END, own


def test_a_section_is_emptied_watched_and_closed_whether_it_holds_or_not() -> None:
    found = steps("- {vent: p2, fails: there}\n- {do: Look., go: there}\n" + DONE)
    assert own(found, "vent") == [f"vent.{each}" for each in ("on", "out", "empty", "off", "passes")]
    assert found["vent.on"]["do"].startswith("At test point `P2`: connect the manometer and the vent hose. ")
    watched = found["vent.empty"]
    assert (watched["watch"], watched["point"], watched["for"]) == ("pressure", "p2", "5 min")
    assert (watched["no-pressure"], watched["pressure-left"]) == ("vent.off", "vent.passes")
    assert (found["vent.off"]["undo"], found["vent.passes"]["undo"]) == ("vent-p2", "vent-p2")
    assert (found["vent.off"]["go"], found["vent.passes"]["go"]) == ("look", "there")


def test_what_passes_leads_to_the_ending_where_the_line_says_nothing() -> None:
    for line in ("vent: p2", "air_test: p2", "air_out: p2"):
        found = steps(f"- {{{line}}}\n{END}")
        assert found["leaks.shut-the-plant-cock" if "leaks.shut-the-plant-cock" in found else "leaks"][
            "shut_valve"
        ] == ("plant-cock")


def test_work_at_a_joint_is_closed_or_capped_and_no_other_way_leads_on() -> None:
    found = steps("- {open_joint: work-order-joint, unfinished: there}\n- {do: Look.}\n" + DONE)
    assert [key for step in found.values() for key in ("open_gas_train", "cap") if key in step] == [
        *("open_gas_train", "cap", "cap"),
    ]
    asked = found["open-joint.work"]["outcomes"]
    assert [each["go"] for each in asked] == ["open-joint.closed", "open-joint.capped"]
    assert (found["open-joint.closed"]["go"], found["open-joint.capped"]["go"]) == ("look", "there")


def test_air_that_falls_is_let_out_before_it_leads_away() -> None:
    found = steps("- {air_test: p3, joints: [work-order-joint], fails: there}\n- {do: Look.}\n" + DONE)
    names = ("on", "up", "holds", "brush", "off", "fell")
    assert own(found, "air_test") == [f"air-test.{each}" for each in names]
    brush = found["air-test.brush"]
    assert (brush["leak_check"], brush["with"]) == (["work-order-joint"], "air")
    assert found["air-test.holds"]["outside"] == brush["leaks"] == "air-test.fell"
    assert (found["air-test.fell"]["undo"], found["air-test.fell"]["go"]) == ("air-p3", "there")
    assert "air-test.brush" not in steps("- {air_test: p3}\n" + END)


def test_air_is_let_out_until_gas_comes_and_the_point_is_brushed() -> None:
    found = steps("- {air_out: p2, fails: there}\n" + DONE)
    valve = "plant-cock"
    names = (
        f"before.{valve}",
        "on",
        f"gas.{valve}",
        "out",
        f"after.{valve}",
        "off",
        f"again.{valve}",
        "tight",
    )
    assert own(found, "air_out") == [f"air-out.{each}" for each in names]
    turned = [found[f"air-out.{name}.{valve}"] for name in ("before", "gas", "after", "again")]
    assert [next(key for key in each if key.endswith("_valve")) for each in turned] == [
        "shut_valve",
        "open_valve",
    ] * 2
    assert (found["air-out.tight"]["leak_check"], found["air-out.tight"]["leaks"]) == (["p2"], "there")


@pytest.mark.parametrize(
    ("line", "route"),
    [
        ("{vent: p9}", "vent"),
        ("{air_test: p9}", "air_test"),
        ("{air_test: p2, joints: [p9]}", "joints"),
        ("{air_out: p9}", "air_out"),
        ("{open_joint: p9, unfinished: there}", "open_joint"),
        ("{do_routine: nte}", "do_routine"),
    ],
)
def test_a_name_that_is_not_there_is_told(line: str, route: str) -> None:
    found = faults(f"- {line}\n{DONE}")
    assert [(rule, where) for rule, where, _ in found] == [("routine-unknown-name", f"steps[1].{route}")]


def test_a_plant_that_does_not_say_how_is_told_so() -> None:
    without = page("- {vent: p2}\n" + END, change=lambda plant: replace(plant, train_tests=None))
    assert [each.rule for each in without.problems] == ["plant-data-missing"]


def _with(*lines: dict[str, Any], name: str = "mine") -> Any:
    def change(plant: Equipment) -> Equipment:
        return replace(plant, routines=(*plant.routines, OwnRoutine(name, "Mine", lines)))

    return change


def _steps(lines: str, *mine: dict[str, Any]) -> dict[str, dict[str, Any]]:
    made = page(lines, change=_with(*mine))
    assert not made.problems, [each.message for each in made.problems]
    return {step["id"]: step for each in made.written for step in each if "id" in step}


ASKED = {
    "id": "asked",
    "do": "Look.",
    "ask": "Well?",
    "outcomes": [
        {"when": "Yes", "go": "done"},
        {"when": "No", "go": "fails"},
        {"when": "Not sure", "go": "next"},
    ],
}
WROTE = {"do": "Write it down."}


def test_a_routine_of_the_plant_leads_on_down_or_where_its_line_says() -> None:
    found = _steps("- {do_routine: mine, fails: there}\n- {id: below, do: Go on.}\n" + DONE, ASKED, WROTE)
    goes = [each["go"] for each in found["mine.asked"]["outcomes"]]
    assert goes == ["below", "there", "mine.write-it-down"]
    origin = found["mine.asked"]["origin"]
    assert (origin["routine"], origin["own"], origin["deed"]) == ("do_routine", "mine", "asked")


def test_without_a_word_it_fails_to_stop_here_and_twice_on_a_page_it_has_two_names() -> None:
    lines = (
        "- {id: first, do: Look.}\n- do_routine: mine\n- {id: then, do: Look.}\n- do_routine: mine\n" + END
    )
    found = _steps(lines, ASKED, WROTE)
    assert found["then.mine.asked"]["outcomes"][1]["go"].startswith("stop-here")
    assert "first.mine.asked" in found


def test_a_routine_of_the_plant_may_do_another_and_never_itself() -> None:
    inner = ({"do_routine": "note"}, WROTE)
    made = page("- do_routine: mine\n" + END, change=_with(*inner))
    assert [step["origin"]["own"] for each in made.written[:-1] for step in each] == ["note", "mine"]
    made = page("- do_routine: mine\n" + END, change=_with({"do_routine": "mine"}))
    assert [each.message for each in made.problems] == ["the routine `mine` does itself again"]


def test_whatever_stands_for_lines_of_others_leads_to_the_line_below() -> None:
    for line in ("do_routine: note", "do_page: sb-make-safe"):
        found = faults(f"- {{{line}, go: there}}\n{DONE}")
        assert ("routine-misused", "steps[1].go") in [(rule, where) for rule, where, _ in found]
