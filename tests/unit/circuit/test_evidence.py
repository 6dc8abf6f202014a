"""What a reading may exclude, and what is said about readings that do not fit together."""

from __future__ import annotations

import random

import pytest

from kbgen.compute.circuit.evidence import Reading, falling, middle, out_of_order, possible_faults
from kbgen.compute.circuit.inference import judge, locate
from kbgen.compute.circuit.probing import prepare
from kbgen.compute.circuit.readings import readings
from kbgen.compute.circuit.sayings import WARNINGS
from kbgen.compute.circuit.state import State
from tests.unit.circuit.bases import read_base, string
from tests.unit.circuit.test_variant import V24, fed_together

LIMITS = readings(read_base("ondrel"), "limits")


def test_a_middle_reading_may_lie_a_little_beside_what_a_fault_reads():
    row = [fault.id for fault in LIMITS.faults].index("resistance:first-low-water")
    port = LIMITS.points.index("X3:7")
    lo, hi = LIMITS.bounds[1, row, port]
    least, most = middle(LIMITS, row, port)
    # 2 % of 120 V: two tablets and two meters are never quite of one opinion.
    assert (least, most) == pytest.approx((lo - 2.4, hi + 2.4), abs=0.01)


def test_nothing_in_low_impedance_says_nothing_about_a_ghost_further_down():
    ghost = [Reading("X3:4", "none", low_z=True), Reading("X3:7", "full")]
    assert out_of_order(LIMITS, ghost) == ()
    assert out_of_order(LIMITS, [Reading("X3:4", "none"), Reading("X3:7", "full", low_z=True)])
    assert out_of_order(LIMITS, [Reading("X3:4", "none"), Reading("X3:7", "full")])


def test_the_voltage_need_not_fall_where_another_string_feeds_back():
    assert falling(readings(fed_together(V24, V24), "c")) == ()


def test_behind_the_load_a_full_reading_is_no_contradiction():
    path = [{"point": "L"}, {"coil": "k"}, {"point": "X1"}, {"contact": "a"}, {"point": "N"}]
    assert falling(readings(string(path, V24), "c")) == ("L",)


def test_a_jumper_made_of_a_meter_is_warned_of():
    taken = [Reading("X1:1", "full"), Reading("first-low-water", "full", low_z=True)]
    assert locate(read_base("ondrel"), "limits", taken).warnings == (WARNINGS["jumps"],)
    taken[1] = Reading("first-low-water", "full")
    assert locate(read_base("ondrel"), "limits", taken).warnings == ()


def test_nobody_calls_a_circuit_sound_whose_supply_was_not_read():
    verdict = locate(read_base("ondrel"), "limits", [Reading("X3:8", "full")])
    assert not verdict.all_sound
    assert verdict.next.port == "X1:1"


@pytest.mark.parametrize("seed", range(40))
def test_what_is_to_be_repeated_is_what_the_others_do_without(seed):
    rng = random.Random(seed)
    probing = prepare(LIMITS)
    marks = rng.sample(LIMITS.points[:-1], 4)
    taken = [Reading("X1:1", "full"), *[Reading(mark, rng.choice(["none", "full"])) for mark in marks]]
    repeat = judge(probing, taken).repeat
    if repeat is None:
        return

    def hang_together(without):
        others = [reading for reading in taken if reading is not without]
        return possible_faults(LIMITS, others) and not out_of_order(LIMITS, others)

    cures = [reading for reading in taken if hang_together(reading)]
    assert not cures or repeat in cures


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
