"""Node equations against an independent formulation: the string as a chain of two-ports."""

from __future__ import annotations

import random

import numpy as np
import pytest

from kbgen.compute.circuit.cases import cases_of
from kbgen.compute.circuit.faults import list_faults
from kbgen.compute.circuit.lay import make_network
from kbgen.compute.circuit.meter import SOLVED
from kbgen.compute.circuit.network import EARTH, REF
from kbgen.compute.circuit.solve import Sight, make_grid, read
from kbgen.compute.circuit.state import State, settle
from kbgen.compute.circuit.variant import make_variant
from tests.unit.circuit.bases import string


def random_string(rng: random.Random) -> tuple[list[dict], dict]:
    path: list[dict] = []
    for number in range(rng.randint(2, 12)):
        path.append({"point": f"X{number}"})
        if rng.random() < 0.3:
            # A live core beside it would be a second way on: the chain has but one.
            length = f"{rng.uniform(1, 80):.1f} m"
            path.append({"wire": "run", "length": length, "beside_live": False})
        path.append({"contact": f"d{number}"})
    load = rng.choice(
        [
            {"input": "in", "impedance": f"{rng.uniform(2, 200):.2f} kΩ"},
            {"coil": "k", "impedance": f"{rng.uniform(50, 3000):.0f} Ω"},
        ]
    )
    path += [{"point": "XE"}, load]
    supply = {"voltage": rng.choice(["24 V", "120 V", "230 V"]), "current": rng.choice(["AC", "DC"])}
    return path, supply


def chain_reading(network, y, source_volts, source_ohms, at: int, meter: float) -> float:
    """Return what a meter from a node to the return shows, by folding the chain back to the supply.

    Going back from the return, ``seen`` is the admittance looking away from the supply; going forward
    again each series element divides the voltage. Shunts to earth count as shunts to the return.
    """
    series = {e.p: (e.q, y[i]) for i, e in enumerate(network.elements) if EARTH not in (e.p, e.q)}
    shunt = {e.p: y[i] for i, e in enumerate(network.elements) if e.q == EARTH}
    order = [network.sources[0].node]
    while order[-1] in series:
        order.append(series[order[-1]][0])
    assert order[-1] == REF
    seen = {}
    for node in reversed(order[:-1]):
        next_node, branch = series[node]
        beyond = branch if next_node == REF else 1 / (1 / branch + 1 / seen[next_node])
        seen[node] = beyond + shunt.get(node, 0) + (1 / meter if node == at else 0)
    volts = source_volts / (1 + source_ohms * seen[order[0]])
    for node in order[:-1]:
        if node == at:
            return abs(volts)
        next_node, branch = series[node]
        volts *= (1 / seen[next_node]) / (1 / branch + 1 / seen[next_node])
    raise AssertionError(at)


@pytest.mark.parametrize("seed", range(40))
def test_every_reading_agrees_with_the_chain_of_two_ports(seed):
    rng = random.Random(seed)
    path, supply = random_string(rng)
    variant = make_variant(settle(string(path, supply), "c", State()))
    network = make_network(variant)
    grid = make_grid(network)
    faults = [
        f
        for f in list_faults(network)
        if f.kind not in ("no-supply", "return", "ground", "jumper", "resistance")
    ]
    nodes = np.array(list(network.points.values()))
    leads = (nodes, np.zeros_like(nodes))
    number = {(e.p, e.q): i for i, e in enumerate(network.elements)}
    source = network.sources[0]
    for fault in rng.sample(faults, min(12, len(faults))):
        for changes in cases_of(grid, fault):
            seen = Sight(grid, grid.amperes, leads).of([changes])
            for meter in [mode.ohms for mode in SOLVED]:
                shown, adrift = (np.sqrt(each)[:, :, 0] for each in read(seen, meter, source.volts))
                for row in rng.sample(range(len(grid.corners)), 3):
                    y = grid.y[row].copy()
                    for change in changes:
                        y[number[change.p, change.q]] = change.new[row]
                    for column, node in enumerate(nodes):
                        expected = chain_reading(network, y, source.volts, source.ohms[0], int(node), meter)
                        if adrift[row, column] != shown[row, column]:
                            # Nothing ties it down: only the bounds are told.
                            assert shown[row, column] <= expected <= adrift[row, column] + 1e-6
                            continue
                        assert shown[row, column] == pytest.approx(
                            expected, abs=1e-6 * source.volts, rel=1e-6
                        )
