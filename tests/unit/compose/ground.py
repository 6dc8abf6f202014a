"""The boiler of the demonstration with its entry changed, judged by everything that judges the entry and its pages."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

from kbgen.compose import compose
from kbgen.compose.page import Page, write_page
from kbgen.link.base import KnowledgeBase
from kbgen.link.names import names_in
from kbgen.load import read
from kbgen.load.discover import File
from kbgen.load.document import Loaded
from kbgen.model.entry import Entry, make_entry
from kbgen.model.equipment import Equipment
from kbgen.model.procedure import Procedure
from kbgen.problems import Problem
from kbgen.read import ReadFolder, read_folder
from kbgen.ref import Kind, Ref
from kbgen.rules import handling
from kbgen.rules.material import Material
from kbgen.rules.words.check import in_entry, reader_of
from kbgen.schemacheck import check
from kbgen.schemas import Schemas, load_schemas
from kbgen.store import Store
from tests import shared

PLANT = Ref(Kind.EQUIPMENT, "ondrel-sb")
PAGES = ("sb-make-safe",)
Change = Callable[[dict[str, Any]], object]


@cache
def schemas() -> Schemas:
    return load_schemas()


@cache
def demonstration() -> ReadFolder:
    return read_folder(shared.DEMONSTRATION, schemas(), Store())


@cache
def typed() -> dict[str, Any]:
    """The boiler's entry as typed: every scalar is text."""
    import yaml

    file = shared.DEMONSTRATION / "equipment" / "ondrel-sb.yaml"
    return dict(yaml.load(file.read_text(encoding="utf-8"), yaml.BaseLoader))


@cache
def _others(pages: tuple[str, ...]) -> dict[Ref, Entry]:
    """Its circuits and devices, and the pages that are written out."""
    return {
        each.ref: make_entry(each.ref.kind, each.ref.id, each.path, each.data)
        for each in demonstration().entries
        if "ondrel-sb" in each.plants and (each.ref.kind is not Kind.PROCEDURE or each.ref.id in pages)
    }


def problems(change: Change = lambda _: None, pages: tuple[str, ...] = PAGES) -> list[Problem]:
    """Return the problems of the boiler's entry with something in it changed."""
    data = copy.deepcopy(typed())
    change(data)
    file = File("equipment/ondrel-sb.yaml", Kind.EQUIPMENT, "ondrel-sb")
    document, faults = read(file, json.dumps(data, ensure_ascii=False).encode())
    checked = check(Loaded(Path(), (document,), (), tuple(faults)), schemas())
    if checked.problems or faults:
        return [*faults, *checked.problems]
    plant = make_entry(Kind.EQUIPMENT, "ondrel-sb", document.path, checked.documents[0].data)
    entries = {**_others(pages), PLANT: plant}
    base = KnowledgeBase(demonstration().shop, entries, {})
    found = list(names_in(base, plant))
    material = Material(base, {}, schemas())
    found += [problem for each in handling.CHECKS for problem in each(material)]
    reader = reader_of("en")
    assert reader is not None
    found += [
        each.rule.at(_spot(plant, each.route), each.message, each.hint)
        for each in in_entry(base, reader, plant)
    ]
    found += compose(demonstration().shop, list(entries.values()), frozenset(entries), Store()).problems
    return found


def _spot(entry: Entry, route: Any) -> Any:
    from kbgen.position import Spot

    return Spot(entry.path, route)


def source(data: dict[str, Any], name: str) -> dict[str, Any]:
    return next(each for each in data["sources"] if each["id"] == name)


def named(data: dict[str, Any], kind: str, name: str) -> dict[str, Any]:
    return next(each for each in data[kind] if each["id"] == name)


@cache
def _base(plant: str = "ondrel-sb") -> KnowledgeBase:
    entries = {
        each.ref: make_entry(each.ref.kind, each.ref.id, each.path, each.data)
        for each in demonstration().entries
        if plant in each.plants
    }
    return KnowledgeBase(demonstration().shop, entries, {})


def as_it_is(plant: Equipment) -> Equipment:
    return plant


def page(
    lines: str, of: str = "ondrel-sb", change: Callable[[Equipment], Equipment] = as_it_is, **head: Any
) -> Page:
    """Write a page of a plant out; ``lines`` is YAML, as an author types it."""
    import yaml

    steps = yaml.load(lines, yaml.BaseLoader)
    data = {"title": "Case", "equipment": [of], **head, "steps": steps}
    file = File("procedures/case.yaml", Kind.PROCEDURE, "case")
    document, faults = read(file, json.dumps(data, ensure_ascii=False).encode())
    checked = check(Loaded(Path(), (document,), (), ()), schemas())
    assert not faults
    assert not checked.problems, checked.problems
    made = make_entry(Kind.PROCEDURE, "case", document.path, checked.documents[0].data)
    assert isinstance(made.record, Procedure)
    plant = _base(of).equipment(of)
    assert plant is not None
    typed_steps = list(made.data["steps"])
    return write_page(_base(of), "case", made.path, made.record, typed_steps, of, change(plant))


def steps(lines: str, **head: Any) -> dict[str, dict[str, Any]]:
    """Return the steps of a page by their ids, in order; those without one by their number."""
    found = page(lines, **head)
    assert not found.problems, [each.message for each in found.problems]
    flat = [step for made in found.written for step in made]
    return {step.get("id", f"#{number}"): step for number, step in enumerate(flat)}


def faults(lines: str, **head: Any) -> list[tuple[str, str, str]]:
    """Return what is wrong with a page: rule, route, message."""
    from kbgen.position import Spot, show_route

    found = []
    for each in page(lines, **head).problems:
        assert isinstance(each.place, Spot)
        found.append((each.rule, show_route(each.place.route), each.message))
    return found
