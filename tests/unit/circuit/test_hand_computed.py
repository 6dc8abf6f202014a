"""Circuits worked out by hand: the sum stands beside what the program must say.

Voltages are given with a hair's breadth of range, so that what is left between least and greatest
reading is the wire (0.02 Ω to 0.2 Ω each) and the contacts (0.1 Ω here).
"""

from __future__ import annotations

import math

import pytest

from kbgen.compute.circuit.defaults import METER_SHARE
from kbgen.compute.circuit.meter import digits
from kbgen.compute.circuit.readings import readings
from kbgen.compute.circuit.state import State
from tests.unit.circuit.bases import string

V120 = {"voltage": "119.99 V to 120.01 V", "current": "AC", "frequency": "60 Hz"}
V24 = {"voltage": "23.999 V to 24.001 V", "current": "DC"}


def contact(name):
    return {"contact": name, "resistance": "0.1 Ω"}


def true_ends(table, fault, port, mode="high_z"):
    """Take off what the meter may be off."""
    lo, hi = table.interval(fault, port, mode)
    off = digits(table.network.volts[1])
    return max(0.0, (lo + off) / (1 - METER_SHARE)) if lo else 0.0, (hi - off) / (1 + METER_SHARE)


def assert_reads(table, fault, port, mode, least, greatest=None, within=0.01):
    """Check both ends of the interval to a share of the supply voltage."""
    lo, hi = true_ends(table, fault, port, mode)
    slack = within * table.network.volts[1]
    # Below the meter's own digits the interval ends at zero.
    assert lo == pytest.approx(least, abs=max(slack, digits(table.network.volts[1]) if lo == 0 else 0))
    assert hi == pytest.approx(least if greatest is None else greatest, abs=slack)


def two_contacts(load, supply=V120, **kwargs):
    path = [
        {"point": "L"},
        contact("a"),
        {"point": "X1"},
        contact("b"),
        {"point": "X2"},
        load,
        {"point": "N"},
    ]
    return string(path, supply, **kwargs)


def test_a_sound_string_reads_full_everywhere():
    # 10 kΩ behind less than 3 Ω of supply, wire and contacts: 120 V × 10 000 / 10 003 = 119.96 V.
    table = readings(two_contacts({"input": "i", "impedance": "10 kΩ"}), "c")
    for mark in ("L", "X1", "X2"):
        assert_reads(table, "healthy", mark, "high_z", 119.96, within=0.001)
    assert_reads(table, "healthy", "N", "high_z", 0.0, within=0.001)


def test_a_weak_transformer_sags_under_its_load():
    # 10 Ω of transformer before a 240 Ω coil: 24 V × 240 / 250 = 23.04 V, less 1.5 Ω at most of wire: 22.90 V.
    base = two_contacts({"coil": "k", "impedance": "240 Ω"}, {**V24, "impedance": "10 Ω"})
    assert_reads(readings(base, "c"), "healthy", "X2", "high_z", 22.92, 23.03, within=0.002)


def test_an_open_contact_reads_nothing_behind_and_full_across():
    # Behind: a gap of a nanofarad or less, 1.2 MΩ at 60 Hz, into 10 kΩ: under 1.1 V.
    # Across, 10 MΩ meter, in series with the 10 kΩ load: 120 × 10 000 / 10 010 = 119.88 V.
    table = readings(two_contacts({"input": "i", "impedance": "10 kΩ"}), "c")
    assert_reads(table, "open:a", "L", "high_z", 119.96, within=0.001)
    assert true_ends(table, "open:a", "X2")[1] < 1.1
    assert_reads(table, "open:a", "a", "high_z", 119.88, within=0.001)
    assert_reads(table, "open:a", "b", "high_z", 0.0, within=0.001)


