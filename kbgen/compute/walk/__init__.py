"""The safety walk: every way through a procedure, with the plant's state at every step.

What a step does to the plant comes from its action. The walk looks at every step in every state in
which it can be reached and notes each broken rule with the shortest way that breaks it. The page of
the procedure shows the same states, so that page and check cannot disagree.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import partial

from kbgen.compute.walk.arriving import touched
from kbgen.compute.walk.contract import contract
from kbgen.compute.walk.explore import MOST_STATES, explore
from kbgen.compute.walk.graph import make_graph
from kbgen.compute.walk.minutes import minutes
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.rests import resting, rests
from kbgen.compute.walk.result import (
    AS_FOUND,
    Arrival,
    Because,
    Condition,
    Contract,
    Leaving,
    Minutes,
    Rests,
    Turn,
    Violation,
    Walk,
)
from kbgen.compute.walk.state import LOCKED, NOTHING, names
from kbgen.compute.walk.trace import conditions
from kbgen.compute.walk.travel import travel
from kbgen.link.base import KnowledgeBase
from kbgen.link.kept import kept
from kbgen.model.entry import Entry
from kbgen.model.procedure import Procedure
from kbgen.ref import Kind, Ref
from kbgen.store import Store

__all__ = [
    "MOST_STATES",
    "Arrival",
    "Because",
    "Condition",
    "Contract",
    "Leaving",
    "Minutes",
    "Rests",
    "Turn",
    "Violation",
    "Walk",
    "Walks",
    "rules_resting",
    "walk",
    "walk_all",
]


def walk(base: KnowledgeBase, entry: Entry, arrival: Arrival = AS_FOUND) -> Walk:
    """Walk one procedure by itself.

    Args:
        base: The linked knowledge base.
        entry: A procedure.
        arrival: What the pages before it leave.

    Raises:
        TypeError: The entry is no procedure.
    """
    procedure = entry.record
    if not isinstance(procedure, Procedure):
        raise TypeError(f"{entry.ref} is no procedure")
    graph = make_graph(procedure, entry.ref.id)
    plant = Plant(base, procedure, entry.ref.id)
    explored = explore(plant, graph, arrival=touched(procedure, arrival))
    clean = not explored.violations and explored.complete
    return Walk(
        rests=rests(plant, graph, explored.states, explored.changes) if clean else Rests(),
        violations=explored.violations,
        before=tuple(conditions(plant, states) for states in explored.states),
        paths=graph.paths(),
        states=sum(len(states) for states in explored.states),
        minutes=minutes(procedure, graph),
        complete=explored.complete,
        exits=explored.exits,
        padlocks=max((len(names(each, LOCKED)) for states in explored.states for each in states), default=0),
    )


def rules_resting(
    base: KnowledgeBase, entry: Entry, arrival: Arrival = AS_FOUND
) -> tuple[tuple[str, int], ...]:
    """Return the rules that would speak without a step of a page, and at how many places; see ``walk``."""
    procedure = entry.record
    if not isinstance(procedure, Procedure):
        raise TypeError(f"{entry.ref} is no procedure")
    plant = Plant(base, procedure, entry.ref.id)
    explored = explore(plant, make_graph(procedure, entry.ref.id), arrival=touched(procedure, arrival))
    return resting(plant, explored.states, explored.changes)


class Walks(Mapping[Ref, Walk]):
    """The walks of all procedures of a knowledge base, each made or found when somebody asks for it.

    Each is walked with what the pages before it may leave to it.
    """

    def __init__(self, base: KnowledgeBase, store: Store) -> None:
        self._base = base
        self._store = store

    def __getitem__(self, ref: Ref) -> Walk:
        entry = self._base.entries[ref]
        if ref.kind is not Kind.PROCEDURE or not isinstance(entry.record, Procedure):
            raise KeyError(ref)
        plant = Plant(self._base, entry.record, ref.id)
        each = [self._arrivals(family).get(ref.id, AS_FOUND) for family in entry.record.equipment]
        arrival = Arrival(
            finds=NOTHING.union(*(one.finds for one in each)),
            brings=frozenset.intersection(*(one.brings for one in each)) if each else NOTHING,
        )
        made = self.of_page(ref, arrival)
        return replace(made, contract=contract(plant, made.exits, arrival), arrival=arrival)

    def of_page(self, ref: Ref, arrival: Arrival) -> Walk:
        """Return the walk of a page with what arrives at it; how that came to be is not asked again."""
        entry = self._base.entries[ref]
        if not isinstance(entry.record, Procedure):
            raise KeyError(ref)
        return self._walk(entry, touched(entry.record, arrival))

    def _arrivals(self, family: str) -> Mapping[str, Arrival]:
        """Return what each page of a plant begins with."""
        make = partial(travel, self._base, family, self._walk)
        return kept(self._store, self._base, ("arrivals", family), make)

    def _walk(self, entry: Entry, arrival: Arrival) -> Walk:
        finds, brings = (
            [" ".join(fact) for fact in sorted(facts)] for facts in (arrival.finds, arrival.brings)
        )
        name = ("walk", str(entry.ref), *finds, "brought", *brings)
        return kept(self._store, self._base, name, lambda: walk(self._base, entry, arrival))

    def __iter__(self) -> Iterator[Ref]:
        return (entry.ref for entry, _ in self._base.of(Procedure))

    def __len__(self) -> int:
        return sum(1 for _ in self)


def walk_all(base: KnowledgeBase) -> Mapping[Ref, Walk]:
    """Walk every procedure of a knowledge base; nothing is kept."""
    return dict(Walks(base, Store()))
