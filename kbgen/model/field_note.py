"""What one job found."""

from __future__ import annotations

from dataclasses import dataclass

from kbgen.model.build import Long, Time
from kbgen.model.head import Head


@dataclass(frozen=True, slots=True)
class FieldNote:
    """One job: what was found and how long it took; nothing about the customer."""

    head: Head
    date: str
    equipment: str
    size: str = ""
    symptom: str = ""
    device: str = ""
    wire: str = ""
    fault: str = ""
    appeared: tuple[str, ...] = ()
    cause: Long = ()
    minutes: Time | None = None
