"""Own steps without words: what the page says then, what stays the author's, and what cannot be left out."""

from __future__ import annotations

import pytest

from kbgen.compose.worded import HEADS
from kbgen.model.action import TABLE
from tests.unit.compose.ground import faults, steps

END = "- {do: Hang the tag., end: left-safe}\n"
LINES = {
    "isolate": "{isolate: fan}",
    "lock": "{lock: fan}",
    "unlock": "{unlock: fan}",
    "restore": "{restore: fan}",
    "prove_dead": "{prove_dead: control, dead: next, live: stop-here}",
    "prove_gone": "{prove_gone: steam, gone: next, still-there: stop-here}",
    "open_cover": "{open_cover: panel-door}",
    "close_cover": "{close_cover: panel-door}",
    "shut_valve": "{shut_valve: burner-cock}",
    "open_valve": "{open_valve: burner-cock}",
    "undo": "{undo: wire-1}",
    "reset": '{reset: lockout, ask: "Has it gone?", outcomes: [{when: "Yes", go: next}, {when: No or not sure, go: stop-here}]}',
    "leak_check": "{leak_check: [p2], tight: next, leaks: stop-here}",
    "prove_trip": "{prove_trip: ph-water-flow, tripped: next, not-tripped: stop-here}",
    "wait": "{wait: 5 min}",
}
FIT = "- {do: Lift the wire., fit: lifted-wire, name: wire-1, from: J8, to: J9, back: Land the wire on J8 again.}\n"
ROUTINES = {
    "isolate": ("lock_off: [fan]", "lock-off.fan"),
    "lock": ("lock_off: [fan]", "lock-off.fan.lock"),
    "unlock": ("{bring_back: [fan], foreign: stop-here}", "bring-back.fan.unlock"),
    "restore": ("{bring_back: [fan], foreign: stop-here}", "bring-back.fan"),
    "prove_dead": ("{prove: [control], live: stop-here}", "prove.control"),
    "prove_gone": ("{prove: [steam], live: stop-here}", "prove.steam"),
    "open_cover": ("open: [panel-door]", "open.panel-door"),
    "close_cover": ("close: [panel-door]", "close.panel-door"),
    "shut_valve": ("close: [burner-cock]", "close.burner-cock"),
    "open_valve": ("open: [burner-cock]", "open.burner-cock"),
    "undo": ("put_back: [wire-1]", "put-back.wire-1"),
    "reset": ("{reset_once: lockout, stays: stop-here}", "reset-once.press"),
    "leak_check": ("{check_leaks: [p2], leaks: stop-here}", "check-leaks.tight"),
    "prove_trip": (
        "{prove_trips: [ph-water-flow], fails: stop-here}",
        "prove-trips.ph-water-flow",
    ),
}
SAID = ("do", "expect", "why", "minutes", "known_source", "between", "by", "cautions")


def test_what_needs_no_words_is_what_the_table_of_actions_says() -> None:
    assert {row.name for row in TABLE.values() if row.said_by} == HEADS == LINES.keys()


@pytest.mark.parametrize("head", ROUTINES)
def test_a_step_without_words_says_what_a_routine_says_of_the_same_deed(head: str) -> None:
    fit = FIT if head == "undo" else ""
    line, deed = ROUTINES[head]
    # No device of the boiler says how it is made to trip: each has a page for it.
    of = "zellick-ph" if head == "prove_trip" else "ondrel-sb"
    theirs = steps(f"{fit}- {line}\n{END}", of=of)[deed]
    found = steps(f"{fit}- {LINES[head]}\n{END}", of=of)
    (ours,) = (each for each in found.values() if head in each)
    assert ours[head] == theirs[head]
    assert {key: ours.get(key) for key in SAID} == {key: theirs.get(key) for key in SAID}


def test_what_its_author_says_stays_and_cautions_are_joined() -> None:
    line = "- {id: mine, isolate: fan, expect: Dark., minutes: 9 min, cautions: [starts-by-itself]}\n"
    mine, plain = steps(line + END)["mine"], steps("- {id: mine, isolate: fan}\n" + END)["mine"]
    assert (mine["expect"], mine["minutes"]) == ("Dark.", "9 min")
    assert mine["do"] == plain["do"]
    assert mine["cautions"] == [*plain.get("cautions", ()), "starts-by-itself"]


def test_its_answers_lead_where_its_author_says() -> None:
    found = steps(
        "- {id: dead, prove_dead: control, dead: tag, live: stop-here}\n- {id: tag, do: Tag., end: left-safe}\n"
    )
    assert (found["dead"]["dead"], found["dead"]["live"]) == ("tag", "stop-here.burner-off.demand")
    assert not {"gone", "ask", "outcomes"} & found["dead"].keys()


@pytest.mark.parametrize(
    ("line", "rule", "route", "said"),
    [
        (
            "{isolate: fann}",
            "routine-unknown-name",
            "steps[1].isolate",
            "ondrel-sb has no source called `fann`",
        ),
        (
            "{shut_valve: burner-cok}",
            "routine-unknown-name",
            "steps[1].shut_valve",
            "no fuel valve called `burner-cok`",
        ),
        (
            "{open_cover: panel-dor}",
            "routine-unknown-name",
            "steps[1].open_cover",
            "ondrel-sb has no cover called `panel-dor`",
        ),
        (
            "{reset: history}",
            "plant-data-missing",
            "steps[1].reset",
            "memory `history`, does not say how it is pressed",
        ),
        (
            "{undo: wire-9}",
            "plant-data-missing",
            "steps[1].undo",
            "the step that fits wire-9 does not say how it comes out",
        ),
        (
            "{prove_gone: gas, gone: next, still-there: stop-here}",
            "routine-misused",
            "steps[1].prove_gone",
            "is a fuel",
        ),
    ],
)
def test_words_that_no_entry_has_are_asked_for(line: str, rule: str, route: str, said: str) -> None:
    ((named, at, message),) = faults(f"- {line}\n{END}")
    assert (named, at) == (rule, route)
    assert said in message


def test_a_fuel_is_shut_before_its_lock_goes_over_it_and_opened_behind_it() -> None:
    shut, plate = (
        "Shut the main shutoff. Handle across the pipe.",
        "Swing the lock plate over the main shutoff.",
    )
    open_ = "Open the main shutoff slowly."
    alone = steps(f"- {{id: off, isolate: gas}}\n- {{id: back, restore: gas}}\n{END}")
    assert alone["off"]["do"].startswith(f"{shut} {plate}")
    assert open_ in alone["back"]["do"]
    # Gas comes: what the valve warns of stands there as before a step that opens it.
    assert alone["back"]["cautions"] == ["gas-escape"]
    # Where a step of its own shut the valve, a step of its own opens it.
    lines = f"- shut_valve: plant-cock\n- {{id: off, isolate: gas}}\n- {{id: back, restore: gas}}\n- {{id: on, open_valve: plant-cock}}\n{END}"
    apart = steps(lines)
    assert apart["off"]["do"].startswith(plate)
    assert "Open" not in apart["back"]["do"]
    assert open_ in apart["on"]["do"]
