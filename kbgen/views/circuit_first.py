"""What to test first on a symptom, out of the order of its circuit in its stage."""

from __future__ import annotations

from itertools import chain

from kbgen.compute.circuit.order import Order
from kbgen.compute.circuit.reading import supply_mark
from kbgen.compute.circuit.study import Study
from kbgen.model.symptom import Symptom
from kbgen.ref import Kind, Ref
from kbgen.views.blocks import Block, Facts, Goto, Line, Mark, Plain
from kbgen.views.circuit_order import first_points, likeliest
from kbgen.views.circuit_sections import LIVE_WORK
from kbgen.views.circuit_words import contact_name, fault_name, first_upper, ours, stage_line
from kbgen.views.compose import fact, facts
from kbgen.views.fitting import only
from kbgen.views.kinds import kinds_of

_FIRST = 3


def test_first(study: Study, symptom: Symptom) -> tuple[Block | None, ...]:
    """Return the likeliest three faults and the first three readings; nothing without a circuit."""
    if not (symptom.circuit and study.knows(symptom.circuit)):
        return ()
    base = study.base
    circuit = base.circuit(symptom.circuit)
    plant = base.equipment(circuit.equipment) if circuit else None
    if circuit is None or plant is None:
        return ()
    stage = symptom.stage if any(s.id == symptom.stage for s in plant.sequence) else ""
    kinds = kinds_of(study, symptom.circuit, stage, symptom.sizes)
    first = [only(fits, _first(study, study.of(symptom.circuit, state).order)) for fits, state in kinds]
    there = Goto("What do you read?", Ref(Kind.CIRCUIT, symptom.circuit), "judge")
    return (LIVE_WORK, *chain.from_iterable(first), facts(fact("Enter readings", (there,))))


def _first(study: Study, order: Order) -> Facts | None:
    base = study.base
    faults = order.probing.table.faults
    suspects: list[Line] = []
    for row, share, notes in likeliest(order, _FIRST):
        fault = faults[row]
        name = first_upper(fault_name(base, fault, ours(order.probing.table)))
        ref = Ref(Kind.DEVICE, fault.device) if fault.device else None
        jobs = "1 field note" if notes == 1 else f"{notes} field notes"
        suspects.append(
            ((Goto(name, ref),) if ref in base.entries and ref else (Plain(name),))
            + (Plain(f": {share:.0%}, {jobs}"),)
        )
    return facts(
        fact("Stage", stage_line(order.probing.table)),
        fact("Test first", _readings(study, order)),
        fact("Likeliest", *suspects),
    )


def _readings(study: Study, order: Order) -> Line:
    """Name the first readings, the supply before them all."""
    line: list[Plain | Mark] = []
    devices = order.probing.table.devices
    supply = supply_mark(order.probing.table)
    names = [*([supply] if supply in order.probing.points else []), *first_points(order, _FIRST)]
    for name in names:
        if line:
            line.append(Plain(", then "))
        if name in devices:
            line.append(Plain(f"across {contact_name(study.base, name)}"))
        else:
            line.append(Mark(name))
    return tuple(line)
