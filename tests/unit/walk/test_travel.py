"""What one page leaves behind is found by the next: state, debts and resets travel with the job."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Any

import pytest

from kbgen.compute.walk import Arrival, Walk, walk_all, ways_out
from kbgen.compute.walk.arriving import arrived, handed, left, touched
from kbgen.compute.walk.contract import words
from kbgen.compute.walk.explore import explore
from kbgen.compute.walk.graph import make_graph
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.state import (
    DANGER_ASKED,
    IDENTIFIED,
    OWED,
    TAKEN,
    UNTESTED,
    State,
    at_most,
    between,
    without,
)
from kbgen.compute.walk.travel import travel
from kbgen.link.base import KnowledgeBase
from kbgen.model.action import End
from kbgen.model.claims import CLAIMS
from kbgen.ref import Kind, Ref
from tests.mutants.ground import demonstration
from tests.unit.rules.cases import entries_of, linked, plant
from tests.unit.walk.procedures import walked

MOVE = {"do": "Turn it down.", "adjust": "high-limit", "from": "125 psi", "to": "110 psi"}
PUT_BACK = {"do": "Turn it back.", "adjust": "high-limit", "from": "110 psi", "to": "125 psi"}
JUMPER = {"do": "Fit.", "fit": "jumper", "name": "j", "over": "filter", "from": "X4", "to": "X5"}
OUT = {"do": "Take it out.", "undo": "j"}
TRIP = {"do": "Blow it through.", "prove_trip": "filter", "tripped": "next", "not-tripped": "stop"}
EVIDENCE = {"do": "Note it.", "record": ["display", "first-out", "resets"]}
RESET = {"do": "Press it.", "reset": "lockout"}
SAFE = ["fuel off", "safe"]


def pages(**steps: list[Any]) -> KnowledgeBase:
    """Link several pages on the plant of the rule cases; their ids are written with a hyphen."""
    made: dict[str, Any] = {
        f"procedures/{name.replace('_', '-')}": {
            "title": f"Page {name}",
            "equipment": ["boiler"],
            "who": "lead-technician",
            "steps": each,
        }
        for name, each in steps.items()
    }
    base, problems = linked(entries_of(made, {}))
    assert problems == []
    return base


def broken(**steps: list[Any]) -> dict[str, set[str]]:
    """Return the rules that each of several pages breaks; for what others left, the claims that would deny it.

    Not ``all-on``: these small pages bring back only what their test is about.
    """
    walks = walk_all(pages(**steps))
    found = {ref.id: rules_of(walk) for ref, walk in walks.items()}
    return {name: rules for name, rules in found.items() if rules}


def rules_of(walk: Walk) -> set[str]:
    """Return the rules a page breaks, or the claims it lacks."""
    found = {violation.rule.name for violation in walk.violations} - {"left-by-others"}
    hints = (each.hint for each in walk.violations if each.rule.name == "left-by-others")
    return (found | {word for hint in hints for word in CLAIMS if word in hint}) - {"all-on"}


def found(following: str) -> dict[str, str]:
    """Write an end that leads to another page."""
    return {"do": "Go on.", "end": "found", "next": following}


@pytest.mark.parametrize(
    "end",
    [
        ["fuel off", found("second")],
        ["fuel off", {"do": "Not seen.", "end": "not-reproduced", "next": "second"}],
        ["fuel off", {"do": "Hand over.", "hand_over": "Colleague", "next": "second"}],
        ["fire", "served"],
    ],
    ids=["found", "not reproduced", "handed over", "returned to service"],
)
def test_no_end_takes_a_limit_that_is_not_at_its_setting(end: list[Any]) -> None:
    second = ["fire", {**TRIP, "prove_trip": "high-limit"}, "fire", "served"]
    assert (
        "limit-left-changed"
        in broken(first=["identify", "note", "fuel off", MOVE, *end], second=second)["first"]
    )
    back = broken(first=["identify", "note", "fuel off", MOVE, PUT_BACK, *end], second=second)
    assert back.get("first", set()) <= {"trip-not-proved"}


def test_a_limit_that_trips_earlier_may_wait_in_locked_plant_and_is_asked_for_before_it_comes_back() -> None:
    first = ["identify", "note", "fuel off", MOVE, *SAFE]
    assert broken(first=first, second=["fire", "served"]) == {"second": {"nothing-altered"}}


def test_a_limit_that_was_set_is_proved_before_anybody_calls_the_plant_ready() -> None:
    """Set right where it was found elsewhere, or moved and put back without having tripped."""
    trip = {**TRIP, "prove_trip": "high-limit"}
    over = {"do": "Hand over.", "hand_over": "Colleague", "next": "second"}
    for changed in ([PUT_BACK], [MOVE, PUT_BACK]):
        first = ["identify", "note", "fuel off", *changed, over]
        assert broken(first=first, second=["fire", "served"]) == {"second": {"trips-proved"}}
        assert broken(first=first, second=["fire", trip, "fire", "served"]) == {}
    # Moved to trip earlier, seen to trip, put back: that is the proof.
    for seen, owed in (([trip], set()), ([], {"trip-not-proved"})):
        alone = walked(["identify", MOVE, *seen, PUT_BACK, "fire", "served"], who="lead-technician")
        assert {each.rule.name for each in alone.violations} == owed


def test_a_limit_is_not_raised_whatever_follows() -> None:
    up = {**MOVE, "to": "160 psi"}
    for rest in (SAFE, [{**PUT_BACK, "from": "160 psi"}, *SAFE], ["fire", "served"]):
        assert "limit-let-through" in broken(first=["identify", "note", "fuel off", up, *rest])["first"]


def test_a_jumped_device_is_proved_on_whatever_page_the_plant_comes_back() -> None:
    first = ["dead", JUMPER, OUT, found("second")]
    back = ["tell", "live", "fire"]
    assert broken(first=first, second=[*back, "served"]) == {"second": {"trips-proved"}}
    assert broken(first=first, second=["live", "fuel off", found("third")], third=["fire", "served"]) == {
        "third": {"trips-proved"}
    }
    assert broken(first=first, second=[*back, TRIP, "served"]) == {}


def test_what_is_left_safe_without_a_next_page_is_found_by_whoever_brings_it_back() -> None:
    assert broken(first=["dead", JUMPER, OUT, "leave"], back=["tell", "live", "fire", "served"]) == {
        "back": {"trips-proved"}
    }


def test_two_pages_do_not_reset_once_each() -> None:
    again = broken(
        first=["identify", EVIDENCE, RESET, "fuel off", found("second")],
        second=["identify", EVIDENCE, RESET, "fuel off", found("first")],
    )
    assert again == {"first": {"not-reset"}, "second": {"not-reset"}}
    caused = {"do": "Find out.", "find_cause": "lockout", "cause-mended": "next", "not-found": "stop"}
    assert (
        broken(
            first=["identify", EVIDENCE, caused, RESET, "fuel off", found("second")],
            second=["identify", EVIDENCE, caused, RESET, "fuel off", found("first")],
        )
        == {}
    )


def test_an_open_live_panel_is_not_handed_over() -> None:
    opened = {"do": "Open it.", "open_cover": "panel-door"}
    over = {"do": "Hand over.", "hand_over": "Colleague", "next": "second"}
    second = ["fuel off", "safe"]
    assert broken(first=["note", opened, over], second=second) == {"first": {"cover-left-open"}}
    assert broken(first=["note", "fuel off", opened, over], second=second) == {"first": {"cover-left-open"}}
    assert broken(first=["dead", opened, over], second=second) == {}


def test_a_shift_does_not_end_in_an_evacuation_with_a_jumper_in() -> None:
    gone = {"do": "Go home.", "end": "evacuated"}
    assert "alteration-left" in broken(first=["dead", JUMPER, gone])["first"]


def test_what_an_evacuation_leaves_is_asked_for_before_the_plant_comes_back() -> None:
    alarm = {
        "do": "Smell.",
        "ask": "Gas?",
        "outcomes": [
            {"when": "No", "go": "out"},
            {"when": "Yes or not sure", "go": "stop", "danger": "true"},
        ],
    }
    first = [
        "dead",
        JUMPER,
        alarm,
        {"id": "out", **OUT},
        TRIP | {"tripped": "end-it", "not-tripped": "end-it"},
    ]
    first = ["dead", JUMPER, alarm, {"id": "out", **OUT}, "leave"]
    back: list[Any] = ["tell", "live", "fire", TRIP, "served"]
    assert "nothing-altered" in broken(first=first, back=back)["back"]
    look = {
        "do": "Touch every place of the list.",
        "ask": "Is everything back?",
        "outcomes": [
            {"when": "Yes", "go": "go-on", "claims": ["nothing-altered"]},
            {"when": "No or not sure", "go": "stop", "danger": "true"},
        ],
    }
    tell = {"id": "go-on", "do": "Tell them.", "inform": "Everybody"}
    assert broken(first=first, back=[look, tell, *back]) == {}


def test_nobody_denies_what_the_page_itself_brought_about() -> None:
    claim = {
        "do": "Read the record.",
        "ask": "Is a trip owed?",
        "outcomes": [
            {"when": "No", "go": "go-on", "claims": ["trips-proved"]},
            {"when": "Yes or not sure", "go": "stop"},
        ],
    }
    back = ["live", "fire", claim, {"id": "go-on", "do": "Write it down.", "end": "returned-to-service"}]
    assert broken(case=["dead", JUMPER, OUT, *back]) == {"case": {"claimed-away"}}
    assert broken(first=["dead", JUMPER, OUT, found("second")], second=["tell", *back]) == {}


def test_a_reset_with_its_cause_is_no_reset_to_deny() -> None:
    asked = {
        "do": "Read the record.",
        "ask": "Was anything reset without its cause?",
        "outcomes": [
            {"when": "No", "go": "go-on", "claims": ["not-reset"]},
            {"when": "Yes or not sure", "go": "stop"},
        ],
    }
    end = [asked, {"id": "go-on", "do": "Look.", "inspect": "Panel"}, *SAFE]
    cause = {"do": "Find out.", "find_cause": "lockout", "cause-mended": "next", "not-found": "stop"}
    assert broken(case=["identify", EVIDENCE, cause, RESET, *end]) == {}
    assert broken(case=["identify", EVIDENCE, RESET, *end]) == {"case": {"claimed-away"}}


def test_a_page_handed_over_in_its_middle_takes_the_alteration_out() -> None:
    over = {"do": "Hand over.", "hand_over": "Electrician", "next": "second", "next_step": "take-out"}
    second = ["dead", {"id": "take-out", **OUT}, "leave"]
    assert broken(first=["dead", JUMPER, over], second=second) == {}
    late = ["dead", OUT, {"id": "take-out", "do": "Look.", "inspect": "Panel"}, "leave"]
    assert broken(first=["dead", JUMPER, over], second=late) == {"first": {"sent-into-the-middle"}}


def test_leads_on_the_list_are_taken_off_by_the_next_page() -> None:
    clip = {"do": "Clip.", "clip": "meter-1", "at": "X4", "to": "X5"}
    over = {"do": "Hand over.", "hand_over": "Electrician", "next": "second", "still_on": ["meter-1"]}
    off = {"do": "Take them off.", "unclip": ["meter-1"]}
    back = ["live", "fire", "served"]
    assert broken(first=["dead", clip, over], second=["dead", *back]) == {"second": {"nothing-altered"}}
    assert broken(first=["dead", clip, over], second=["dead", off, *back]) == {}


def test_a_train_left_untested_is_tested_before_it_fires_again() -> None:
    first = [
        *("identify", "note", "gas off"),
        {"do": "Out.", "open_gas_train": "plug"},
        {"do": "In.", "cap": "plug"},
        "leave",
    ]
    check = {"do": "Brush it.", "leak_check": ["plug"], "tight": "next", "leaks": "stop"}
    assert "flue-gas-read" in names(
        walk_all(pages_licensed(first, ["gas on", check, "fire", "served"])), "back"
    )
    walks = walk_all(pages_licensed(first, ["gas on", "fire", "gas checked", "served"]))
    assert "train-tight" in names(walks, "back")
    assert (
        names(walk_all(pages_licensed(first, ["gas on", check, "fire", "gas checked", "served"])), "back")
        == set()
    )


def pages_licensed(first: list[Any], back: list[Any]) -> KnowledgeBase:
    """Link two pages of a licensed person."""
    made = {
        f"procedures/{name}": {"title": name, "equipment": ["boiler"], "who": "licensed-gas", "steps": steps}
        for name, steps in (("first", first), ("back", back))
    }
    return linked(entries_of(made, {}))[0]


def names(walks: Any, page: str) -> set[str]:
    """Return the rules a page breaks, or the claims it lacks."""
    return rules_of(walks[Ref(Kind.PROCEDURE, page)])


def test_the_contract_says_what_a_page_may_find_and_what_its_ends_leave() -> None:
    walks = walk_all(pages(first=["dead", JUMPER, OUT, found("second")], second=["fuel off", "safe"]))
    first, second = (walks[Ref(Kind.PROCEDURE, name)].contract for name in ("first", "second"))
    owed = "must trip before the plant is in service: Filter cut-out"
    assert first.finds == ()
    assert owed in first.leaves[0].lines
    assert owed in second.finds
    assert owed in second.leaves[0].lines  # it passes beside the page, which never touches it


def test_a_page_that_proves_one_of_two_owed_trips_leaves_the_other_owed_and_says_so() -> None:
    change = [{"do": "Change it.", "replace": name} for name in ("filter", "low-gas")]
    over = {"do": "Hand over.", "hand_over": "Colleague", "next": "second"}
    walks = walk_all(
        pages(first=["dead", *change, "live", "fire", over], second=["note", TRIP, "fire", "served"])
    )
    leaves = walks[Ref(Kind.PROCEDURE, "first")].contract.leaves[0]
    assert any("leaves owed: Low gas pressure" in line for line in leaves.tag)
    assert names(walks, "first") == set()
    assert "trips-proved" in names(walks, "second")


def test_pages_walked_apart_find_all_that_walking_them_joined_finds() -> None:
    """The dryer's pages: each pair is walked as one, the second from every single state the first ends in."""
    base = demonstration().base
    walks = walk_all(base)
    arrivals = travel(base, "harnok-td", partial(ways_out, base))
    compared = 0
    for name, arrival in arrivals.items():
        for after, state, itself in _ends(base, name, arrival):
            procedure = base.procedure(after)
            assert procedure is not None
            debts = arrived(left(state, Plant(base, base.procedure(name), name)), after)
            there = handed(state, name, after) | itself
            joined = explore(
                Plant(base, procedure, after),
                make_graph(procedure, after),
                (0, between(there - debts, there | debts)),
            )
            apart = walks[Ref(Kind.PROCEDURE, after)]
            found = {(v.rule.name, v.step) for v in apart.violations}
            assert {(v.rule.name, v.step) for v in joined.violations} <= found, (name, after)
            beside = arrivals[after].finds - touched(procedure, arrivals[after]).finds
            for end in joined.exits:
                left_apart = [out.leaves(beside) for out in apart.exits if out.step == end.step]
                assert end.left <= frozenset[Any]().union(*left_apart), (name, after, end.step)
            compared += 1
    assert compared > 50


