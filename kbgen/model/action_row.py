"""What a row of the table of actions says, and how an action enters it.

Every action is registered with its fields and what each name may stand for, what it needs, gives and
owes, the situation of cautions it makes, and the verdict words that answer it. Schema, names, walk,
cautions, pages, editor and documentation read this table.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from typing import Annotated, Any, TypeVar, cast, dataclass_transform

from kbgen.model.build import head_key, note_of
from kbgen.model.takes import Names, Takes, named
from kbgen.model.verdicts import Verdicts

R = TypeVar("R")
ByWord = Mapping[str, R]
"""Something that hangs on the word an action says: its quantity, what is observed."""


@dataclass(frozen=True, slots=True)
class Row:
    """One action of the table.

    Attributes:
        record: The record that holds its fields; its head key is the name of the action.
        says: What it does, for schema and documentation.
        needs: What must be so before it.
        gives: What is so afterwards, or after its passing verdict.
        owes: What must follow sooner or later.
        situation: The word of a caution's ``applies_to`` that it makes, one for all or by its own word.
        verdicts: The words that answer it, one row for all or by its own word.
        hands: Whether somebody's hands are inside or at terminals.
        said_by: The entry that says how it is done; a step then needs no words of its own. Empty where the author must.
    """

    record: type
    says: str
    needs: str = ""
    gives: str = ""
    owes: str = ""
    situation: str | ByWord[str] = ""
    verdicts: Verdicts | ByWord[Verdicts] | None = None
    hands: bool = False
    said_by: str = ""

    @property
    def name(self) -> str:
        """Its head key, e.g. ``prove_dead``."""
        return head_key(self.record)

    @property
    def takes(self) -> dict[str, Takes]:
        """What each field takes, in order; a field named like a Python keyword without its underscore."""
        return {key.removesuffix("_"): note_of(self.record, key) for key in _keys(self.record)}


TABLE: dict[type, Row] = {}
"""Every action, by its record, in the order of the documentation."""


@dataclass_transform(frozen_default=True)
def action(
    says: str,
    *,
    needs: str = "",
    gives: str = "",
    owes: str = "",
    situation: str | ByWord[str] = "",
    verdicts: Verdicts | ByWord[Verdicts] | None = None,
    hands: bool = False,
    said_by: str = "",
) -> Callable[[type[R]], type[R]]:
    """Make a record an action and enter it into the table; for the arguments see ``Row``."""

    def enter(record: type[R]) -> type[R]:
        made = dataclass(frozen=True, slots=True)(record)
        TABLE[made] = Row(made, says, needs, gives, owes, situation, verdicts, hands, said_by)
        return made

    return enter


def _keys(record: type) -> list[str]:
    return [field.name for field in fields(cast(Any, record))]


Source = Annotated[str, named(Names.SOURCE, "Id of the source.", "control")]
Device = Annotated[str, named(Names.DEVICE, "Id of the device.", "first-low-water")]
ItsCircuit = Annotated[
    str, named(Names.CIRCUIT, "The circuit, where it is not the procedure's own.", "limits")
]
At = Annotated[str, named(Names.POINT, "A test point of the circuit, by its terminal mark.", "X3:5")]
To = Annotated[str, named(Names.POINT, "The other point; the return in most cases.", "N")]
