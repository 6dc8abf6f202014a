"""Circuits of 5 to 30 devices with parallel parts: every answer is there and holds together."""

from __future__ import annotations

import json
import random

import pytest

from kbgen.compute.circuit.evidence import Reading
from kbgen.compute.circuit.inference import judge
from kbgen.compute.circuit.order import make_order
from kbgen.compute.circuit.probing import prepare
from kbgen.compute.circuit.readings import MODES, readings
from tests.unit.circuit.generated import random_circuit


@pytest.mark.parametrize("seed", range(25))
def test_readings_order_and_locate_answer(seed):
    rng = random.Random(seed)
    table = readings(random_circuit(rng), "c")
    shown = json.loads(json.dumps(table.to_json()))
    assert {"circuit", "size", "stage", "points", "devices", "faults"} <= shown.keys()
    for fault in shown["faults"]:
        for intervals in (*fault["points"].values(), *fault["across"].values()):
            assert all(0 <= lo <= hi < 1.2 * table.network.volts[2] for lo, hi in intervals.values())
    ids = [fault["fault"] for fault in shown["faults"]]
    assert len(ids) == len(set(ids))

    probing = prepare(table)
    order = make_order(probing)
    assert order.lower_bound <= order.expected_minutes + 1e-9
    assert order.expected_minutes <= order.walk_minutes + 1e-9
    assert order.expected_minutes <= order.halving_minutes + 1e-9
    json.dumps(order.to_json())

    for row in rng.sample(range(len(table.faults)), 5):
        taken = []
        for _ in range(3 * len(table.points)):
            verdict = judge(probing, taken)
            assert row in {left for left, _ in verdict.remaining}
            if verdict.next is None:
                break
            port = (*table.points, *table.devices).index(verdict.next.port)
            mode = MODES.index(verdict.next.meter)
            lo, hi = table.bounds[mode, row, port]
            taken.append(Reading(verdict.next.port, rng.uniform(lo, hi), mode == 1))
        else:
            pytest.fail(f"{table.faults[row].id}: no end after {taken}")
        json.dumps(verdict.to_json())


@pytest.mark.parametrize("seed", range(5))
def test_the_same_circuit_gives_the_same_answer(seed):
    first, second = (
        json.dumps(make_order(prepare(readings(random_circuit(random.Random(seed)), "c"))).to_json())
        for _ in "ab"
    )
    assert first == second
