"""Ohms on dead plant: what is open there however sound it is."""

from __future__ import annotations

from tests.unit.rules.cases import problems_of

_ASKED = [
    {"when": "Yes", "within": "on"},
    {"when": "No", "outside": "on"},
]
_STEPS = [
    {
        "do": "Ohms across it.",
        "measure": "ohms",
        "across": "low-gas",
        "ask": "What is it?",
        "outcomes": _ASKED,
    },
    {"id": "on", "do": "Hang the tag.", "end": "left-safe"},
]


def _told(*starts: str) -> list[str]:
    found = problems_of(_STEPS, {"starts": list(starts)})
    return [each.message for each in found if each.rule == "ohms-decide-nothing"]


def test_the_valve_of_a_fuel_that_an_earlier_page_locked_off_is_shut() -> None:
    assert _told("made-safe", "proved-dead") == [
        "step 1: Low gas pressure is open because Plant cock is shut: ohms across it decide nothing"
    ]
    # Of proved dead alone nobody knows where the cock stands.
    assert _told("proved-dead") == []
