"""What readings leave, what they must not exclude, and where the leads go next."""

from __future__ import annotations

from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kbgen.compute.circuit.evidence import Reading, said
from kbgen.compute.circuit.inference import judge, locate
from kbgen.compute.circuit.order import order
from kbgen.compute.circuit.outcome import FULL, NONE, SOME, limits
from kbgen.compute.circuit.probing import prepare
from kbgen.compute.circuit.readings import MODES, readings
from kbgen.compute.circuit.state import State, UnknownName
from tests.unit.circuit.bases import read_base, string

CASES = [
    ("ondrel", "limits", State()),
    ("ondrel", "limits", State(valves_shut=frozenset({"boiler-cock"}))),
    ("ondrel", "running", State(stage="pre-start")),
    ("ondrel", "start-interlock", State(size="sb-3", stage="pilot")),
    ("vashby", "string", State(stage="heat")),
    ("vashby", "string", State(options=frozenset({"dirty-filter"}))),
    ("zellick", "safety", State(stage="run")),
]


@cache
def prepared(case: int):
    kb, circuit, state = CASES[case]
    return prepare(readings(read_base(kb), circuit, state))


def ids(verdict):
    return [verdict.probing.table.faults[row].id for row, _ in verdict.remaining]


@st.composite
def readings_of_a_fault(draw):
    """Draw a circuit, a true fault, and readings out of that fault's own intervals."""
    case = draw(st.integers(0, len(CASES) - 1))
    table = prepared(case).table
    row = draw(st.integers(0, len(table.faults) - 1))
    ports = (*table.points, *table.devices)
    taken = []
    for _ in range(draw(st.integers(1, 6))):
        port = draw(st.integers(0, len(ports) - 1))
        low_z = draw(st.booleans()) and port < len(table.points)
        lo, hi = table.bounds[int(low_z), row, port]
        taken.append(Reading(ports[port], lo + draw(st.floats(0, 1)) * (hi - lo), low_z))
    return case, row, taken


@given(readings_of_a_fault())
@settings(max_examples=400, deadline=None)
def test_the_true_fault_is_never_excluded_by_its_own_readings(drawn):
    case, row, taken = drawn
    assert row in {left for left, _ in judge(prepared(case), taken).remaining}


@given(readings_of_a_fault(), st.data())
@settings(max_examples=200, deadline=None)
def test_another_reading_never_brings_a_fault_back(drawn, data):
    case, _, taken = drawn
    table = prepared(case).table
    port = data.draw(st.sampled_from((*table.points, *table.devices)))
    more = Reading(port, data.draw(st.one_of(st.floats(0, 300), st.sampled_from(["none", "some", "full"]))))
    before, after = (set(ids(judge(prepared(case), r))) for r in (taken, [*taken, more]))
    assert after <= before


@given(readings_of_a_fault())
@settings(max_examples=200, deadline=None)
def test_low_impedance_is_never_proposed_across_a_contact(drawn):
    case, _, taken = drawn
    found = judge(prepared(case), taken).next
    assert found is None or not (found.device and found.meter == "low_z")


@given(readings_of_a_fault())
@settings(max_examples=200, deadline=None)
def test_shares_add_up_and_groups_hold_what_remains(drawn):
    case, _, taken = drawn
    verdict = judge(prepared(case), taken)
    if verdict.remaining:
        assert sum(share for _, share in verdict.remaining) == pytest.approx(1)
    grouped = [fault for group in verdict.groups for fault in group]
    assert len(grouped) == len(set(grouped))
    assert set(grouped) <= set(ids(verdict))


def ondrel(*taken, state=None):
    return locate(read_base("ondrel"), "limits", [Reading(*r) for r in taken], state)


def test_a_zero_without_the_supply_read_full_excludes_nothing():
    assert set(ids(ondrel(("X3:5", "none")))) == set(ids(ondrel()))
    assert ondrel(("X3:5", "none")).next.port == "X1:1"


def test_full_before_and_nothing_behind_leaves_the_contact_and_its_wires():
    verdict = ondrel(("X1:1", 118), ("X3:6", "full"), ("X3:7", "none"))
    single = [f for f in ids(verdict) if not f.startswith("resistance") and "+" not in f]
    assert single == ["open:first-low-water", "wire:X3:6-X3:7"]
    assert (verdict.next.port, verdict.next.meter) == ("first-low-water", "high_z")
    assert verdict.to_json()["is_it_doing_its_job"]["with"] == "Gauge glass"
    assert verdict.to_json()["is_it_doing_its_job"]["not_sure"] == "counts as real"


def test_a_middle_reading_excludes_nothing_and_is_repeated_in_low_impedance():
    before, after = ondrel(("X1:1", 118)), ondrel(("X1:1", 118), ("X3:6", 45))
    assert ids(before) == ids(after)
    assert (after.next.port, after.next.meter) == ("X3:6", "low_z")


def test_a_ghost_collapses_in_low_impedance():
    verdict = ondrel(("X1:1", 118), ("X3:6", 45), ("X3:6", 0.4, True))
    assert "open:first-low-water" not in ids(verdict)
    assert "open:low-gas-pressure" in ids(verdict)


def test_a_middle_reading_that_stays_is_a_bad_contact():
    verdict = ondrel(("X1:1", 118), ("X3:6", 45), ("X3:6", 43, True))
    assert ids(verdict)[0].startswith("resistance:")
    assert not [f for f in ids(verdict) if f.startswith("open:")]


