"""One order for one stage: the command, the symptom's page, the circuit's page, the helper and the guide."""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from kbgen.compute.circuit.order import Order
from kbgen.compute.circuit.order import order as worked_out
from kbgen.compute.circuit.plan import Leaf, Node, Task, Tree
from kbgen.compute.circuit.reading import supply_mark
from kbgen.compute.circuit.state import State, settle
from kbgen.compute.circuit.study import Study
from kbgen.compute.circuit.variant import make_variant
from kbgen.link.base import KnowledgeBase
from kbgen.model.circuit import Circuit, Contact, parts
from kbgen.model.equipment import Stage
from kbgen.model.symptom import Symptom
from kbgen.pipeline import Compiled
from kbgen.render.guide.lines import Lines
from kbgen.render.guide.pack import Packer
from kbgen.render.guide.paper import PAPERS
from kbgen.views.blocks import Facts, Goto, Items, Only
from kbgen.views.circuit_helper import helper_data, offer
from kbgen.views.circuit_words import contact_name, stage_line
from kbgen.views.entry_page import make_page
from kbgen.views.kinds import kinds_of
from kbgen.views.page import Page
from tests.shared import by_state

ROOT = Path(__file__).resolve().parents[3]
SHOP = ROOT / "kb_source"


@pytest.fixture(scope="module")
def base(demonstration: Compiled) -> KnowledgeBase:
    return demonstration.base


@pytest.fixture(scope="module")
def study(demonstration: Compiled) -> Study:
    """What the pages are made of, as a command finds it that was run before."""
    return Study(demonstration.base, demonstration.store)


@cache
def order(base: KnowledgeBase, circuit: str, state: State) -> Order:
    """What the command says, worked out once for all that is held against it."""
    return worked_out(base, circuit, state)


def likeliest_way(found: dict[str, Any]) -> list[str]:
    """The tests of `kbgen order` along the likeliest outcomes, the supply too, out of its JSON alone."""
    shares = {row["fault"]: row["share"] for row in found["shares"]}

    def ways(tree: dict[str, Any]) -> list[dict[str, Any]]:
        # A middle reading that is only repeated leads on as the others do.
        return [
            b
            for word, b in tree["outcomes"].items()
            if not (word == "some" and b.get("test") == tree["test"])
        ]

    def weight(tree: dict[str, Any]) -> float:
        if "faults" in tree:
            return sum(shares.get(fault, 0.0) for fault in tree["faults"])
        return sum(weight(below) for below in ways(tree))

    names, tree = [], found["tree"]
    while "test" in tree:
        names.append(tree["test"])
        tree = max(ways(tree), key=weight)
    return names


def words(line: Any) -> str:
    return "".join(part.label if isinstance(part, Goto) else part.text for part in line)


def blocks(page: Page):
    for section in page.sections:
        for block in section.blocks:
            yield from (
                (section.anchor, inner) for inner in (block.blocks if isinstance(block, Only) else (block,))
            )


def facts_named(page: Page, name: str) -> list[str]:
    return [
        words(row.lines[0])
        for _, block in blocks(page)
        if isinstance(block, Facts)
        for row in block.rows
        if row.label == name
    ]


def test_the_symptom_page_names_the_stage_and_the_readings_of_the_order(
    base: KnowledgeBase, study: Study
) -> None:
    compared = 0
    for entry, symptom in base.of(Symptom):
        if not symptom.circuit:
            continue
        page = make_page(base, entry, study)
        expected, stages = [], []
        for _, state in kinds_of(study, symptom.circuit, symptom.stage, symptom.sizes):
            studied = order(base, symptom.circuit, state)
            names = likeliest_way(studied.to_json())
            supply = supply_mark(studied.probing.table)
            first = [name for name in names if name != supply][:3]
            if supply in studied.probing.points:
                first.insert(0, supply)
            devices = studied.probing.table.devices
            expected.append(
                ", then ".join(f"across {contact_name(base, n)}" if n in devices else n for n in first)
            )
            stages.append(stage_line(studied.probing.table))
        assert facts_named(page, "Test first") == [said for said in expected if said], entry.ref
        assert [s for s in facts_named(page, "Stage") if s.startswith("For ")] == stages, entry.ref
        compared += len(expected)
    assert compared > 20


