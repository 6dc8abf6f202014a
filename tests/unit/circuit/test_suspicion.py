"""How much each fault is suspected before anything is measured."""

from __future__ import annotations

import pytest

from kbgen.compute.circuit.readings import readings
from kbgen.compute.circuit.suspicion import suspect
from tests.unit.circuit.bases import string

V24 = {"voltage": "24 V", "current": "DC"}
TWO = [
    {"point": "L"}, {"contact": "a"}, {"point": "5"}, {"contact": "b"}, {"point": "6"}, {"input": "i"}, {"point": "N"},
]  # fmt: skip


def weights(supply=V24, **more):
    table = readings(string(TWO, supply, **more), "c")
    found = suspect(table)
    return {fault.id: (weight, notes) for fault, weight, notes in zip(table.faults, found.weights, found.notes, strict=True)}  # fmt: skip


def note(**found):
    return {"field_notes": {"n": {"title": "N", "date": "2026-01-02", "equipment": "p", **found}}}


def test_two_contacts_are_rarely_open_at_once():
    # Half a job each of one together: 0.05 × ½ × ½ / 1.
    found = weights()
    assert found["open:a"] == (0.5, 0)
    assert found["open:a+open:b"][0] == pytest.approx(0.0125)


@pytest.mark.parametrize(("wire", "notes"), [("X3:5", 0), ("15", 0), ("from 5 to the switch", 1), ("51", 0)])
def test_a_job_counts_for_the_wire_it_names_and_for_no_other(wire, notes):
    found = weights(**note(wire=wire, fault="wire-open"))
    assert found["wire:5-6"][1] == notes
    assert found["wire:5-6"][0] == pytest.approx(0.1 + notes)


def test_a_first_earth_fault_is_not_chased_where_it_cannot_show():
    grounded, floating = (
        weights({**V24, "earthing": how})["ground:5"][0] for how in ("grounded", "ungrounded")
    )
    assert grounded == pytest.approx(0.05)
    assert floating < 1e-3 * grounded * 1.01
