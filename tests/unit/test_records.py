"""Records carry what was typed, with routes, quantities and the parts of a path."""

from __future__ import annotations

from kbgen.model import action as act
from kbgen.model.circuit import Circuit, Contact, Fuse, Input, Parallel, Point, parts
from kbgen.model.entry import make_entry
from kbgen.model.procedure import Procedure
from kbgen.ref import Kind

CIRCUIT = {
    "title": "Limits",
    "equipment": "plant",
    "supply": {"voltage": "120 V ± 10 %", "current": "AC"},
    "path": [
        {"point": "T1", "place": "panel"},
        {"fuse": "F1", "rating": "3 A"},
        {"parallel": [[{"contact": "float", "sizes": ["big"]}], [{"point": "T2"}, {"contact": "timer"}]]},
        {"input": "limits", "on_above": "80 V"},
    ],
}


def test_a_path_keeps_its_order_and_every_part_its_route() -> None:
    circuit = make_entry(Kind.CIRCUIT, "limits", "circuits/limits.yaml", CIRCUIT).record
    assert isinstance(circuit, Circuit)
    assert [type(part) for part in circuit.path] == [Point, Fuse, Parallel, Input]
    routes = {part.contact: part.route for part in parts(circuit.path) if isinstance(part, Contact)}
    assert routes == {"float": ("path", 2, "parallel", 0, 0), "timer": ("path", 2, "parallel", 1, 1)}
    assert circuit.supply.voltage.lo == 108
    assert circuit.supply.voltage.text == "120 V ± 10 %"


def test_a_step_carries_its_action_beside_its_text() -> None:
    data = {
        "title": "Find",
        "steps": [
            {"do": "Look."},
            {
                "do": "Measure.",
                "measure": "volts",
                "at": "T1",
                "to": "N",
                "ask": "Full?",
                "outcomes": [
                    {"when": "yes", "full": "a"},
                    {"when": "no", "go": "b", "at_most": 2},
                ],
            },
            {"do": "Wait.", "wait": "15 min", "for": "It cools"},
        ],
    }
    procedure = make_entry(Kind.PROCEDURE, "find", "procedures/find.yaml", data).record
    assert isinstance(procedure, Procedure)
    look, measure, wait = procedure.steps
    assert look.action is None
    assert measure.action == act.Measure("volts", at="T1", to="N")
    assert measure.outcomes[0].ways == (("full", "a"),)
    assert measure.outcomes[1].route == ("steps", 1, "outcomes", 1)
    assert isinstance(wait.action, act.Wait)
    assert (wait.action.wait.value, wait.action.for_) == (900, "It cools")
