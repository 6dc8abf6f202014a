"""What is made of a page or a circuit is not made anew because another plant's entry was changed."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import get_args

import pytest

from kbgen.compute.circuit.state import State
from kbgen.compute.circuit.study import Study
from kbgen.compute.walk import walk
from kbgen.link.base import KnowledgeBase
from kbgen.link.names import names_in
from kbgen.model.circuit import Circuit
from kbgen.model.entry import KeptEntry
from kbgen.model.equipment import Equipment
from kbgen.model.procedure import PageSays, Procedure, said_by
from kbgen.pipeline import Compiled
from kbgen.ref import Kind


def too_wide(base: KnowledgeBase, make: Callable[[], object]) -> set[str]:
    """Return whether circuits or devices were asked for of every plant; a caution is about several."""
    with base.listening() as asked:
        make()
    wide = set()
    for what, of in asked:
        if what == "of":
            kind, plant, circuit = json.loads(of) if isinstance(of, str) else of  # type: ignore[misc]
            wide |= {kind} if not (plant or circuit) else set()
    return wide & {"circuit", "device"}


@pytest.mark.parametrize("page", ["find-open-contact", "make-safe", "return-to-service", "season-start"])
def test_a_page_asks_of_its_own_plant(demonstration: Compiled, page: str) -> None:
    base = demonstration.base
    pages = [entry for entry, _ in base.of(Procedure) if entry.ref.id.endswith(page)]
    assert len(pages) >= 3
    for entry in pages:
        assert too_wide(base, lambda entry=entry: walk(base, entry)) == set()  # type: ignore[misc]
        assert too_wide(base, lambda entry=entry: list(names_in(base, entry))) == set()  # type: ignore[misc]


def test_a_circuit_asks_of_its_own_plant(demonstration: Compiled) -> None:
    base = demonstration.base
    assert len({circuit.equipment for _, circuit in base.of(Circuit)}) > 2
    for entry, _ in base.of(Circuit):
        assert too_wide(base, lambda name=entry.ref.id: Study(base).key(name, State())) == set()  # type: ignore[misc]


@pytest.mark.parametrize("record", [Circuit, Procedure])
def test_what_is_about_some_plants_comes_in_order_of_id(demonstration: Compiled, record: type) -> None:
    base = demonstration.base
    plants = [entry.ref.id for entry, _ in base.of(Equipment)]
    both = [entry.ref.id for entry, _ in base.of_plants(record, reversed(plants))]
    assert both == [entry.ref.id for entry, _ in base.of(record)]
    assert base.of_plants(record, []) == []


def test_what_a_page_is_asked_for_is_known_without_reading_it(demonstration: Compiled) -> None:
    pages = [entry for entry in demonstration.base.entries.values() if entry.ref.kind is Kind.PROCEDURE]
    for entry in pages:
        page = entry.record
        assert isinstance(entry, KeptEntry)
        assert isinstance(page, Procedure)
        assert entry.card.says == said_by(page), entry.ref
    # Each is asked for somewhere, so that a name left out is noticed.
    for name in get_args(PageSays):
        assert any(entry.card.says[name] for entry in pages if isinstance(entry, KeptEntry)), name