def test_the_circuit_page_and_the_guide_number_the_tests_of_the_order(
    base: KnowledgeBase, study: Study
) -> None:
    packer = Packer(PAPERS["a4"], Lines(PAPERS["a4"], {}), {})
    for entry, _ in base.of(Circuit):
        page = make_page(base, entry, study)
        lists = [
            block
            for anchor, block in blocks(page)
            if anchor == "order" and isinstance(block, Items) and block.ordered
        ]
        kinds = kinds_of(study, entry.ref.id)
        orders = [order(base, entry.ref.id, state) for _, state in kinds]
        shown = [found for found in orders if not isinstance(found.tree, Leaf)]
        assert len(lists) == len(shown), entry.ref
        printed = re.sub(r"\W+", "", json.dumps(packer.page(page), ensure_ascii=False))
        for block, found in zip(lists, shown, strict=True):
            assert isinstance(found.tree, Node)
            first = found.to_json()["tree"]["test"]
            line = words(block.items[0].line)
            name = contact_name(base, first) if first in found.probing.table.devices else first
            assert re.match(rf"Read (across )?{re.escape(name)}\b", line), line
            assert stage_line(found.probing.table) in facts_named(page, "Stage")
            for item in block.items:
                # Between the words of a line stand the signs of the print.
                tokens = re.findall(r"\w+", words(item.line))[:8]
                assert re.search(".{0,30}?".join(tokens), printed), f"the guide lacks {words(item.line)}"


def follow(policy: dict[str, Any], task: Task, tree: Tree, left: int, opened: int, first: bool) -> int:
    """Go down a tree, and ask the shipped policy at every node; return how many nodes there were."""
    if isinstance(tree, Leaf):
        return 0
    places = [place for place, hypothesis in enumerate(policy["order"]) if left >> hypothesis & 1]
    if not first:
        assert policy["choice"][policy["states"].index(opened)][min(places)][max(places)] == tree.test
    after, rests = opened | task.needs[tree.test], dict(task.split(tree.test, left))
    return 1 + sum(follow(policy, task, below, rests[word], after, False) for word, below in tree.outcomes)


def test_the_helper_follows_the_tree_of_the_order(base: KnowledgeBase, study: Study) -> None:
    followed = 0
    for entry, _ in base.of(Circuit):
        variants = by_state(helper_data(study, entry.ref.id))
        for state, data in zip(offer(study, entry.ref.id).states, variants, strict=True):
            found = order(base, entry.ref.id, state)
            policy, task = data["policy"], found.probing.task
            if "tree" in policy:
                assert policy["tree"] == json.loads(json.dumps(found.to_json()["tree"])), entry.ref
                continue
            left, at_first = task.everything, task.first is not None
            followed += follow(policy, task, found.tree, left, 0, at_first)
    assert followed > 100


def test_what_is_open_already_costs_nothing_again(base: KnowledgeBase) -> None:
    changed = 0
    for entry, circuit in base.of(Circuit):
        plant = base.equipment(circuit.equipment)
        for cover in plant.covers if plant else ():
            if cover.opens or not cover.minutes:
                continue
            shut, off = (order(base, entry.ref.id, State(covers_off=frozenset(c))) for c in ((), (cover.id,)))
            assert off.expected_minutes <= shut.expected_minutes + 1e-9
            changed += off.expected_minutes < shut.expected_minutes - 1e-9
    assert changed


def test_no_contact_stands_open_in_a_stage_in_which_its_circuit_must_be_made(base: KnowledgeBase) -> None:
    # Side by side one may stand open while the other carries; in a row it would be an open string.
    for entry, circuit in base.of(Circuit):
        for stage in settle(base, entry.ref.id, State()).stages:
            variant = make_variant(settle(base, entry.ref.id, State(stage=stage)))
            opened = {label for label, closed in variant.closed.items() if closed is False}
            in_row = {part.contact for part in circuit.path if hasattr(part, "contact")}
            assert not {label.partition("/")[0] for label in opened} & in_row, (entry.ref.id, stage)


def test_of_what_opens_in_some_stage_every_stage_says_how_it_stands(base: KnowledgeBase) -> None:
    # Else a reading would take it for made where a fan or drum stands still.
    silent = set()
    for entry, _ in base.of(Circuit):
        plant = settle(base, entry.ref.id, State()).plant
        for size in [each.id for each in plant.sizes] or [""]:
            judged = settle(base, entry.ref.id, State(size=size)).stages
            stages = [stage for stage in plant.sequence if not stage.sizes or size in stage.sizes]
            states = [State(size=size, stage=stage.id) for stage in stages]
            stands = [make_variant(settle(base, entry.ref.id, state)).closed for state in states]
            opening = {label for closed in stands for label, so in closed.items() if so is False}
            for device_id in {label.partition("/")[0] for label in opening}:
                device = base.device(device_id)
                computed = device is not None and device.type in ("relay", "timer")
                silent |= {
                    (entry.ref.id, stage.id, device_id)
                    for stage in stages
                    if not computed and stage.id not in judged and device_id not in told_of(base, stage)
                }
    assert not silent


def told_of(base: KnowledgeBase, stage: Stage) -> set[str]:
    """Return the devices of which a stage says how they stand."""
    strings = [circuit for name in stage.strings_made if (circuit := base.circuit(name))]
    row = {part.contact for circuit in strings for part in parts(circuit.path) if isinstance(part, Contact)}
    return {*stage.made, *stage.open, *stage.ignored, *row}
