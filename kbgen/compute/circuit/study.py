"""What was worked out about the circuits, each state of a circuit once for all pages of a book."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import TYPE_CHECKING, TypeVar

from kbgen.compute.circuit.state import Setting, State, settle
from kbgen.compute.circuit.variant import Variant, contact_closed, fitted_path, make_variant
from kbgen.link.base import KnowledgeBase
from kbgen.link.kept import kept
from kbgen.model.circuit import AnyPart, Circuit, Contact, Input, parts
from kbgen.model.equipment import Variant as PlantVariant
from kbgen.store import Store

if TYPE_CHECKING:
    from kbgen.compute.circuit.order import Order
    from kbgen.compute.circuit.probing import Probing

T = TypeVar("T")

Key = Hashable
"""Equal for two states of a circuit that no arithmetic can tell apart."""


@dataclass(frozen=True, slots=True)
class Studied:
    """One state of a circuit: what can be read, and in which order."""

    probing: Probing
    order: Order


class Study:
    """Works circuits out on demand and remembers what it found; the same for the same knowledge base."""

    def __init__(self, base: KnowledgeBase, store: Store | None = None) -> None:
        self.base = base
        self._store = store or Store()

    def knows(self, circuit_id: str) -> bool:
        """Say whether there is such a circuit on a plant of the knowledge base."""
        circuit = self.base.circuit(circuit_id)
        return circuit is not None and self.base.equipment(circuit.equipment) is not None

    def remembered(self, name: tuple[str, ...], make: Callable[[], T]) -> T:
        """Return something made of circuits, or make it; see `kept`."""
        return kept(self._store, self.base, name, make)

    def key(self, circuit_id: str, state: State) -> Key:
        """Return what the arithmetic of a state hangs on.

        Raises:
            UnknownName: The circuit or a name in the state does not exist.
        """
        return _key(make_variant(settle(self.base, circuit_id, state)))

    def of(self, circuit_id: str, state: State | None = None) -> Studied:
        """Return what is known of a circuit in a state.

        Raises:
            UnknownName: The circuit or a name in the state does not exist.
        """
        asked = state or State()
        setting = settle(self.base, circuit_id, asked)
        key = repr(_key(make_variant(setting)))

        def made() -> Studied:
            # Imported late: the arithmetic takes as long to load as an unchanged circuit takes to find.
            from kbgen.compute.circuit.order import make_order
            from kbgen.compute.circuit.probing import prepare
            from kbgen.compute.circuit.readings import readings

            probing = prepare(readings(self.base, circuit_id, asked))
            return Studied(probing, make_order(probing))

        return _in_setting(self.remembered(("study", key), made), setting)


def _in_setting(studied: Studied, setting: Setting) -> Studied:
    """Say of which state it was asked: size and stage are told on the page, whoever asked first."""
    table = studied.probing.table
    probing = replace(studied.probing, table=replace(table, variant=replace(table.variant, setting=setting)))
    return Studied(probing, replace(studied.order, probing=probing))


def _key(variant: Variant) -> Key:
    setting = variant.setting
    return (
        setting.circuit_id,
        variant.path,
        tuple(variant.closed.items()),
        tuple(sorted(setting.state.covers_off)),
        setting.state.supply_on,
        tuple(_fed_together(setting, variant.path)),
    )


def _fed_together(setting: Setting, path: tuple[AnyPart, ...]) -> Iterator[Hashable]:
    """Yield how the other circuits stand that feed the same input."""
    inputs = {part.input for part in parts(path) if isinstance(part, Input)}
    for entry, other in setting.base.of(Circuit, plant=setting.circuit.equipment):
        if entry.ref.id == setting.circuit_id:
            continue
        there = fitted_path(setting, other)
        if inputs.intersection(part.input for part in there if isinstance(part, Input)):
            contacts = (part for part in parts(there) if isinstance(part, Contact))
            yield there, tuple(contact_closed(setting, contact) for contact in contacts)


_MOST_OPTIONS = 3
"""Up to so many options every set of them is worked out; of more, each by itself."""


def option_sets(options: Sequence[PlantVariant]) -> Iterator[tuple[PlantVariant, ...]]:
    """Yield the sets of options worth working out, none of them first."""
    most = len(options) if len(options) <= _MOST_OPTIONS else 1
    for count in range(most + 1):
        yield from combinations(options, count)


@dataclass(frozen=True, slots=True)
class Alike:
    """Plant whose circuit is the same.

    Attributes:
        sizes: Ids of the sizes.
        every: Whether these are all that were asked about.
        state: Stands for all of them.
    """

    sizes: tuple[str, ...]
    every: bool
    fitted: tuple[PlantVariant, ...]
    missing: tuple[PlantVariant, ...]
    state: State


def alike(study: Study, circuit_id: str, stage: str, sizes: tuple[str, ...]) -> list[Alike]:
    """Return the kinds of plant that differ in a circuit; none where there is no such circuit or plant.

    Args:
        stage: Id of the stage it is asked in; empty when every contact is to be taken as made.
        sizes: Ids of the sizes asked about; empty for all.
    """
    circuit = study.base.circuit(circuit_id)
    plant = study.base.equipment(circuit.equipment) if circuit else None
    if circuit is None or plant is None:
        return []
    named = {part.option for part in parts(circuit.path)}
    options = [option for option in plant.options if option.id in named]
    every = tuple(size.id for size in plant.sizes if not sizes or size.id in sizes) or ("",)
    found = []
    for fitted in option_sets(options):
        states = {size: State(size, stage, frozenset(o.id for o in fitted)) for size in every}
        same: dict[Key, list[str]] = {}
        for size, state in states.items():
            same.setdefault(study.key(circuit_id, state), []).append(size)
        missing = tuple(option for option in options if option not in fitted)
        found += [
            Alike(tuple(own), len(own) == len(every), fitted, missing, states[own[0]])
            for own in same.values()
        ]
    return found
