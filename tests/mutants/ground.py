"""Judge a changed procedure the way the check does, against the knowledge base it comes from."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path

from kbgen.compute.walk import walk
from kbgen.link.base import KnowledgeBase
from kbgen.model.circuit import Circuit, Contact, Point
from kbgen.model.entry import make_entry
from kbgen.model.procedure import Procedure
from kbgen.pipeline import compile_folder
from kbgen.problems import Severity
from kbgen.ref import Kind
from kbgen.rules.procedures import RULES
from kbgen.rules.record import Material
from kbgen.schemas import Schemas
from tests.mutants.draft import Draft

DEMONSTRATION = Path(__file__).parents[2] / "kb_source"


@dataclass(frozen=True)
class Gap:
    """Two neighbouring terminals of a circuit and the device between them."""

    circuit: str
    one: str
    other: str
    device: str


@dataclass(frozen=True)
class Ground:
    """A knowledge base whose procedures are changed one at a time."""

    base: KnowledgeBase
    schemas: Schemas
    plant: str = ""

    def drafts(self) -> list[Draft]:
        """Its procedures, or those of one plant."""
        return [
            Draft(entry.ref.id, dict(entry.data))
            for entry, procedure in self.base.of(Procedure)
            if not self.plant or self.plant in procedure.equipment
        ]

    def rules_broken(self, draft: Draft) -> frozenset[str]:
        """Return the names of the errors in a changed procedure."""
        path = f"procedures/{draft.name}.yaml"
        entry = make_entry(Kind.PROCEDURE, draft.name, path, draft.data)
        base = replace(self.base, entries={**self.base.entries, entry.ref: entry})
        only = replace(base, entries={entry.ref: entry})
        walked = walk(base, entry)
        material = Material(only, {entry.ref: walked}, self.schemas)
        shape = {
            problem.rule
            for check in dict.fromkeys(rule.check for rule in RULES if rule.check)
            for problem in check(material)
            if problem.severity is Severity.ERROR
        }
        return frozenset(shape | {violation.rule for violation in walked.violations})

    @cached_property
    def gaps(self) -> list[Gap]:
        """Every device that lies alone between two neighbouring terminals."""
        found = []
        for entry, circuit in self.base.of(Circuit):
            path = [part for part in circuit.path if isinstance(part, Point | Contact)]
            for one, part, other in zip(path, path[1:], path[2:], strict=False):
                if isinstance(one, Point) and isinstance(part, Contact) and isinstance(other, Point):
                    found.append(Gap(entry.ref.id, one.point, other.point, part.contact))
        return found


def demonstration(plant: str = "") -> Ground:
    """The demonstration knowledge base, all of it or the procedures of one plant."""
    compiled = compile_folder(DEMONSTRATION)
    return Ground(compiled.base, compiled.schemas, plant)
