"""How a reading of a step is judged: the limits of its classes, as the one judge of circuits has them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import partial

from kbgen.compute.circuit import defaults
from kbgen.compute.circuit.meter import HIGH_Z, LOW_Z, OTHER, ROW
from kbgen.compute.circuit.reading import supply_mark
from kbgen.compute.circuit.readings import Table, readings
from kbgen.compute.circuit.state import State
from kbgen.compute.circuit.study import Study
from kbgen.link.base import KnowledgeBase
from kbgen.model import action as act
from kbgen.model.answers import answers
from kbgen.model.circuit import return_mark
from kbgen.model.procedure import Procedure, ProcedureStep

UNITS = {"volts": "V", "ohms": "Ω", "amps": "A", "microamps": "µA", "insulation": "MΩ"}
KNOWN_LEAST = 10.0
"""Volts a meter must show on its known source, so that it is seen to read at all."""


def volts(
    study: Study, base: KnowledgeBase, procedure: Procedure, step: ProcedureStep
) -> Mapping[str, object] | None:
    """Return the limits of a reading of volts to the return, where its answers are full, none and some.

    Fields:
        ``none``: up to which volts it reads nothing; ``sag``: least and greatest share of the supply as read that a
        made string holds; ``w``: how far off it may be, volts and share; ``least``: what the input needs;
        ``n``: least and greatest where the supply was not read; ``sup``: whether this is the supply itself;
        ``place`` and ``band``: how far behind the supply a point lies that shows it, and what the supply may read;
        ``of``: the circuit. Nothing where one number alone does not answer the question, or sizes differ.
    """
    action = step.action
    if not isinstance(action, act.Measure) or action.measure != "volts" or step.ask:
        return None
    if {each.verdict for each in answers(step) if not each.doubt} - {"full", "none", "some"}:
        return None
    circuit_id = action.circuit or procedure.circuit
    circuit = base.circuit(circuit_id) if circuit_id else None
    if circuit is None or not action.at or action.to != return_mark(circuit.path):
        return None
    plants = [plant for name in procedure.equipment if (plant := base.equipment(name)) is not None]
    sizes = procedure.sizes or tuple(size.id for plant in plants for size in plant.sizes) or ("",)
    mode = LOW_Z if action.meter == "low-impedance" else HIGH_Z

    def of(size: str) -> dict[str, dict[str, object]]:
        table = readings(base, circuit_id, State(size=size), pairs=False)
        return {
            f"{mode} {mark}": _limits(table, mode, port)
            for mode in ROW
            if mode != OTHER
            for port, mark in enumerate(table.points)
        }

    found = [study.remembered(("doing", circuit_id, size), partial(of, size)) for size in sizes]
    mine = [each.get(f"{mode} {action.at}") for each in found]
    if mine[0] is None or any(each != mine[0] for each in mine):
        return None
    return {**mine[0], "of": circuit_id}


def _limits(table: Table, mode: str, port: int) -> dict[str, object]:
    bands = table.bands
    (least, most), sag = bands.shares[ROW[mode]][port], bands.sag
    low = bands.volts[1] < defaults.METER_RANGE
    made: dict[str, object] = {
        "none": bands.nothing(port),
        "sag": [round(least / sag[0], 6), round(most / sag[1], 6)],
        "w": [defaults.FULL_WITHIN_LOW, 1] if low else [defaults.FULL_WITHIN, defaults.FULL_WITHIN_SHARE],
        "least": 0 if mode == LOW_Z else bands.least_full,
        "n": list(bands.full(mode, port, None)),
    }
    mark, main = table.points[port], table.network.main_points
    if mark == supply_mark(table):
        made["sup"] = 1
    if mark in main and bands.shows_supply(mode, port):
        made |= {"place": main.index(mark), "band": list(bands.supply)}
    return made


def dead_limit(base: KnowledgeBase, procedure: Procedure, source: str) -> float:
    """Return up to which volts a pair of a source counts as dead: what a meter may show where there is nothing."""
    plants = (base.equipment(name) for name in procedure.equipment)
    found = [each for plant in plants if plant for each in plant.sources if each.id == source]
    low = [each.voltage.value < defaults.METER_RANGE for each in found if each.voltage]
    return defaults.STRAY_LOW if low and all(low) else defaults.STRAY


def unit(action: act.Measure | act.Watch) -> str:
    """Return the unit a reading is in, as its expected text has it; empty where nothing tells."""
    quantity = action.measure if isinstance(action, act.Measure) else action.watch
    found = _UNIT.search(action.reads)
    return UNITS.get(quantity) or (found[1] if found else "")


_UNIT = re.compile(r"\d\s*([^\s\d.,;:]{1,6}(?: w\.c\.)?)\s*(?:\.|$)")
