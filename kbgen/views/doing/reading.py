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
from kbgen.model.answers import Answer, answers, question
from kbgen.model.circuit import return_mark
from kbgen.model.procedure import Procedure, ProcedureStep
from kbgen.model.wording import ANSWERS, OR_NOT_SURE, QUESTIONS

UNITS = {"volts": "V", "ohms": "Ω", "amps": "A", "microamps": "µA", "insulation": "MΩ"}
KNOWN_LEAST = 10.0
"""Volts a meter must show on its known source, so that it is seen to read at all."""


def volts(
    study: Study, base: KnowledgeBase, procedure: Procedure, step: ProcedureStep
) -> Mapping[str, object] | None:
    """Return the limits of a reading of volts, where its question asks for this one reading and nothing else.

    Fields:
        ``none``: up to which volts it reads nothing; ``sag``: least and greatest share of the supply as read that a
        made string holds; ``w``: how far off it may be, volts and share; ``least``: what the input needs;
        ``n``: least and greatest where the supply was not read; ``sup``: whether this is the supply itself;
        ``place`` and ``band``: how far behind the supply a point lies that shows it, and what the supply may read;
        ``more``: up to which volts more than full has an answer of its own, ``is``: the class of each answer there;
        ``of``: the circuit; ``p``, ``to``: where the probes are. Nothing where one number alone does not answer the
        question, or sizes differ.
    """
    action = step.action
    if (
        not isinstance(action, act.Measure)
        or action.measure != "volts"
        or question(step) != QUESTIONS["volts"]
    ):
        return None
    classes = [_class(each) for each in answers(step)]
    circuit_id = action.circuit or procedure.circuit
    found = None if "?" in classes else _of_circuit(study, base, procedure, action)
    if found is None:
        return None
    limits = {**found, "of": circuit_id, "p": action.at, "to": action.to}
    if "above" in classes:
        limits |= {"more": limits["top"], "is": classes}
    del limits["top"]
    return limits


def _class(answer: Answer) -> str:
    """Return which class of a reading an answer stands for; empty for doubt alone, ``?`` where it says more than that."""
    words = answer.when.removesuffix(OR_NOT_SURE.format(""))
    if words in (ANSWERS.get(answer.verdict), _ALSO.get(answer.verdict)):
        return answer.verdict
    return "above" if _ABOVE.fullmatch(words) else "" if answer.doubt else "?"


_ALSO = {"none": "None"}
_ABOVE = re.compile(r"Above [\d.]+ V")


def _of_circuit(
    study: Study, base: KnowledgeBase, procedure: Procedure, action: act.Measure
) -> Mapping[str, object] | None:
    """Return the limits of a reading in its circuit; the same for every size of the page, or nothing."""
    circuit_id = action.circuit or procedure.circuit
    circuit = base.circuit(circuit_id) if circuit_id else None
    if circuit is None:
        return None
    plants = [plant for name in procedure.equipment if (plant := base.equipment(name)) is not None]
    sizes = procedure.sizes or tuple(size.id for plant in plants for size in plant.sizes) or ("",)
    mode = LOW_Z if action.meter == "low-impedance" else HIGH_Z
    back = return_mark(circuit.path)

    def of(size: str) -> dict[str, dict[str, object]]:
        table = readings(base, circuit_id, State(size=size), pairs=False)
        made = {
            f"{mode} {mark}": _limits(table, mode, port)
            for mode in ROW
            if mode != OTHER
            for port, mark in enumerate(table.points)
        }
        # Across a contact, and between two points: nothing while it is made, all of the supply where it is open.
        if table.devices:
            made |= {f"{mode} ": _limits(table, mode, len(table.points)) for mode in ROW if mode != OTHER}
        return made

    found = [study.remembered(("doing", circuit_id, size), partial(of, size)) for size in sizes]
    points = {name for each in found for name in each}
    between = bool(action.across) or {f"{mode} {action.at}", f"{mode} {action.to}"} <= points
    if not between and action.to != back:
        return None
    mine = [
        each.get(f"{mode} " if between and action.to != back else f"{mode} {action.at}") for each in found
    ]
    return None if mine[0] is None or any(each != mine[0] for each in mine) else mine[0]


def highest(
    study: Study, base: KnowledgeBase, procedure: Procedure, action: act.AnyAction | None
) -> float | None:
    """Return above which volts a reading of a circuit is foreign, whatever it is asked for."""
    if not isinstance(action, act.Measure | act.Watch) or "volts" not in (
        action.measure if isinstance(action, act.Measure) else action.watch
    ):
        return None
    circuit_id = action.circuit or procedure.circuit
    circuit = base.circuit(circuit_id) if circuit_id else None
    if circuit is None:
        return None
    return study.remembered(
        ("doing-top", circuit_id), lambda: readings(base, circuit_id, State(), pairs=False).bands.supply[1]
    )


def ranges(step: ProcedureStep) -> list[list[float] | None] | None:
    """Return between which figures each answer of a reading lies, in its unit; nothing where no answer is a range.

    An answer that is no range has ``None``: it may be given for what lies in no range.

    >>> _range("Under 5 Ω"), _range("Over 100 kΩ"), _range("2.1 kΩ to 2.3 kΩ"), _range("In between")
    ([0, 5.0], [100000.0, 1000000000.0], [2100.0, 2300.0], None)
    """
    if not isinstance(step.action, act.Measure) or step.action.measure != "ohms":
        return None
    if question(step) != QUESTIONS["volts"]:
        return None
    found = [_range(each.when) for each in answers(step)]
    return found if any(found) else None


MOST = 1e9
"""A figure that stands for more than the meter reads."""
_UP_TO = re.compile(r"(?:Under|Below|At most|Up to) ([\d.]+) ?([kM]?)Ω")
_FROM = re.compile(r"(?:Over|Above|At least) ([\d.]+) ?([kM]?)Ω")
_FROM_TO = re.compile(r"([\d.]+) ?([kM]?)Ω to ([\d.]+) ?([kM]?)Ω")
_TIMES = {"": 1.0, "k": 1e3, "M": 1e6}


def _range(words: str) -> list[float] | None:
    if found := _UP_TO.fullmatch(words):
        return [0, float(found[1]) * _TIMES[found[2]]]
    if found := _FROM.fullmatch(words):
        return [float(found[1]) * _TIMES[found[2]], MOST]
    if found := _FROM_TO.fullmatch(words):
        return [float(found[1]) * _TIMES[found[2]], float(found[3]) * _TIMES[found[4]]]
    return None


def _limits(table: Table, mode: str, port: int) -> dict[str, object]:
    bands = table.bands
    (least, most), sag = bands.shares[ROW[mode]][port], bands.sag
    low = bands.volts[1] < defaults.METER_RANGE
    point = port < bands.points
    made: dict[str, object] = {
        "none": bands.nothing(port),
        "sag": [round(least / sag[0], 6), round(most / sag[1], 6)],
        "w": [defaults.FULL_WITHIN_LOW, 1] if low else [defaults.FULL_WITHIN, defaults.FULL_WITHIN_SHARE],
        "least": 0 if mode == LOW_Z or not point else bands.least_full,
        "n": list(bands.full(mode, port, None)),
        "top": bands.supply[1],
    }
    if not point:
        return made
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
