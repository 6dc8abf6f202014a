"""What an answer names, and which readings between full and none decide something."""

from __future__ import annotations

from typing import Any

import pytest

from tests.unit.rules.cases import plant, problems_of


def rules_of(**entries: Any) -> set[str]:
    """Return the rules that a page breaks on the plant of the rule cases, with some entries changed."""
    given = {name.replace("__", "/").replace("_", "-"): entry for name, entry in entries.items()}
    return {each.rule for each in problems_of(given)}


@pytest.mark.parametrize(
    ("when", "unchecked"),
    [("Second high limit", False), ("High limit", True), ("Door", False)],
)
def test_the_longer_name_is_meant_and_not_the_one_within_it(when: str, unchecked: bool) -> None:
    """The second high limit has its job check behind the question; the high limit has none."""
    high = plant()["entries"]["devices/high-limit"]
    ask = {
        "do": "Read the record.",
        "ask": "Which one is open?",
        "outcomes": [{"when": when, "go": "second"}, {"when": "Not sure", "go": "keep"}],
    }
    check = {
        "id": "second",
        "do": "Look.",
        "check_real": "second-high",
        "ask": "High?",
        "outcomes": [{"when": "Yes", "real": "keep"}, {"when": "No", "faulty": "mend"}],
    }
    steps = [
        *(ask, check, {"id": "mend", "do": "The contact is not right. Keep it locked.", "go": "keep"}),
        *({"id": "keep", "do": "Shut it.", "shut_valve": "plant-cock"}, {"do": "Plate.", "isolate": "gas"}),
        *({"do": "Lock it.", "lock": "gas"}, {"do": "Tag it.", "end": "left-safe"}),
    ]
    told = rules_of(
        devices__high_limit={**high, "title": "High limit"},
        devices__second_high={**high, "title": "Second high limit"},
        procedures__case={"steps": steps},
    )
    assert ("faulty-unchecked" in told) is unchecked


@pytest.mark.parametrize(
    ("current", "meter", "decides"),
    [("AC", "", False), ("AC", "low-impedance", True), ("DC", "", True)],
    ids=["a ghost on an open wire", "loaded by the meter", "a loop that such a meter would short"],
)
def test_a_reading_in_between_decides_once_it_is_no_ghost(current: str, meter: str, decides: bool) -> None:
    limits = plant()["entries"]["circuits/limits"]
    middle = {
        "id": "point",
        "do": "Read X6.",
        "measure": "volts",
        "at": "X6",
        "to": "N",
        "ask": "What is it?",
        **({"meter": meter} if meter else {}),
        "outcomes": [
            *({"when": "Full", "full": "stop"}, {"when": "Nothing", "none": "found"}),
            *({"when": "In between", "some": "found"}, {"when": "Not sure", "some": "stop"}),
        ],
    }
    full = {"full": "point", "none": "stop", "some": "stop"}
    steps = [
        *("fuel off", {"do": "Read it.", "measure": "volts", "at": "X2", "to": "N", **full}),
        *(middle, {"id": "found", "do": "Write it down.", "end": "found", "next": "reset-water"}),
    ]
    supply = {**limits["supply"], "current": current}
    told = rules_of(circuits__limits={**limits, "supply": supply}, procedures__case={"steps": steps})
    assert ("middle-reading-decides" not in told) is decides


@pytest.mark.parametrize(("goes", "told"), [("next-one", True), ("found", False)])
def test_a_bad_joint_is_not_hunted_like_an_open_contact(goes: str, told: bool) -> None:
    """In a loop that loads its own readings a middle one is a joint; the next reading looks for something else."""
    limits = plant()["entries"]["circuits/limits"]
    at = {"measure": "volts", "to": "N"}
    steps = [
        *("fuel off", {"do": "Read it.", **at, "at": "X2", "full": "point", "none": "stop", "some": "stop"}),
        {
            "id": "point",
            "do": "Read X6.",
            **at,
            "at": "X6",
            "ask": "What is it?",
            "outcomes": [
                *({"when": "Full", "full": "stop"}, {"when": "Nothing", "none": "next-one"}),
                *({"when": "In between", "some": goes}, {"when": "Not sure", "some": "stop"}),
            ],
        },
        {
            "id": "next-one",
            "do": "Read X4.",
            **at,
            "at": "X4",
            "full": "found",
            "none": "stop",
            "some": "stop",
        },
        {"id": "found", "do": "Write it down.", "end": "found", "next": "reset-water"},
    ]
    supply = {**limits["supply"], "current": "DC"}
    rules = rules_of(circuits__limits={**limits, "supply": supply}, procedures__case={"steps": steps})
    assert ("middle-reading-decides" in rules) is told
