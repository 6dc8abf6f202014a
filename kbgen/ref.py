"""The name of an entry: its kind and its id."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Kind(StrEnum):
    """The kinds of entry; the value is the singular name used in links and in data."""

    EQUIPMENT = "equipment"
    CIRCUIT = "circuit"
    DEVICE = "device"
    SYMPTOM = "symptom"
    PROCEDURE = "procedure"
    CAUTION = "caution"
    TERM = "term"
    PLANT = "plant"
    FIELD_NOTE = "field-note"

    @property
    def folder(self) -> str:
        """The folder of the knowledge base that holds this kind."""
        return FOLDERS[self]

    @property
    def plural(self) -> str:
        """The kind's name over a list, e.g. ``Field notes``."""
        return FOLDERS[self].replace("_", " ").capitalize()


FOLDERS: dict[Kind, str] = {
    Kind.EQUIPMENT: "equipment",
    Kind.CIRCUIT: "circuits",
    Kind.DEVICE: "devices",
    Kind.SYMPTOM: "symptoms",
    Kind.PROCEDURE: "procedures",
    Kind.CAUTION: "cautions",
    Kind.TERM: "terms",
    Kind.PLANT: "plants",
    Kind.FIELD_NOTE: "field_notes",
}


@dataclass(frozen=True, order=True, slots=True)
class Ref:
    """One entry of the knowledge base."""

    kind: Kind
    id: str

    def __str__(self) -> str:
        return f"{self.kind}:{self.id}"