def test_a_low_impedance_meter_across_an_open_contact_is_a_jumper():
    # 3 kΩ meter in series with a 10 kΩ input: the meter shows 120 × 3 / 13 = 27.7 V, and the input gets
    # 120 × 10 / 13 = 92 V: enough for an input that is on above 80 V. It must never be put there.
    table = readings(two_contacts({"input": "i", "impedance": "10 kΩ"}), "c")
    assert_reads(table, "open:a", "a", "low_z", 27.7, within=0.005)


def test_a_ghost_between_two_opens_is_a_capacitive_divider():
    # Terminal X1 floats between the gaps of a and b. With 20 m of cable at 50 to 150 pF/m to either
    # contact, each gap holds 1 to 3 nF, core to core, and 2 to 20 pF of its own.
    path = [
        {"point": "L"}, {"wire": "w", "length": "20 m"}, contact("a"), {"point": "X1"},
        {"wire": "w", "length": "20 m"}, contact("b"), {"point": "X2"},
        {"input": "i", "impedance": "10 kΩ"}, {"point": "N"},
    ]  # fmt: skip
    table = readings(string(path, V120), "c")
    w = 2 * math.pi * 60

    def ghost(gap_a, gap_b, per_metre, meter, leak):
        # Each run has two wires; a wire's capacitance sits half at either end. At X1's section hang the
        # whole wire from a and the whole wire to b: one run's worth of cable in all, 20 m.
        earth = 20 * per_metre
        # The far side of gap b is held near the return by the 10 kΩ input (1/ωC of a gap: over 0.8 MΩ).
        return 120 * abs(1j * w * gap_a / (1j * w * (gap_a + gap_b + earth) + 1 / meter + 1 / leak))

    small, large = 20 * 50e-12 + 2e-12, 20 * 150e-12 + 20e-12
    greatest = ghost(large, small, 50e-12, 10e6, 3e9)
    least = ghost(small, large, 150e-12, 10e6, 0.3e9)
    # Capacitances nobody knows to a factor of three tie it down: it may read anything up to more than that.
    lo, hi = true_ends(table, "open:a+open:b", "X1")
    assert lo == 0.0 < least
    assert greatest < hi <= 120.1
    # 3 kΩ of meter against the 0.2 MΩ that gaps and cable are at the most of all: 120 × 9/220 = 4.9 V.
    assert true_ends(table, "open:a+open:b", "X1", "low_z")[1] < 5


def test_an_open_return_reads_nothing_between_line_and_return_terminal():
    # Both leads hang on the line side: the return terminal is pulled up through the 10 kΩ input and
    # nothing but cable capacitance (under 10 nF, over 270 kΩ) pulls it down: 120 × 10 / 270 = 4.4 V.
    table = readings(two_contacts({"input": "i", "impedance": "10 kΩ"}), "c")
    for mark in ("L", "X1", "X2"):
        assert true_ends(table, "return", mark)[1] < 4.4
        assert true_ends(table, "return", mark, "low_z")[1] < 1.1


def test_a_lamp_across_an_open_contact_feeds_back():
    # 4 kΩ lamp into 10 kΩ input: 120 × 10 / 14 = 85.7 V. In low impedance 3 kΩ ∥ 10 kΩ = 2.308 kΩ:
    # 120 × 2.308 / 6.308 = 43.9 V. Neither nothing nor full, and no ghost.
    path = [
        {"point": "L"},
        {"parallel": [[contact("a")], [{"load": "lamp", "impedance": "4 kΩ", "lamp": "true"}]]},
        {"point": "X1"}, {"input": "i", "impedance": "10 kΩ"}, {"point": "N"},
    ]  # fmt: skip
    table = readings(string(path, V120), "c")
    assert_reads(table, "open:a", "X1", "high_z", 85.7, within=0.005)
    assert_reads(table, "open:a", "X1", "low_z", 43.9, within=0.005)


