"""Which parts a plant really has, and how each contact should stand."""

from __future__ import annotations

import pytest

from kbgen.compute.circuit.readings import readings
from kbgen.compute.circuit.state import State, UnknownName, settle
from kbgen.compute.circuit.variant import make_variant
from kbgen.model.circuit import Contact, Load, Parallel, Point, reach, return_mark
from tests.unit.circuit.bases import make_base, read_base, string

V24 = {"voltage": "24 V", "current": "DC", "source": "s"}
ONDREL = read_base("ondrel")


def closed(base, circuit, state=None):
    return dict(make_variant(settle(base, circuit, state or State())).closed)


def test_a_shut_cock_and_an_open_cover_open_their_contacts():
    assert (
        closed(ONDREL, "limits", State(valves_shut=frozenset({"boiler-cock"})))["low-gas-pressure"] is False
    )
    assert closed(ONDREL, "limits", State(valves_shut=frozenset({"burner-cock"})))["low-gas-pressure"] is True
    door = State(stage="heat", covers_off=frozenset({"unit-door"}))
    assert closed(read_base("vashby"), "string", door)["unit-door-switch"] is False


def test_a_relay_contact_follows_its_coil_in_the_other_circuit():
    relay = {
        "k": {
            "title": "K",
            "type": "relay",
            "contacts": [{"id": "nc", "made_when": "off", "made_energised": "false"}],
        }
    }
    plant = {"title": "P", "covers": [{"id": "lid", "title": "Lid", "place": "x", "opens": ["feeler"]}]}
    coil = {"title": "K1", "equipment": "p", "supply": V24, "path": [{"contact": "feeler"}, {"coil": "k"}]}
    path = [{"contact": "k"}, {"contact": "k", "which": "nc"}, {"input": "i"}]
    string_ = {"title": "S", "equipment": "p", "supply": V24, "path": path}
    base = make_base({"equipment": {"p": plant}, "devices": relay, "circuits": {"coil": coil, "s": string_}})
    assert closed(base, "s") == {"k": True, "k/nc": False}
    assert closed(base, "s", State(covers_off=frozenset({"lid"}))) == {"k": False, "k/nc": True}
    assert closed(base, "s", State(supply_on=False)) == {"k": False, "k/nc": True}


def test_two_relays_that_hold_each_other_have_an_end():
    devices = {name: {"title": name, "type": "relay"} for name in ("k1", "k2")}
    circuits = {
        f"c{n}": {
            "title": "C",
            "equipment": "p",
            "supply": V24,
            "path": [{"contact": f"k{3 - n}"}, {"coil": f"k{n}"}],
        }
        for n in (1, 2)
    }
    base = make_base({"equipment": {"p": {"title": "P"}}, "devices": devices, "circuits": circuits})
    assert closed(base, "c1") == {"k2": True}


def test_a_contact_the_stage_ignores_may_read_either_way():
    stages = [{"id": "rest", "title": "Rest", "ignored": ["a"]}]
    path = [{"point": "L"}, {"contact": "a"}, {"point": "X"}, {"input": "i"}, {"point": "M"}]
    table = readings(string(path, V24, plant={"sequence": stages}), "c", State(stage="rest"))
    lo, hi = table.interval("healthy", "X")
    assert lo == 0
    assert hi > 24


def test_parts_of_other_regions_and_sizes_go_straight_through():
    path = [{"contact": "a", "regions": ["north"]}, {"contact": "b", "sizes": ["large"]}, {"input": "i"}]
    plant = {"title": "P", "sizes": [{"id": "small", "title": "S"}, {"id": "large", "title": "L"}]}
    circuit = {"title": "C", "equipment": "p", "supply": V24, "path": path}
    base = make_base({"equipment": {"p": plant}, "circuits": {"c": circuit}}, regions=("north", "south"))
    assert list(closed(base, "c")) == ["a"]  # all regions of the shop, the first size
    assert list(closed(base, "c", State(region="south", size="large"))) == ["b"]


def test_two_strings_that_feed_one_input_hide_each_others_opens():
    def circuit(contact, marks):
        path = [
            {"point": marks[0]},
            {"contact": contact},
            {"point": marks[1]},
            {"input": "i"},
            {"point": "M"},
        ]
        return {"title": "C", "equipment": "p", "supply": V24, "path": path}

    circuits = {"c": circuit("a", "12"), "d": circuit("b", "34")}
    base = make_base({"equipment": {"p": {"title": "P"}}, "circuits": circuits})
    table = readings(base, "c")
    assert table.points == ("1", "2", "M")
    assert table.interval("open:a", "2")[0] > 20
    alone = readings(make_base({"equipment": {"p": {"title": "P"}}, "circuits": {"c": circuits["c"]}}), "c")
    assert alone.interval("open:a", "2")[1] < 1


def test_a_wrong_name_in_the_state_is_told():
    for state in (State(size="sb-9"), State(stage="purging"), State(options=frozenset({"x"}))):
        with pytest.raises(UnknownName):
            settle(ONDREL, "limits", state)


def test_branches_side_by_side_have_wires_of_their_own():
    table = readings(read_base("vashby"), "string", State(stage="heat"))
    ids = {fault.id for fault in table.faults}
    assert {"wire:9-10", "wire:9-10/low-outlet-temperature", "wire:9-10/start-timer"} <= ids


