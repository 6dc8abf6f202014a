"""What readings leave, what they must not exclude, what a verdict says, and where the leads go next."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from kbgen.compute.circuit.bands import FULL, NONE, SOME
from kbgen.compute.circuit.evidence import weigh
from kbgen.compute.circuit.findings import foreign_of
from kbgen.compute.circuit.inference import judge, locate
from kbgen.compute.circuit.meter import HIGH_Z, LOW_Z, OTHER, ROW
from kbgen.compute.circuit.order import order
from kbgen.compute.circuit.probing import prepare
from kbgen.compute.circuit.reading import Reading
from kbgen.compute.circuit.readings import readings
from kbgen.compute.circuit.state import State, UnknownName
from kbgen.views.verdict_words import said
from tests.shared import DEMONSTRATION, compiled
from tests.unit.circuit.bases import read_base, string
from tests.unit.circuit.independent import draw
from tests.unit.circuit.walks import Ground, kept, walk

ROOT = Path(__file__).resolve().parents[3]
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


@cache
def demonstration():
    return compiled(DEMONSTRATION).base


def ids(verdict):
    """Return the faults without a reading against them."""
    return [verdict.probing.table.faults[row].id for row in verdict.standing]


def only_if(verdict):
    faults = verdict.probing.table.faults
    return [faults[row].id for row, _ in verdict.remaining if verdict.evidence.against[row]]


def demo(circuit, *taken, **state):
    return locate(demonstration(), circuit, [Reading(*r) for r in taken], State(**state))


def words(verdict):
    return " ".join(said(verdict.probing.table.variant.setting.base, verdict))


@pytest.mark.parametrize("case", range(len(CASES)))
def test_following_the_suggestions_never_loses_the_true_fault_and_comes_to_an_end(case):
    ground = Ground(prepared(case))
    rng = np.random.default_rng(case)
    for truth in [*rng.choice(ground.faults(), 20), "healthy"]:
        plant = draw(ground.net, str(truth), rng)
        ended = walk(ground, plant, rng)
        assert kept(ground, ended.verdict, truth) == "stands", (truth, ended.taken)
        assert ended.verdict.verdict != "contradiction", (truth, ended.taken)


@pytest.mark.parametrize("case", range(len(CASES)))
def test_low_impedance_is_never_proposed_across_a_contact(case):
    rng = np.random.default_rng(case)
    probing = prepared(case)
    table = probing.table
    for _ in range(60):
        taken = []
        for port in rng.choice(table.ports, 4):
            mode = str(rng.choice([HIGH_Z, LOW_Z])) if port in table.points else HIGH_Z
            value = float(rng.uniform(0, table.network.volts[2]))
            taken.append(Reading(str(port), value, mode))
        following = judge(probing, taken).next
        assert following is None or not (following.device and following.meter == LOW_Z)


def test_shares_add_up_and_groups_hold_what_stands():
    verdict = ondrel(("X1:1", 118), ("X3:7", 0))
    assert sum(share for _, share in verdict.remaining) == pytest.approx(1)
    grouped = [fault for group in verdict.groups for fault in group]
    assert len(grouped) == len(set(grouped))
    assert set(grouped) <= set(ids(verdict))


def ondrel(*taken, state=None):
    return locate(read_base("ondrel"), "limits", [Reading(*r) for r in taken], state)


# ---- the stories -------------------------------------------------------------------------------------


def test_31_volts_lost_are_a_bad_joint_and_nothing_is_called_made():
    verdict = demo("sb-limits", ("T19", 119), ("T27", 88))
    assert verdict.verdict == "unclear"
    assert verdict.to_json()["drops"] == [{"from": "T19", "to": "T27", "volts": 31.0}]
    assert (
        "31 V are lost between T19 and T27: a bad joint or contact. Or it is a ghost: repeat it in low"
        in words(verdict)
    )
    assert (verdict.next.port, verdict.next.meter) == ("T27", LOW_Z)
    verdict = demo("sb-limits", ("T19", 119), ("T27", 88), ("T27", 80, LOW_Z))
    assert verdict.verdict == "unclear"
    assert all(fault.startswith(("resistance:", "ground:T19", "low-supply")) for fault in ids(verdict)), ids(
        verdict
    )


@pytest.mark.parametrize(("supply", "far"), [(82, 82), (82, 81)])
def test_a_supply_too_low_for_the_input_is_never_made(supply, far):
    verdict = demo("sb-limits", ("T19", supply), ("T27", far), size="sb-2")
    assert verdict.verdict == "unclear"
    assert "low" in verdict.warned
    assert (verdict.next.port, verdict.next.meter) == ("T19", LOW_Z)


def test_230_volts_on_a_string_of_120_stop_everything():
    verdict = demo("sb-limits", ("T19", 118), ("T25", 230))
    told = verdict.to_json()
    assert told["verdict"] == "foreign"
    assert (told["foreign"]["point"], told["foreign"]["volts"], told["next"]) == ("T25", 230, None)
    assert "nobody works here" in words(verdict)
    assert [(each["fault"], each["against"]) for each in told["remaining"]] == [("foreign", [])]
    assert demo("sb-limits", ("T19", 230)).verdict == "foreign"


def test_a_bridged_end_of_line_resistor_is_found():
    verdict = demo("ph-string", ("J24", 24), ("J9", 23.5))
    assert verdict.verdict == "unclear", "one reading alone decides nothing"
    for _ in range(6):
        if verdict.next is None:
            break
        taken = [(r.port, r.value, r.mode) for r in verdict.taken]
        value = 0.0 if verdict.next.device else 23.6
        verdict = demo("ph-string", *taken, (verdict.next.port, value, verdict.next.meter))
    assert verdict.verdict == "found"
    # An input that draws nothing leaves as little across the resistor as a bridge does.
    assert set(ids(verdict)) == {"bridged:End-of-line resistor", "load", "wire:J9-J0"}


def test_a_volt_lost_behind_the_resistor_is_lost_however_uncertain_the_resistor_is():
    taken = [
        ("J24", 23.03),
        ("J4", 23.0),
        ("J7", 23.0),
        ("J8", 18.45),
        ("J1", 23.03),
        ("J2", 23.01),
        ("J9", 17.51),
    ]
    fan = State(size="ph-60", stage="pump-start", options=frozenset({"plant-room-fan"}))
    verdict = locate(demonstration(), "ph-string", [Reading(*each) for each in taken], fan)
    assert [drop.to_json() for drop in verdict.drops] == [{"from": "J8", "to": "J9", "volts": 0.9}]
    assert verdict.verdict == "unclear"
    assert verdict.next.port == "ph-ventilation"


def test_what_a_resistor_hides_is_read_across_before_anything_is_made():
    taken = [("J24", 24.2), ("J4", 24.18), ("J7", 24.17), ("J8", 18.8), ("J9", 18.81)]
    fan = State(size="ph-60", stage="pump-start", options=frozenset({"plant-room-fan"}))
    verdict = locate(demonstration(), "ph-string", [Reading(*each) for each in taken], fan)
    assert verdict.verdict == "unclear"
    assert (verdict.next.port, verdict.next.why) == ("ph-thermal-fuse", "load")
    worn = locate(demonstration(), "ph-string", [*verdict.taken, Reading("ph-thermal-fuse", 0.9)], fan)
    assert worn.verdict != "made"
    good = locate(demonstration(), "ph-string", [*verdict.taken, Reading("ph-thermal-fuse", 0.02)], fan)
    assert good.verdict == "made"


def test_what_a_resistor_hides_is_not_made_although_the_points_leave_no_worn_contact():
    pump = State(size="ph-60", stage="pump-start")
    verdict = locate(demonstration(), "ph-string", [Reading("J24", 23.57), Reading("J9", 20.15)], pump)
    assert verdict.probing.table.faults[0].kind == "healthy"
    assert 0 in verdict.standing
    assert not any(fault.startswith("resistance:") for fault in ids(verdict))
    assert verdict.verdict == "unclear"
    assert "is made as far as read" not in words(verdict)


def test_six_volts_lost_of_24_are_a_bad_contact():
    verdict = demo("ph-string", ("J24", 24), ("J4", 18))
    assert verdict.drops[0].volts == pytest.approx(6.0, abs=0.1)
    assert ids(verdict)[0].startswith("resistance:ph-")
    assert verdict.next.meter == HIGH_Z, "a low-impedance meter takes more than the whole loop carries"


def test_65_volts_lost_of_230_are_not_full():
    verdict = demo("td-heat", ("D1", 230), ("D8", 165))
    assert verdict.verdict == "unclear"
    assert verdict.drops[0].volts == 65.0
    assert verdict.evidence.sorted.words == (FULL, SOME)


def test_the_air_check_is_judged_before_the_fan_runs():
    verdict = demo("sb-air-check", ("T19", 119), ("T55", 118.5))
    assert verdict.probing.table.variant.setting.state.stage == "start-check"
    assert (
        not [fault for fault in ids(verdict) if fault.startswith("stuck")][:1] or verdict.verdict != "found"
    )
    assert "healthy" in ids(verdict)
    opened = demo("sb-air-check", ("T19", 119), ("T20", 119), ("T55", 0))
    assert "open:sb-combustion-air" in ids(opened)
    assert "healthy" not in ids(opened)


@pytest.mark.parametrize(
    ("circuit", "reading", "why"),
    [
        ("ph-string", ("J4", -23.8), "polarity"),
        ("ph-string", ("J4", 12.0, OTHER), "other-current"),
        ("sb-limits", ("T25", 40.0, OTHER), "other-current"),
        ("sb-limits", ("T25", 126.0), "above"),
        ("sb-limits", ("T19", 230.0), "over"),
    ],
)
def test_what_fits_no_fault_is_said_first(circuit, reading, why):
    first = ("J24", 24.0) if circuit == "ph-string" else ("T19", 118.0)
    verdict = demo(circuit, first, reading)
    assert (verdict.verdict, verdict.foreign.why) == ("foreign", why)
    assert verdict.next is None
    assert words(verdict).startswith("STOP")


def test_what_only_another_supply_explains_stops_everything_though_no_number_does_by_itself():
    pump = State(size="ph-60", stage="pump-start")
    verdict = locate(demonstration(), "ph-string", [Reading("J9", 21.67)], pump)
    assert (
        foreign_of(verdict.probing.table, verdict.taken, weigh(verdict.probing.table, verdict.taken)) is None
    )
    assert ids(verdict) == ["foreign"]
    assert (verdict.verdict, verdict.foreign.port, verdict.next) == ("foreign", "J9", None)


def test_more_than_what_feeds_it_belongs_to_another_supply_whatever_is_wrong():
    # An earth fault at T19 leaves 108 to 132 V at either point, and yet never more behind than before.
    taken = [("T19", 112), ("T19", 112.3, LOW_Z), ("T26", 119.5, LOW_Z)]
    verdict = demo("sb-limits", *taken, size="sb-1", stage="start-check")
    assert (verdict.verdict, verdict.foreign.port, verdict.foreign.why) == ("foreign", "T26", "above")
    within = [("T19", 112), ("T19", 112.3, LOW_Z), ("T26", 113.5, LOW_Z)]
    assert demo("sb-limits", *within, size="sb-1", stage="start-check").verdict != "foreign"


def test_made_is_said_only_of_what_was_read_and_goes_on():
    verdict = demo(
        "sb-limits", ("T19", 119), ("T27", 118.6), ("T26", 118.7), ("T27", 118, LOW_Z), size="sb-2"
    )
    for _ in range(12):
        if verdict.next is None:
            break
        port, mode = verdict.next.port, verdict.next.meter
        value = 0.02 if verdict.next.device else 118.5
        verdict = locate(
            demonstration(), "sb-limits", [*verdict.taken, Reading(port, value, mode)], State(size="sb-2")
        )
    assert verdict.verdict == "made"
    told = words(verdict)
    assert "Every contact between T19 and T27 is made as far as read." in told
    assert "wires that do not belong" in told
    assert "last proved to open" in told
    assert {f"stuck:{d}" for d in ("sb-burner-switch", "sb-first-low-water")} <= set(verdict.cannot_tell)
    assert verdict.to_json()["remaining"][0]["fault"] == "healthy"
    assert verdict.intermittent()


@pytest.mark.parametrize("far", [(118.6,), ("full",)])
def test_one_reading_at_the_far_end_is_not_yet_made(far):
    verdict = demo("sb-limits", ("T19", 119), ("T27", *far), size="sb-2")
    assert verdict.verdict == "unclear"
    assert verdict.next is not None
    assert verdict.to_json()["remaining"][0]["fault"] != "healthy"


def test_who_does_not_say_the_size_is_asked_for_it_where_it_matters():
    assert demo("sb-start-interlock", ("T19", 119)).asks == ("size",)
    assert demo("sb-start-interlock", ("T19", 119), size="sb-2").asks == ()
    assert demo("sb-limits", ("T19", 119)).asks == ()
    assert demo("mah-string", ("M1", 24), size="mah-6").asks == ("stage",)
    assert demo("mah-string", ("M1", 24), size="mah-6", stage="heating").asks == ()


def test_a_loss_of_two_volts_is_read_across_the_contacts_first():
    taken = [("T19", 119), ("T27", 116.4)]
    verdict = demo("sb-limits", *taken, size="sb-2")
    assert verdict.drops[0].volts == pytest.approx(2.6, abs=0.1)
    assert verdict.next.why == "drop"


def test_a_reading_of_another_way_confirms_before_anybody_changes_a_part():
    taken = [("T19", 119), ("T25", 119), ("T26", 119), ("T27", 0.2)]
    verdict = demo("sb-limits", *taken)
    assert verdict.verdict == "unclear"
    assert verdict.next is not None
    across = demo("sb-limits", *taken, ("sb-second-low-water", 118.7))
    for _ in range(8):
        if across.next is None:
            break
        assert across.next.why in ("confirm", "load")
        taken_so_far = [(r.port, r.value, r.mode) for r in across.taken]
        value = 119 if across.next.port not in ("T27", "C4") else 0.1
        across = demo("sb-limits", *taken_so_far, (across.next.port, value, across.next.meter))
    assert across.verdict == "found"
    assert "open:sb-second-low-water" in ids(across)
    assert across.device == "sb-second-low-water"
    assert "Before a part is changed, confirm it on the dead plant" in words(across)


def test_a_search_that_ends_without_one_group_says_what_to_do():
    across = [("mah-fan-switch", 0.24), ("mah-damper-open", 0.1), ("mah-fan-overload", 0.02)]
    taken = [("M1", 23.01), ("M3", 22.49, LOW_Z), ("M4", 22.34, LOW_Z), ("M5", 22.29, LOW_Z), *across]
    verdict = demo("mah-fan", *taken, size="mah-6", stage="fan-start")
    assert (verdict.verdict, verdict.next) == ("unclear", None)
    assert "No further reading tells more. Write the readings down, make it safe" in words(verdict)
    assert "No further reading" not in words(demo("mah-fan", *taken[:3], size="mah-6", stage="fan-start"))


def test_one_meter_setting_may_be_off_one_way_and_another_the_other_way():
    # 119 and 116.5 V: 2.5 V in one setting are lost, in two they may be twice 1 % of the meter.
    assert demo("sb-limits", ("T19", 119), ("T27", 116.5), size="sb-2").drops
    assert not demo("sb-limits", ("T19", 119), ("T27", 116.5, LOW_Z), size="sb-2").drops


def test_a_string_that_reads_full_is_read_once_under_load_at_its_far_end():
    taken = [("T19", 119), ("T27", 118.6)]
    verdict = demo("sb-limits", *taken, size="sb-2")
    assert (verdict.next.port, verdict.next.meter, verdict.next.why) == ("T27", LOW_Z, "load")
    assert demo("sb-limits", *taken, ("T27", 118.4, LOW_Z), size="sb-2").verdict == "made"


def test_made_does_not_speak_for_a_contact_that_another_way_hides():
    taken = [("J30", 240), ("J31", 240), ("J32", 239.9)]
    verdict = demo("ph-pump", *taken, size="ph-60", stage="pump-start")
    while verdict.next is not None:
        taken.append((verdict.next.port, 0.02 if verdict.next.device else 239.9, verdict.next.meter))
        verdict = demo("ph-pump", *taken, size="ph-60", stage="pump-start")
    assert verdict.verdict == "made"
    assert "But not told of: " in words(verdict)


# ---- what a reading may exclude ----------------------------------------------------------------------


def test_a_zero_without_the_supply_read_full_excludes_nothing():
    assert set(ids(ondrel(("X3:5", "none")))) == set(ids(ondrel()))
    assert ondrel(("X3:5", "none")).next.port == "X1:1"


def test_full_before_and_nothing_behind_leaves_the_contact_and_its_wires():
    verdict = ondrel(("X1:1", 118), ("X3:6", "full"), ("X3:7", "none"))
    single = [f for f in ids(verdict) if not f.startswith(("resistance", "stuck", "jumper")) and "+" not in f]
    assert single == ["open:first-low-water", "wire:X3:6-X3:7"]
    assert (verdict.next.port, verdict.next.meter) == ("first-low-water", HIGH_Z)
    assert verdict.to_json()["is_it_doing_its_job"]["with"] == "Gauge glass"
    assert verdict.to_json()["is_it_doing_its_job"]["not_sure"] == "counts as real"


def test_a_middle_reading_excludes_nothing_and_is_repeated_in_low_impedance():
    before, after = ondrel(("X1:1", 118)), ondrel(("X1:1", 118), ("X3:6", 45))
    assert ids(before) == ids(after)
    assert (after.next.port, after.next.meter) == ("X3:6", LOW_Z)
    assert "ghost" in after.to_json()["not_counted"][0]["why"]


def test_a_ghost_collapses_in_low_impedance():
    verdict = ondrel(("X1:1", 118), ("X3:6", 45), ("X3:6", 0.4, LOW_Z))
    assert "open:first-low-water" not in ids(verdict)
    assert "open:low-gas-pressure" in ids(verdict)


def test_a_middle_reading_that_stays_is_a_bad_contact():
    verdict = ondrel(("X1:1", 118), ("X3:6", 45), ("X3:6", 43, LOW_Z))
    assert ids(verdict)[0].startswith("resistance:")
    assert not [f for f in ids(verdict) if f.startswith("open:")]


def test_nothing_before_and_full_behind_is_a_contradiction_that_names_a_reading():
    verdict = ondrel(("X1:1", 118), ("X3:4", "none"), ("X3:7", "full"))
    assert verdict.to_json()["contradiction"]["repeat"]["point"] in ("X3:4", "X3:7")
    assert verdict.next.why == "repeat"
    assert "fed" in verdict.warned
    assert "lead on the return" in words(verdict)


def test_a_mistaken_reading_does_not_lose_the_true_fault():
    # X3:4 was read none by mistake; the true fault lies behind X3:6.
    verdict = ondrel(("X1:1", 118), ("X3:4", 0.0), ("X3:6", 118), ("X3:7", 0.1), ("first-low-water", 117))
    assert "open:first-low-water" in [*only_if(verdict), *ids(verdict)]
    row = next(each for each in verdict.to_json()["remaining"] if each["fault"] == "open:first-low-water")
    assert [reading["point"] for reading in row["against"]] == ["X3:4"]


def test_a_shut_cock_is_part_of_the_question():
    state = State(valves_shut=frozenset({"boiler-cock"}))
    verdict = ondrel(("X1:1", 118), ("X3:2", "full"), ("X3:3", "none"), state=state)
    # The low gas pressure contact is open because the cock is shut: nothing is wrong so far.
    assert "healthy" in ids(verdict)
    assert "healthy" not in ids(ondrel(("X1:1", 118), ("X3:2", "full"), ("X3:3", "none")))
    assert verdict.to_json()["state"]["valves_shut"] == ["boiler-cock"]


def test_a_stuck_contact_shows_only_where_it_should_be_open():
    taken = [Reading("X6:1", 118), Reading("X6:3", 118), Reading("X6:3", 117.5, LOW_Z)]
    early = locate(read_base("ondrel"), "running", taken, State(stage="pre-start"))
    assert set(ids(early)[:2]) == {"stuck:air-proving", "jumper:air-proving"}
    late = locate(read_base("ondrel"), "running", taken, State(stage="purge"))
    assert ids(late)[0] != "stuck:air-proving"


def test_a_dead_supply_comes_with_a_word_of_warning():
    verdict = ondrel(("X1:1", 0))
    assert ids(verdict)[:2] == ["no-supply", "return"]
    assert "known live source" in verdict.to_json()["warnings"][0]


def test_where_the_volts_end_is_said_first():
    verdict = demo("sb-limits", ("T20", 118), ("T24", 118), ("T27", 0))
    assert verdict.to_json()["ends"] == {"from": "T24", "to": "T27"}
    assert words(verdict).startswith("The volts end between T24 and T27.")
    assert demo("sb-limits", ("T19", 119), ("T27", 118.6)).ends is None
    assert demo("sb-limits", ("T19", 0.4), ("T27", 118)).ends is None, "these contradict each other"


def test_unknown_names_are_told_with_what_was_meant():
    with pytest.raises(UnknownName, match="X3:5"):
        ondrel(("X3;5", "full"))
    with pytest.raises(UnknownName, match="limits"):
        readings(read_base("ondrel"), "limit")
    with pytest.raises(UnknownName, match="low_z"):
        ondrel(("X3:5", "full", "lowz"))


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


@pytest.mark.parametrize(
    ("volts", "supply", "full"), [("120 V", 118.0, 113.0), ("230 V", 225.0, 220.0), ("24 V", 23.0, 22.0)]
)
def test_full_is_told_relative_to_the_supply_as_read(volts, supply, full):
    table = readings(string(ONE, {"voltage": volts, "current": "AC"}), "c")
    bands, port = table.bands, table.points.index("X")
    lo, hi = bands.full(HIGH_Z, port, supply)
    assert lo == pytest.approx(full, abs=0.1)
    assert hi == pytest.approx(2 * supply - full, abs=0.1)
    called = [bands.word(v, HIGH_Z, port, supply) for v in (bands.none_to, bands.none_to + 0.1, lo - 0.1, lo)]
    assert called == [NONE, SOME, SOME, FULL]
    assert bands.full(HIGH_Z, port, None)[0] > lo, "a supply nobody read may be the greatest"


def test_full_is_never_less_than_the_input_needs():
    path = [*ONE[:3], {"input": "i", "impedance": "25 kΩ", "on_above": "115 V", "off_below": "3 V"}, ONE[4]]
    bands = readings(string(path, V120), "c").bands
    assert bands.full(HIGH_Z, 1, 118.0)[0] == 115.0
    assert bands.none_to == 3.0


def test_a_reading_with_a_minus_on_alternating_current_is_a_reading_with_the_leads_swapped():
    forward, backward = (ondrel(("X1:1", volts), ("X3:4", volts)) for volts in (118, -118))
    assert ids(forward) == ids(backward)


def test_a_supply_that_its_own_load_pulls_down_is_read_as_it_is_then():
    read = (("M1", 22.8), ("M3", 22.7), ("M5", 22.6))
    told = demo("mah-fan", *read, size="mah-6", stage="ventilation")
    left = {each["fault"] for each in told.to_json()["remaining"] if not each["against"]}
    assert told.evidence.sorted.not_counted == ()
    assert not left & {"fuse", "open:mah-damper-open", "open:mah-fan-overload"}
    worn = demo("mah-fan", *read[:2], ("M5", 20.0), size="mah-6", stage="ventilation")
    assert told.evidence.sorted.words == (4, 4, 4)
    assert worn.evidence.sorted.words == (4, 4, 2), "what is lost behind it is not full"
    low = demo("mah-fan", ("M1", 18.5), size="mah-6", stage="ventilation")
    assert "low" in low.warned


def test_a_switch_that_may_stand_either_way_hides_no_worn_contact_beside_it():
    read = [("J30", 231), ("J31", 231), ("J32", 120), ("J32", 92, LOW_Z), ("ph-pump-output", 111)]
    told = demo("ph-pump", *read, size="ph-60", stage="heating").to_json()
    assert told["verdict"] in ("found", "unclear")
    assert "resistance:ph-pump-output" in {each["fault"] for each in told["remaining"] if not each["against"]}


def test_two_contacts_at_once_are_thought_of_only_after_the_reading_was_taken_again():
    # 67 V across one contact, its point before it full and the far end dead: no single fault shows that.
    taken = [("X1:1", 120.0), ("X3:3", 120.2), ("X3:8", 0.2, LOW_Z), ("high-gas-pressure", 67.1)]
    first = ondrel(*taken)
    assert first.verdict == "contradiction"
    table, verdict = first.probing.table, first
    both = [fault.id for fault in table.faults].index("open:high-gas-pressure+open:operating-pressure")
    for _ in range(12):
        if verdict.next is None:
            break
        port, mode = verdict.next.port, verdict.next.meter
        lo, hi = table.bounds[ROW[mode], both, table.ports.index(port)]
        value = 67.1 if port == "high-gas-pressure" else round(float(lo + hi) / 2, 1)
        verdict = judge(verdict.probing, [*verdict.taken, Reading(port, value, mode, verdict.next.anew)])
    assert verdict.verdict != "contradiction"
    assert "open:high-gas-pressure+open:operating-pressure" in ids(verdict)


def test_what_two_places_stand_against_is_not_listed():
    verdict = ondrel(("X1:1", 118), ("X3:7", 118), ("X3:6", 118))
    listed = {verdict.probing.table.faults[row].id for row, _ in verdict.remaining}
    assert "open:low-gas-pressure" not in listed
    assert "open:low-gas-pressure" in set(only_if(ondrel(("X1:1", 118), ("X3:7", 118))))


def test_where_volts_are_lost_that_no_contact_shows_nothing_is_made():
    taken = [("T19", 119), ("T19", 119, LOW_Z), ("T20", 118.9), ("T55", 116.9), ("T55", 116.9, LOW_Z)]
    taken += [("T20", 118.9, LOW_Z), ("sb-combustion-air", 0.1)]
    verdict = demo("sb-air-check", *taken, size="sb-2", stage="start-check")
    assert verdict.drops
    assert "healthy" in ids(verdict)
    assert (verdict.verdict, verdict.next) == ("unclear", None)


def test_low_impedance_is_never_asked_for_across_a_contact_or_where_the_loop_does_not_bear_it():
    fan = [("M1", 23.4), ("M4", 22.9, LOW_Z), ("M5", 19.6, LOW_Z), ("mah-fan-overload", 3.2, LOW_Z)]
    verdict = demo("mah-fan", *fan, size="mah-6", stage="ventilation")
    assert (verdict.next.port, verdict.next.meter) == ("mah-fan-overload", HIGH_Z)
    pump = [("J24", 24.0), ("J1", 0.0, LOW_Z), ("J9", 19.0, LOW_Z)]
    for _ in range(6):
        verdict = demo("ph-string", *pump, size="ph-60", stage="pump-start")
        if verdict.next is None:
            break
        assert verdict.next.meter == HIGH_Z
        pump.append((verdict.next.port, 0.0, HIGH_Z))


def test_a_zero_of_the_other_kind_of_current_leaves_nothing_open():
    taken = [("J24", 24.0), ("J1", 0.0), ("J2", 0.0), ("J5", 0.0, OTHER), ("J24", 24.0), ("J1", 0.0)]
    verdict = demo("ph-string", *taken, size="ph-120", stage="heating")
    assert (verdict.verdict, verdict.next) == ("found", None)
    assert ids(verdict)[0] == "fuse"
