"""A page that does another and goes on: one walk over both, from whose ends only those named go on."""

from __future__ import annotations

import pytest

from tests.unit.compose.ground import faults, steps

END = "- {do: Hang the tag., end: left-safe}\n"
CALL = "- {arrive: [smell]}\n- {id: first, do_page: sb-record-evidence}\n" + END


def test_the_other_s_lines_stand_here_and_its_end_leads_below() -> None:
    found = steps(CALL)
    # Asked at the door already; the other questions are the other page's own.
    assert "first.arrive.smell" not in found
    assert found["arrive.smell"]["outcomes"][0]["go"] == "first.arrive.identify"
    assert found["first.running"]["outcomes"][0]["go"] == "first.burner-off.demand"
    last = next(step for step in found.values() if step["do"].startswith("Go on with the page"))
    assert "end" not in last
    assert found[last["go"]]["do"] == "Hang the tag."
    # What it does not go on with still ends the job.
    assert found["first.normal"]["end"] == "not-reproduced"
    assert last["origin"]["page"] == "sb-record-evidence"


def test_other_ends_go_on_where_the_line_says_so() -> None:
    line = "- {do_page: sb-record-evidence, goes_on: [found, not-reproduced]}\n"
    assert "end" not in steps(line + END)["do-page.normal"]


def test_whoever_is_handed_this_page_begins_at_the_step_that_is_meant() -> None:
    assert steps(CALL)["wrong-plant"]["next_step"] == "first.arrive.identify"


def test_a_routine_of_the_plant_s_own_may_be_the_end_of_a_page_and_one_that_goes_on_may_not() -> None:
    found = steps("- {arrive: [smell]}\n- {do_routine: locks-stay}\n")
    assert [step["end"] for step in found.values() if "next" in step] == ["left-safe"]
    assert [each[0] for each in faults("- {arrive: [smell]}\n- {do_routine: note}\n")] == [
        "line-leads-nowhere"
    ]


def test_a_reading_keeps_the_circuit_of_its_own_page() -> None:
    found = steps("- {do_page: sb-find-open-contact-dead}\n" + END)
    readings = [step for step in found.values() if "measure" in step and "at" in step]
    assert readings
    assert {step["circuit"] for step in readings} == {"sb-limits"}


@pytest.mark.parametrize(
    ("line", "rule", "said"),
    [
        ("{do_page: sb-record-evidense}", "routine-unknown-name", "no page called"),
        ("{do_page: ph-record-evidence}", "routine-unknown-name", "no page called"),
        ("{do_page: sb-season-start}", "routine-misused", "lead-technician"),
        ("{do_page: sb-prove-low-water}", "routine-misused", "second person"),
    ],
)
def test_a_page_that_does_not_fit_is_refused(line: str, rule: str, said: str) -> None:
    found = faults(f"- {line}\n" + END)
    assert [(each[0], each[1]) for each in found] == [(rule, "steps[1].do_page")]
    assert said in found[0][2]


def test_a_page_does_not_do_itself() -> None:
    from kbgen.compose.calls import _fits
    from tests.unit.compose.ground import page

    made = page("- {do: Look., end: left-safe}\n")
    with pytest.raises(Exception, match="does itself again"):
        _fits(made, "case", made.procedure, ("case",))


def test_the_first_step_of_a_page_that_is_done_here_says_so() -> None:
    begins = {key: step["origin"].get("begins") for key, step in steps(CALL).items() if "origin" in step}
    assert [key for key, pages in begins.items() if pages] == ["first.arrive.identify"]
    assert begins["first.arrive.identify"] == ["sb-record-evidence"]


def test_what_a_page_adds_to_a_question_that_was_asked_already_falls_silent() -> None:
    from kbgen.compose.page import _all_added
    from kbgen.compose.sheet import Sheet, Unfit
    from tests.unit.compose.ground import page

    made = page("- {do: Look., end: left-safe}\n")
    door = Sheet(
        made.base,
        "case",
        made.procedure,
        made.plant_id,
        made.plant,
        "arrive",
        "first.arrive",
        {},
        {},
        {},
        {},
        called=True,
    )
    _all_added(door, {"identify": {"say": "Read it twice."}})
    with pytest.raises(Unfit, match="writes no step"):
        _all_added(door, {"idenitfy": {"say": "Read it twice."}})
