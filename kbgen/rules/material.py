"""What the rules judge, and what a check is."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import partial
from typing import TYPE_CHECKING, Any, TypeVar

from kbgen.compute.walk.graph import Graph, make_graph
from kbgen.link.base import KnowledgeBase
from kbgen.link.kept import kept_all, remembered
from kbgen.model.entry import Entry
from kbgen.model.procedure import Procedure
from kbgen.position import Route
from kbgen.problems import Problem
from kbgen.ref import Kind, Ref
from kbgen.schemas import Schemas, leaves
from kbgen.store import Store

if TYPE_CHECKING:
    from kbgen.compute.walk import Walk

T = TypeVar("T")


class _Lately:
    """What was read of the entry that was asked for last: one check after another looks at the same."""

    def __init__(self) -> None:
        self._entry: Entry | None = None
        self._read: dict[str, Any] = {}

    def of(self, what: str, entry: Entry, read: Callable[[], T]) -> T:
        """Return what was read of an entry, or read it."""
        if entry is not self._entry:
            self._entry, self._read = entry, {}
        if what not in self._read:
            self._read[what] = read()
        return self._read[what]  # type: ignore[no-any-return]


@dataclass(frozen=True, slots=True)
class Material:
    """What rules judge.

    Attributes:
        walks: What the safety walk found, by procedure.
        schemas: Say which fields are text for reading and which are codes.
        store: Keeps what a check finds in one entry alone.
        page: The procedure that is judged by those checks that judge each alone; all where none is named.
    """

    base: KnowledgeBase
    walks: Mapping[Ref, Walk]
    schemas: Schemas
    store: Store = field(default_factory=Store)
    page: Ref | None = None
    lately: _Lately = field(default_factory=_Lately)

    @property
    def settings(self) -> Mapping[str, Any]:
        """The data of kb.yaml; empty where it is broken."""
        return self.base.settings

    def pages(self) -> Iterator[tuple[Entry, Procedure]]:
        """Yield the procedures to judge."""
        if self.page is None:
            yield from self.base.of(Procedure)
            return
        entry = self.base.entries[self.page]
        if isinstance(entry.record, Procedure):
            yield entry, entry.record

    def graph(self, entry: Entry, procedure: Procedure) -> Graph:
        """Return the ways between the steps of a procedure of the knowledge base."""
        make = partial(make_graph, procedure, entry.ref.id)
        return remembered(self.base, ("graph", str(entry.ref)), make)

    def of_pages(self, name: str, checks: Iterable[Check]) -> Iterator[Problem]:
        """Yield what is wrong with each procedure.

        Args:
            name: That of no other group of checks.
            checks: Judge `pages`, each by itself and what it asks the knowledge base for.
        """

        def judged(ref: Ref) -> tuple[Problem, ...]:
            one = replace(self, page=ref)
            return tuple(problem for check in checks for problem in check(one))

        pages = [ref for ref in self.base.entries if ref.kind is Kind.PROCEDURE]
        for found in kept_all(
            self.store, self.base, (((name, str(ref)), partial(judged, ref)) for ref in pages)
        ):
            yield from found

    def of_each(self, name: str, checks: Iterable[EntryCheck]) -> Iterator[Problem]:
        """Yield what is wrong with each entry.

        Args:
            name: That of no other group of checks, with all that they are told beside the entry.
        """
        judged = partial(_of_entry, checks, self)
        makers = [((name, str(ref)), partial(judged, entry)) for ref, entry in self.base.entries.items()]
        for found in kept_all(self.store, self.base, makers):
            yield from found

    def leaves(self, entry: Entry) -> tuple[tuple[Route, Mapping[str, Any], Any], ...]:
        """Return every value of an entry as it was typed, with its route and schema."""
        typed = as_typed(entry)
        return self.lately.of("leaves", entry, lambda: tuple(leaves(self.schemas.of(entry.ref.kind), typed)))

    def texts(self, entry: Entry) -> tuple[tuple[Route, str, str], ...]:
        """Return route, class (``short``, ``long`` or ``code``) and text of every text of an entry."""
        data = entry.data
        return self.lately.of("texts", entry, lambda: tuple(self.schemas.texts(entry.ref.kind, data)))


def _of_entry(checks: Iterable[EntryCheck], material: Material, entry: Entry) -> tuple[Problem, ...]:
    return tuple(problem for check in checks for problem in check(material, entry))


def as_typed(entry: Entry) -> Mapping[str, Any]:
    """Return an entry as it was typed: steps of a routine quote the plant's entry, where it is told."""
    return {**entry.data, "steps": entry.data["written"]} if "written" in entry.data else entry.data


Check = Callable[[Material], Iterable[Problem]]
EntryCheck = Callable[[Material, Entry], Iterable[Problem]]
"""Judges an entry alone."""
