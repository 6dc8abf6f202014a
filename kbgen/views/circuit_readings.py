"""What the points of a circuit read, as a table that fits a tablet and a pocket guide."""

from __future__ import annotations

from kbgen.compute.circuit.bands import FULL
from kbgen.compute.circuit.meter import HIGH_Z, LOW_Z
from kbgen.compute.circuit.probing import Probing
from kbgen.link.base import KnowledgeBase
from kbgen.views.blocks import Block, Item, Items, Line, Table
from kbgen.views.circuit_words import (
    CALLED,
    called,
    fault_name,
    first_upper,
    listed,
    ours,
    runs,
    stage_line,
    word_lines,
)
from kbgen.views.compose import plain

_NAMED = 4
_ANY = {
    "open": "A contact open",
    "resistance": "A bad contact",
    "wire": "A wire open",
    "fuse": "Fuse open",
    "ground": "An earth fault that blows the fuse",
}
"""Faults that along a string read alike but for their place."""
_SILENT = ("open", "wire", "load")
"""Faults of which it is told when no point shows them."""


def reading_blocks(base: KnowledgeBase, probing: Probing) -> tuple[Block | None, ...]:
    """Say what full and nothing are, the rule of the string, and every reading that breaks the rule."""
    table = probing.table
    if not table.points:
        return ()
    said = [stage_line(table), *word_lines(table), f"All made: {runs(table, called(table, HIGH_Z, 0))}."]
    return (Items(tuple(Item(plain(text)) for text in said)), _table(base, probing))


def _table(base: KnowledgeBase, probing: Probing) -> Table | None:
    """Tell what each fault reads; what reads alike, or alike from its own place on, in one row."""
    table = probing.table
    sound = called(table, HIGH_Z, 0), called(table, LOW_Z, 0)
    found: dict[tuple[str, str], list[str]] = {}
    silent: list[str] = []
    for row, fault in enumerate(table.faults):
        if row == 0 or fault.kind == "open-pair" or probing.suspicion.hidden[row]:
            continue
        read = called(table, HIGH_Z, row), called(table, LOW_Z, row)
        if read == sound:
            silent += [first_upper(fault_name(base, fault, ours(table)))] if fault.kind in _SILENT else []
            continue
        rule = [_from_its_place(each) for each in read]
        if probing.row is not None and fault.kind in _ANY and all(rule):
            said, name = (rule[0], rule[1]), ours(table)(_ANY[fault.kind])
        else:
            said, name = (
                (runs(table, read[0]), runs(table, read[1])),
                first_upper(fault_name(base, fault, ours(table))),
            )
        names = found.setdefault((said[0], "the same" if said[0] == said[1] else said[1]), [])
        if name not in names:
            names.append(name)
    rows: list[tuple[Line, ...]] = [
        (plain(listed(names, _NAMED)), plain(high), plain(low)) for (high, low), names in found.items()
    ]
    if silent:
        # Parts side by side hide each other, and behind the last point nobody reads: said, not left out.
        rows.append((plain(", ".join(silent)), plain("as if all were made"), plain("the same")))
    head = ("Wrong", "Meter in high impedance", "In low impedance")
    return Table("What the points read with one thing wrong", head, tuple(rows)) if rows else None


def _from_its_place(row: tuple[int, ...]) -> str:
    """Say a row that reads full up to a point and otherwise from the next on; empty for any other row."""
    fulls = next((k for k, word in enumerate(row) if word != FULL), len(row))
    behind = set(row[fulls:])
    if not fulls or len(behind) != 1:
        return ""
    return f"full before it, {CALLED[behind.pop()]} from the next point on"
