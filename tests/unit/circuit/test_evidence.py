"""What a reading may exclude, and what is said about readings that do not fit together."""

from __future__ import annotations

import random

import pytest

from kbgen.compute.circuit.evidence import weigh
from kbgen.compute.circuit.inference import judge, locate
from kbgen.compute.circuit.meter import HIGH_Z, LOW_Z
from kbgen.compute.circuit.probing import prepare
from kbgen.compute.circuit.reading import Reading, falling, out_of_order, sort_out
from kbgen.compute.circuit.readings import readings
from kbgen.compute.circuit.sayings import WARNINGS
from kbgen.compute.circuit.state import State
from tests.unit.circuit.bases import read_base, string
from tests.unit.circuit.test_variant import V24, fed_together

LIMITS = readings(read_base("ondrel"), "limits")


def wrong(*taken):
    return out_of_order(LIMITS, taken, sort_out(LIMITS, taken))


def test_nothing_in_low_impedance_says_nothing_about_a_ghost_further_down():
    assert wrong(Reading("X3:4", "none", LOW_Z), Reading("X3:7", "full")) == ()
    assert wrong(Reading("X3:4", "none"), Reading("X3:7", "full", LOW_Z)) == (0, 1)
    assert wrong(Reading("X3:4", "none"), Reading("X3:7", "full")) == (0, 1)


def test_the_voltage_need_not_fall_where_another_string_feeds_back():
    assert falling(readings(fed_together(V24, V24), "c")) == ()


def test_behind_the_load_a_full_reading_is_no_contradiction():
    path = [{"point": "L"}, {"coil": "k"}, {"point": "X1"}, {"contact": "a"}, {"point": "N"}]
    assert falling(readings(string(path, V24), "c")) == ("L",)


def test_a_jumper_made_of_a_meter_is_warned_of():
    taken = [Reading("X1:1", "full"), Reading("first-low-water", "full", LOW_Z)]
    assert WARNINGS["jumps"] in locate(read_base("ondrel"), "limits", taken).to_json()["warnings"]
    taken[1] = Reading("first-low-water", "full")
    assert WARNINGS["jumps"] not in locate(read_base("ondrel"), "limits", taken).to_json()["warnings"]


def test_what_is_read_across_one_contact_is_one_place_however_often():
    across = "first-low-water"
    taken = [Reading("X1:1", 118), Reading(across, 118), Reading(across, 118), Reading(across, 118, LOW_Z)]
    found = weigh(LIMITS, taken)
    assert found.sorted.counted == (0, 2, 3)
    assert found.against[0] == (2, 3)
    assert found.places[0] == 1


@pytest.mark.parametrize("seed", range(40))
def test_what_is_to_be_repeated_is_what_most_of_the_suspicion_hangs_on(seed):
    rng = random.Random(seed)
    probing = prepare(LIMITS)
    marks = rng.sample(LIMITS.points[:-1], 4)
    taken = [Reading("X1:1", "full"), *[Reading(mark, rng.choice(["none", "full"])) for mark in marks]]
    repeat = judge(probing, taken).repeat
    if repeat is None:
        return
    weights = probing.suspicion.weights

    def freed(without):
        others = [reading for reading in taken if reading is not without]
        return sum(weights[row] for row in weigh(LIMITS, others).faults(0))

    disputed = [reading for reading in taken if freed(reading) > 0]
    assert not disputed or repeat in disputed


def why(*taken):
    sorted_ = sort_out(LIMITS, taken)
    return {taken[k].port: reason for k, reason in sorted_.not_counted}


def test_what_does_not_count_says_why():
    assert why(Reading("X3:5", 0.0)) == {"X3:5": "zero"}
    assert why(Reading("X1:1", 118.0), Reading("X3:5", 0.0)) == {}
    assert why(Reading("X3:2", 118.0), Reading("X3:5", 0.0)) == {}, (
        "full behind the fuse proves supply and return"
    )
    assert why(Reading("X1:1", 118.0), Reading("X3:5", 60.0)) == {"X3:5": "ghost"}
    assert why(Reading("X1:1", 118.0), Reading("first-low-water", 0.0)) == {"first-low-water": "across"}
    assert why(Reading("X3:6", 118.0), Reading("first-low-water", 0.0)) == {}