@pytest.mark.parametrize(
    ("load", "least", "greatest"),
    [
        # From 0.5 % to a hundred times its loop. Before a 100 kΩ input 500 Ω to 10 MΩ; the 10 MΩ meter makes
        # 100 kΩ into 99 kΩ: 24 × 99/10 099 = 0.24 V to 24 × 99/99.5 = 23.88 V.
        ({"input": "i", "impedance": "100 kΩ"}, 0.24, 23.88),
        # Before a 240 Ω coil 1.2 Ω to 24 kΩ: 24 × 240/24 240 = 0.24 V to 24 × 240/241.2 = 23.88 V.
        ({"coil": "k", "impedance": "240 Ω"}, 0.24, 23.83),
    ],
)
def test_a_bad_contact_shows_only_under_load(load, least, greatest):
    table = readings(two_contacts(load, V24), "c")
    assert_reads(table, "resistance:a", "X1", "high_z", least, greatest, within=0.005)


def test_a_bad_contact_before_an_input_shows_in_low_impedance():
    # 3 kΩ ∥ 100 kΩ = 2.913 kΩ, 500 Ω to 10 MΩ before it: nothing to 24 × 2.913/3.413 = 20.48 V.
    table = readings(two_contacts({"input": "i", "impedance": "100 kΩ"}, V24), "c")
    assert_reads(table, "resistance:a", "X1", "low_z", 0.01, 20.48, within=0.005)


def test_an_open_is_hidden_by_a_closed_branch_beside_it():
    path = [
        {"point": "L"}, {"parallel": [[contact("a")], [contact("b")]]},
        {"point": "X1"}, {"input": "i", "impedance": "10 kΩ"}, {"point": "N"},
    ]  # fmt: skip
    table = readings(string(path, V120), "c")
    assert_reads(table, "open:a", "X1", "high_z", 119.96, within=0.001)
    assert_reads(table, "open:a", "a", "high_z", 0.0, within=0.001)  # b holds both its sides together
    # Both open: two gaps of a nanofarad side by side are 0.6 MΩ: under 2 V behind them.
    assert true_ends(table, "open:a+open:b", "X1")[1] < 2.5


def test_an_earth_fault_in_a_grounded_supply_blows_the_fuse():
    # 120 V over at most 0.5 Ω supply, 5 Ω fault and 3 Ω of wire is over 14 A on a 3 A fuse: it is open.
    path = [
        {"point": "L"}, {"fuse": "F1", "rating": "3 A"}, {"point": "X1"}, contact("a"), {"point": "X2"},
        {"input": "i", "impedance": "10 kΩ"}, {"point": "N"},
    ]  # fmt: skip
    table = readings(string(path, V120), "c")
    for mark, volts in (("L", 119.96), ("X1", 0.0), ("X2", 0.0)):
        assert_reads(table, "ground:X2", mark, "high_z", volts, within=0.001)


def test_an_earth_fault_without_a_fuse_drags_the_supply_down():
    # 0.5 Ω supply and one wire (0.02 to 0.2 Ω) before L; fault 0.1 Ω to 5 Ω, bond 0.01 Ω:
    # at L 120 × 0.11/(0.11 + 0.7) = 16.3 V to 120 × 5.01/(5.01 + 0.52) = 108.7 V.
    table = readings(two_contacts({"input": "i", "impedance": "10 kΩ"}), "c")
    assert_reads(table, "ground:L", "L", "high_z", 16.3, 108.7, within=0.005)


def test_a_first_earth_fault_in_an_ungrounded_supply_is_silent():
    base = two_contacts({"input": "i", "impedance": "10 kΩ"}, {**V24, "earthing": "ungrounded"})
    table = readings(base, "c")
    healthy, fault = (true_ends(table, name, "X2") for name in ("healthy", "ground:X1"))
    assert fault == pytest.approx(healthy, abs=0.02)
    # To earth it shows: the faulted terminal reads nothing, the return reads the whole 24 V.
    row = [f.id for f in table.faults].index("ground:X1")
    volts = {mark: table.earth[0, row, k] for k, mark in enumerate(table.points)}
    assert volts["X1"][1] < 0.4
    assert volts["N"][0] > 23
    # Sound, either side hangs on 10 MΩ to 1 GΩ: X1 to earth never reads more than the half of 24 V.
    assert table.earth[0, 0, 1][1] < 12.5


