"""What a row of the table of routines says, and how a routine enters it.

What a routine writes follows from the plant's entry, its circuits and its devices. Schema, names and documentation
read this table; ``kbgen/compose/`` writes the steps.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields
from typing import Annotated, Any, TypeVar, cast, dataclass_transform

from kbgen.model.build import head_key, note_of
from kbgen.model.takes import Takes, new_name

R = TypeVar("R")
ALL = "all"
"""Stands for everything there is, in place of names."""
ALTERED, OPENED = "altered", "opened"
"""Stand for what the page has done by then."""


@dataclass(frozen=True, slots=True)
class RoutineRow:
    """One routine of the table.

    Attributes:
        record: The record that holds its fields; its head key is its name.
        says: What it does, for schema and documentation.
        deeds: The steps it writes, as their ids name them behind the routine's own id.
        title: Its title on a page.
    """

    record: type
    says: str
    deeds: str
    title: str

    @property
    def name(self) -> str:
        """Its head key, e.g. ``lock_off``."""
        return head_key(self.record)

    @property
    def takes(self) -> dict[str, Takes]:
        """What each field takes, in order."""
        keys = [each.name for each in fields(cast(Any, self.record))]
        return {key: note_of(self.record, key) for key in keys}


ROUTINES: dict[type, RoutineRow] = {}
"""Every routine, by its record, in the order of the documentation."""


@dataclass_transform(frozen_default=True)
def routine(says: str, *, deeds: str, title: str) -> Callable[[type[R]], type[R]]:
    """Make a record a routine and enter it into the table; for the arguments see ``RoutineRow``."""

    def enter(record: type[R]) -> type[R]:
        made = dataclass(frozen=True, slots=True)(record)
        ROUTINES[made] = RoutineRow(made, says, deeds, title)
        return made

    return enter


def or_stop(says: str) -> Takes:
    """Return a place to lead to that may be left out."""
    return new_name(f"{says} Without it, the ending `stop-here`.", "stop-here")


Sources = Annotated[
    tuple[str, ...],
    new_name("Ids of the sources, or `all`; they go off in the order of `off_order`.", ["fan", "control"]),
]
Live = Annotated[
    str,
    new_name(
        "Where it leads when one is not gone, or nobody is sure. Without it, the ending `not-dead`.",
        "not-dead",
    ),
]
Found = Annotated[str, new_name("Where it leads once the place is known.", "found")]
Unsure = Annotated[str, or_stop("Where it leads when a reading is not trusted.")]
Size = Annotated[
    str,
    new_name(
        "The size whose order it takes. Without it, the one of the page's sizes with most parts.", "sb-3"
    ),
]
