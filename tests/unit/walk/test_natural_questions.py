"""A question may be put either way; where its verdicts lead is what counts.

Thirty questions as people put them, half of them asking for the bad answer. Each passes with its verdicts
where they belong, and with the two ways swapped each is refused.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from tests.unit.rules.cases import problems_of

_Step = dict[str, Any]
QUESTIONS = yaml.load((Path(__file__).parent / "natural_questions.yaml").read_text("utf-8"), yaml.BaseLoader)
_SAFE: list[_Step] = [
    {"id": "safe", "do": "Shut the plant cock.", "shut_valve": "plant-cock"},
    {"do": "Swing the lock plate over.", "isolate": "gas"},
    {"do": "Lock it.", "lock": "gas"},
    {
        "do": "Hang the label.",
        "end": "unsafe-left-off",
        "label": "UNSAFE do not use",
        "notice": "Warning notice to the shift lead",
        "tell": "Lead technician",
    },
]
_SERVED: list[_Step] = [{"id": "served", "do": "Write it down.", "end": "returned-to-service"}]
_FIRST: list[_Step] = [
    {"do": "Note what the panel shows.", "record": ["display", "first-out", "resets"]},
    {"do": "Tell everybody.", "inform": "Shift lead"},
]
_ALIKE: list[_Step] = [
    {"do": "Compare the numbers.", "identify": "Same number", "same": "alike", "different": "safe"},
    {"id": "alike", "do": "Look around.", "inspect": "Boiler"},
]
_OFF: list[_Step] = [
    {"do": "Shut the burner cock.", "shut_valve": "burner-cock"},
    {"do": "Switch Q2 off.", "isolate": "control"},
    {"do": "Lock Q2.", "lock": "control"},
]
_DEAD: list[_Step] = [
    *_OFF,
    {"do": "Prove it dead.", "prove_dead": "control", "dead": "dead", "live": "safe"},
    {"id": "dead", "do": "Look around.", "inspect": "Panel"},
]
_ON: list[_Step] = [
    {"do": "Tell everybody.", "inform": "Shift lead"},
    {"do": "Take the lock off.", "unlock": "control"},
    {"do": "Switch Q2 on.", "restore": "control"},
    {"do": "Open the burner cock.", "open_valve": "burner-cock"},
]
_CYCLE: list[_Step] = [
    {"do": "See a full cycle.", "observe": "full-cycle", "seen": "ran", "not-seen": "safe"},
    {"id": "ran", "do": "Look around.", "inspect": "Burner"},
]
_FIRES: list[_Step] = [
    {"do": "See the purge.", "observe": "purge", "seen": "purged", "not-seen": "safe"},
    {"id": "purged", "do": "See the flame.", "observe": "firing", "seen": "lit", "not-seen": "safe"},
    {"id": "lit", "do": "Look around.", "inspect": "Burner"},
]
_GAS_OFF: list[_Step] = [
    {"do": "Shut the plant cock.", "shut_valve": "plant-cock"},
    {"do": "Swing the lock plate over.", "isolate": "gas"},
    {"do": "Lock it.", "lock": "gas"},
]
_GONE: list[_Step] = [
    {"do": "Watch P2.", "watch": "pressure", "point": "plug", "no-pressure": "gone", "pressure-left": "safe"},
    {"id": "gone", "do": "Look around.", "inspect": "Train"},
]
_OPENED: list[_Step] = [
    {"id": "open-it", "do": "Take the plug out.", "open_gas_train": "plug"},
    {"do": "Put it in.", "cap": "plug"},
]
_GAS_ON: list[_Step] = [
    {"do": "Tell everybody.", "inform": "Shift lead"},
    {"do": "Take the lock off.", "unlock": "gas"},
    {"do": "Swing the lock plate away.", "restore": "gas"},
    {"do": "Open the plant cock.", "open_valve": "plant-cock"},
]
_TIGHT: list[_Step] = [
    {"do": "Brush it.", "leak_check": ["plug"], "tight": "tight", "leaks": "safe"},
    {"id": "tight", "do": "Look around.", "inspect": "Train"},
]

_FLUE = [
    {"do": "Look at the louvre.", "observe": "air-supply", "seen": "air-seen", "not-seen": "safe"},
    {
        "id": "air-seen",
        "do": "Read the meter.",
        "measure": "gas-rate",
        "within": "rate-read",
        "outside": "safe",
    },
    {"id": "rate-read", "do": "Look around.", "inspect": "Meter"},
    {"do": "Read the flue gas.", "measure": "flue-gas", "within": "flue-read", "outside": "safe"},
    {"id": "flue-read", "do": "Look around.", "inspect": "Flue"},
]

PAGES: dict[str, tuple[list[_Step], _Step, tuple[str, str], str, list[_Step]]] = {
    # before the question, what it asks about, verdicts for good and bad, where good leads, what follows there
    "identify": (
        _FIRST,
        {"identify": "Same number"},
        ("same", "different"),
        "go-on",
        [
            {"id": "go-on", "do": "Look around.", "inspect": "Boiler"},
            *_DEAD,
            {"do": "Measure.", "measure": "ohms", "across": "filter"},
        ],
    ),
    "prove_dead": (
        [*_FIRST, *_ALIKE, *_OFF],
        {"do": "Test it.", "prove_dead": "control"},
        ("dead", "live"),
        "measure",
        [{"id": "measure", "do": "Measure.", "measure": "ohms", "across": "filter"}],
    ),
    "leak_check": (
        [*_FIRST, *_ALIKE, *_GAS_OFF, *_GONE, *_OPENED, *_GAS_ON],
        {"leak_check": ["plug"]},
        ("tight", "leaks"),
        "light",
        [
            {"id": "light", "do": "Turn the burner on.", "start_demand": "Burner switch"},
            *_FIRES,
            *_FLUE,
            *_CYCLE,
            *_SERVED,
        ],
    ),
    "prove_trip": (
        [*_FIRST, *_ALIKE, *_DEAD, {"do": "Change it.", "replace": "low-gas"}, *_ON, *_CYCLE],
        {"prove_trip": "low-gas"},
        ("tripped", "not-tripped"),
        "served",
        _SERVED,
    ),
    "find_cause": (
        [*_FIRST, *_ALIKE],
        {"find_cause": "water"},
        ("cause-mended", "not-found"),
        "press",
        [{"id": "press", "do": "Press the button.", "reset": "water"}],
    ),
    "observe_cycle": (
        [*_FIRST, *_ALIKE, *_DEAD, *_ON],
        {"observe": "full-cycle"},
        ("seen", "not-seen"),
        "served",
        _SERVED,
    ),
    "pressure": (
        [*_FIRST, *_ALIKE, *_GAS_OFF],
        {"watch": "pressure", "point": "plug"},
        ("no-pressure", "pressure-left"),
        "open-it",
        [*_OPENED, *_GAS_ON, *_TIGHT],
    ),
    "flue_gas": (
        [
            *_FIRST,
            *_ALIKE,
            {"do": "Set it.", "adjust": "burner-gas", "from": "3 in wc", "to": "4 in wc"},
            *_CYCLE,
        ],
        {"measure": "flue-gas"},
        ("within", "outside"),
        "served",
        _SERVED,
    ),
}
ASKED = [(action, each) for action, questions in QUESTIONS.items() for each in questions]


def _page(action: str, asked: dict[str, str], *, swapped: bool) -> list[_Step]:
    before, about, (good, bad), target, after = PAGES[action]
    ways = ("safe", target) if swapped else (target, "safe")
    outcomes = [{"when": asked["good"], good: ways[0]}, {"when": asked["bad"], bad: ways[1]}]
    return [*before, {"do": "Look.", **about, "ask": asked["ask"], "outcomes": outcomes}, *after, *_SAFE]


def _errors(steps: list[_Step]) -> set[str]:
    content = {"procedures/case": {"steps": steps, "who": "licensed-gas"}}
    return {problem.rule for problem in problems_of(content) if problem.severity == "error"}


def test_they_are_of_every_action_that_asks() -> None:
    assert {action for action, _ in ASKED} == set(PAGES)


@pytest.mark.parametrize(("action", "asked"), ASKED, ids=[each["ask"] for _, each in ASKED])
def test_either_way_round_passes(action: str, asked: dict[str, str]) -> None:
    assert _errors(_page(action, asked, swapped=False)) == set()


@pytest.mark.parametrize(("action", "asked"), ASKED, ids=[each["ask"] for _, each in ASKED])
def test_no_swap_of_its_ways_passes(action: str, asked: dict[str, str]) -> None:
    assert _errors(_page(action, asked, swapped=True))
