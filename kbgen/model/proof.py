"""What the shop's scheme asks to be proved, and how often; every interval is the shop's own."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from kbgen.every import Every, read_every
from kbgen.position import Route

Interval = Annotated[Every, lambda text, _: read_every(text)]
"""An interval, read from its text."""


@dataclass(frozen=True, slots=True)
class Proof:
    """One line of the scheme.

    Attributes:
        prove: What is proved.
        every: How often.
        who: Licences of those who may prove it; whoever is trained where there are none.
        by: Procedure that proves it.
        settings: Settings of the plant that must be found, each with its tolerance.
        value: What must be found, where no setting says it.
        keep: How long the log of it is kept.
    """

    id: str
    prove: str
    every: Interval
    who: tuple[str, ...] = ()
    by: str = ""
    settings: tuple[str, ...] = ()
    value: str = ""
    keep: Interval | None = None
    sizes: tuple[str, ...] = ()
    note: str = ""
    route: Route = ()
