"""From readings to the verdict, to the faults still possible, and to the next test."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from kbgen.compute.circuit.bands import FULL, NONE, SOME
from kbgen.compute.circuit.doubt import MISTAKEN, hangs_on, unexplained
from kbgen.compute.circuit.evidence import Evidence, weigh
from kbgen.compute.circuit.findings import (
    Drop,
    Foreign,
    bad_contacts,
    behind_resistors,
    drops_of,
    ends_between,
    foreign_of,
)
from kbgen.compute.circuit.meter import HIGH_Z, LOW_Z, ROW
from kbgen.compute.circuit.probing import Probing, prepare
from kbgen.compute.circuit.reading import (
    Reading,
    check_known,
    out_of_order,
    row_of_points,
    supply_mark,
)
from kbgen.compute.circuit.readings import Table, readings
from kbgen.compute.circuit.sayings import WARNINGS
from kbgen.compute.circuit.state import State
from kbgen.compute.circuit.suggestion import Suggester
from kbgen.compute.circuit.unsaid import unsaid
from kbgen.compute.circuit.variant import held_open
from kbgen.compute.circuit.verdict import CONTRADICTION, FOREIGN_, FOUND, MADE_, UNCLEAR, Verdict
from kbgen.link.base import KnowledgeBase

_MOST_AGAINST = 1
"""Places with readings against a fault up to which it is still listed."""


def locate(
    base: KnowledgeBase, circuit_id: str, taken: Sequence[Reading], state: State | None = None
) -> Verdict:
    """Work out what can still be wrong, and what to test next.

    Raises:
        UnknownName: The circuit, a name in the state, a point or a device does not exist.
    """
    return judge(prepare(readings(base, circuit_id, state)), taken)


def judge(probing: Probing, taken: Sequence[Reading]) -> Verdict:
    """Judge readings against a prepared circuit."""
    table, hidden = probing.table, probing.suspicion.hidden
    for reading in taken:
        check_known(table, reading)
    evidence = weigh(table, taken)
    standing, rivals = ([row for row in evidence.faults(n) if not hidden[row]] for n in (0, 1))
    rivals = _singles(table, rivals)
    standing = _singles(table, standing) or (standing if _read_twice(taken, evidence, rivals) else [])
    foreign = foreign_of(table, taken, evidence)
    drops = drops_of(table, taken)
    asks = unsaid(table.variant.setting)
    wrong = out_of_order(table, taken, evidence.sorted)
    suggester = Suggester(probing, taken, evidence, drops)
    verdict, repeat, following, doubtful = UNCLEAR, None, None, ""
    if foreign is not None or (standing and all(table.faults[row].kind == "foreign" for row in standing)):
        verdict = FOREIGN_
        foreign = foreign or _foreign_by_fault(taken, evidence)
    elif evidence.sorted.counted and (not standing or wrong):
        verdict = CONTRADICTION
        repeat = _most_worth_repeating(probing, taken, evidence, wrong)
        following = (
            suggester.repeat(repeat)
            or suggester.settle(rivals)
            or suggester.disputed(rivals)
            or suggester.anew(repeat.port)
        )
    elif table.variant.setting.state.supply_on:
        following = suggester.search(frozenset(standing))
        if following is None:
            following = suggester.confirm(standing, rivals)
        if following is None and not suggester.unconfirmed(standing, rivals):
            verdict = _concluded(probing, taken, evidence, standing, drops, asks)
        if verdict in (FOUND, MADE_) and (doubtful := hangs_on(probing, taken, evidence, standing, rivals)):
            verdict, following = UNCLEAR, suggester.anew(doubtful)
    judged = _as_foreign(table, evidence) if verdict == FOREIGN_ else evidence
    alone = following is None and verdict == UNCLEAR and not doubtful and 0 in standing
    held = bool(held_open(table.variant))
    return Verdict(
        probing=probing,
        taken=tuple(taken),
        evidence=judged,
        verdict=verdict,
        remaining=_remaining(probing, judged, first_healthy=verdict == MADE_),
        groups=_groups(probing, standing),
        cannot_tell=_reads_the_same(probing, evidence, verdict),
        drops=drops,
        foreign=foreign,
        repeat=repeat,
        next=following,
        ends=None if verdict in (FOREIGN_, CONTRADICTION) else ends_between(table, taken, evidence),
        hangs_on=doubtful,
        unexplained=unexplained(probing, taken, evidence, standing),
        as_meant=alone and held and bool(evidence.sorted.counted),
        either_way=alone and not held and None in table.variant.closed.values(),
        asks=asks,
        warned=_warnings(table, taken, evidence, wrong, standing),
    )


def _singles(table: Table, rows: Sequence[int]) -> list[int]:
    return [row for row in rows if table.faults[row].kind != "open-pair"]


def _read_twice(taken: Sequence[Reading], evidence: Evidence, rivals: Sequence[int]) -> bool:
    """Say whether every reading that alone keeps a single fault out was taken again.

    Two contacts open at once are thought of only when nothing single is left.
    """
    places = [(reading.port, reading.mode) for reading in taken]
    disputed = {taken[k] for row in rivals for k in evidence.against[row]}
    return all(places.count((reading.port, reading.mode)) > 1 for reading in disputed)


def _foreign_by_fault(taken: Sequence[Reading], evidence: Evidence) -> Foreign:
    k = evidence.sorted.counted[-1]
    return Foreign(taken[k].port, taken[k].value, "above")


def _as_foreign(table: Table, evidence: Evidence) -> Evidence:
    """Leave the supply of another circuit alone: beside it no reading tells of this circuit's own faults."""
    foreign = [fault.kind == "foreign" for fault in table.faults]
    places = tuple(0 if own else _MOST_AGAINST + 1 for own in foreign)
    return replace(evidence, against=((),) * len(foreign), places=places)