def _ends(base: KnowledgeBase, name: str, arrival: Arrival) -> Iterator[tuple[str, State, State]]:
    """Yield the pages that a page leads to, with every state of the plant in which it does, and what who goes on himself knows."""
    procedure = base.procedure(name)
    assert procedure is not None
    plant = Plant(base, procedure, name)
    explored = explore(plant, make_graph(procedure, name), arrival=touched(procedure, arrival))
    for step, states in zip(procedure.steps, explored.states, strict=True):
        following = getattr(step.action, "next", "")
        if following and not getattr(step.action, "next_step", ""):
            # How often a way back was taken, nobody finds on another page.
            known = (IDENTIFIED, DANGER_ASKED) if isinstance(step.action, End) else ()
            yield from {
                (
                    following,
                    without(at_most(state), TAKEN),
                    frozenset(each for each in state if each[0] in known),
                )
                for state in states
            }


def test_what_only_earlier_pages_may_have_left_is_told_once_with_the_claims_that_clear_it() -> None:
    first = ["dead", JUMPER, OUT, {"do": "Open it.", "open_cover": "panel-door"}, found("second")]
    second = [{"do": "Tell them.", "inform": "Lead"}, {"do": "Write it down.", "end": "returned-to-service"}]
    (told,) = walk_all(pages(first=first, second=second))[Ref(Kind.PROCEDURE, "second")].violations
    assert told.rule.name == "left-by-others"
    assert "trips not proved" in told.message
    asked = told.hint.partition("claims: [")[2].partition("]")[0].split(", ")
    ask = {
        "do": "Read the record.",
        "ask": "All in order?",
        "outcomes": [
            {"when": "Yes", "go": "go-on", "claims": asked},
            {"when": "No or not sure", "go": "stop"},
        ],
    }
    done = [ask, {"id": "go-on", **second[0]}, second[1]]
    assert walk_all(pages(first=first, second=done))[Ref(Kind.PROCEDURE, "second")].violations == ()


