"""The plant as its entries describe it: what every id of a procedure stands for."""

from __future__ import annotations

import re
from collections import defaultdict
from copy import copy
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Self

from kbgen.compute.cautions import place_cautions
from kbgen.compute.walk.bits import Bits
from kbgen.compute.walk.graph import Graph, make_graph
from kbgen.compute.walk.known import Known
from kbgen.compute.walk.said import sends_helper
from kbgen.compute.walk.strings import String
from kbgen.link.base import KnowledgeBase
from kbgen.model.action import End, WorkIn
from kbgen.model.answers import Answer, answers
from kbgen.model.caution import Caution
from kbgen.model.circuit import Circuit
from kbgen.model.device import Device
from kbgen.model.equipment import Cover, Equipment, FuelPoint, FuelValve, Memory, Setting, Source, Zone
from kbgen.model.procedure import Procedure
from kbgen.ref import Kind, Ref
from kbgen.text import words

_GAS = re.compile(r"gas", re.IGNORECASE)


@dataclass(frozen=True)
class Described:
    """The plant a procedure is about, as its entries describe it.

    A procedure for several families is walked on all of them at once: names must mean something on each.

    Attributes:
        name: Id of the procedure.
        alone: Whether the walk asks of the procedures it leads to only whether they take dead plant for granted.
        titled: Whether rules say what devices are called, and not by their ids alone.
    """

    base: KnowledgeBase
    procedure: Procedure
    name: str = ""
    alone: bool = False
    titled: bool = True

    @cached_property
    def bits(self) -> Bits:
        """Which bit of a number stands for which fact."""
        return Bits()

    @cached_property
    def judged(self) -> defaultdict[int, Known[Any]]:
        """What the rules found and asked for before, by step."""
        return defaultdict(Known)

    @cached_property
    def changed(self) -> defaultdict[tuple[int, int | None], Known[tuple[int, int]]]:
        """What became of states before, by step and answer: the facts that ended and those that came about."""
        return defaultdict(Known)

    @cached_property
    def families(self) -> tuple[Equipment, ...]:
        """The families of plant."""
        found = (self.base.equipment(name) for name in self.procedure.equipment)
        return tuple(family for family in found if family is not None)

    @cached_property
    def sources(self) -> dict[str, Source]:
        """Energy sources by id."""
        return {source.id: source for family in self.families for source in family.sources}

    @cached_property
    def valves(self) -> dict[str, FuelValve]:
        """Fuel valves by id."""
        return {valve.id: valve for family in self.families for valve in family.fuel_valves}

    @cached_property
    def covers(self) -> dict[str, Cover]:
        """Covers by id."""
        return {cover.id: cover for family in self.families for cover in family.covers}

    @cached_property
    def fuel_points(self) -> dict[str, FuelPoint]:
        """Joints, plugs, test points and gauges of the fuel train by id."""
        return {point.id: point for family in self.families for point in family.fuel_points}

    @cached_property
    def zones(self) -> dict[str, Zone]:
        """Zones by id."""
        return {zone.id: zone for family in self.families for zone in family.zones}

    @cached_property
    def answers(self) -> tuple[tuple[Answer, ...], ...]:
        """The answers of every step."""
        return tuple(answers(step) for step in self.procedure.steps)

    @cached_property
    def settings(self) -> dict[str, Setting]:
        """Settings that have an id."""
        return {each.id: each for family in self.families for each in family.settings if each.id}

    @cached_property
    def memory(self) -> dict[str, Memory]:
        """What remembers faults, by id."""
        return {memory.id: memory for family in self.families for memory in family.memory}

    @cached_property
    def forgets_with_supply(self) -> frozenset[str]:
        """What remembers a fault and is cleared when its supply comes back: that is a reset that nobody presses."""
        return frozenset(name for name, memory in self.memory.items() if memory.power_resets)

    @cached_property
    def circuits(self) -> dict[str, String]:
        """The control circuits of the plant, by id."""
        strings = self.base.of_plants(Circuit, self.procedure.equipment)
        return {entry.ref.id: String(circuit) for entry, circuit in strings}

    def without_fire(self, started_by: str) -> bool:
        """Return whether a start is the one that the plant's entry gives for running without fire, on every family."""
        said = [family.firing.cold_by for family in self.families]
        return bool(said) and all(each and each.casefold() == started_by.casefold() for each in said)

    @cached_property
    def fuel_sources(self) -> frozenset[str]:
        """Sources that are fuel."""
        return frozenset(name for name, source in self.sources.items() if source.energy == "fuel")

    @cached_property
    def gas(self) -> frozenset[str]:
        """Sources of fuel that come through the gas train: of several those that are called gas."""
        called = frozenset(
            name for name in self.fuel_sources if _GAS.search(f"{name} {self.sources[name].title}")
        )
        return called or self.fuel_sources

    @cached_property
    def electric(self) -> frozenset[str]:
        """Sources that are this plant's own electricity."""
        return frozenset(name for name, source in self.sources.items() if source.energy == "electric")

    @cached_property
    def control(self) -> frozenset[str]:
        """Sources that feed a control circuit; without circuits, all of the plant's own electricity."""
        fed = {string.circuit.supply.source for string in self.circuits.values()} & self.sources.keys()
        return frozenset(fed) or self.electric

    @cached_property
    def warned(self) -> tuple[bool, ...]:
        """For each step, whether a caution on live readings stands before it or above it in the text.

        True throughout for a shop that has no such caution yet.
        """
        live = {
            entry.ref for entry, caution in self.base.of(Caution) if "live-measurement" in caution.applies_to
        }
        shown = {Ref(Kind.CAUTION, name) for name in self.procedure.cautions}
        found = []
        for placed in place_cautions(self.base, self.procedure):
            shown |= {caution.ref for caution in placed}
            found.append(not live or bool(live & shown))
        return tuple(found)

    @cached_property
    def danger_first(self) -> bool:
        """Whether danger is asked for before anything is done: the shop has a page for it, or the plant a question."""
        asked = (each.danger for family in self.families for each in family.arrive)
        return self.burns and (bool(self.base.shop.emergency.first) or any(asked))

    @cached_property
    def graph(self) -> Graph:
        """The ways between its steps."""
        return make_graph(self.procedure, self.name)

    @cached_property
    def ways_out(self) -> frozenset[tuple[int, str]]:
        """The answers, by step and words, from which everything leads to leaving at once."""
        graph = self.graph
        ends = (step.action for step in self.procedure.steps)
        stays = graph.leading_to(
            index
            for index, action in enumerate(ends)
            if index in graph.ends and not (isinstance(action, End) and action.end == "evacuated")
        )
        return frozenset(
            (index, self.answers[index][edge.answer].when)
            for index, edges in enumerate(graph.edges)
            for edge in edges
            if edge.answer is not None and edge.target not in stays
        )

    @cached_property
    def asks_danger(self) -> frozenset[int]:
        """The steps that ask for danger: a plain answer of theirs leads out, and nowhere else.

        What was not proved dead, or is another plant's, is no danger that anybody was asked for.
        """
        proofs = {
            (index, each.when) for index, asked in enumerate(self.answers) for each in asked if each.verdict
        }
        return frozenset(index for index, _ in self.ways_out - proofs)

    @cached_property
    def says(self) -> tuple[str, ...]:
        """What every step says to do, without markup."""
        return tuple(words(step.do) for step in self.procedure.steps)

    @cached_property
    def sends(self) -> frozenset[int]:
        """The steps whose words send somebody to work inside of the plant; what `work_in` does is known without words."""
        return frozenset(
            index
            for index, step in enumerate(self.procedure.steps)
            if not isinstance(step.action, WorkIn) and sends_helper(self.says[index])
        )

    @cached_property
    def for_faulty(self) -> frozenset[int]:
        """The steps that the `faulty` of a job check leads to."""
        where = {step.id: index for index, step in enumerate(self.procedure.steps) if step.id}
        asked = (answer for each in self.answers for answer in each if answer.verdict == "faulty")
        return frozenset(where[answer.go] for answer in asked if answer.go in where)

    def blamed(self, says: str) -> frozenset[str]:
        """Return the devices with a job check that the words of an answer name; several where they may mean each of them."""
        return self.base.meant(says, self.procedure.equipment)

    @cached_property
    def untitled(self) -> Self:
        """The same plant for rules of which nobody reads what they say: a walk hangs on no title for that."""
        other = copy(self)
        # It shares what was worked out; what rules said before is kept with the titles in it.
        vars(other).update(titled=False, judged=defaultdict(Known))
        return other

    @property
    def burns(self) -> bool:
        """Whether anything is known about its fuel."""
        return bool(self.valves or self.fuel_sources)

    def device(self, name: str) -> Device | None:
        """Return a device by its id."""
        return self.base.device(name)

    def title(self, device: str) -> str:
        """Return what people call a device."""
        found = self.base.device(device) if self.titled else None
        return found.head.title if found else device
