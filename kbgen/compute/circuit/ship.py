"""What the browser needs to judge readings exactly as `kbgen locate` does, without any arithmetic of circuits.

The browser holds readings against the very same intervals: whole numbers of a unit, per piece of a
fault, and does the same counting.
"""

from __future__ import annotations

from kbgen.compute.circuit import defaults
from kbgen.compute.circuit.interval import solve_row
from kbgen.compute.circuit.meter import MODES, SOLVED, digits
from kbgen.compute.circuit.order import tree_json
from kbgen.compute.circuit.plan import grow
from kbgen.compute.circuit.probing import Probing
from kbgen.compute.circuit.reading import falling, points_before, row_of_points, supply_mark
from kbgen.compute.circuit.readings import Table
from kbgen.compute.circuit.telling import modes_at
from kbgen.compute.circuit.variant import held_open

FIRST = 161
"""The sign that stands for the first interval of a port: from here on none is a control or a quote."""


def browser_data(probing: Probing) -> dict[str, object]:
    """Return the data of one circuit in one state.

    Fields:
        ``volts``: least, nominal and greatest supply; ``supplyBand``: what the supply may read.
        ``ports``: marks, then contacts to read across; ``points`` of them are marks.
        ``shares``: by mode and port, what a made string holds of the supply.
        ``cells``: the different intervals of each port, as least and greatest in turn, in whole ``unit``.
        ``rows``: different rows of intervals, one sign a port: its code less ``FIRST`` counts its cells.
        ``pieces``: fault, least and greatest share of the supply, and its row in each mode of the meter.
        ``words``: by mode and fault, what it can be called at each port, as hexadecimal digits of bits.
        ``policy``: for a string, ``order`` of the hypotheses, the ``states`` of opened resources and the
        ``choice`` of test by state, first and last hypothesis left (-1: none); else ``tree``, a fixed order.
    """
    table, bands = probing.table, probing.table.bands
    suspicion = probing.suspicion
    cells, rows, pieces = _pieces(table)
    return {
        "volts": list(table.network.volts),
        "supplyBand": list(bands.supply),
        "noneTo": bands.none_to,
        "badContact": bands.bad_contact,
        "leastFull": bands.least_full,
        "loss": bands.loss,
        "sag": list(bands.sag),
        "stray": [bands.stray(port) for port in range(len(table.points))],
        "digits": digits(table.network.volts[1]),
        "share": defaults.METER_SHARE,
        "direct": table.network.omega == 0,
        "modes": [{"id": mode.id, "own": mode.own, "ghost": mode.ghost} for mode in MODES],
        "modesAt": list(modes_at(table)),
        "ports": list(table.ports),
        "points": len(table.points),
        "reachable": list(probing.points),
        "supply": supply_mark(table),
        "before": points_before(table),
        "falling": list(falling(table)),
        "main": list(table.network.main_points),
        "row": list(row_of_points(table)),
        "shares": [[list(pair) for pair in mode] for mode in bands.shares],
        "faults": [
            {
                **fault.to_json(),
                "where": list(fault.where),
                "weight": weight,
                "notes": notes,
                "hidden": hidden,
            }
            for fault, weight, notes, hidden in zip(
                table.faults, suspicion.weights, suspicion.notes, suspicion.hidden, strict=True
            )
        ],
        "opens": bool(held_open(table.variant)),
        "unit": table.pieces.unit,
        "cells": cells,
        "rows": rows,
        "pieces": pieces,
        "words": [
            ["".join(f"{int(w):x}" for w in row) for row in table.words[m]] for m in range(len(SOLVED))
        ],
        "groups": [list(group) for group in probing.groups],
        "tests": [
            {"name": t.name, "device": t.device, "meter": t.meter, "minutes": t.minutes, "needs": needs}
            for t, needs in zip(probing.task.tests, probing.task.needs, strict=True)
        ],
        "setups": [{"minutes": s.minutes, "gate": s.gate} for s in probing.setups],
        "policy": _policy(probing),
    }


def _pieces(table: Table) -> tuple[list[list[int]], list[str], list[list[float]]]:
    """Return the different intervals of each port, the different rows of them, and each piece with its rows."""
    cells: list[dict[tuple[int, int], int]] = [{} for _ in table.ports]
    number: dict[str, int] = {}
    pieces: list[list[float]] = []
    for k, owner in enumerate(table.pieces.owner):
        rows = [
            "".join(
                chr(FIRST + known.setdefault((int(lo), int(hi)), len(known)))
                for known, (lo, hi) in zip(cells, mode[k], strict=True)
            )
            for mode in table.pieces.volts
        ]
        own = [number.setdefault(row, len(number)) for row in rows]
        pieces.append([int(owner), *(float(s) for s in table.pieces.swing[k]), *own])
    return [[end for pair in known for end in pair] for known in cells], list(number), pieces


def _policy(probing: Probing) -> dict[str, object]:
    if probing.row is None:
        return {"tree": tree_json(probing, grow(probing.task, probing.solved().policy))}
    plan = solve_row(probing.task, probing.row)
    return {
        "order": list(probing.row.order),
        "states": list(plan.states),
        "choice": [[row.tolist() for row in state] for state in plan.choice],
    }
