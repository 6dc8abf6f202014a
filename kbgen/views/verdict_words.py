"""What a verdict says, in sentences, most urgent first."""

from __future__ import annotations

from kbgen.compute.circuit.meter import HIGH_Z, mode_of
from kbgen.compute.circuit.reading import Reading, row_of_points, supply_mark
from kbgen.compute.circuit.sayings import (
    AS_MEANT,
    FOREIGN,
    MADE,
    MADE_BESIDE,
    MADE_NEXT,
    STOP,
    UNCOUNTED,
    WARNINGS,
)
from kbgen.compute.circuit.verdict import (
    CONTRADICTION,
    FOUND,
    MADE_,
    Verdict,
)
from kbgen.link.base import KnowledgeBase
from kbgen.views.circuit_words import contact_name, fault_name, first_upper

ASKED = {
    "size": "Say the size of the plant: another size has another string.",
    "stage": "Say the stage: in another stage other contacts must be made.",
}
"""What is asked before anything can be called made."""
_SAME = 6


def reading_said(reading: Reading) -> str:
    """Say a reading as it was typed."""
    value = f"{reading.value:g} V" if not isinstance(reading.value, str) else reading.value
    mode = "" if reading.mode == HIGH_Z else f" in {mode_of(reading.mode).said}"
    return f"{reading.port} {value}{mode}"


def said(base: KnowledgeBase, verdict: Verdict) -> list[str]:
    """Return the sentences of a verdict."""
    table = verdict.probing.table
    if verdict.foreign is not None:
        port, volts = verdict.foreign.port, verdict.foreign.volts
        value = volts if isinstance(volts, str) else f"{volts:g} V"
        return [f"STOP. {port} reads {value}. {FOREIGN[verdict.foreign.why]}", *STOP]
    lines = [
        f"{drop.volts:g} V are lost between {drop.upper} and {drop.lower}: a bad joint or contact."
        + (" Repeat it in low impedance to the return." if _still_high(verdict, drop.lower) else "")
        for drop in verdict.drops
    ]
    if verdict.verdict == CONTRADICTION:
        mark = reading_said(verdict.repeat) if verdict.repeat else ""
        lines.append(
            "These readings contradict each other. First: is the lead on the return, and does the known "
            f"source still read? Then repeat {mark}, leads newly put on."
        )
    if verdict.verdict == MADE_:
        lines += made_said(verdict)
    if verdict.verdict == FOUND:
        names = [
            fault_name(base, table.faults[row])
            for row in verdict.standing
            if not verdict.probing.suspicion.hidden[row]
        ]
        more = f", or {len(names) - _SAME} others" if len(names) > _SAME else ""
        lines.append(f"Found: {first_upper('; or '.join(names[:_SAME]))}{more}.")
    if verdict.as_meant:
        lines.append(AS_MEANT)
    lines += [ASKED[name] for name in verdict.asks]
    lines += [
        f"Not counted: {reading_said(verdict.taken[k])}. {UNCOUNTED[why]}"
        for k, why in verdict.evidence.sorted.not_counted
    ]
    lines += [f"Mind: {WARNINGS[name]}" for name in verdict.warned]
    return lines


def _still_high(verdict: Verdict, mark: str) -> bool:
    return any(
        verdict.taken[k].port == mark and why == "ghost" for k, why in verdict.evidence.sorted.not_counted
    )


def made_said(verdict: Verdict) -> list[str]:
    """Say what a voltmeter can say at best, and what follows."""
    table = verdict.probing.table
    row = row_of_points(table)
    base = table.variant.setting.base
    beside = [contact_name(base, label) for label in table.devices if f"open:{label}" in verdict.cannot_tell]
    stuck = [label for label in table.devices if f"stuck:{label}" in verdict.cannot_tell]
    first = MADE.format(first=supply_mark(table), last=row[-1] if row else "")
    covers = ", ".join(sorted(table.variant.setting.state.covers_off)) or "none"
    shut = ", ".join(sorted(table.variant.setting.state.valves_shut)) or "none"
    return [
        first,
        *([MADE_BESIDE.format(names="; ".join(beside))] if beside else []),
        f"Taken as so: covers off: {covers}; valves shut: {shut}.",
        *MADE_NEXT,
        *([f"A welded contact would read the same: {', '.join(stuck)}."] if stuck else []),
    ]
