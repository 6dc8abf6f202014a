"""Judge a changed procedure the way the check does, against the knowledge base it comes from."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from pathlib import Path

from kbgen.compute.walk import walk
from kbgen.link.base import KnowledgeBase
from kbgen.link.names import names_in
from kbgen.model.entry import make_entry
from kbgen.model.procedure import Procedure
from kbgen.pipeline import compile_folder
from kbgen.problems import Severity
from kbgen.ref import Kind
from kbgen.rules.procedures import RULES
from kbgen.rules.record import Material
from kbgen.schemas import Schemas
from tests.mutants.draft import Draft
from tests.mutants.site import Site

DEMONSTRATION = Path(__file__).parents[2] / "kb_source"


@dataclass(frozen=True)
class Ground:
    """A knowledge base whose procedures are changed one at a time."""

    base: KnowledgeBase
    schemas: Schemas
    plant: str = ""
    _sites: dict[str, Site] = field(default_factory=dict)

    def drafts(self) -> list[Draft]:
        """Its procedures, or those of one plant."""
        return [
            Draft(entry.ref.id, dict(entry.data))
            for entry, procedure in self.base.of(Procedure)
            if not self.plant or self.plant in procedure.equipment
        ]

    def site(self, draft: Draft) -> Site:
        """Return the plant a procedure is about; each of the demonstration is about one family."""
        (family,) = draft.data["equipment"]
        return self._sites.setdefault(family, Site(self.base, family))

    def rules_broken(self, draft: Draft) -> frozenset[str]:
        """Return the names of the errors in a changed procedure."""
        path = f"procedures/{draft.name}.yaml"
        entry = make_entry(Kind.PROCEDURE, draft.name, path, draft.data)
        base = replace(self.base, entries={**self.base.entries, entry.ref: entry})
        only = replace(base, entries={entry.ref: entry})
        walked = walk(base, entry)
        material = Material(only, {entry.ref: walked}, self.schemas)
        named = {problem.rule for problem in names_in(base, entry)}
        shape = {
            problem.rule
            for check in dict.fromkeys(rule.check for rule in RULES if rule.check)
            for problem in check(material)
            if problem.severity is Severity.ERROR
        }
        return frozenset(named | shape | {violation.rule for violation in walked.violations})


def demonstration(plant: str = "") -> Ground:
    """The demonstration knowledge base, all of it or the procedures of one plant."""
    compiled = compile_folder(DEMONSTRATION)
    return Ground(compiled.base, compiled.schemas, plant)
