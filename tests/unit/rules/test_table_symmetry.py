"""Every action and every verdict word makes a difference: a page that passes, and the same page without it or crossed.

What makes none stands among the waivers, with the reason.
"""

from __future__ import annotations

from typing import Any

import pytest

from kbgen.model.action import TABLE
from kbgen.model.verdicts import WORDS
from tests.unit.rules.cases import expand, plant, problems_of

Steps = list[Any]

WAIVED = {
    "inspect": "a look changes nothing and proves nothing by itself",
    "wait": "time proves nothing; what it waits for has its own proof",
    "stop_demand": "it takes away only the demand; what relies on standstill asks for shut fuel or locked supply",
}
_STEP = {
    "ohms": {"do": "Ohms.", "measure": "ohms", "at": "X4", "to": "X5", "reads": "below 1 Ω", "within": "next", "outside": "stop"},
    "open": {"do": "Open the plug.", "open_gas_train": "plug"},
    "air": {"do": "Look at the openings.", "observe": "air-supply", "seen": "next", "not-seen": "stop"},
    "rate": {"do": "Read the meter.", "measure": "gas-rate", "within": "next", "outside": "stop"},
    "flue": {"do": "Read the flue gas.", "measure": "flue-gas", "within": "next", "outside": "stop"},
    "cap": {"do": "Close the plug.", "cap": "plug"},
    "tight": {"do": "Look for bubbles.", "leak_check": ["plug"], "with": "gas", "tight": "next", "leaks": "stop"},
    "gone": {"do": "Read the gauge.", "prove_gone": "gas", "by": "Gauge at 0", "point": "plug", "gone": "next", "still-there": "stop"},
    "jumper": {"do": "Fit it.", "fit": "jumper", "name": "jumper-1", "over": "filter", "from": "X4", "to": "X5"},
    "out": {"do": "Take it out.", "undo": "jumper-1"},
    "trip": {"do": "Shut the filter off.", "prove_trip": "filter", "tripped": "next", "not-tripped": "stop"},
    "clip": {"do": "Clip the leads on.", "clip": "meter-1", "at": "X4", "to": "N"},
    "unclip": {"do": "Take the leads off.", "unclip": ["meter-1"]},
    "cover": {"do": "Open the panel.", "open_cover": "panel-door"},
    "close": {"do": "Close the panel.", "close_cover": "panel-door"},
    "cause": {"do": "Find why.", "find_cause": "water", "cause-mended": "next", "cause-left": "stop", "not-found": "stop"},
    "press": {"do": "Press it.", "reset": "water"},
    "on": {"do": "Start.", "start_demand": "Burner switch on"},
    "off": {"do": "Stop.", "stop_demand": "Burner switch off"},
    "purge": {"do": "See the purge.", "observe": "purge", "seen": "next", "not-seen": "stop"},
    "flame": {"do": "See the flame.", "observe": "firing", "seen": "next", "not-seen": "stop"},
    "reach": {"do": "Reach in.", "work_in": "fan-housing"},
    "guard": {"do": "Set the shroud.", "guard": "lamp", "with": "Shroud"},
    "replace": {"do": "Change it.", "replace": "filter"},
    "real": {"do": "Look into the glass.", "check_real": "water", "ask": "Low?", "outcomes": [{"when": "Yes", "real": "next"}, {"when": "No", "faulty": "stop"}]},
    "read": {"do": "Read it.", "watch": "volts", "at": "X4", "to": "N", "for": "1 min", "leads": "held", "full": "next", "none": "next", "some": "next"},
    "adjust": {"do": "Turn the limit up.", "adjust": "high-limit", "from": "125 psi", "to": "130 psi", "note_down": "Old and new"},
    "back": {"do": "Turn it back.", "adjust": "high-limit", "from": "130 psi", "to": "125 psi", "note_down": "Old and new"},
    "try": {"do": "Press START.", "try_start": "Burner switch", "dead": "next", "live": "stop"},
    "hand over": {"do": "Go.", "hand_over": "Next technician"},
}  # fmt: skip
_PURE_OFF = [{"do": "Off.", "isolate": "control"}, {"do": "Lock it.", "lock": "control"}]
# By action: a page that passes, and what it breaks without the action. The first step that has it is taken out.
PROTECTS: dict[str, tuple[Steps, str]] = {
    "identify": (["dead", "ohms", "leave"], "proof-without-identity"),
    "record": (["note", "cause", "press", "off", "safe"], "reset-before-evidence"),
    "isolate": (["dead", "ohms", "leave"], "lock-before-off"),
    "lock": (["dead", "ohms", "leave"], "proof-without-lock"),
    "prove_dead": (["dead", "ohms", "leave"], "ohms-not-proved-dead"),
    "prove_gone": (["identify", "note", "tell", "gas locked", "gone", "open", "cap", "leave"], "gas-opened-under-pressure"),
    "inform": (["dead", "live", "safe"], "unlock-without-telling"),
    "unlock": (["dead", "live", "fire", "served"], "restore-under-lock"),
    "restore": (["dead", "live", "fire", "served"], "cannot-fire"),
    "close_cover": (["note", "cover", "close", "fire", "served"], "cover-left-open"),
    "try_start": (["identify", "moving", "dead", "gas locked", "tell", "try", "wheel", "reach", "leave"], "start-not-tried"),
    "guard": (["lamp", "dead", "guard", "reach", "safe"], "work-not-isolated"),
    "shut_valve": (["dead", "jumper", "out", "leave"], "jumper-with-fuel"),
    "open_valve": (["note", "tell", "fuel off", "fire", "served"], "cannot-fire"),
    "unclip": (["dead", "clip", "unclip", "leave"], "leads-left-on"),
    "undo": (["dead", "jumper", "out", "leave"], "alteration-left"),
    "prove_trip": (["dead", "jumper", "out", "live", "fire", "trip", "served"], "trip-not-proved"),
    "cap": (["identify", "note", "tell", "gas off", "open", "cap", "gas on", "tight", "safe"], "gas-on-open-train"),
    "leak_check": (["identify", "note", "tell", "gas off", "open", "cap", "gas on", "tight", "fire", "air", "rate", "flue", "served"], "leak-check-missing"),
    "find_cause": (["note", "cause", "press", "off", "safe"], "reset-without-cause"),
    "observe": (["note", "tell", "on", "purge", "flame", "off", "safe"], "firing-without-purge"),
}  # fmt: skip
# By action: a page that passes, where the action is put in, and what it breaks there.
HURTS: dict[str, tuple[Steps, Any, int, str]] = {
    "try_start": (["identify", "note", "leave off"], "try", 2, "tried-not-locked"),
    "open_cover": (["note", "fire", "served"], "cover", 1, "cover-left-open"),
    "clip": (["note", "safe"], "clip", 1, "clipped-live"),
    "work_in": (["note", "safe"], "reach", 1, "work-not-isolated"),
    "replace": (["note", "safe"], "replace", 1, "replaced-live"),
    "measure": (["note", "safe"], "ohms", 1, "ohms-not-proved-dead"),
    "watch": (["note", "safe"], "read", 1, "held-leads-while-firing"),
    "fit": (["note", "fuel off", "safe"], "jumper", 2, "alteration-live"),
    "hold": (["button", "fuel off", "safe"], {"do": "Hold it.", "hold": "water", "for": "5 min"}, 2, "held-too-long"),
    "open_gas_train": (["note", "safe"], "open", 1, "gas-opened-under-pressure"),
    "check_real": (["note", "tell", "on", "off", "safe"], "real", 2, "real-cause-left"),
    "reset": (["note", "off", "safe"], "press", 1, "reset-without-cause"),
    "adjust": (["note", "tell", "fire", "served"], "adjust", 2, "limit-left-changed"),
    "start_demand": (["note", "tell", "flame", "off", "safe"], "on", 2, "firing-without-purge"),
    "end": (["identify", "note", "hand over"], {"do": "Go.", "end": "left-safe"}, 2, "left-unlocked"),
    "hand_over": (["dead", "jumper", "out", "leave"], "hand over", 2, "hand-over-loses-alteration"),
}  # fmt: skip
# By verdict word: a page that goes on by the word that passes, and its step. Crossed, the page is refused.
CROSSED: dict[tuple[str, str], tuple[Steps, str]] = {
    ("same", "different"): (["dead", "ohms", "leave"], "identify"),
    ("dead", "live"): (["dead", "ohms", "leave"], "prove_dead"),
    ("gone", "still-there"): (["identify", "note", "tell", "gas locked", "gone", "open", "cap", "leave"], "prove_gone"),
    ("tight", "leaks"): (["identify", "note", "tell", "gas off", "open", "cap", "gas on", "tight", "fire", "air", "rate", "flue", "served"], "leak_check"),
    ("tripped", "not-tripped"): (["dead", "jumper", "out", "live", "fire", "trip", "served"], "prove_trip"),
    ("cause-mended", "not-found"): (["note", "cause", "press", "off", "safe"], "find_cause"),
    ("cause-mended", "cause-left"): (["note", "cause", "press", "off", "safe"], "find_cause"),
    ("seen", "not-seen"): (["note", "tell", "on", "purge", "flame", "off", "safe"], "observe"),
    ("no-pressure", "pressure-left"): (["identify", "note", "tell", "gas off", "open", "cap", "leave"], "watch"),
    ("faulty", "real"): (["note", "tell", "sound", "on", "off", "safe"], "check_real"),
}  # fmt: skip
WORDS_WAIVED = {
    "full": "what a voltage means is judged by the rules of readings, each with its case",
    "none": "as full",
    "some": "as full",
    "within": "a figure of a page is judged against what it reads, by the rules of readings and of gas",
    "outside": "as within",
}
_OWN = {
    "gas locked": [
        {"do": "Shut the plant cock.", "shut_valve": "plant-cock"},
        {"do": "Plate over.", "isolate": "gas"},
        {"do": "Lock it.", "lock": "gas"},
    ],
    "wheel": [{"do": "See it stand.", "prove_gone": "wheel", "gone": "next", "still-there": "stop"}],
    "leave off": [*_PURE_OFF, {"do": "Hang the tag.", "end": "left-safe"}],
    "sound": [
        {**_STEP["real"], "outcomes": [{"when": "No", "faulty": "next"}, {"when": "Yes", "real": "stop"}]}
    ],
}


