"""From a stage to its contacts, its suspects and the displays that pass."""

from __future__ import annotations

import pytest

from kbgen.compute.circuit.state import UnknownName
from kbgen.compute.sequence import evaluated_in, needs, passing, suspects
from kbgen.compute.statistics import device_weights, found_most, notes_of, share_of
from tests.unit.circuit.bases import read_base

ONDREL = read_base("ondrel")


def test_the_air_switch_must_be_open_before_the_fan_and_made_in_the_purge():
    before = {n.device: n for n in needs(ONDREL, "ondrel-sb", "pre-start")}
    purge = {n.device: n for n in needs(ONDREL, "ondrel-sb", "purge")}
    assert before["air-proving"].must == "open"
    assert (purge["air-proving"].must, purge["air-proving"].newly) == ("made", True)
    assert (purge["first-low-water"].must, purge["first-low-water"].newly) == ("made", False)
    assert purge["air-proving"].circuits == ("running",)


def test_stops_during_the_purge_suspects_the_air_switch_first():
    found = suspects(ONDREL, "ondrel-sb", "purge")
    # Air switch: ½ × 3, asked anew × 4 = 6. First low water: ½ × 3 + 2 jobs = 3.5. Fan starter: ½ × 4 = 2.
    assert [s.need.device for s in found[:3]] == ["air-proving", "first-low-water", "low-gas-pressure"]
    assert found[0].share / found[1].share == pytest.approx(6 / 3.5)
    assert sum(s.share for s in found) == pytest.approx(1)


def test_a_position_switch_of_the_large_sizes_is_no_suspect_on_a_small_one():
    small = {s.need.device for s in suspects(ONDREL, "ondrel-sb", "pilot", "sb-1")}
    large = {s.need.device for s in suspects(ONDREL, "ondrel-sb", "pilot", "sb-3")}
    assert large - small == {"low-fire-position"}


def test_what_a_stage_ignores_is_no_suspect():
    assert "low-fire-position" not in {s.need.device for s in suspects(ONDREL, "ondrel-sb", "run", "sb-3")}


def test_a_display_that_passes_is_told_with_its_time():
    (only,) = passing(ONDREL, "ondrel-sb")
    assert (only.stage, only.shows, only.lasts, only.how_often) == (
        "purge", "AIR NOT PROVED", "3 s to 8 s", "At every start",
    )  # fmt: skip
    assert passing(ONDREL, "ondrel-sb", "run") == ()


def test_a_circuit_is_looked_at_only_in_its_stages():
    assert evaluated_in(ONDREL, "limits") == ("pre-start", "purge", "pilot", "run")
    assert evaluated_in(ONDREL, "start-interlock") == ("pilot",)
    assert "standby" not in evaluated_in(ONDREL, "running")


def test_unknown_stage_is_told():
    with pytest.raises(UnknownName, match="purge"):
        needs(ONDREL, "ondrel-sb", "purging")


def test_weights_are_half_a_job_and_the_jobs():
    weights = device_weights(ONDREL, "ondrel-sb", ["first-low-water", "operating-pressure", "air-proving"])
    assert (weights["first-low-water"].weight, weights["first-low-water"].notes) == (3.5, 2)
    # The job that was not reproduced counts for nobody.
    assert (weights["operating-pressure"].weight, weights["operating-pressure"].notes) == (1.0, 0)


def test_what_was_found_most_comes_with_counts_and_an_interval():
    first = found_most(notes_of(ONDREL, "ondrel-sb"))[0]
    assert (first.device, first.jobs.count, first.jobs.total, first.real) == ("first-low-water", 2, 5, 1)
    # Wilson at 95 % for 2 of 5: middle (0.4 + 0.3842)/(1.7683) = 0.4435, half 0.3259.
    assert (first.jobs.lo, first.jobs.hi) == pytest.approx((0.1176, 0.7693), abs=5e-4)
    assert share_of(0, 0).hi == 1
