"""Circuits of 5 to 30 devices with parallel parts: every answer is there and holds together."""

from __future__ import annotations

import json
import random

import numpy as np
import pytest

from kbgen.compute.circuit.order import make_order
from kbgen.compute.circuit.probing import prepare
from kbgen.compute.circuit.readings import readings
from tests.unit.circuit.generated import random_circuit
from tests.unit.circuit.independent import draw
from tests.unit.circuit.walks import Ground, kept, walk


@pytest.mark.parametrize("seed", range(25))
def test_readings_order_and_locate_answer(seed):
    rng = random.Random(seed)
    table = readings(random_circuit(rng), "c")
    shown = json.loads(json.dumps(table.to_json()))
    assert {"circuit", "size", "stage", "points", "devices", "faults"} <= shown.keys()
    for fault in shown["faults"]:
        for intervals in (*fault["points"].values(), *fault["across"].values()):
            most = 1100 if fault["kind"] == "foreign" else 1.2 * table.network.volts[2]
            assert all(0 <= lo <= hi < most for lo, hi in intervals.values())
    ids = [fault["fault"] for fault in shown["faults"]]
    assert len(ids) == len(set(ids))

    probing = prepare(table)
    order = make_order(probing)
    assert order.lower_bound <= order.expected_minutes + 1e-9
    assert order.expected_minutes <= order.walk_minutes + 1e-9
    assert order.expected_minutes <= order.halving_minutes + 1e-9
    json.dumps(order.to_json())

    ground = Ground(probing)
    drawn = np.random.default_rng(seed)
    for truth in rng.sample(ground.faults(), 2):
        ended = walk(ground, draw(ground.net, truth, drawn), drawn)
        assert kept(ground, ended.verdict, truth) == "stands", (truth, ended.taken)
        json.dumps(ended.verdict.to_json())


@pytest.mark.parametrize("seed", range(5))
def test_the_same_circuit_gives_the_same_answer(seed):
    first, second = (
        json.dumps(make_order(prepare(readings(random_circuit(random.Random(seed)), "c"))).to_json())
        for _ in "ab"
    )
    assert first == second
