"""No plant that can be reads outside what is shown: drawn and solved by other means than the program's own."""

from __future__ import annotations

import random
import shutil

import numpy as np
import pytest

from kbgen.compute.circuit.readings import Table, readings
from kbgen.compute.circuit.state import State
from kbgen.model.circuit import Circuit
from tests.unit.circuit.bases import read_base
from tests.unit.circuit.drawn import Checked, check, ports_of
from tests.unit.circuit.generated import random_circuit
from tests.unit.circuit.independent import HIGH, LOW, draw, netlist, spice


def tables() -> list[Table]:
    """Every circuit of the three plants of the tests, supply on and off, and 20 generated ones."""
    found = [readings(random_circuit(random.Random(seed), most=14), "c") for seed in range(20)]
    for name in ("ondrel", "vashby", "zellick"):
        base = read_base(name)
        for entry, _ in base.of(Circuit):
            found += [readings(base, entry.ref.id, State(supply_on=on)) for on in (True, False)]
    return found


def test_no_drawn_plant_reads_outside_the_shown_interval():
    into, rng = Checked(), np.random.default_rng(20261129)
    for table in tables():
        if table.variant.setting.state.supply_on:
            check(table, 40, rng, into)
    assert into.readings > 35_000
    assert not into.outside, into.examples


def test_an_interval_that_is_too_narrow_is_found():
    table = readings(read_base("ondrel"), "limits")
    table.bounds[..., 1] *= 0.97
    into = Checked()
    check(table, 200, np.random.default_rng(1), into)
    assert into.outside


def test_two_earth_faults_whose_contacts_differ_lie_inside():
    # Contacts before a point at their most, behind it at their least: no corner has that.
    table = readings(random_circuit(random.Random(0)), "c")
    assert any(fault.kind == "ground" for fault in table.faults)
    into, rng = Checked(), np.random.default_rng(3)
    for seed in (0, 7, 11):
        check(readings(random_circuit(random.Random(seed)), "c", pairs=False), 250, rng, into)
    assert not into.outside, into.examples


@pytest.mark.skipif(not shutil.which("ngspice"), reason="Debian's ngspice is not installed")
def test_the_independent_solver_agrees_with_ngspice():
    rng = np.random.default_rng(5)
    for name, circuit in (("ondrel", "limits"), ("vashby", "string"), ("zellick", "safety")):
        table = readings(read_base(name), circuit)
        net = netlist(table.variant)
        ports = [pair for pair in ports_of(table, net) if pair[0] != pair[1]]
        for fault in rng.choice([f.id for f in table.faults if f.kind not in ("foreign", "low-supply")], 4):
            plant = draw(net, str(fault), rng)
            for meter in (HIGH, LOW):
                p, q = ports[int(rng.integers(len(ports)))]
                ours = plant.read(p, q, meter)
                assert spice(plant, p, q, meter) == pytest.approx(ours, rel=1e-5, abs=1e-4)
                whole = plant.read_all(ports, meter)
                assert whole[ports.index((p, q))] == pytest.approx(ours, rel=1e-9, abs=1e-9)
