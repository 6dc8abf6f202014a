"""What a verdict says, in sentences, most urgent first."""

from __future__ import annotations

from kbgen.compute.circuit.faults import device_of
from kbgen.compute.circuit.meter import HIGH_Z, mode_of
from kbgen.compute.circuit.reading import Reading, row_of_points, supply_mark
from kbgen.compute.circuit.readings import Table
from kbgen.compute.circuit.sayings import (
    AS_MEANT,
    AS_MEANT_ELSE,
    AS_MEANT_OPENED,
    EITHER_WAY,
    EITHER_WAY_THEN,
    ENDS,
    FIRST,
    FOREIGN,
    FOUND_NEXT,
    HANGS_ON,
    HANGS_THEN,
    MADE,
    MADE_BESIDE,
    MADE_NEXT,
    NO_MORE,
    STOP,
    UNCOUNTED,
    UNEXPLAINED,
    WARNINGS,
)
from kbgen.compute.circuit.variant import held_open
from kbgen.compute.circuit.verdict import (
    CONTRADICTION,
    FOUND,
    MADE_,
    UNCLEAR,
    Verdict,
)
from kbgen.link.base import KnowledgeBase
from kbgen.views.circuit_words import contact_name, fault_name, first_upper, listed, ours

ASKED = {
    "size": "Say the size of the plant: another size has another string.",
    "stage": "Say the stage: in another stage other contacts must be made.",
}
"""What is asked before anything can be called made."""
_SAME = 6
_NAMED = 3


def reading_said(reading: Reading) -> str:
    """Say a reading as it was typed."""
    value = f"{reading.value:g} V" if not isinstance(reading.value, str) else reading.value
    mode = "" if reading.mode == HIGH_Z else f" in {mode_of(reading.mode).said}"
    anew = " found anew" if reading.anew else ""
    return f"{reading.port} {value}{mode}{anew}"


def said(base: KnowledgeBase, verdict: Verdict) -> list[str]:
    """Return the sentences of a verdict."""
    table = verdict.probing.table
    say = ours(table)
    if verdict.foreign is not None:
        port, volts = verdict.foreign.port, verdict.foreign.volts
        value = volts if isinstance(volts, str) else f"{volts:g} V"
        return [f"STOP. {port} reads {value}. {say(FOREIGN[verdict.foreign.why])}", *map(say, STOP)]
    lines = [say(WARNINGS[name]) for name in verdict.warned if name in FIRST]
    lines += [
        f"{drop.volts:g} V are lost between {drop.upper} and {drop.lower}: a bad joint or contact."
        + (
            say(" Or it is a ghost: repeat it in low impedance to the return.")
            if _still_high(verdict, drop.lower)
            else ""
        )
        for drop in verdict.drops
    ]
    if verdict.verdict == CONTRADICTION:
        mark = reading_said(verdict.repeat) if verdict.repeat else ""
        lines.append(
            say("These readings contradict each other. First: is the lead on the return, and does the known ")
            + f"source still read? Then repeat {mark}, leads newly put on."
        )
    if verdict.verdict == MADE_:
        lines += made_said(verdict)
    if verdict.ends:
        lines.append(ENDS.format(upper=verdict.ends[0], lower=verdict.ends[1]))
    if verdict.verdict == FOUND:
        lines += [f"Found: {first_upper(_left(base, verdict))}.", *FOUND_NEXT]
    if verdict.hangs_on:
        where = verdict.hangs_on
        where = contact_name(base, where) if where in table.devices else where
        lines += [HANGS_ON.format(port=where), HANGS_THEN.format(names=_left(base, verdict))]
    if verdict.as_meant:
        lines.append(as_meant(base, table))
    if verdict.either_way:
        lines.append(either_way(base, table))
    lines += [ASKED[name] for name in verdict.asks]
    if verdict.verdict == UNCLEAR and not (verdict.next or _ends_otherwise(verdict)):
        lines += NO_MORE
    lines += [
        f"Not counted: {reading_said(verdict.taken[k])}. {say(UNCOUNTED[why])}"
        + (f" {UNEXPLAINED}" if k in verdict.unexplained else "")
        for k, why in verdict.evidence.sorted.not_counted
    ]
    lines += [f"Mind: {say(WARNINGS[name])}" for name in verdict.warned if name not in FIRST]
    return lines


def _left(base: KnowledgeBase, verdict: Verdict) -> str:
    """Name what stands; of many only the first, and two at once only where nothing single is left."""
    table, hidden = verdict.probing.table, verdict.probing.suspicion.hidden
    faults = [table.faults[row] for row in verdict.standing if not hidden[row]]
    faults = [fault for fault in faults if fault.kind != "open-pair"] or faults
    names = [fault_name(base, fault, ours(table)) for fault in faults]
    rest = len(names) - _SAME
    more = f", or {rest} other{'s' if rest > 1 else ''}" if rest > 0 else ""
    return f"{'; or '.join(names[:_SAME])}{more}"


def either_way(base: KnowledgeBase, table: Table) -> str:
    """Say which contacts may stand either way in this stage, and when to read instead; empty without any."""
    names = [contact_name(base, label) for label, closed in table.variant.closed.items() if closed is None]
    if not names:
        return ""
    return " ".join(filter(None, (EITHER_WAY.format(names=listed(names, _NAMED)), _in_another_stage(table))))


def as_meant(base: KnowledgeBase, table: Table) -> str:
    """Say which contacts hold the string open as the plant stands, and what to do then; empty without any."""
    labels = held_open(table.variant)
    if not labels:
        return ""
    names = listed([contact_name(base, label) for label in labels], _NAMED)
    opened = table.variant.setting.opened.intersection(map(device_of, labels))
    then = AS_MEANT_OPENED if opened else f"{_in_another_stage(table)} {AS_MEANT_ELSE}".strip()
    return f"{AS_MEANT.format(names=names)} {then}"


def _in_another_stage(table: Table) -> str:
    setting = table.variant.setting
    judged = [
        stage.title
        for stage in setting.plant.sequence
        if stage.id in setting.stages and stage.id != setting.state.stage
    ]
    return EITHER_WAY_THEN.format(stages=", ".join(judged)) if judged else ""


def _ends_otherwise(verdict: Verdict) -> bool:
    return bool(verdict.as_meant or verdict.either_way or verdict.hangs_on or verdict.asks)


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
