"""What can still be a mistake: readings that nothing left explains, and a verdict that hangs on one place."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from kbgen.compute.circuit.evidence import Evidence, fitting
from kbgen.compute.circuit.meter import mode_of
from kbgen.compute.circuit.probing import Probing
from kbgen.compute.circuit.reading import Reading

MISTAKEN = 0.05
"""How likely a reading is taken to be mistaken: what a place against a fault leaves of its share."""
_EXPLAINS = 0.05
"""What share of what stands must be able to show a reading, for it to be explained."""
_MOST_DOUBT = 0.5
"""What stands only if one place was misread may have this much of what stands, for that to be found or made."""


def unexplained(
    probing: Probing, taken: Sequence[Reading], evidence: Evidence, standing: Sequence[int]
) -> tuple[int, ...]:
    """Return the readings that are not counted and that nothing which is left explains.

    Asked is only of what was read again. In the same way and called otherwise, one of the two is wrong or
    the plant has changed; in another way, what stands must be able to show it at the supply as read.
    """
    words = evidence.sorted.words
    last = {(reading.place, reading.mode): k for k, reading in enumerate(taken)}
    found = []
    for k, why in evidence.sorted.not_counted:
        reading = taken[k]
        if why == "again":
            wrong = words[k] != words[last[reading.place, reading.mode]]
        elif why == "anew":
            wrong = True
        else:
            later = any(other.port == reading.port for other in taken[k + 1 :])
            own = mode_of(reading.mode).own
            wrong = own and later and not _explained(probing, taken, evidence, standing, k)
        if wrong:
            found.append(k)
    return tuple(found)


def _explained(
    probing: Probing, taken: Sequence[Reading], evidence: Evidence, standing: Sequence[int], k: int
) -> bool:
    """Say whether enough of what stands could have shown a reading, with the supply as read."""
    pieces, weights = probing.table.pieces, probing.suspicion.weights
    lo, hi = pieces.swing[:, 0], pieces.swing[:, 1]
    for each in {k, evidence.sorted.supply[0]} if evidence.sorted.supply else {k}:
        least, most = fitting(probing.table, taken[each])
        lo, hi = np.maximum(lo, least), np.minimum(hi, most)
    shows = {int(row) for row in pieces.owner[evidence.pieces & (lo <= hi + 1e-9)]}
    whole = sum(weights[row] for row in standing)
    return sum(weights[row] for row in standing if row in shows) >= _EXPLAINS * whole


def hangs_on(
    probing: Probing,
    taken: Sequence[Reading],
    evidence: Evidence,
    standing: Sequence[int],
    rivals: Sequence[int],
) -> str:
    """Return the place that alone keeps too much of the suspicion out; empty where none does.

    A slip of the leads makes every reading of a place wrong together, so that no repeat there bears it out; other
    hands that find the place anew do.
    """
    weights = probing.suspicion.weights
    settled = {taken[k].port for k in evidence.sorted.counted if taken[k].anew}
    rivals = [row for row in rivals if taken[evidence.against[row][0]].port not in settled]
    if MISTAKEN * sum(weights[row] for row in rivals) <= _MOST_DOUBT * sum(weights[row] for row in standing):
        return ""
    kept_out: dict[str, float] = {}
    for row in rivals:
        port = taken[evidence.against[row][0]].port
        kept_out[port] = kept_out.get(port, 0.0) + weights[row]
    return max(kept_out, key=lambda port: kept_out[port])