def _concluded(
    probing: Probing,
    taken: Sequence[Reading],
    evidence: Evidence,
    standing: Sequence[int],
    drops: Sequence[Drop],
    asks: Sequence[str],
) -> str:
    """Say what is known when no further reading tells more."""
    table = probing.table
    settled = {(taken[k].port) for k in evidence.sorted.counted}
    # A zero of the other kind of current leaves nothing open; what is more than nothing is foreign.
    open_ = (k for k, why in evidence.sorted.not_counted if why not in ("again", "other-current"))
    unclear = any(taken[k].port not in settled for k in open_)
    if unclear or not evidence.sorted.counted or not standing:
        return UNCLEAR
    if 0 in standing:
        lost = bool(drops or bad_contacts(table, taken) or behind_resistors(table, taken))
        return MADE_ if far_end(table, taken, evidence) and not lost and not asks else UNCLEAR
    return FOUND


def far_end(table: Table, taken: Sequence[Reading], evidence: Evidence) -> bool:
    """Say whether the last point before the load was read full, and above what the input needs."""
    row = row_of_points(table)
    if not row or (evidence.sorted.supply is None and not _supply_said(table, taken, evidence)):
        return False
    return any(
        taken[k].port == row[-1] and evidence.sorted.words[k] == FULL and row[-1] != supply_mark(table)
        for k in evidence.sorted.counted
    )


def _supply_said(table: Table, taken: Sequence[Reading], evidence: Evidence) -> bool:
    return any(
        taken[k].port == supply_mark(table) and evidence.sorted.words[k] == FULL
        for k in evidence.sorted.counted
    )


def _remaining(probing: Probing, evidence: Evidence, *, first_healthy: bool) -> tuple[tuple[int, float], ...]:
    """Return what is not out, with shares; what stands first, and nothing wrong last where it is not said."""
    weights = {
        row: probing.suspicion.weights[row] * MISTAKEN**places
        for row, places in enumerate(evidence.places)
        if places <= _MOST_AGAINST
    }
    total = sum(weights.values())
    return tuple(
        sorted(
            ((row, weight / total if total else 0.0) for row, weight in weights.items()),
            key=lambda pair: (
                evidence.places[pair[0]],
                (pair[0] == 0) != first_healthy,
                -pair[1],
                pair[0],
            ),
        )
    )


def _warnings(
    table: Table, taken: Sequence[Reading], evidence: Evidence, wrong: Sequence[int], standing: Sequence[int]
) -> tuple[str, ...]:
    off = not table.variant.setting.state.supply_on
    words = evidence.sorted.words
    kinds = {table.faults[row].kind for row in standing}
    said = {
        "jumps": any(r.mode == LOW_Z and r.port in table.devices for r in taken),
        "off": off,
        "dead": not off
        and any(r.port == supply_mark(table) and w == NONE for r, w in zip(taken, words, strict=True)),
        "turns": bool(evidence.sorted.comes_and_goes),
        "fed": bool(wrong),
        "seal": "seal-in" in kinds and 0 not in standing,
        "low": any(r.port == supply_mark(table) and w == SOME for r, w in zip(taken, words, strict=True)),
    }
    return tuple(name for name in WARNINGS if said[name])


def _most_worth_repeating(
    probing: Probing, taken: Sequence[Reading], evidence: Evidence, wrong: Sequence[int]
) -> Reading:
    """Return the reading that alone keeps most suspicion out; where none does, the supply: all hang on it."""
    table, weights = probing.table, probing.suspicion.weights
    gains = dict.fromkeys(evidence.sorted.counted, 0.0)
    for row in evidence.faults(1):
        gains[evidence.against[row][0]] += weights[row]
    if wrong:
        gains = {k: gains.get(k, 0.0) for k in wrong}
    k = max(gains, key=lambda each: (gains[each], each))
    if gains[k] > 0 or wrong:
        return taken[k]
    mark = supply_mark(table)
    return next((r for r in taken if r.port == mark), taken[-1])


def _key(probing: Probing, row: int) -> tuple[int, ...]:
    """Return what a fault can be called at every reachable port, in every mode."""
    table = probing.table
    points = [table.points.index(mark) for mark in probing.points]
    devices = range(len(table.points), len(table.ports))
    high, low = table.words[ROW[HIGH_Z], row], table.words[ROW[LOW_Z], row]
    return tuple(int(w) for w in (*high[points], *low[points], *high[list(devices)]))


def _groups(probing: Probing, rows: Sequence[int]) -> tuple[tuple[str, ...], ...]:
    """Put the faults together that every reachable reading can only call by the same words."""
    found: dict[tuple[int, ...], list[str]] = {}
    for row in rows:
        found.setdefault(_key(probing, row), []).append(probing.table.faults[row].id)
    return tuple(tuple(ids) for ids in found.values() if len(ids) > 1)


def _reads_the_same(probing: Probing, evidence: Evidence, verdict: str) -> tuple[str, ...]:
    """Return what stands beside the verdict and reads the same; wires across and welded contacts too."""
    if verdict not in (MADE_, FOUND):
        return ()
    faults = probing.table.faults
    hidden = probing.suspicion.hidden
    rows = evidence.faults(0)
    if verdict == MADE_:
        return tuple(faults[row].id for row in rows if row and faults[row].kind != "ground")
    return tuple(faults[row].id for row in rows if not hidden[row]) if len(rows) > 1 else ()