def test_a_page_lists_three_names_and_counts_more_while_the_tag_has_them_all() -> None:
    base = pages(one=SAFE)
    procedure = base.procedure("one")
    assert procedure is not None
    plant = Plant(base, procedure, "one")
    owed = frozenset((OWED, name) for name in ("filter", "high-limit", "low-gas", "water"))
    (tag,), (page,) = words(plant, owed), words(plant, owed, 3)
    assert tag.count(";") == 3
    assert page.endswith(": any of 4, as tags and record say")
    (three,) = words(plant, frozenset(sorted(owed)[:3]), 3)
    assert three.count(";") == 2


LOCKED = [
    "identify",
    "note",
    "tell",
    "gas off",
    {"do": "Off.", "isolate": "control"},
    {"do": "Lock.", "lock": "control"},
]
TRIED = [*LOCKED, {"do": "Try.", "try_start": "Burner switch", "dead": "next", "live": "stop"}]
DEAD = {"do": "Prove it.", "prove_dead": "control", "dead": "next", "live": "stop"}
WORK = {"do": "Reach in.", "work_in": "fan-housing"}
OVER = {"do": "Hand over.", "hand_over": "Colleague", "next": "second"}
STOP = {"do": "Stop.", "stop_demand": "Burner switch off"}


def chain(first: list[Any], second: list[Any], **more: list[Any]) -> dict[str, set[str]]:
    """Return what pages break of which the second is done after the first."""
    return broken_of(pages_after({"second": "first"}, first=first, second=second, **more))


