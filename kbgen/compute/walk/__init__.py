"""The safety walk: every way through a procedure, with the plant's state at every step.

What a step does to the plant comes from its action. The walk looks at every step in every state in
which it can be reached and notes each broken rule with the shortest way that breaks it. The page of
the procedure shows the same states, so that page and check cannot disagree.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from functools import partial
from typing import NamedTuple, TypeVar

from kbgen.compute.walk.arriving import touched
from kbgen.compute.walk.contract import contract
from kbgen.compute.walk.explore import MOST_STATES, Explored, explore
from kbgen.compute.walk.graph import Graph
from kbgen.compute.walk.minutes import minutes
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.rests import resting, rests
from kbgen.compute.walk.result import (
    AS_FOUND,
    Arrival,
    Because,
    Condition,
    Contract,
    Exit,
    Leaving,
    Minutes,
    Rests,
    Turn,
    Violation,
    Walk,
)
from kbgen.compute.walk.state import LOCKED, NOTHING
from kbgen.compute.walk.trace import conditions, with_titles
from kbgen.compute.walk.travel import travel
from kbgen.link.base import KnowledgeBase
from kbgen.link.kept import kept
from kbgen.model.entry import Entry
from kbgen.model.procedure import Procedure
from kbgen.ref import Kind, Ref
from kbgen.store import Store

T = TypeVar("T")

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
    "ways_out",
]


_Found = tuple[Plant, Graph, Explored]


def walk(base: KnowledgeBase, entry: Entry, arrival: Arrival = AS_FOUND) -> Walk:
    """Walk one procedure by itself.

    Args:
        base: The linked knowledge base.
        entry: A procedure.
        arrival: What the pages before it leave.

    Raises:
        TypeError: The entry is no procedure.
    """
    found = _told(*_explored(base, entry, arrival))
    return replace(found, before=with_titles(base, found.before))


def ways_out(base: KnowledgeBase, entry: Entry, arrival: Arrival = AS_FOUND) -> tuple[Exit, ...]:
    """Walk one procedure by itself, to its ways out; see ``walk``."""
    return _explored(base, entry, arrival)[2].exits


def _explored(base: KnowledgeBase, entry: Entry, arrival: Arrival) -> _Found:
    procedure = entry.record
    if not isinstance(procedure, Procedure):
        raise TypeError(f"{entry.ref} is no procedure")
    plant = Plant(base, procedure, entry.ref.id)
    return plant, plant.graph, explore(plant, plant.graph, arrival=touched(procedure, arrival))


def _told(plant: Plant, graph: Graph, explored: Explored) -> Walk:
    """Say what an exploration found."""
    clean = not explored.violations and explored.complete
    return Walk(
        rests=rests(plant, graph, explored.states, explored.changes) if clean else Rests(),
        violations=explored.violations,
        before=tuple(conditions(plant, states) for states in explored.states),
        paths=graph.paths(),
        states=sum(len(states) for states in explored.states),
        minutes=minutes(plant.procedure, graph),
        complete=explored.complete,
        exits=explored.exits,
        padlocks=max((states.most(LOCKED) for states in explored.states), default=0),
    )


def rules_resting(
    base: KnowledgeBase, entry: Entry, arrival: Arrival = AS_FOUND
) -> tuple[tuple[str, int], ...]:
    """Return the rules that would speak without a step of a page, and at how many places; see ``walk``."""
    plant, _, explored = _explored(base, entry, arrival)
    return resting(plant, explored.states, explored.changes)


class _Latest(NamedTuple):
    """The latest exploration of a page, and the questions that were asked for it."""

    arrival: Arrival
    asked: set[tuple[str, object]]
    found: _Found


class Walks(Mapping[Ref, Walk]):
    """The walks of all procedures of a knowledge base, each made or found when somebody asks for it.

    Each is walked with what the pages before it may leave to it.
    """

    def __init__(self, base: KnowledgeBase, store: Store) -> None:
        self._base = base
        self._store = store
        self._latest: dict[Ref, _Latest] = {}

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
        found = self._kept("walk", entry, touched(entry.record, arrival), _told)
        # All its ways are large, and nobody goes them again.
        self._latest.pop(ref, None)
        return replace(found, before=with_titles(self._base, found.before))

    def _arrivals(self, family: str) -> Mapping[str, Arrival]:
        """Return what each page of a plant begins with."""
        make = partial(travel, self._base, family, self._exits)
        return kept(self._store, self._base, ("arrivals", family), make)

    def _exits(self, entry: Entry, arrival: Arrival) -> tuple[Exit, ...]:
        return self._kept("exits", entry, arrival, lambda _, __, explored: explored.exits)

    def _kept(
        self, what: str, entry: Entry, arrival: Arrival, make: Callable[[Plant, Graph, Explored], T]
    ) -> T:
        finds, brings = (
            [" ".join(fact) for fact in sorted(facts)] for facts in (arrival.finds, arrival.brings)
        )
        name = (what, str(entry.ref), *finds, "brought", *brings)
        return kept(self._store, self._base, name, lambda: make(*self._explore(entry, arrival)))

    def _explore(self, entry: Entry, arrival: Arrival) -> _Found:
        """Explore a page, or take the latest exploration of it: what was asked for that is asked again.

        With another arrival what was found of the plant at each step is taken over.
        """
        latest = self._latest.get(entry.ref)
        if latest is None or latest.arrival != arrival:
            with self._base.listening() as asked:
                if latest is None:
                    found = _explored(self._base, entry, arrival)
                else:
                    plant, graph, _ = latest.found
                    found = plant, graph, explore(plant, graph, arrival=touched(plant.procedure, arrival))
            if latest is not None:
                asked |= latest.asked
            latest = self._latest[entry.ref] = _Latest(arrival, asked, found)
        for what, of in latest.asked:
            self._base.note(what, of)
        return latest.found

    def __iter__(self) -> Iterator[Ref]:
        return (entry.ref for entry, _ in self._base.of(Procedure))

    def __len__(self) -> int:
        return sum(1 for _ in self)


def walk_all(base: KnowledgeBase) -> Mapping[Ref, Walk]:
    """Walk every procedure of a knowledge base; nothing is kept."""
    return dict(Walks(base, Store()))
