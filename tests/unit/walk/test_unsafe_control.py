"""Unsafe control by its kinds, for every action that protects: not done, too early, too late, out of order; over pages.

The pages are those of the symmetry test, one for each action of the table that protects. A move that hurts nobody is
waived, with the reason.
"""

from __future__ import annotations

import copy
from collections.abc import Iterator
from typing import Any

import pytest

from kbgen.compute.walk import walk_all
from kbgen.model.verdicts import WORDS
from tests.unit.rules.cases import entries_of, linked
from tests.unit.rules.test_table_symmetry import PROTECTS, page_of, rules_broken

Steps = list[Any]
WAIVED: dict[str, tuple[set[str], str]] = {
    "identify": ({"second", "one later", "two later"}, "it still comes before the isolation"),
    "record": (
        {"first", "second", "one earlier", "one later"},
        "it still comes before the reset; marks may be compared and a cause looked for before it or after",
    ),
    "isolate": ({"one earlier", "two earlier"}, "the display is noted by then, and nothing stands between"),
    "inform": ({"one earlier"}, "people are told before the proof and the lock, with the lock still on"),
    "restore": ({"one later"}, "supply after fuel, with nothing in between"),
    "close_cover": ({"last", "one later", "two later"}, "a cover may be open while it fires; hands clear is asked elsewhere"),
    "try_start": (
        {"one later", "one earlier", "two earlier"},
        "people were told on arrival; the proof may come before or after, and the fuel after the control supply is locked",
    ),
    "guard": ({"first", "second", "one earlier", "two earlier"}, "a shroud may be set at any time before the hands"),
    "shut_valve": (
        {"first", "second", "one earlier", "two earlier", "one later", "two later"},
        "it still comes before the jumper",
    ),
    "prove_trip": ({"one earlier", "two earlier"}, "a string is seen to open with the fuel shut as well"),
    "cap": ({"one later", "two later"}, "the lock comes off, and no gas comes yet"),
    "find_cause": ({"first", "second", "one earlier", "two earlier"}, "looking for a cause wipes out nothing"),
}  # fmt: skip


_OUT = ("stop-it", "stop")
"""The steps that lead out, which no move concerns."""


def _ordered(main: Steps, rest: Steps) -> Steps:
    """Lead every answer that goes on to the step that follows."""
    main = [{**copy.deepcopy(step), "id": f"s{index}"} for index, step in enumerate(main)]
    for index, step in enumerate(main):
        following = f"s{index + 1}" if index + 1 < len(main) else "stop"
        for way in (step, *step.get("outcomes", ())):
            way.update({word: following for word in (*WORDS, "go") if way.get(word, "stop") not in _OUT})
    return main + rest


def _moves(action: str) -> Iterator[tuple[str, Steps]]:
    page = page_of(PROTECTS[action][0])
    rest = [step for step in page if step.get("id") in _OUT]
    main = [step for step in page if step not in rest]
    having = [index for index, step in enumerate(main) if action in step]
    at = having[-1] if action == "inform" else having[0]
    others = main[:at] + main[at + 1 :]
    last = len(others) - 1
    yield "as it is", _ordered(main, rest)
    yield "not done", _ordered(others, rest)
    places = {"first": 0, "second": 1, "last": last, "one later": at + 1, "two later": at + 2}
    places |= {"one earlier": at - 1, "two earlier": at - 2}
    for kind, place in places.items():
        if place != at and 0 <= place <= last:
            yield kind, _ordered([*others[:place], main[at], *others[place:]], rest)


@pytest.mark.parametrize("action", sorted(PROTECTS))
def test_every_move_of_an_action_that_protects_is_refused_or_waived(action: str) -> None:
    steps, _ = PROTECTS[action]
    moves = dict(_moves(action))
    assert rules_broken(steps, moves.pop("as it is")) == set()
    passed = {kind for kind, page in moves.items() if not rules_broken(steps, page)}
    waived, reason = WAIVED.get(action, (set(), ""))
    assert passed - waived == set()
    assert not waived or reason


# By debt: what makes it on the first page, and what ends it on the second.
_TRIP = {"do": "Shut it off.", "prove_trip": "filter", "tripped": "next", "not-tripped": "stop"}
_AIR = {"do": "Look.", "observe": "air-supply", "seen": "next", "not-seen": "stop"}
_RATE = {"do": "Count.", "measure": "gas-rate", "within": "next", "outside": "stop"}
_FLUE = {"do": "Read.", "measure": "flue-gas", "within": "next", "outside": "stop"}
_TIGHT = {"do": "Brush it.", "leak_check": ["plug"], "tight": "next", "leaks": "stop"}
_CYCLE = {"do": "Open it.", "open_valve": "burner-cock"}
_ON = ["live", _CYCLE, {"do": "See it.", "observe": "full-cycle", "seen": "next", "not-seen": "stop"}]
_OPENED = [
    *("identify", "note", "tell", "gas off"),
    {"do": "Out.", "open_gas_train": "plug"},
    {"do": "In.", "cap": "plug"},
    *("gas on", _TIGHT, "fuel off"),
]
_CLAIMS = [
    "nothing-altered",
    "train-tight",
    "not-reset",
    "covers-closed",
    "flue-gas-read",
    "settings-noted",
    "all-on",
]
_CLAIMS += ["people-told", "gas-work-checked", "not-tried", "trips-proved", "cycle-seen"]
BORDERS: dict[str, tuple[Steps, Steps, Any]] = {
    "trip of a changed device": (["dead", {"do": "Change it.", "replace": "filter"}], [*_ON, _TRIP], _TRIP),
    "air supply": (_OPENED, [*_ON[1:], _AIR, _RATE, _FLUE], _AIR),
    "gas rate": (_OPENED, [*_ON[1:], _AIR, _RATE, _FLUE], _RATE),
    "flue gas": (_OPENED, [*_ON[1:], _AIR, _RATE, _FLUE], _FLUE),
    "full cycle": (["dead", {"do": "Change it.", "replace": "filter"}], [*_ON, _TRIP], _ON[-1]),
}


def _joined(first: Steps, second: Steps, denied: set[str]) -> set[str]:
    """Return what two pages break; the second asks for everything but what it is about."""
    ask = {
        "do": "Read the record.",
        "ask": "All of it in order?",
        "outcomes": [
            {"when": "Yes", "go": "next", "claims": [each for each in _CLAIMS if each not in denied]},
            {"when": "No or not sure", "go": "stop"},
        ],
    }
    made = {
        "procedures/first": [*first, {"do": "Go on.", "end": "found", "next": "second"}],
        "procedures/second": [ask, *second, {"do": "Tell.", "inform": "Lead"}, "served"],
    }
    head = {"equipment": ["boiler"], "who": "licensed-gas"}
    pages = {name: {"title": name, **head, "steps": steps} for name, steps in made.items()}
    base, _ = linked(entries_of(pages, {}))
    walks = walk_all(base)
    return {
        found.rule.name
        for ref, walk in walks.items()
        if ref.id in ("first", "second")
        for found in walk.violations
    }


@pytest.mark.parametrize("debt", sorted(BORDERS))
def test_what_one_page_owes_another_ends(debt: str) -> None:
    first, second, ends = BORDERS[debt]
    denied = {"trips-proved", "cycle-seen", "flue-gas-read", "gas-work-checked"}
    assert _joined(first, second, denied) == set()
    assert _joined(first, [step for step in second if step is not ends], denied) != set()