def pages_after(after: dict[str, str], **steps: list[Any]) -> KnowledgeBase:
    """Link pages of which some are done after others."""
    made = {
        f"procedures/{name}": {
            "title": f"Page {name}",
            "equipment": ["boiler"],
            "who": "lead-technician",
            "steps": each,
            **({"after": after[name]} if name in after else {}),
        }
        for name, each in steps.items()
    }
    base, problems = linked(entries_of(made, {}))
    assert problems == []
    return base


def broken_of(base: KnowledgeBase) -> dict[str, set[str]]:
    """Return the rules that each page of a knowledge base breaks, as ``broken`` does."""
    found = {ref.id: rules_of(walk) for ref, walk in walk_all(base).items()}
    return {name: rules for name, rules in found.items() if rules}


def test_a_page_begins_with_what_every_way_to_it_locked() -> None:
    second = ["identify", DEAD, WORK, "leave"]
    assert chain([*LOCKED, OVER], second) == {}
    # Who hands over because it is the wrong plant, or somebody left something undone, leads nowhere near it.
    undone = {
        "do": "Read the tags.",
        "ask": "All in order?",
        "outcomes": [{"when": "Yes", "go": "next"}, {"when": "No or not sure", "go": "as-found"}],
    }
    as_found = {"id": "as-found", "do": "Hand it back.", "hand_over": "Lead"}
    assert chain(["identify", undone, *LOCKED[1:], OVER, as_found], second) == {}
    # One way that does not lock it, and nobody may rely on it.
    asked = {
        "do": "Look.",
        "ask": "Is Q2 to be locked?",
        "outcomes": [{"when": "Yes", "go": "next"}, {"when": "No or not sure", "go": "unlocked"}],
    }
    some = [*LOCKED[:3], asked, *LOCKED[3:], OVER, "fuel off", {**OVER}]
    some[-2:] = [{"id": "unlocked", "do": "Shut it.", "shut_valve": "burner-cock"}, OVER]
    assert "proof-without-lock" in chain(some, second)["second"]
    # Another page leads there too, and locks nothing.
    known = {"first": [*LOCKED, OVER], "second": second}
    assert broken_of(pages_after({"second": "first"}, **known)) == {}
    another = {"another": ["identify", "note", "fuel off", OVER]}
    assert "proof-without-lock" in broken_of(pages_after({"second": "first"}, **known, **another))["second"]
    # Begun by itself the page begins with the plant as it was found.
    assert "proof-without-lock" in broken(first=[*LOCKED, OVER], second=second)["second"]


