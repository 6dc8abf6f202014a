"""How much each fault of a circuit is suspected before anything is measured."""

from __future__ import annotations

import re
from dataclasses import dataclass

from kbgen.compute.circuit.faults import Fault, device_of
from kbgen.compute.circuit.readings import Table
from kbgen.compute.statistics import PSEUDO_COUNT, device_weights, notes_of
from kbgen.model.field_note import FieldNote

_BASE = {
    "healthy": 1.0,  # most strings are sound by the time somebody stands before them
    "no-supply": 1.0,
    "fuse": 1.0,
    "load": 0.4,
    "return": 0.2,
    "wire": 0.2,
    "ground": 0.1,
    "stuck": 0.1,
    "jumper": 0.1,
    "resistance": 0.2,
    "low-supply": 0.2,
    "foreign": 0.05,
    "bridged": 0.1,
    "seal-in": 0.5,
    "stalled": 0.3,
}
"""Base weights beside a device's own (1 where its author says nothing); a judgement, not a count."""
_NOTED = {
    "no-supply": "no-supply",
    "fuse": "fuse-open",
    "load": "load-failed",
    "healthy": "not-reproduced",
    "stuck": "stuck-closed",
    "jumper": "jumper-left-in",
    "resistance": "high-resistance",
    "wire": "wire-open",
    "ground": "earth-fault",
}
"""The finding in field notes that counts for each kind of fault."""
_TOGETHER = 0.05
"""How much more often than by chance of single faults two contacts are taken to be open at once."""
_HIDDEN = 1e-3
"""What is left of a fault that cannot show in this state: it is never ruled out, and never chased."""


@dataclass(frozen=True, slots=True)
class Suspicion:
    """Weight of each fault of a table, in its order, and the field notes behind it."""

    weights: tuple[float, ...]
    notes: tuple[int, ...]
    hidden: tuple[bool, ...]


def suspect(table: Table) -> Suspicion:
    """Weigh the faults of a table by the devices' base weights and the shop's own field notes."""
    setting = table.variant.setting
    jobs = notes_of(setting.base, setting.circuit.equipment)
    devices = {device_of(label) for label in table.devices}
    opened = device_weights(setting.base, setting.circuit.equipment, sorted(devices))
    total = sum(weight.weight for weight in opened.values()) or 1.0
    weights, notes = [], []
    hidden = tuple(_cannot_show(table, fault) for fault in table.faults)
    for fault, unseen in zip(table.faults, hidden, strict=True):
        if fault.kind == "open":
            weight, count = opened[fault.device].weight, opened[fault.device].notes
        elif fault.kind == "open-pair":
            first, second = (opened[device_of(label)].weight for label in fault.where)
            weight, count = _TOGETHER * first * second / total, 0
        else:
            count = sum(_counts(note, fault) for note in jobs)
            weight = PSEUDO_COUNT * _BASE[fault.kind] + count
        # Nine digits, as they are shipped: page and command line put equals in the same order.
        weights.append(float(f"{weight * _HIDDEN if unseen else weight:.9g}"))
        notes.append(count)
    return Suspicion(tuple(weights), tuple(notes), hidden)


def _cannot_show(table: Table, fault: Fault) -> bool:
    """Whether the state hides the fault: a contact that cannot open wrongly because it is open already."""
    closed = table.variant.closed
    if fault.kind in ("stuck", "jumper"):
        return closed[fault.where[0]] is True
    if fault.kind in ("open", "open-pair", "resistance"):
        return any(closed[label] is False for label in fault.where)
    if fault.kind == "seal-in":
        return all(closed[label] is False for label in fault.where)
    if fault.kind == "stalled":
        return closed[fault.where[1]] is False
    return fault.kind == "ground" and table.network.earthing == "ungrounded"


def _counts(note: FieldNote, fault: Fault) -> bool:
    if note.fault != _NOTED.get(fault.kind):
        return False
    if fault.kind == "wire":
        return any(
            _names(note.wire, mark) for mark in fault.id.removeprefix("wire:").split("/")[0].split("-")
        )
    if fault.kind == "ground":
        return _names(note.wire, fault.where[0])
    return fault.device in ("", note.device)


def _names(text: str, mark: str) -> bool:
    return bool(mark) and re.search(rf"(?<![\w:]){re.escape(mark)}(?![\w:])", text) is not None