def page_of(steps: Steps) -> list[Any]:
    """Write the page of steps, some of them named; what is about the plant is no step."""
    written: Steps = []
    for step in (each for each in steps if each not in ("lamp", "button", "moving")):
        if isinstance(step, str) and step in _OWN:
            written += _OWN[step]
        else:
            written.append(_STEP.get(step, step) if isinstance(step, str) else step)
    return expand(written)


def rules_broken(steps: Steps, page: list[Any] | None = None) -> set[str]:
    """Return the errors of a page of steps, or of a page made of them."""
    extra: dict[str, Any] = {}
    named = [step for step in steps if isinstance(step, str)]
    plain = [step for step in steps if step not in ("lamp", "button", "moving")]
    boiler = dict(plant()["entries"]["equipment/boiler"])
    if "lamp" in named:
        lamp = {"id": "lamp", "title": "Lamp", "energy": "foreign-fed", "isolate": "Hall panel"}
        zone = {
            "id": "fan-housing",
            "title": "Fan housing",
            "place": "front",
            "reached_by": ["control"],
            "beside": ["lamp"],
        }
        boiler |= {"sources": [*boiler["sources"], lamp], "zones": [zone]}
        extra["equipment/boiler"] = boiler
    if "moving" in named:
        wheel = {
            "id": "wheel",
            "title": "Wheel",
            "energy": "motion",
            "isolate": "It comes to rest",
            "prove": "It stands",
        }
        zone = {"id": "fan-housing", "title": "Fan housing", "reached_by": ["control", "wheel"]}
        boiler |= {"sources": [*boiler["sources"], wheel], "zones": [zone]}
        extra["equipment/boiler"] = boiler
    if "button" in named:
        extra["devices/water"] = plant()["entries"]["devices/water"] | {"hold_at_most": "20 s"}
    content = extra | {
        "procedures/case": {
            "who": "licensed-gas",
            "steps": page if page is not None else page_of(plain),
        }
    }
    return {problem.rule for problem in problems_of(content) if problem.severity.value == "error"}