def test_an_end_of_line_resistor_makes_a_middle_reading_normal():
    # 2.2 kΩ before a 4.7 kΩ input: 24 × 4.7/6.9 = 16.35 V; with the meter in low impedance
    # 3 ∥ 4.7 = 1.831 kΩ: 24 × 1.831/4.031 = 10.90 V.
    path = [
        {"point": "P"}, contact("a"), {"point": "X1"}, {"resistor": "End-of-line", "resistance": "2.2 kΩ"},
        {"point": "X2"}, {"input": "i", "impedance": "4.7 kΩ", "on_above": "14 V", "off_below": "8 V"},
        {"point": "M"},
    ]  # fmt: skip
    table = readings(string(path, {**V24, "earthing": "ungrounded"}), "c")
    assert_reads(table, "healthy", "X2", "high_z", 16.35, within=0.002)
    assert_reads(table, "healthy", "X2", "low_z", 10.90, within=0.002)
    made = dict(zip((f.id for f in table.faults), table.made, strict=True))
    assert made["healthy"] == "made"
    assert made["open:a"] == "open"
    # 35 Ω to 690 kΩ more: 24 × 4.7/6.94 = 16.3 V (made) to 24 × 4.7/697 = 0.16 V (open).
    assert made["resistance:a"] == "undecided"


def test_no_supply_reads_nothing_and_a_blown_fuse_nothing_behind_it():
    path = [
        {"point": "L"},
        {"fuse": "F1"},
        {"point": "X1"},
        {"coil": "k", "impedance": "240 Ω"},
        {"point": "N"},
    ]
    table = readings(string(path, V24), "c")
    for fault, volts in (("no-supply", 0.0), ("fuse", 24.0)):
        assert_reads(table, fault, "L", "high_z", volts, within=0.002)
        assert_reads(table, fault, "X1", "high_z", 0.0, within=0.002)


def test_a_broken_wire_reads_like_the_open_contact_except_across_it():
    table = readings(two_contacts({"input": "i", "impedance": "10 kΩ"}), "c")
    assert_reads(table, "wire:L-X1", "L", "high_z", 119.96, within=0.001)
    assert true_ends(table, "wire:L-X1", "X1")[1] < 0.2
    assert true_ends(table, "wire:L-X1", "a")[1] < 0.2


def test_contacts_in_the_return_read_full_up_to_the_open_one():
    path = [
        {"point": "L"}, {"coil": "k", "impedance": "240 Ω"}, {"point": "X1"}, contact("a"), {"point": "N"},
    ]  # fmt: skip
    table = readings(string(path, V24), "c")
    # Sound: 0.1 Ω contact and two wires of 24 V / 240 Ω = 0.1 A: under 0.06 V. Open: up through the coil.
    assert_reads(table, "healthy", "X1", "high_z", 0.0, within=0.005)
    assert_reads(table, "open:a", "X1", "high_z", 24.0, within=0.002)


def test_a_jumper_shows_only_where_the_contact_should_be_open():
    stages = [{"id": "rest", "title": "Rest", "open": ["a"]}, {"id": "run", "title": "Run", "made": ["a"]}]
    base = two_contacts({"input": "i", "impedance": "10 kΩ"}, plant={"sequence": stages})
    rest, run = (readings(base, "c", State(stage=stage)) for stage in ("rest", "run"))
    assert true_ends(rest, "healthy", "X1")[1] < 1.1
    assert_reads(rest, "jumper:a", "X1", "high_z", 119.96, within=0.001)
    assert_reads(rest, "stuck:a", "X1", "high_z", 119.96, within=0.001)
    assert_reads(run, "jumper:a", "X1", "high_z", 119.96, within=0.001)