@pytest.mark.parametrize(("plants", "told"), [(["boiler"], False), (["boiler", "twin"], True)])
def test_a_page_of_two_plants_begins_with_what_is_locked_on_both(plants: list[str], told: bool) -> None:
    of = {"first": ["boiler"], "second": plants}
    steps = {"first": [*LOCKED, OVER], "second": ["identify", DEAD, WORK, "leave"]}
    made: dict[str, Any] = {
        f"procedures/{name}": {
            "title": f"Page {name}",
            "equipment": of[name],
            "who": "lead-technician",
            "steps": steps[name],
            **({"after": "first"} if name == "second" else {}),
        }
        for name in of
    }
    twin = {**plant()["entries"]["equipment/boiler"], "title": "Twin"}
    base, problems = linked(entries_of({**made, "equipment/twin": twin}, {}))
    assert problems == []
    assert ("proof-without-lock" in broken_of(base).get("second", ())) is told


def test_a_lock_that_comes_off_on_the_way_is_no_lock_on_the_page_after() -> None:
    third = ["identify", DEAD, WORK, "leave"]
    on = {**OVER, "next": "third"}
    after = {"second": "first", "third": "second"}
    kept = pages_after(after, first=[*LOCKED, OVER], second=["identify", on], third=third)
    assert broken_of(kept) == {}
    off = pages_after(
        after, first=[*LOCKED, OVER], second=["identify", "tell", *LIVE, "fuel off", on], third=third
    )
    assert "proof-without-lock" in broken_of(off)["third"]


LIVE = [{"do": "Unlock.", "unlock": "control"}, {"do": "On.", "restore": "control"}]


def test_a_colleague_proves_it_anew_and_who_goes_on_himself_has_seen_it() -> None:
    dead = [*LOCKED, DEAD]
    assert "work-not-isolated" in chain([*dead, OVER], ["identify", WORK, "leave"])["second"]
    assert chain([*dead, found("second")], [WORK, "leave"]) == {}
    # Nor does a colleague stand at the right plant because the first one did.
    assert "proof-without-identity" in chain([*LOCKED, OVER], [DEAD, WORK, "leave"])["second"]


def test_a_start_tried_on_the_page_before_counts_as_long_as_the_lock_is_on() -> None:
    base = pages_after({"second": "first"}, first=[*TRIED, OVER], second=["identify", DEAD, WORK, "leave"])
    arrivals = travel(base, "boiler", partial(ways_out, base))
    assert ("tried", "control") in arrivals["second"].brings
    untried = pages_after(
        {"second": "first"}, first=[*LOCKED, OVER], second=["identify", DEAD, WORK, "leave"]
    )
    assert ("tried", "control") not in travel(untried, "boiler", partial(ways_out, untried))["second"].brings


def test_what_the_first_page_of_a_chain_asked_for_the_second_need_not_ask_again() -> None:
    """Others left a trip unproved; the first page found out, and the second answers for the new one alone."""
    asked = {
        "do": "Read the record.",
        "ask": "All in order?",
        "outcomes": [
            {
                "when": "Yes",
                "go": "next",
                "claims": ["trips-proved", "nothing-altered", "cycle-seen", "all-on"],
            },
            {"when": "No or not sure", "go": "stop"},
        ],
    }
    others = ["dead", JUMPER, OUT, "leave"]
    replace = {"do": "Change it.", "replace": "low-gas"}
    second = ["tell", "live", "fire", {**TRIP, "prove_trip": "low-gas"}, "fire", "served"]
    first = [asked, "dead", replace, OVER]
    assert chain(first, second, others=others) == {}
    assert chain(["dead", replace, OVER], second, others=others) == {"second": {"trips-proved"}}


