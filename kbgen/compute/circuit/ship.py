"""What the browser needs to judge readings exactly as `kbgen locate` does, without any arithmetic.

The browser names each reading with a word by two thresholds, looks up in strings of digits which faults
can read so, intersects, and looks the next test up. Digits are sets of words: 1 none, 2 some, 4 full.
"""

from __future__ import annotations

from kbgen.compute.circuit.evidence import falling, middle, point_before, supply_mark
from kbgen.compute.circuit.interval import solve_row
from kbgen.compute.circuit.order import tree_json
from kbgen.compute.circuit.outcome import SOME, limits, words
from kbgen.compute.circuit.plan import grow
from kbgen.compute.circuit.probing import Probing
from kbgen.compute.circuit.readings import MODES


def browser_data(probing: Probing) -> dict[str, object]:
    """Return the data of one circuit in one state.

    Fields:
        ``none_to``, ``full_from``: up to and from which volts a reading is none and full.
        ``supply``: the mark a zero hangs on; ``before``: the mark a zero across each device hangs on.
        ``falling``: marks along which nothing upstream and full downstream contradict each other, unless
        nothing was read in low impedance and full in high.
        ``words``: by meter mode one string a fault, one digit a port; ``middle``: by fault and port, between
        which volts a middle reading in low impedance speaks for the fault.
        ``policy``: for a string, ``order`` of the hypotheses, the ``states`` of opened resources and the
        ``choice`` of test by state, first and last hypothesis left (-1: none); else ``tree``, a fixed order.
    """
    table = probing.table
    none_to, full_from = limits(table)
    ports = (*table.points, *table.devices)
    called = {
        mode: [
            "".join(str(words(float(lo), float(hi), none_to, full_from)) for lo, hi in row)
            for row in table.bounds[m]
        ]
        for m, mode in enumerate(MODES)
    }
    between = {
        row: {port: list(middle(table, row, port)) for port, digit in enumerate(digits) if int(digit) & SOME}
        for row, digits in enumerate(called["low_z"])
    }
    suspicion = probing.suspicion
    return {
        "none_to": none_to,
        "full_from": full_from,
        "ports": list(ports),
        "points": len(table.points),
        "reachable": list(probing.points),
        "supply": supply_mark(table),
        "before": {label: point_before(table, label) for label in table.devices},
        "falling": list(falling(table)),
        "faults": [
            {**fault.to_json(), "weight": float(f"{weight:.9g}"), "notes": notes, "hidden": hidden}
            for fault, weight, notes, hidden in zip(
                table.faults, suspicion.weights, suspicion.notes, suspicion.hidden, strict=True
            )
        ],
        "words": called,
        "middle": {str(row): found for row, found in between.items() if found},
        "groups": [list(group) for group in probing.groups],
        "tests": [
            {"name": t.name, "device": t.device, "meter": t.meter, "minutes": t.minutes, "needs": needs}
            for t, needs in zip(probing.task.tests, probing.task.needs, strict=True)
        ],
        "setups": [{"minutes": s.minutes, "gate": s.gate} for s in probing.setups],
        "policy": _policy(probing),
    }


def _policy(probing: Probing) -> dict[str, object]:
    if probing.row is None:
        return {"tree": tree_json(probing, grow(probing.task, probing.solved().policy))}
    plan = solve_row(probing.task, probing.row)
    return {
        "order": list(probing.row.order),
        "states": list(plan.states),
        "choice": [[row.tolist() for row in state] for state in plan.choice],
    }