def test_a_reversed_plug_puts_the_line_on_the_return():
    supply = {
        "voltage": "229.99 V to 230.01 V",
        "current": "AC",
        "frequency": "50 Hz",
        "earthing": "reversible",
    }
    table = readings(two_contacts({"input": "i", "impedance": "10 kΩ"}, supply), "c")
    assert_reads(table, "healthy", "X2", "high_z", 229.9, within=0.002)
    to_earth = {mark: table.earth[0, 0, k] for k, mark in enumerate(table.points)}
    for mark in ("X2", "N"):  # either may be the live one
        assert to_earth[mark][0] < 0.5
        assert to_earth[mark][1] > 229


def test_a_voltage_typed_without_a_range_may_be_ten_percent_off():
    # 230 V: 207 V to 253 V, the meter 1.5 % and 0.3 V more: 203.6 V to 257.1 V.
    table = readings(two_contacts({"input": "i", "impedance": "10 kΩ"}, {**V120, "voltage": "230 V"}), "c")
    lo, hi = table.interval("healthy", "L")
    assert (lo, hi) == pytest.approx((203.6, 257.1), abs=0.2)


def test_an_input_is_taken_as_made_or_open_only_if_it_is_so_at_every_supply_voltage():
    # 10 kΩ before a 10 kΩ input at 24 V ± 10 %: 10.8 V to 13.2 V.
    def made(on_above, off_below):
        load = {"input": "i", "impedance": "10 kΩ", "on_above": on_above, "off_below": off_below}
        path = [
            {"point": "P"},
            {"resistor": "R", "resistance": "10 kΩ"},
            {"point": "X"},
            load,
            {"point": "M"},
        ]
        return readings(string(path, {"voltage": "24 V ± 10 %", "current": "DC"}), "c").made[0]

    assert made("10.5 V", "5 V") == "made"
    assert made("11.5 V", "5 V") == "undecided"
    assert made("20 V", "13.5 V") == "open"
    assert made("20 V", "12.5 V") == "undecided"


def test_no_supply_may_leave_the_other_side_of_a_plug_live():
    # The line lost before the point, the plug reversed: the neutral side still stands at 230 V to earth.
    supply = {"voltage": "229.99 V to 230.01 V", "current": "AC", "earthing": "reversible"}
    table = readings(two_contacts({"input": "i", "impedance": "10 kΩ"}, supply), "c")
    row = [fault.id for fault in table.faults].index("no-supply")
    least, most = table.earth[0, row, table.points.index("X2")]
    assert least < 1
    assert most > 225


def test_a_lamp_on_a_tap_hangs_on_the_return_behind_the_load():
    # The contact before the lamp stands open, so its far side lies on the return terminal. With the return
    # open beyond, terminal and lamp are pulled up together and the meter between them reads nothing.
    tap = {"tap": [contact("t"), {"point": "T"}, {"load": "lamp", "impedance": "4 kΩ"}]}
    path = [{"point": "L"}, tap, {"input": "i", "impedance": "10 kΩ"}, {"point": "N"}]
    stages = [{"id": "rest", "title": "Rest", "open": ["t"]}]
    table = readings(string(path, V120, plant={"sequence": stages}), "c", State(stage="rest"))
    assert true_ends(table, "return", "T")[1] < 1


def test_an_end_of_line_resistor_told_twice_is_there_once():
    # 24 × 4.7/6.9 = 16.35 V, whether it stands in the path, at the input or in both.
    eol = {"resistor": "End-of-line", "resistance": "2.2 kΩ"}
    load = {"input": "i", "impedance": "4.7 kΩ"}
    for told, at_input in ((True, False), (False, True), (True, True)):
        path = [{"point": "P"}, contact("a"), *([eol, {"point": "X"}] if told else [{"point": "X"}])]
        path += [load | ({"end_of_line": "2.2 kΩ"} if at_input else {}), {"point": "M"}]
        table = readings(string(path, V24), "c")
        assert_reads(table, "healthy", "X", "high_z", 16.35 if told else 24.0, within=0.003)
        assert len(table.network.loads) == 2