def test_a_string_that_must_be_made_has_the_contact_in_it_closed_whichever_side_it_is():
    sides = [{"id": "off", "made_when": "off", "made_energised": "false"}, {"id": "on", "made_when": "on"}]
    stages = [{"id": "run", "title": "Run", "strings_made": ["c"]}]
    for side, other in (("off", "on"), ("on", "off")):
        beside = {"title": "D", "equipment": "p", "supply": V24, "path": [{"contact": "k", "which": other}]}
        base = string(
            [{"contact": "k", "which": side}, {"input": "i"}],
            V24,
            plant={"sequence": stages},
            devices={"k": {"title": "K", "contacts": sides}},
            circuits={"d": beside},
        )
        assert closed(base, "c", State(stage="run")) == {"k": True}
        assert closed(base, "d", State(stage="run")) == {"k": False}


def test_a_coil_in_a_branch_hangs_on_its_own_branch_and_on_what_is_before_it():
    stages = [{"id": "left", "title": "L", "open": ["t1"]}, {"id": "none", "title": "N", "open": ["main"]}]
    branches = [[{"contact": "t1"}, {"coil": "k1"}], [{"contact": "t2"}, {"coil": "k2"}]]
    coils = {"title": "K", "equipment": "p", "supply": V24}
    base = string(
        [{"contact": "k1"}, {"contact": "k2"}, {"input": "i"}],
        V24,
        plant={"sequence": stages},
        devices={name: {"title": name, "type": "relay"} for name in ("k1", "k2")},
        circuits={"coils": {**coils, "path": [{"contact": "main"}, {"parallel": branches}]}},
    )
    assert closed(base, "c", State(stage="left")) == {"k1": False, "k2": True}
    assert closed(base, "c", State(stage="none")) == {"k1": False, "k2": False}
    assert closed(base, "c") == {"k1": True, "k2": True}


def fed_together(first, second):
    """Build two strings into one input; each with a fuse F1 behind its first point."""

    def circuit(contact, rating, supply):
        path = [{"point": f"L{contact}"}, {"fuse": "F1", "rating": rating}, {"point": f"X{contact}"}]
        path += [{"contact": contact}, {"point": f"Y{contact}"}, {"input": "i"}, {"point": "M"}]
        return {"title": "C", "equipment": "p", "supply": supply, "path": path}

    circuits = {"c": circuit("a", "2 A", first), "d": circuit("b", "900 A", second)}
    return make_base({"equipment": {"p": {"title": "P"}}, "circuits": circuits})


def test_a_fuse_that_two_strings_share_takes_both_along():
    table = readings(fed_together(V24, V24), "c")
    assert table.interval("fuse", "Xa")[1] < 1
    assert table.interval("open:a", "Ya")[0] > 20


def test_fuses_of_one_name_on_two_supplies_are_two_with_ratings_of_their_own():
    table = readings(fed_together(V24, {**V24, "source": "t"}), "c")
    assert table.interval("fuse", "Xa")[0] > 20
    assert table.network.fuse_amperes["F1"] == 2


def test_two_fuses_of_one_name_in_one_string_are_two_faults():
    path = [{"point": "L"}, {"fuse": "F"}, {"point": "X"}, {"fuse": "F"}, {"point": "Y"}, {"input": "i"}]
    found = [fault.id for fault in readings(string(path, V24), "c").faults if fault.kind == "fuse"]
    assert found == ["fuse:F", "fuse:F/2"]


def test_a_device_that_needs_power_is_open_on_dead_plant_and_any_other_as_it_was():
    devices = {
        "scanner": {"title": "S", "needs_power": "true"},
        "float": {"title": "F", "needs_power": "false"},
    }
    base = string([{"contact": "scanner"}, {"contact": "float"}, {"input": "i"}], V24, devices=devices)
    assert closed(base, "c") == {"scanner": True, "float": True}
    assert closed(base, "c", State(supply_on=False)) == {"scanner": False, "float": True}


def test_a_relay_fed_from_elsewhere_stays_in_when_this_supply_is_off():
    def with_coil_on(source):
        coil = {"title": "K", "equipment": "p", "supply": {**V24, "source": source}, "path": [{"coil": "k"}]}
        devices = {"k": {"title": "K", "type": "relay"}}
        return string([{"contact": "k"}, {"input": "i"}], V24, devices=devices, circuits={"k": coil})

    assert closed(with_coil_on("s"), "c", State(supply_on=False)) == {"k": False}
    assert closed(with_coil_on("other"), "c", State(supply_on=False)) == {"k": True}


def test_a_device_of_another_size_is_not_in_the_string():
    sizes = [{"id": name, "title": name} for name in ("small", "large")]
    devices = {"b": {"title": "B", "sizes": ["large"]}}
    base = string(
        [{"contact": "a"}, {"contact": "b"}, {"input": "i"}], V24, plant={"sizes": sizes}, devices=devices
    )
    assert list(closed(base, "c", State(size="small"))) == ["a"]
    assert list(closed(base, "c", State(size="large"))) == ["a", "b"]


def test_a_point_stands_where_the_one_before_it_stands():
    path = (
        Point(point="1", place="panel", cover="door"),
        Parallel(parallel=((Point(point="2"),), (Point(point="3", place="roof"),))),
        Point(point="4"),
        Point(point="5", cover="lid"),
    )
    assert {point.point: there for point, there in reach(path).items()} == {
        "1": ("panel", "door"),
        "2": ("panel", "door"),
        "3": ("roof", ""),
        "4": ("roof", ""),
        "5": ("roof", "lid"),
    }


def test_the_return_is_the_last_mark_behind_the_last_load():
    load = Load(load="lamp")
    assert (
        return_mark((Point(point="L"), load, Point(point="X"), Contact(contact="a"), Point(point="N"))) == "N"
    )
    assert return_mark((Point(point="L"), load)) == ""
    assert return_mark((Point(point="L"), Point(point="X"))) == ""
