"""The steps that one line writes: their ids, their own words, and what is wrong with them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from kbgen.compose.ledger import Ledger
from kbgen.compose.rules import PLANT_DATA_MISSING, ROUTINE_UNKNOWN_NAME
from kbgen.link.base import KnowledgeBase
from kbgen.model.device import Device
from kbgen.model.equipment import Equipment
from kbgen.model.handling import Deed
from kbgen.model.procedure import Procedure
from kbgen.nearest import nearest
from kbgen.rule import Rule

NEXT = "next"
"""Leads to the line below."""
ON = "#on"
"""Leads to the next step of the same routine; from its last one to the line below."""
_PARAGRAPH = "\n\n"
Step = dict[str, Any]
"""A step in the plain data of a procedure."""


class Unfit(Exception):  # noqa: N818 - it is what the author is told, not a fault of the program
    """A line that cannot be written out.

    Args:
        field: The field of the line to point at.
    """

    def __init__(self, rule: Rule, field: str, message: str, hint: str) -> None:
        super().__init__(message)
        self.rule, self.field, self.message, self.hint = rule, field, message, hint


@dataclass(slots=True)
class Sheet:
    """What a routine writes on, and what it may look at.

    Attributes:
        base: The knowledge base as written.
        page: The procedure's id.
        procedure: Its head; its steps are the lines as written.
        plant_id: The family of plant it is about.
        plant: The same.
        routine: The routine's name.
        name: What the ids of the steps begin with.
        before: What the page has done when it comes to this line.
        fits: The steps that fitted the alterations of this page, or clipped leads on, by name.
        order: Where each thing was done first, to put it back last.
        adds: The author's own words, by deed.
        called: Whether the line is one of another page that is done here.
    """

    base: KnowledgeBase
    page: str
    procedure: Procedure
    plant_id: str
    plant: Equipment
    routine: str
    name: str
    before: Ledger
    adds: Mapping[str, Mapping[str, Any]]
    fits: Mapping[str, Mapping[str, Any]]
    order: Mapping[Any, int]
    called: bool = False
    steps: list[Step] = field(default_factory=list)
    deeds: list[str] = field(default_factory=list)

    def id_of(self, deed: str) -> str:
        """Return the id of a step of this line."""
        return f"{self.name}.{slug(deed)}"

    def write(self, deed: str, words: Deed | str, **fields: Any) -> None:
        """Write a step.

        Args:
            deed: What it does, as its id names it.
            words: The instruction, with what belongs to it.
            fields: Its action and ways; ``None`` for none; they go before what `words` say beside the instruction.
        """
        said = Deed(words) if isinstance(words, str) else words
        step: Step = {
            "id": self.id_of(deed),
            "do": said.do,
            "origin": {"routine": self.routine, "deed": deed},
        }
        ways = fields.pop("ways", {})
        step |= {key.rstrip("_"): value for key, value in fields.items() if value not in (None, "", [], ())}
        for key in ("expect", "why", "minutes", "note_down"):
            if (value := getattr(said, key)) and key not in step:
                step[key] = value
        step |= ways
        cautions = [*step.get("cautions", ()), *said.cautions]
        self._add(deed, step, cautions)
        self.deeds.append(deed)
        self.steps.append(step)

    def _add(self, deed: str, step: Step, cautions: list[str]) -> None:
        """Add the author's own words: sentences behind, never in place of the routine's."""
        own = self.adds.get(deed, {})
        if "say" in own:
            # Behind a list it is a paragraph, or it would be of the list's last line.
            between = _PARAGRAPH if "\n" in step["do"] else " "
            step["do"] = f"{step['do']}{between}{own['say']}"
        if "expect" in own:
            step["expect"] = f"{step['expect']} {own['expect']}" if "expect" in step else own["expect"]
        if "note_down" in own:
            asked = step.get("note_down")
            step["note_down"] = f"{asked}; {own['note_down']}" if asked else own["note_down"]
        if cautions or "cautions" in own:
            step["cautions"] = list(dict.fromkeys([*cautions, *own.get("cautions", ())]))

    def lead_on(self) -> None:
        """Put the id of the step below in the place of ``ON``."""
        below_each = [*(each["id"] for each in self.steps), NEXT][1:]
        for step, below in zip(self.steps, below_each, strict=False):
            for way in (step, *step.get("outcomes", ())):
                for key, value in way.items():
                    if value == ON:
                        way[key] = below

    def missing(self, where: str, what: str, example: str) -> Unfit:
        """Return that the plant's entry lacks something this line needs."""
        return self.missing_in(f"equipment/{self.plant_id}.yaml, {where},", what, example)

    def missing_in(self, where: str, what: str, example: str) -> Unfit:
        """Return that an entry lacks something this line needs."""
        return Unfit(PLANT_DATA_MISSING, "", f"{where} does not say {what}", f"Write there: {example}.")

    def devices(self) -> Iterator[str]:
        """Yield the ids of the plant's devices."""
        return (entry.ref.id for entry, _ in self.base.of(Device, plant=self.plant_id))

    def unknown(self, field_: str, what: str, name: str, known: Iterable[str]) -> Unfit:
        """Return that the plant has no such thing."""
        listed = list(known)
        near = nearest(name, listed)
        hint = f"Did you mean `{near}`?" if near else f"Known there: {', '.join(listed) or 'none'}."
        return Unfit(ROUTINE_UNKNOWN_NAME, field_, f"{self.plant_id} has no {what} called `{name}`", hint)


def slug(name: str) -> str:
    """Return a deed as it stands in an id: marks of the plant keep letters and digits only."""
    return re.sub(r"[^A-Za-z0-9.]+", "-", name).strip("-")


def question(*ways: tuple[str, str], unsure: str, danger: bool = False) -> list[Step]:
    """Return the outcomes of a question of plain answers, with `Not sure` at its end."""
    worst = {"danger": True} if danger else {}
    return [
        *({"when": when, "go": go, **(worst if go == unsure else {})} for when, go in ways),
        {"when": "Not sure", "go": unsure, **worst},
    ]