def test_nothing_before_and_full_behind_is_a_contradiction_that_names_a_reading():
    verdict = ondrel(("X1:1", 118), ("X3:4", "none"), ("X3:7", "full"))
    assert verdict.to_json()["contradiction"]["repeat"]["point"] in ("X3:4", "X3:7")
    assert verdict.next is None


def test_all_sound_now_opens_the_intermittent_branch():
    verdict = ondrel(("X1:1", 118), ("X3:8", "full"))
    assert verdict.all_sound
    assert verdict.to_json()["contradiction"] is None
    assert [row["appears"] for row in verdict.to_json()["intermittent"]] == [["hot"]]


def test_a_shut_cock_is_part_of_the_question():
    state = State(valves_shut=frozenset({"boiler-cock"}))
    verdict = ondrel(("X1:1", 118), ("X3:2", "full"), ("X3:3", "none"), state=state)
    # The low gas pressure contact is open because the cock is shut: nothing is wrong so far, and it is
    # no suspect, while with the cock open it is the first one.
    assert "healthy" in ids(verdict)
    assert ids(verdict).index("open:low-gas-pressure") > ids(verdict).index("healthy")
    assert ids(ondrel(("X1:1", 118), ("X3:2", "full"), ("X3:3", "none")))[0] == "open:low-gas-pressure"
    assert verdict.to_json()["state"]["valves_shut"] == ["boiler-cock"]


def test_a_stuck_contact_shows_only_where_it_should_be_open():
    # In high impedance a full reading there could still be a ghost before an open input.
    taken = [Reading("X6:1", 118), Reading("X6:3", "full"), Reading("X6:3", "full", low_z=True)]
    early = locate(read_base("ondrel"), "running", taken, State(stage="pre-start"))
    assert ids(early)[:2] == ["stuck:air-proving", "jumper:air-proving"]
    late = locate(read_base("ondrel"), "running", taken, State(stage="purge"))
    assert ids(late)[0] != "stuck:air-proving"


def test_a_dead_supply_comes_with_a_word_of_warning():
    verdict = ondrel(("X1:1", 0))
    assert ids(verdict) == ["no-supply", "return"]
    assert "known live source" in verdict.warnings[0]


def test_unknown_names_are_told_with_what_was_meant():
    with pytest.raises(UnknownName, match="X3:5"):
        ondrel(("X3;5", "full"))
    with pytest.raises(UnknownName, match="limits"):
        readings(read_base("ondrel"), "limit")


@pytest.mark.parametrize("case", range(len(CASES)))
def test_following_the_suggestions_ends_at_the_true_fault(case):
    """Play every single fault: read what it reads, ask again, until nothing more is suggested."""
    probing = prepared(case)
    table = probing.table
    for group in probing.groups:
        row = group[0]
        taken = []
        for _ in range(2 * len(table.points) + 4):
            verdict = judge(probing, taken)
            if verdict.next is None:
                break
            port = (*table.points, *table.devices).index(verdict.next.port)
            mode = MODES.index(verdict.next.meter)
            taken.append(Reading(verdict.next.port, float(table.bounds[mode, row, port].mean()), mode == 1))
        else:
            pytest.fail(f"no end for {table.faults[row].id}: {taken}")
        assert row in {left for left, _ in verdict.remaining}
        assert verdict.repeat is None


def test_the_first_suggestions_are_those_of_the_order():
    computed = order(read_base("ondrel"), "limits").to_json()["tree"]
    verdict = ondrel()
    for _ in range(3):
        assert verdict.next.port == computed["test"]
        taken = [(computed["test"], "full")]
        verdict = ondrel(*taken) if computed["test"] == "X1:1" else ondrel(("X1:1", "full"), *taken)
        computed = computed["outcomes"]["full"]


def plain(path, supply, *taken, **more):
    return locate(string(path, supply, **more), "c", [Reading(*r) for r in taken])


V120 = {"voltage": "120 V", "current": "AC"}
ONE = [{"point": "L"}, {"contact": "a"}, {"point": "X"}, {"input": "i", "impedance": "25 kΩ"}, {"point": "N"}]


def test_nobody_is_asked_about_a_contact_while_nothing_may_be_wrong():
    assert plain(ONE, V120).to_json()["is_it_doing_its_job"] is None
    assert plain(ONE, V120, ("L", "full")).to_json()["is_it_doing_its_job"] is None
    assert plain(ONE, V120, ("L", "full"), ("X", "none")).to_json()["is_it_doing_its_job"]["device"] == "a"


@pytest.mark.parametrize(("volts", "told"), [("120 V", (10, 81)), ("24 V", (2, 16)), ("12 V", (1.0, 8.1))])
def test_a_reading_is_judged_by_the_limits_that_are_told(volts, told):
    table = readings(string(ONE, {"voltage": volts, "current": "DC"}), "c")
    assert limits(table) == told
    words = [said(table, Reading("L", value)) for value in (told[0], told[0] + 0.1, told[1] - 0.1, told[1])]
    assert words == [NONE, SOME, SOME, FULL]


def test_a_reading_with_a_minus_is_a_reading_with_the_leads_swapped():
    forward, backward = (ondrel(("X1:1", volts), ("X3:4", volts)) for volts in (118, -118))
    assert ids(forward) == ids(backward)