def test_what_was_noted_goes_along_until_the_plant_was_started_again() -> None:
    noted = ["identify", EVIDENCE, "gas off", *LOCKED[-2:], OVER]
    second = ["identify", RESET, "leave"]
    assert chain(noted, second) == {}
    started = ["tell", {"do": "Start.", "start_demand": "Burner switch on"}, STOP]
    assert "reset-before-evidence" in chain([*noted[:2], *started, *noted[2:]], second)["second"]


def test_the_contract_says_what_the_page_before_brings_about() -> None:
    walks = walk_all(
        pages_after({"second": "first"}, first=[*TRIED, OVER], second=["identify", DEAD, WORK, "leave"])
    )
    assert walks[Ref(Kind.PROCEDURE, "second")].contract.needs == (
        "off and locked by the page before: Control supply; Fuel gas",
        "a start tried with it locked: Control supply; Fuel gas",
    )


CAUSE = {"do": "Find out.", "find_cause": "water", "cause-mended": "next", "not-found": "stop"}
PRESS = {"do": "Press it.", "reset": "water"}


def test_a_cause_that_was_mended_is_known_to_who_goes_on_himself_while_nothing_can_run() -> None:
    second = [PRESS, "leave"]
    held = ["identify", "note", CAUSE, *LOCKED[1:]]
    assert chain([*held, found("second")], second) == {}
    left = [*held[:2], {**CAUSE, "cause-left": "next"}, *held[3:], found("second")]
    assert chain(left, second) == {"second": {"reset-without-cause"}}
    assert "reset-without-cause" in chain([*held, OVER], ["identify", *second])["second"]
    assert "reset-without-cause" in chain(["identify", "note", CAUSE, found("second")], second)["second"]


def test_a_joint_that_the_next_page_proves_tight_may_wait_for_it_behind_a_locked_cock() -> None:
    first = [
        *("identify", "note", "gas off"),
        {"do": "Out.", "open_gas_train": "plug"},
        {"do": "In.", "cap": "plug"},
    ]
    check = {"do": "Brush it.", "leak_check": ["plug"], "tight": "next", "leaks": "stop"}
    back = ["gas on", check, "fire", "gas checked", "served"]
    first.append(found("back"))
    assert names(walk_all(pages_licensed(first, back)), "first") == set()
    assert names(walk_all(pages_licensed(first, back)), "back") == set()
    late = walk_all(pages_licensed(first, ["gas on", "fire", check, "gas checked", "served"]))
    assert "train-tight" in names(late, "back")
    for another in (
        ["gas on", "fire", "served"],
        ["gas on", {**check, "leak_check": ["train"]}, "fire", "served"],
    ):
        assert names(walk_all(pages_licensed(first, another)), "first") == {"gas-left-untested"}
    loose = [*first[:2], "fuel off", *first[3:]]
    assert "gas-left-untested" in names(walk_all(pages_licensed(loose, back)), "first")


def test_an_alteration_is_handed_to_the_beginning_of_a_page_that_takes_it_out() -> None:
    assert chain(["dead", JUMPER, OVER], ["dead", OUT, "leave"]) == {}
    assert "hand-over-loses-alteration" in chain(["dead", JUMPER, OVER], ["dead", "leave"])["first"]


def all_on_asked(first: list[Any], second: list[Any]) -> bool:
    """Return whether the second of two pages is told to ask whether all is on."""
    walks = walk_all(pages_after({"second": "first"}, first=first, second=second))
    return any("all-on" in each.hint for each in walks[Ref(Kind.PROCEDURE, "second")].violations)


def test_a_flame_shows_that_the_cock_it_comes_through_is_open() -> None:
    first = ["identify", "note", "tell", "gas off", found("second")]
    back = [
        *GAS_BACK,
        {"do": "See it.", "observe": "full-cycle", "seen": "next", "not-seen": "stop"},
        "served",
    ]
    assert not all_on_asked(first, back)
    # Nobody saw a flame, or the valve is not on its way.
    assert all_on_asked(first, [*GAS_BACK, "served"])


GAS_BACK = ["tell", {"do": "Unlock.", "unlock": "gas"}, {"do": "Open it.", "restore": "gas"}]


