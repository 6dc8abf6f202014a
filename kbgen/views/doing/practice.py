"""What a practice meter shows where volts are read: faults simulated by the solver of circuits."""

from __future__ import annotations

import json

from kbgen.compute.circuit.faults import HEALTHY, OPENS, Fault
from kbgen.compute.circuit.meter import HIGH_Z, LOW_Z, ROW
from kbgen.compute.circuit.readings import Table, readings
from kbgen.compute.circuit.state import State
from kbgen.compute.circuit.study import Study
from kbgen.link.base import KnowledgeBase
from kbgen.model import action as act
from kbgen.model.circuit import return_mark
from kbgen.model.procedure import Procedure
from kbgen.views.circuit_words import fault_name
from kbgen.views.doing.reading import MOST

_PAIR = "open-pair"
_MADE_OHMS = 0.3
"""Ohms that a meter shows across a made contact, its leads with it."""


def practice_data(study: Study, base: KnowledgeBase, page: str, procedure: Procedure) -> str:
    """Return the faults that can be practised on a page: id, words, and by step what the meter shows; empty without any.

    A fault is one opened place of a circuit that the page reads; what other circuits read is as if all were made.
    """
    return study.remembered(("practice", page), lambda: _faults(base, procedure))


def _faults(base: KnowledgeBase, procedure: Procedure) -> str:
    steps = {
        number: step.action
        for number, step in enumerate(procedure.steps)
        if isinstance(step.action, act.Measure) and step.action.measure in ("volts", "ohms")
    }
    plants = [plant for name in procedure.equipment if (plant := base.equipment(name)) is not None]
    known = [size.id for plant in plants for size in plant.sizes]
    size = next((size for size in known if size in (procedure.sizes or known)), "")
    tables: dict[str, Table] = {}
    for name in dict.fromkeys(action.circuit or procedure.circuit or "" for action in steps.values()):
        circuit = base.circuit(name) if name else None
        if circuit is not None:
            tables[name] = readings(base, name, State(size=size), pairs=False)
    rows = []
    for name, table in tables.items():
        for row, fault in enumerate(table.faults):
            if fault.kind not in OPENS or fault.kind == _PAIR:
                continue
            shown = {}
            for number, action in steps.items():
                own = action.circuit or procedure.circuit or ""
                if own not in tables:
                    continue
                its = row if own == name else tables[own].faults.index(HEALTHY)
                found = _shown(base, tables[own], own, its, fault if own == name else HEALTHY, action)
                if found is not None:
                    shown[number] = found
            if len(set(shown.values())) > 1:
                rows.append([fault.id, fault_name(base, fault), shown])
    return json.dumps(rows, ensure_ascii=False, separators=(",", ":")) if rows else ""


def _shown(
    base: KnowledgeBase, table: Table, name: str, row: int, fault: Fault, action: act.Measure
) -> float | None:
    """Return what a meter shows: the middle of what it may show; nothing where the solver does not say."""
    if action.measure == "ohms":
        if not action.across:
            return None
        return MOST if action.across == fault.device else _MADE_OHMS
    mode = ROW[LOW_Z if action.meter == "low-impedance" else HIGH_Z]
    circuit = base.circuit(name)

    def middle(port: str) -> float:
        least, most = table.bounds[mode, row, table.ports.index(port)]
        return float(least + most) / 2

    if action.across:
        return round(middle(action.across), 1) if action.across in table.ports else None
    if action.at not in table.points:
        return None
    if circuit is not None and action.to == return_mark(circuit.path):
        return round(middle(action.at), 1)
    return round(abs(middle(action.at) - middle(action.to)), 1) if action.to in table.points else None
