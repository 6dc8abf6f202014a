"""The figures an entry rests on: the readings of its circuit and the order they are taken in."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.circuit.study import Studied, Study, alike
from kbgen.model.circuit import Circuit
from kbgen.model.mark import figures_mark, hunted, read_mark
from kbgen.model.procedure import Procedure
from kbgen.model.symptom import Symptom
from kbgen.ref import Ref

_SHOWN = 1
"""Decimals of a reading in volts, as pages show it."""


def figures_of(study: Study, ref: Ref) -> str:
    """Return the mark of the figures an entry rests on, as `Mark.figures` holds it."""
    return study.remembered(("figures", str(ref)), lambda: _figures(study, ref))


def _figures(study: Study, ref: Ref) -> str:
    entry = study.base.entries[ref]
    match entry.record:
        case Procedure():
            return figures_mark(*hunted(entry.data))
        case Circuit():
            return figures_mark(*_worked_out(study, ref.id, "", ()))
        case Symptom(circuit=circuit, stage=stage, sizes=sizes) if circuit and study.knows(circuit):
            plant = study.base.equipment(study.base.circuit(circuit).equipment)  # type: ignore[union-attr]
            known = plant is not None and any(each.id == stage for each in plant.sequence)
            return figures_mark(*_worked_out(study, circuit, stage if known else "", sizes))
    return figures_mark()


def _worked_out(study: Study, circuit: str, stage: str, sizes: tuple[str, ...]) -> Iterator[object]:
    from kbgen.compute.circuit.order import tree_json

    for each in alike(study, circuit, stage, sizes):
        studied = study.of(circuit, each.state)
        yield [_readings(studied), _order(tree_json(studied.probing, studied.order.tree))]


def _readings(studied: Studied) -> object:
    table = studied.probing.table
    # Adding nought makes -0.0 and 0.0 one.
    bounds = table.bounds.round(_SHOWN) + 0.0
    return [list(table.points), list(table.devices), [fault.id for fault in table.faults], bounds.tolist()]


def _order(tree: object) -> object:
    """Return an order without what it costs."""
    if isinstance(tree, dict):
        return {name: _order(value) for name, value in tree.items() if name != "minutes"}
    return [_order(each) for each in tree] if isinstance(tree, list) else tree


def figures_differ(study: Study, ref: Ref) -> bool:
    """Return whether the figures that a signed entry rests on are others than those that were signed."""
    marks = [mark for each in study.base.entries[ref].head.standing.now if (mark := read_mark(each.mark))]
    return bool(marks) and all(mark.figures != figures_of(study, ref) for mark in marks)
