"""The safety walk: every way through a procedure, with the plant's state at every step.

What a step does to the plant comes from its action. The walk looks at every step in every state in
which it can be reached and notes each broken rule with the shortest way that breaks it. The page of
the procedure shows the same states, so that page and check cannot disagree.
"""

from __future__ import annotations

from collections.abc import Mapping

from kbgen.compute.walk.contract import contract
from kbgen.compute.walk.explore import MOST_STATES, explore
from kbgen.compute.walk.graph import make_graph
from kbgen.compute.walk.minutes import minutes
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.result import Because, Condition, Contract, Leaving, Minutes, Turn, Violation, Walk
from kbgen.compute.walk.state import NOTHING, State
from kbgen.compute.walk.trace import conditions
from kbgen.compute.walk.travel import Page, travel
from kbgen.link.base import KnowledgeBase
from kbgen.model.entry import Entry
from kbgen.model.procedure import Procedure
from kbgen.ref import Kind, Ref

__all__ = [
    "MOST_STATES",
    "Because",
    "Condition",
    "Contract",
    "Leaving",
    "Minutes",
    "Turn",
    "Violation",
    "Walk",
    "walk",
    "walk_all",
]


def walk(base: KnowledgeBase, entry: Entry, found: State = NOTHING) -> Walk:
    """Walk one procedure by itself.

    Args:
        base: The linked knowledge base.
        entry: A procedure.
        found: What earlier pages may have left.

    Raises:
        TypeError: The entry is no procedure.
    """
    procedure = entry.record
    if not isinstance(procedure, Procedure):
        raise TypeError(f"{entry.ref} is no procedure")
    graph = make_graph(procedure, entry.ref.id)
    plant = Plant(base, procedure, entry.ref.id)
    return _walk(Page(plant, graph, found, found, explore(plant, graph, found=found)))


def walk_all(base: KnowledgeBase) -> Mapping[Ref, Walk]:
    """Walk every procedure of a knowledge base, each with what the others may leave to it."""
    return {Ref(Kind.PROCEDURE, name): _walk(page) for name, page in travel(base).items()}


def _walk(page: Page) -> Walk:
    plant, explored = page.plant, page.explored
    return Walk(
        violations=explored.violations,
        before=tuple(conditions(plant, states) for states in explored.states),
        paths=page.graph.paths(),
        states=sum(len(states) for states in explored.states),
        minutes=minutes(plant.procedure, page.graph),
        complete=explored.complete,
        contract=contract(page),
    )