def test_what_cools_by_itself_is_nothing_that_somebody_switches_on() -> None:
    for off, asked in (("heat", False), ("water", True)):
        made = {
            "procedures/first": {
                "title": "First",
                "equipment": ["boiler"],
                "steps": [
                    "identify",
                    "note",
                    "tell",
                    {"do": "Leave it.", "isolate": off},
                    *LOCKED[3:],
                    found("second"),
                ],
            },
            "procedures/second": {
                "title": "Second",
                "equipment": ["boiler"],
                "after": "first",
                "steps": [*GAS_BACK, *LIVE, "fire", "served"],
            },
        }
        boiler = plant()["entries"]["equipment/boiler"]
        more = [
            {"id": "heat", "title": "Heat", "energy": "heat", "isolate": "Fire out"},
            {"id": "water", "title": "Water", "energy": "water", "isolate": "Valve"},
        ]
        base, problems = linked(
            entries_of({**made, "equipment/boiler": {**boiler, "sources": [*boiler["sources"], *more]}}, {})
        )
        assert problems == []
        told = walk_all(base)[Ref(Kind.PROCEDURE, "second")].violations
        assert any(each.rule.name == "left-by-others" and "Water" in each.message for each in told) is asked
        assert not any("Heat" in each.message for each in told)


def test_who_brought_energy_back_and_locked_it_off_again_leaves_what_others_left_to_who_comes_next() -> None:
    alarm = {
        "do": "Smell.",
        "ask": "Gas?",
        "outcomes": [
            {"when": "No", "go": "out"},
            {"when": "Yes or not sure", "go": "stop", "danger": "true"},
        ],
    }
    first = ["dead", JUMPER, alarm, {"id": "out", **OUT}, "leave"]
    look = ["identify", "note", "tell", *LOCKED[4:], "tell", *LIVE]
    again = [*LOCKED[4:], "gas off", "tell"]
    served = {
        "do": "Read.",
        "ask": "All in order?",
        "outcomes": [
            {"when": "Yes", "go": "next", "claims": list(CLAIMS)},
            {"when": "No or not sure", "go": "stop"},
        ],
    }
    back = [served, "tell", "fire", "served"]
    for rest, told in ([], True), (["fuel off"], False), (again, False):
        every = pages_after({"back": "look"}, first=first, back=back, look=[*look, *rest, found("back")])
        assert ("nothing-altered" in broken_of(every).get("look", ())) is told


def test_nobody_answers_away_what_the_page_before_left_for_certain() -> None:
    asked = {
        "do": "Read the record.",
        "ask": "Is nothing else owed?",
        "outcomes": [
            {"when": "Yes", "go": "next", "claims": ["trips-proved", "nothing-altered"]},
            {"when": "No or not sure", "go": "stop"},
        ],
    }
    first = ["dead", JUMPER, OUT, found("second")]
    on = [asked, "tell", *LIVE, "fire"]
    base = pages_after({"second": "first"}, first=first, second=[*on, "served"])
    (told,) = walk_all(base)[Ref(Kind.PROCEDURE, "second")].violations
    assert "the trip of `filter` is owed: the page before left it so" in told.message
    assert "`prove_trip: filter`" in told.hint
    assert chain(first, [*on, TRIP, "served"]) == {}
    # Over a page that never touches it, too; not over one that discharges it.
    between_ = ["identify", {"do": "Look.", "inspect": "Panel"}]
    after = {"second": "first", "third": "second"}
    for more, told_ in ([], True), (["tell", *LIVE, "fire", TRIP], False):
        passed = pages_after(
            after, first=first, second=[*between_, *more, found("third")], third=[*on, "served"]
        )
        found_ = walk_all(passed)[Ref(Kind.PROCEDURE, "third")].violations
        assert any("owed: the page before" in each.message for each in found_) is told_


def test_nobody_answers_away_the_reset_of_the_page_before() -> None:
    asked = {
        "do": "Read the record.",
        "ask": "Is nothing owed?",
        "outcomes": [
            {"when": "Yes", "go": "next", "claims": ["not-reset"]},
            {"when": "No or not sure", "go": "stop"},
        ],
    }
    first = ["identify", EVIDENCE, RESET, "fuel off", found("second")]
    (told,) = walk_all(
        pages_after({"second": "first"}, first=first, second=[asked, EVIDENCE, RESET, "fuel off", *SAFE])
    )[Ref(Kind.PROCEDURE, "second")].violations
    assert "was reset without its cause: the page before left it so" in told.message
    cause = {"do": "Find out.", "find_cause": "lockout", "cause-mended": "next", "not-found": "stop"}
    assert chain(first, [asked, EVIDENCE, cause, RESET, *SAFE]) == {}


def _asked_past(answer: dict[str, Any]) -> list[Any]:
    """Ask what the page before has off; ``answer`` leads past what brings it back."""
    outcomes = [{"when": "No", "go": "on", **answer}, {"when": "Yes", "go": "next"}]
    return [
        "identify",
        {
            "do": "Look.",
            "ask": "Is any of them off?",
            "outcomes": [*outcomes, {"when": "Not sure", "go": "stop"}],
        },
        *GAS_BACK,
        {"do": "Unlock.", "unlock": "control"},
        {"do": "Switch it on.", "restore": "control"},
    ]


