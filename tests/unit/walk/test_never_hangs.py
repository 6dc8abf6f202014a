"""Whatever graph somebody writes, the walk comes to an end, and in time."""

from __future__ import annotations

import random
import time

import pytest

from kbgen.compute.walk import MOST_STATES, walk
from kbgen.compute.walk.graph import MOST_PATHS
from tests.unit.walk.procedures import procedure, question

ACTIONS = [
    {"isolate": "control"}, {"lock": "control"}, {"prove_dead": "control"}, {"unlock": "control"},
    {"restore": "control"}, {"isolate": "gas"}, {"lock": "gas"}, {"unlock": "gas"}, {"restore": "gas"},
    {"shut_valve": "plant-cock"}, {"open_valve": "plant-cock"}, {"shut_valve": "burner-cock"},
    {"open_valve": "burner-cock"}, {"open_cover": "panel-door"}, {"close_cover": "panel-door"},
    {"open_cover": "unit-door"}, {"record": ["display"]}, {"record": ["resets"]}, {"identify": "Number"},
    {"inform": "All"}, {"reset": "lockout"}, {"reset": "water"}, {"find_cause": "water"},
    {"observe": "full-cycle"}, {"observe": "purge"}, {"observe": "firing"}, {"start_demand": "On"},
    {"stop_demand": "Off"}, {"open_gas_train": "plug"}, {"cap": "plug"}, {"leak_check": ["plug"]},
    {"prove_trip": "filter"}, {"check_real": "water"}, {"adjust": "high-limit", "from": "1", "to": "2"},
    {"measure": "volts", "at": "X2", "to": "N"}, {"measure": "volts", "at": "X5", "to": "N"},
    {"measure": "volts", "at": "X7", "to": "N", "meter": "low-impedance"}, {"measure": "ohms", "across": "water"},
    {"watch": "volts", "at": "X6", "to": "N"},
    {"fit": "jumper", "over": "filter", "from": "X4", "to": "X5"}, {"fit": "lifted-wire", "at": "X8"},
    {"fit": "muted-alarm"}, {"fit": "open-test-point"}, {},
]  # fmt: skip
ENDS = ["returned-to-service", "left-safe", "found", "not-reproduced", "evacuated"]


def tangle(seed: int, size: int):
    """Write a procedure whose steps lead anywhere."""
    pick = random.Random(seed)
    names = [f"s{number}" for number in range(size)]
    fits = []
    steps = []
    for name in names:
        if pick.random() < 0.08:
            steps.append({"id": name, "do": "End.", "end": pick.choice(ENDS)})
            continue
        step = {"id": name, "do": "Do it.", **pick.choice(ACTIONS)}
        if "fit" in step:
            step["name"] = f"a{len(fits)}"
            fits.append(step["name"])
        elif fits and pick.random() < 0.1:
            step = {"id": name, "do": "Undo it.", "undo": pick.choice(fits)}
        kind = pick.random()
        if kind < 0.5:
            words = pick.sample(
                ["Full", "Nothing", "In between", "Not sure", "Yes", "No"], pick.randint(2, 4)
            )
            step = question(name, *((word, pick.choice(names)) for word in words)) | step
            step.update(ask="What?")
        elif kind < 0.6:
            step["go"] = pick.choice(names)
        steps.append(step)
    return steps


@pytest.mark.parametrize("seed", range(60))
def test_a_tangled_procedure_is_walked_in_time(seed):
    base, entry = procedure(tangle(seed, 3 + seed))
    start = time.process_time()
    found = walk(base, entry)
    assert time.process_time() - start < 5
    assert found.states <= MOST_STATES
    assert 0 <= found.paths <= MOST_PATHS
    assert len(found.before) == len(entry.record.steps)


def test_sixty_steps_with_six_devices_take_a_third_of_a_second():
    steps = ["fuel off"]
    points = ["X2", "X3", "X4", "X5", "X6", "X7", "X8"]
    for number, point in enumerate(points):
        after = f"p{number + 1}" if number + 1 < len(points) else "stop"
        low = f"low{number}"
        reading = {"measure": "volts", "at": point, "to": "N"}
        outcomes = (("Full", after), ("Nothing", f"found{number}"), ("In between", low), ("Not sure", low))
        steps.append(question(f"p{number}", *outcomes, **reading))
        outcomes = (
            ("Full", after),
            ("Nothing", f"found{number}"),
            ("In between", f"found{number}"),
            ("Not sure", "stop"),
        )
        steps.append(question(low, *outcomes, **reading, meter="low-impedance"))
        steps += [
            {"id": f"found{number}", "do": "Write it down.", "note_down": "Open contact"},
            {"do": "Open the panel.", "open_cover": "panel-door"},
            {"do": "Look.", "inspect": "Terminals"},
            {"do": "Close it.", "close_cover": "panel-door"},
            {"do": "Note it.", "record": ["readings"]},
            {"do": "Go on.", "end": "found", "next": "reset-water"},
        ]
    steps += [{"id": "stop", "do": "Shut the plant cock.", "shut_valve": "plant-cock"}]
    steps += [
        {"do": "Swing the plate over.", "isolate": "gas"},
        {"do": "Lock it.", "lock": "gas"},
        {"do": "Tag.", "end": "left-safe"},
    ]
    base, entry = procedure(steps)
    assert len(entry.record.steps) >= 60
    best = min(_seconds(base, entry) for _ in range(3))
    assert best < 0.3


def _seconds(base, entry) -> float:
    start = time.process_time()
    walk(base, entry)
    return time.process_time() - start
