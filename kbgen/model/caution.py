"""A safety message."""

from __future__ import annotations

from dataclasses import dataclass

from kbgen.model.build import Long
from kbgen.model.head import Head


@dataclass(frozen=True, slots=True)
class Caution:
    """Hazard, consequence, how to avoid it, and the kinds of step it stands before by itself."""

    head: Head
    signal: str
    hazard: str
    consequence: str
    avoid: Long
    never_line: str = ""
    equipment: tuple[str, ...] = ()
    applies_to: tuple[str, ...] = ()
