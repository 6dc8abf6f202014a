"""The interval of the corners holds what lies between the corners: 10,000 samples inside the ranges."""

from __future__ import annotations

import tracemalloc
from itertools import product

import numpy as np
import pytest

from kbgen.compute.circuit import defaults
from kbgen.compute.circuit import readings as module
from kbgen.compute.circuit.lay import make_network
from kbgen.compute.circuit.meter import SOLVED
from kbgen.compute.circuit.network import EARTH
from kbgen.compute.circuit.readings import readings, tabulate
from kbgen.compute.circuit.solve import BOND, _earth_elements
from kbgen.compute.circuit.state import State, settle
from kbgen.compute.circuit.variant import make_variant
from tests.shared import DEMONSTRATION, compiled
from tests.unit.circuit.bases import string

SAMPLES = 10_000
AC = {"voltage": "120 V ± 10 %", "current": "AC"}
DC = {"voltage": "20 V to 28 V", "current": "DC", "impedance": "0.5 Ω to 2 Ω"}
PATH = [
    {"point": "L"}, {"contact": "a"}, {"point": "X1"}, {"wire": "out", "length": "5 m to 40 m"}, {"contact": "b"},
    {"tap": [{"load": "lamp", "impedance": "3 kΩ to 8 kΩ"}]}, {"contact": "c"}, {"point": "X2"},
    {"input": "i", "impedance": "15 kΩ to 40 kΩ"}, {"point": "N"},
]  # fmt: skip


def sampled(network, opened, rng):
    """Solve 10,000 random plants between the extremes, every element drawn for itself."""
    elements = (*network.elements, *_earth_elements(network))
    n = network.nodes
    matrix = np.zeros((SAMPLES, n, n), dtype=complex)
    drive = np.zeros((SAMPLES, n), dtype=complex)

    def add(p, q, y):
        matrix[:, p, p] += y
        matrix[:, q, q] += y
        matrix[:, p, q] -= y
        matrix[:, q, p] -= y

    def between(lo, hi):
        return (
            np.exp(rng.uniform(np.log(min(lo, hi)), np.log(max(lo, hi)), SAMPLES))
            if lo > 0
            else np.zeros(SAMPLES)
        )

    for index, e in enumerate(elements):
        if index in opened:
            ohms, farads = between(defaults.INSULATION.lo, defaults.INSULATION.hi), between(*e.gap)
        else:
            ohms, farads = between(*e.ohms), between(*e.farads)
        add(e.p, e.q, 1 / ohms + 1j * network.omega * farads)
    add(0, EARTH, 1 / BOND)
    source = network.sources[0]
    siemens = 1 / between(*source.ohms)
    matrix[:, source.node, source.node] += siemens
    drive[:, source.node] = rng.uniform(network.volts[0], network.volts[2], SAMPLES) * siemens
    return matrix, drive


@pytest.mark.parametrize("supply", [AC, DC], ids=["AC", "DC"])
@pytest.mark.parametrize(
    ("fault", "opened"),
    [("healthy", ()), ("open:a", ("a",)), ("open:b", ("b",)), ("open:c", ("c",)), ("open:a+open:c", ("a", "c")),
     ("load", ("load",)), ("return", ("return",))],
)  # fmt: skip
def test_no_plant_between_the_extremes_reads_outside_the_interval(supply, fault, opened):
    variant = make_variant(settle(string(PATH, supply), "c", State()))
    network = make_network(variant)
    table = tabulate(variant, network)
    places = {**network.contacts, "load": network.loads["i"], "return": network.return_run[0]}
    matrix, drive = sampled(network, {places[name] for name in opened}, np.random.default_rng(5))
    ports = [(network.points[m], network.return_node) for m in table.points]
    ports += [(network.elements[e].p, network.elements[e].q) for e in network.contacts.values()]
    row = next(i for i, f in enumerate(table.faults) if f.id == fault)
    for mode, solved in enumerate(SOLVED):
        meter = solved.ohms
        for column, (p, q) in enumerate(ports):
            loaded = matrix.copy()
            for i, j, sign in ((p, p, 1), (q, q, 1), (p, q, -1), (q, p, -1)):
                loaded[:, i, j] += sign / meter if p != q else 0
            volts = np.zeros((SAMPLES, network.nodes), dtype=complex)
            volts[:, 1:] = np.linalg.solve(loaded[:, 1:, 1:], drive[:, 1:, None])[:, :, 0]
            shown = np.abs(volts[:, p] - volts[:, q])
            lo, hi = table.bounds[mode, row, column]
            assert lo <= shown.min(), (mode, column)
            assert shown.max() <= hi, (mode, column)
            # And the interval is not wide for its own sake: the samples fill most of it.
            assert hi - lo <= 2.5 * (shown.max() - shown.min()) + 0.1 * network.volts[1]


@pytest.mark.parametrize("count", [2, 3, 5])
def test_each_contact_nobody_looks_at_stands_as_it_likes(count):
    names = [f"d{k}" for k in range(count)]
    path = [{"point": "L"}]
    for name in names:
        path += [{"contact": name}, {"point": f"X{name}"}]
    path += [{"input": "i", "impedance": "22 kΩ to 33 kΩ"}, {"point": "N"}]

    def healthy(**asked):
        stages = [{"id": "s", "title": "S", **asked}]
        table = readings(string(path, AC, plant={"sequence": stages}), "c", State(stage="s"), pairs=False)
        return table.bounds[0, 0]

    either = healthy(ignored=names)
    for opened in product((True, False), repeat=count):
        stands = healthy(open=[name for name, is_open in zip(names, opened, strict=True) if is_open])
        # A tenth of a volt: a third open contact far off changes a reading by less than the meter shows.
        assert (either[:, 1] >= stands[:, 1] - 0.1).all(), opened
        assert (either[:, 0] <= stands[:, 0] + 0.1).all(), opened


@pytest.mark.parametrize("at_once", [1, 10_000])
def test_cases_worked_out_in_shares_give_the_same_hulls(monkeypatch, at_once):
    base = string(PATH, AC)
    monkeypatch.setattr(module, "_AT_ONCE", 2**40)
    whole = readings(base, "c")
    monkeypatch.setattr(module, "_AT_ONCE", at_once)
    shares = readings(base, "c")
    assert np.array_equal(shares.pieces.volts, whole.pieces.volts)
    assert np.array_equal(shares.words, whole.words)
    assert np.allclose(shares.bounds, whole.bounds, rtol=1e-9, atol=1e-9)


def test_a_long_string_of_contacts_nobody_looks_at_takes_little_memory():
    base = compiled(DEMONSTRATION).base
    state = State(size="ph-60", stage="standby", options=frozenset({"plant-room-fan"}))
    tracemalloc.start()
    readings(base, "ph-string", state)
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert most < 120 * 2**20