def _without(page: list[Any], action: str) -> list[Any]:
    """Take a step of an action out, the first or, of those who are told, the last; its way goes on to the next."""
    where = [i for i, step in enumerate(page) if action in step]
    at = where[-1] if action == "inform" else where[0]
    gone, following = page[at], page[at + 1]
    if "id" in gone:
        following.setdefault("id", "after-it")
        for way in (way for step in page for way in (step, *step.get("outcomes", ()))):
            for word in (*WORDS, "go"):
                if way.get(word) == gone["id"]:
                    way[word] = following["id"]
    return page[:at] + page[at + 1 :]


@pytest.mark.parametrize("action", sorted(PROTECTS))
def test_without_an_action_that_protects_the_page_is_refused(action: str) -> None:
    steps, rule = PROTECTS[action]
    plain = [step for step in steps if step not in ("lamp", "button", "moving")]
    assert rules_broken(steps) == set()
    assert rule in rules_broken(steps, _without(page_of(plain), action))


@pytest.mark.parametrize("action", sorted(HURTS))
def test_with_an_action_out_of_place_the_page_is_refused(action: str) -> None:
    steps, step, at, rule = HURTS[action]
    assert rules_broken(steps) == set()
    assert rule in rules_broken([*steps[:at], step, *steps[at:]])


@pytest.mark.parametrize("words", sorted(CROSSED))
def test_with_two_verdicts_crossed_the_page_is_refused(words: tuple[str, str]) -> None:
    steps, action = CROSSED[words]
    assert rules_broken(steps) == set()
    page = page_of(steps)
    step = next(each for each in page if action in each and any(word in str(each) for word in words))
    one, other = words
    for way in (step, *step.get("outcomes", ())):
        if one in way and other in way:
            way[one], way[other] = way[other], way[one]
        elif one in way or other in way:
            here, there = (one, other) if one in way else (other, one)
            way[there] = way.pop(here)
    assert rules_broken(steps, page) != set()


def test_every_action_and_every_word_is_held_or_waived() -> None:
    assert {row.name for row in TABLE.values()} == {*PROTECTS, *HURTS, *WAIVED}
    assert set(WORDS) == {word for pair in CROSSED for word in pair} | set(WORDS_WAIVED)