def test_full_and_none_at_one_point_in_turn_comes_and_goes():
    taken = [Reading("X1:1", 118.0), Reading("X3:7", 118.0), Reading("X3:7", 0.0)]
    verdict = judge(prepare(LIMITS), taken)
    assert verdict.verdict != "contradiction"
    assert "turns" in verdict.warned
    assert [(k, name) for k, name in verdict.evidence.sorted.not_counted] == [(1, "again")]


def test_a_fault_is_out_only_with_two_readings_against_it():
    one = weigh(LIMITS, [Reading("X1:1", 118.0), Reading("X3:7", 118.0)])
    row = [fault.id for fault in LIMITS.faults].index("open:low-gas-pressure")
    assert one.against[row] == (1,)
    two = weigh(LIMITS, [Reading("X1:1", 118.0), Reading("X3:7", 118.0), Reading("X3:6", 118.0)])
    assert two.against[row] == (1, 2)


def test_all_readings_must_fit_one_set_of_values():
    # One bad contact explains 90 V behind it, and cannot explain 60 V further down as well.
    rows = [k for k, fault in enumerate(LIMITS.faults) if fault.kind == "resistance"]
    taken = [Reading("X1:1", 118.0), Reading("X3:5", 90.0, LOW_Z), Reading("X3:7", 90.0, LOW_Z)]
    assert any(not weigh(LIMITS, taken).against[row] for row in rows)
    taken[2] = Reading("X3:7", 50.0, LOW_Z)
    assert all(weigh(LIMITS, taken).against[row] for row in rows)


@pytest.mark.parametrize("mode", [HIGH_Z, LOW_Z])
def test_a_supply_within_its_range_is_no_fault_and_a_drop_from_it_is(mode):
    for supply in (109.0, 120.0, 131.0):
        healthy = weigh(LIMITS, [Reading("X1:1", supply), Reading("X3:8", supply - 1, mode)]).against[0]
        assert healthy == ()
    assert weigh(LIMITS, [Reading("X1:1", 131.0), Reading("X3:8", 110.0, LOW_Z)]).against[0]


def test_with_the_supply_off_another_supply_may_still_feed_back():
    off = State(supply_on=False)
    least, most = readings(fed_together(V24, {**V24, "source": "t"}), "c", off).interval("healthy", "Ya")
    assert least < 15, "a dead winding draws it down"
    assert most > 24, "an open switch does not"
    assert readings(fed_together(V24, V24), "c", off).interval("healthy", "Ya")[1] < 1


def test_a_string_of_another_plant_feeds_nothing_here():
    base = fed_together(V24, V24)
    apart = string(
        [{"point": "L"}, {"contact": "a"}, {"point": "X"}, {"input": "i"}, {"point": "N"}],
        V24,
        circuits={"d": {"title": "D", "equipment": "q", "supply": V24, "path": [{"contact": "b"}, {"input": "i"}]}},
    )  # fmt: skip
    assert readings(base, "c").network.fed_together
    assert not readings(apart, "c").network.fed_together


_RETURN_IN_TWO = [
    *({"point": "L"}, {"contact": "a"}, {"point": "X1"}, {"contact": "b"}, {"point": "X2"}),
    *({"coil": "k"}, {"point": "N1"}, {"wire": "Back"}, {"point": "N"}),
]
LOW = readings(string(_RETURN_IN_TWO, V24), "c")


@pytest.mark.parametrize(
    ("table", "first", "behind", "stray"), [(LOW, "L", "X1", 0.4), (LIMITS, "X1:1", "X3:8", 1.9)]
)
def test_a_terminal_that_has_nothing_may_show_some_tenths(table, first, behind, stray):
    taken = Reading(first, table.network.volts[1])
    opened = next(i for i, fault in enumerate(table.faults) if fault.kind == "open")
    for mode in (HIGH_Z, LOW_Z):
        assert weigh(table, [taken, Reading(behind, 0.1, mode)]).against[opened] == ()
        assert weigh(table, [taken, Reading(behind, stray, mode)]).against[opened] == ()
    more = Reading(behind, 3 * table.bands.none_to, LOW_Z)
    assert weigh(table, [taken, more]).against[opened] == (1,)


def test_a_stray_hides_no_loss():
    healthy = [Reading("L", 24.0), Reading("N1", 0.4)]
    assert weigh(LOW, healthy).against[0] == (1,), "tenths of a volt on the way back are a bad joint"
    assert weigh(LOW, [Reading("L", 24.0), Reading("X1", 0.0)]).against[0] == (1,)
    assert all(
        table.bands.stray(port) <= table.bands.none_to
        for table in (LOW, LIMITS)
        for port in range(len(table.points))
    )
