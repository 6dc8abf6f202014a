"""All kinds of entry together, and how a document becomes one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from kbgen.model.build import build
from kbgen.model.caution import Caution
from kbgen.model.circuit import Circuit
from kbgen.model.device import Device
from kbgen.model.equipment import Equipment
from kbgen.model.field_note import FieldNote
from kbgen.model.procedure import Procedure
from kbgen.model.symptom import Symptom
from kbgen.model.term import Term
from kbgen.ref import Kind, Ref

AnyRecord = Equipment | Circuit | Device | Symptom | Procedure | Caution | Term | FieldNote

RECORDS: dict[Kind, type[AnyRecord]] = {
    Kind.EQUIPMENT: Equipment,
    Kind.CIRCUIT: Circuit,
    Kind.DEVICE: Device,
    Kind.SYMPTOM: Symptom,
    Kind.PROCEDURE: Procedure,
    Kind.CAUTION: Caution,
    Kind.TERM: Term,
    Kind.FIELD_NOTE: FieldNote,
}


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of the knowledge base.

    Attributes:
        path: Its file, relative to the knowledge base.
        record: What it says, by kind.
        data: The same as plain data, as the export shows it.
    """

    ref: Ref
    path: str
    record: AnyRecord
    data: Mapping[str, Any]

    @property
    def title(self) -> str:
        """Its title, as typed."""
        return self.record.head.title


def make_entry(kind: Kind, entry_id: str, path: str, data: Mapping[str, Any]) -> Entry:
    """Build an entry from data that its schema has accepted."""
    return Entry(Ref(kind, entry_id), path, build(RECORDS[kind], data), data)
