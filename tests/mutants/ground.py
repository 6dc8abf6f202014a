"""Judge a changed procedure the way the check does, against the knowledge base it comes from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache, cached_property, partial

from kbgen.compute.walk import Arrival, walk, ways_out
from kbgen.compute.walk.travel import travel
from kbgen.link.base import KnowledgeBase, T
from kbgen.link.names import names_in
from kbgen.link.references import references
from kbgen.model.action import End, HandOver
from kbgen.model.entry import Entry, make_entry
from kbgen.model.procedure import Procedure
from kbgen.problems import Severity
from kbgen.ref import Kind
from kbgen.rules import procedures, verdicts, ways
from kbgen.rules.material import Material
from kbgen.schemas import Schemas
from tests import shared
from tests.mutants.draft import Draft
from tests.mutants.site import Site


class _Changed(KnowledgeBase):
    """A knowledge base in which one procedure is up for judgement; the others can be looked up."""

    changed: Entry

    def of(self, record: type[T], **about: str) -> Iterator[tuple[Entry, T]]:
        if isinstance(self.changed.record, record) and not about:
            return iter([(self.changed, self.changed.record)])
        return super().of(record, **about)


@dataclass(frozen=True)
class Ground:
    """A knowledge base whose procedures are changed one at a time."""

    base: KnowledgeBase
    schemas: Schemas
    _sites: dict[str, Site] = field(default_factory=dict)
    _arrivals: dict[str, dict[str, Arrival]] = field(default_factory=dict)

    @cached_property
    def drafts(self) -> tuple[Draft, ...]:
        """Its procedures; who changes one copies it."""
        return tuple(Draft.of(entry.ref.id, dict(entry.data)) for entry, _ in self.base.of(Procedure))

    def site(self, draft: Draft) -> Site:
        """Return the plant a procedure is about; each of the demonstration is about one family."""
        (family,) = draft.data["equipment"]
        return self._sites.setdefault(family, Site(self.base, family))

    def _arriving(self, draft: Draft) -> Arrival:
        """Return what the pages before a procedure, as they are without the change, leave to it."""
        (family,) = draft.data["equipment"]
        if family not in self._arrivals:
            self._arrivals[family] = travel(self.base, family, partial(ways_out, self.base))
        arrival = self._arrivals[family].get(draft.name, Arrival())
        return arrival if draft.data.get("after") else Arrival(arrival.finds)

    def rules_broken(self, draft: Draft) -> frozenset[str]:
        """Return the names of the errors in a changed procedure."""
        return frozenset(self._broken(draft))

    def refused(self, draft: Draft) -> bool:
        """Whether a changed procedure has an error; after the first none is looked for."""
        return any(True for _ in self._broken(draft))

    def _broken(self, draft: Draft) -> Iterator[str]:
        """Yield the names of errors as they are found, what costs least first."""
        base, entry = self._with(draft)
        yield from (problem.rule for problem in names_in(base, entry))
        if any(each.target not in base.entries for each in references(entry, self.schemas)):
            yield "unknown-reference"
        walks = {entry.ref: walk(base, entry, self._arriving(draft))}
        yield from (violation.rule.name for violation in walks[entry.ref].violations)
        if draft.starts() != list(self.base.entries[entry.ref].data.get("starts", ())):
            # Pages that lead here may not bring about what it takes for granted now.
            walks |= {other.ref: walk(base, other) for other in self._leading_to(draft.name)}
        yield from (violation.rule.name for walked in walks.values() for violation in walked.violations)
        material = Material(base, walks, self.schemas)
        for check in (*procedures.PAGE_CHECKS, *verdicts.PAGE_CHECKS, *ways.PAGE_CHECKS):
            yield from (problem.rule for problem in check(material) if problem.severity is Severity.ERROR)

    def names_what_is_not_there(self, draft: Draft) -> bool:
        """Whether a changed procedure has ``unknown-name``; nothing but its names is judged."""
        return any(True for _ in names_in(*self._with(draft)))

    def _with(self, draft: Draft) -> tuple[_Changed, Entry]:
        path = f"procedures/{draft.name}.yaml"
        entry = make_entry(Kind.PROCEDURE, draft.name, path, draft.typed())
        entries = {**self.base.entries, entry.ref: entry}
        base = _Changed(self.base.shop, entries, self.base.backlinks, self.base.photos)
        base.changed = entry
        return base, entry

    def _leading_to(self, name: str) -> list[Entry]:
        return [
            entry
            for entry, page in self.base.of(Procedure)
            if entry.ref.id != name
            and any(
                isinstance(step.action, End | HandOver) and step.action.next == name for step in page.steps
            )
        ]


@cache
def demonstration() -> Ground:
    """The demonstration knowledge base, compiled once in a process."""
    compiled = shared.compiled(shared.DEMONSTRATION)
    return Ground(compiled.base, compiled.schemas)