def test_nobody_goes_past_what_brings_back_what_the_page_before_locked() -> None:
    """An answer that names what is on is given only where that can be so; without it the walk goes past."""
    fire = {"id": "on", "do": "Watch it fire.", "observe": "firing", "seen": "leave", "not-seen": "stop"}
    first = [*LOCKED, OVER]
    rules = {
        name: chain(first, [*_asked_past(answer), fire, {"id": "leave", **_ENDS}]).get("second", set())
        for name, answer in {"named": {"are_on": ["gas", "control"]}, "silent": {}}.items()
    }
    assert "cannot-fire" in rules["silent"]
    assert "cannot-fire" not in rules["named"]


_ENDS = {"do": "Show it.", "hand_over": "Lead technician"}


def test_an_answer_that_all_is_on_leaves_what_the_page_before_locked() -> None:
    """It is given where the page before has something locked, and denies none of it."""
    asked = {
        "do": "Read the record.",
        "ask": "But for our own locks, is all on?",
        "outcomes": [
            {"when": "Yes", "go": "next", "claims": ["trips-proved", "all-on"]},
            {"when": "No or not sure", "go": "stop"},
        ],
    }
    assert "second" not in chain([*LOCKED, OVER], [asked, "identify", DEAD, "leave"])
    off = {"do": "Off.", "isolate": "control"}
    assert "claim-nobody-gives" in chain(["identify", OVER], ["note", off, asked, "safe"])["second"]


@pytest.mark.parametrize(
    ("watched", "refused"), [("standstill", False), ("shutdown", False), ("start", True)]
)
def test_who_stops_it_and_sees_it_come_to_rest_fires_nothing(watched: str, refused: bool) -> None:
    """Whoever only shuts it down need not know first whether every joint was proved tight."""
    stop = {"do": "Switch the burner off.", "stop_demand": "Burner switch off"}
    see = {"do": "Watch it.", "observe": watched, "seen": "next", "not-seen": "next"}
    base = pages(page=["identify", "tell", stop, see, *SAFE])
    procedure = base.procedure("page")
    assert procedure is not None
    untested = Arrival(frozenset({(UNTESTED, "plug")}), frozenset())
    explored = explore(Plant(base, procedure, "page"), make_graph(procedure, "page"), arrival=untested)
    assert ("left-by-others" in {each.rule.name for each in explored.violations}) is refused


def test_keys_that_change_hands_with_hands_inside_bring_nothing_on_before_everybody_is_told() -> None:
    first = [*LOCKED, DEAD, WORK, OVER]
    back = [*LIVE, "fire", "served"]
    lead = {"do": "Tell the lead that it comes on.", "inform": "Shift lead"}
    every = {"do": "Tell everybody that it comes on.", "inform": "Everybody at the boiler"}
    assert "moves-with-hands-in" in chain(first, ["identify", lead, *back])["second"]
    assert "moves-with-hands-in" not in chain(first, ["identify", every, *back]).get("second", set())
    # Who said that hands are out before the keys went over has them out.
    out = {"do": "Tell everybody that hands are out.", "inform": "Everybody at the boiler"}
    assert "moves-with-hands-in" not in chain([*first[:-1], out, OVER], ["identify", lead, *back]).get(
        "second", set()
    )


@pytest.mark.parametrize(("over", "told"), [(found("second"), False), (OVER, True)])
def test_heat_that_was_felt_gone_stays_gone_for_who_goes_on_himself(over: dict[str, str], told: bool) -> None:
    boiler = plant()["entries"]["equipment/boiler"]
    heat = {"id": "heat", "title": "Heat", "energy": "heat", "isolate": "Fire out", "prove": "Below 45 C"}
    pump = {
        "id": "pump",
        "title": "Pump",
        "energy": "foreign-fed",
        "voltage": "120 V",
        "isolate": "Q7",
        "lock": "Padlock",
    }
    pump |= {"prove": "J1 to J2", "conductors": ["J1", "J2"], "runs_on": "5 min"}  # type: ignore[dict-item]
    gone = {"do": "Read it.", "prove_gone": "heat", "gone": "next", "still-there": "stop"}
    locked = [
        *LOCKED[:3],
        {"do": "Shut it.", "isolate": "gas"},
        {"do": "Lock it.", "lock": "gas"},
        *LOCKED[4:],
    ]
    steps = {
        "first": [*locked, STOP, gone, over],
        "second": [
            "identify",
            DEAD,
            {"do": "Change it.", "replace": "filter"},
            {"do": "Off.", "isolate": "pump"},
            "leave",
        ],
    }
    made: dict[str, Any] = {
        f"procedures/{name}": {
            "title": name,
            "equipment": ["boiler"],
            "who": "lead-technician",
            "steps": each,
            **({"after": "first"} if name == "second" else {}),
        }
        for name, each in steps.items()
    }
    made["equipment/boiler"] = {**boiler, "sources": [*boiler["sources"], heat, pump]}
    made["devices/filter"] = {**plant()["entries"]["devices/filter"], "reached_by": ["heat"]}
    base, problems = linked(entries_of(made, {}))
    assert problems == []
    broken = broken_of(base).get("second", set())
    assert ("replaced-live" in broken, "run-on-cut" in broken) == (told, told)
