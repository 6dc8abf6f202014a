"""Composed procedures in cards: nothing of a step is lost, answers lead where they led, a hunt is its ladder."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from kbgen.compute.circuit.order import order
from kbgen.compute.circuit.plan import Node, Tree
from kbgen.compute.circuit.state import State
from kbgen.model.answers import answers
from kbgen.model.procedure import Procedure
from kbgen.pipeline import Compiled, compile_folder
from kbgen.ref import Kind, Ref
from kbgen.text import words
from kbgen.views.blocks import Box, Folded, Goto, Items, Line, Table
from kbgen.views.card import Called, Card
from kbgen.views.page import Page
from kbgen.views.procedure import procedure_page
from kbgen.views.procedure_steps import step_anchors

FIND, SAFE = "sb-find-open-contact", "sb-make-safe"


def composed(shop: Compiled) -> list[str]:
    return [entry.ref.id for entry, page in shop.base.of(Procedure) if page.written]


MADE: dict[str, tuple[Procedure, Page]] = {}


def page_of(shop: Compiled, name: str) -> tuple[Procedure, Page]:
    if name not in MADE:
        ref = Ref(Kind.PROCEDURE, name)
        procedure = shop.base.procedure(name)
        assert procedure is not None
        MADE[name] = procedure, procedure_page(shop.base, shop.base.entries[ref], procedure, shop.walks)
    return MADE[name]


def cards(page: Page) -> list[Card]:
    blocks = [block for section in page.sections for block in section.blocks]
    return [
        card
        for block in blocks
        for card in (block.cards if isinstance(block, Called) else [block])
        if isinstance(card, Card)
    ]


def said(line: Line) -> str:
    return "".join(
        span.label if isinstance(span, Goto) else "[]" if isinstance(span, Box) else span.text
        for span in line
    )


def table(card: Card) -> Table:
    return next(block for block in card.blocks if isinstance(block, Table))


def listed(card: Card) -> str:
    return " ".join(
        said(item.line) for block in card.blocks if isinstance(block, Items) for item in block.items
    )


def gotos(card: Card) -> Iterator[Goto]:
    for step in (*card.steps, *card.every):
        yield from (choice.goto for choice in step.choices)
        if step.then:
            yield step.then
    lines = [cell for block in card.blocks if isinstance(block, Table) for row in block.rows for cell in row]
    lines += [item.line for block in card.blocks if isinstance(block, Items) for item in block.items]
    yield from (span for line in (*lines, card.brief) for span in line if isinstance(span, Goto))


def test_every_step_stands_on_one_card_and_keeps_its_words_and_cautions(demonstration: Compiled) -> None:
    assert {FIND, SAFE} <= set(composed(demonstration))
    for name in composed(demonstration):
        procedure, page = page_of(demonstration, name)
        shown = [step for card in cards(page) for step in (*card.steps, *card.every)]
        assert sorted(step.number for step in shown) == list(range(1, len(procedure.steps) + 1)), name
        by_number = {step.number: step for step in shown}
        for number, (own, anchor) in enumerate(
            zip(procedure.steps, step_anchors(procedure), strict=True), start=1
        ):
            step = by_number[number]
            assert (step.anchor, step.text, step.expect, step.write_in) == (
                anchor,
                own.do,
                own.expect,
                own.note_down,
            )
            assert {c.goto.anchor for c in step.choices} == {f"step-{each.go}" for each in answers(own)}, (
                name,
                anchor,
            )
        assert not [step for step in shown if step.cautions], "cautions stand on the card"
        whole = [
            n.ref for s in page.sections for n in s.blocks if not isinstance(n, Card) and hasattr(n, "brief")
        ]
        for card in cards(page):
            for notice in card.cautions:
                assert notice.brief == (notice.ref in whole), (name, card.name, notice.ref)
                whole += [] if notice.brief else [notice.ref]


def test_everything_leads_to_a_place_on_the_page_or_to_another_page(demonstration: Compiled) -> None:
    for name in composed(demonstration):
        _, page = page_of(demonstration, name)
        places = [card.anchor for card in cards(page)]
        places += [step.anchor for card in cards(page) for step in (*card.steps, *card.every)]
        places += [a for card in cards(page) for b in card.blocks if isinstance(b, Table) for a in b.anchors]
        assert len(places) == len(set(places)), name
        led = [goto for card in cards(page) for goto in gotos(card) if goto.page is None]
        assert led
        assert [goto for goto in led if goto.anchor not in places or not goto.label] == [], name


def test_answers_lead_to_cards_by_name_and_doubt_goes_with_its_answer(demonstration: Compiled) -> None:
    door = cards(page_of(demonstration, FIND)[1])[0]
    assert (door.name, door.title) == ("1", "At the door")
    assert [(c.outcome, c.goto.label) for c in door.steps[0].choices] == [
        ("No", "next line"),
        ("Yes, or not sure", "A Leave now"),
    ]
    assert [c.goto.label for c in door.steps[1].choices] == ["2 Stop", "B Boiler dry"]


def rungs(tree: Tree) -> Iterator[int]:
    """Yield the points of an order as long as no cover has to be opened for them, full first."""
    if isinstance(tree, Node):
        yield tree.test
        for outcome in ("full", "none"):
            yield from rungs(dict(tree.outcomes)[outcome]) if outcome in dict(tree.outcomes) else ()


def test_the_ladder_has_the_points_of_the_order_and_says_what_each_answer_means(
    demonstration: Compiled,
) -> None:
    hunt = next(card for card in cards(page_of(demonstration, FIND)[1]) if card.every)
    ladder = table(hunt)
    found = order(demonstration.base, "sb-limits", State(size="sb-3"))
    tests = found.probing.task.tests
    wanted = [tests[test].name for test in rungs(found.tree)]
    points = [said(row[0]) for row in ladder.rows]
    assert points == [mark for mark in wanted if mark in points]
    assert points[0] == "T19"
    assert ladder.head == ("Point", "Full: within 5 V of T19, 85 V or more", "None: 5.6 V or less", "Read")
    rows = {said(row[0]): row for row in ladder.rows}
    assert said(rows["T25"][1]) == "→ T26"
    assert said(rows["T26"][2]) == "T25–T26 open: the first low-water cutoff, or its wires."
    assert Goto("first low-water cutoff", Ref(Kind.DEVICE, "sb-first-low-water")) in rows["T26"][2]
    assert said(rows["T19"][2]).startswith("None, or still in between: The supply or the return is missing")
    assert said(rows["T20"][2]).startswith("Fuse F3 is open.")
    assert "A bigger fuse is never the answer." in said(rows["T20"][2])
    assert all(
        isinstance(row[3][0], Box) and row[3][0].label == f"{said(row[0])} to T90" for row in ladder.rows
    )


def test_a_hunt_says_the_repeat_the_confirming_reading_and_its_ways_out(demonstration: Compiled) -> None:
    first, second = (card for card in cards(page_of(demonstration, FIND)[1]) if card.every)
    for card in (first, second):
        text = listed(card)
        assert (
            "In between, or not sure: meter to low impedance, the same point again, black lead on T90."
            in text
        )
        assert "Still in between: Voltage drops under load." in text
        assert "Still not sure: → C Stop here" in text
        assert "Open between two points: read both once more, in high impedance, never low." in text
        assert "Anything else, or not sure: → C Stop here" in text
    assert "Read T19 to T90 first: 106.1 V to 134.3 V." in listed(first)
    assert "as at 7" in listed(second)
    # Two ladders in sight are mixed up: the second one opens where the display leads to it.
    assert not first.brief
    assert said(second.brief) == "Only from 8, where the answer was START NOT CLEAR."


def test_a_hunt_over_two_places_says_which_points_lie_where(demonstration: Compiled) -> None:
    hunt = next(card for card in cards(page_of(demonstration, "mah-read-air-check")[1]) if card.every)
    assert "Workshop panel: M1 M2 M9. Unit on the roof: H1 H10. The black lead hangs on the M0 of" in listed(
        hunt
    )
    alone = next(card for card in cards(page_of(demonstration, FIND)[1]) if card.every)
    assert "place where you read" not in listed(alone)


def test_an_ending_says_what_it_comes_to_and_whom_to_call(demonstration: Compiled) -> None:
    endings = {card.name: card for card in cards(page_of(demonstration, FIND)[1]) if card.name.isalpha()}
    assert endings["C"].title == "Something does not fit, and the boiler stays off"
    brief = said(endings["C"].brief)
    assert brief.startswith("Stop, then put back, then lock off, then close. Then: ")
    assert brief.endswith("Call the lead technician on call; if that is you, the one of the other shift.")
    assert [tick.title for tick in endings["C"].ticks] == ["Stop", "Put back", "Lock off", "Close", ""]
    assert not endings["A"].brief, "who leaves at once opens nothing"
    assert said(endings["B"].brief).startswith(
        "Stop. Switch the feed pump off at the feed tank. No water goes"
    )
    assert said(endings["B"].brief).endswith("→ C Stop here")


def test_what_an_ending_comes_to_begins_with_its_first_deed(demonstration: Compiled) -> None:
    found = [
        said(card.brief)
        for card in cards(page_of(demonstration, "sb-leak-check")[1])
        if card.title == "Gas leaks, or a valve leaks through"
    ]
    assert len(found) == 1
    assert found[0].startswith(
        "Shut the main shutoff at once. Handle across the pipe. Lock off. Then: Open the doors"
    )


def test_a_proof_keeps_its_pairs_and_what_leads_where(demonstration: Compiled) -> None:
    steps = [step for card in cards(page_of(demonstration, SAFE)[1]) for step in card.steps]
    gone = next(step for step in steps if step.anchor == "step-prove.fan")
    pairs = next(row for row in gone.details if row.label == "Between")
    assert [said(line) for line in pairs.lines] == [
        "L1 to L2", "L1 to L3", "L2 to L3", "L1 to ground", "L2 to ground", "L3 to ground",
    ]  # fmt: skip
    doubt = gone.choices[1]
    assert doubt.outcome == "Not dead, or the meter did not read, or not sure"
    assert doubt.goto.label.endswith(" Not dead")


def test_what_a_tag_says_is_said_once_behind_a_line(demonstration: Compiled) -> None:
    found = [
        block
        for card in cards(page_of(demonstration, FIND)[1])
        for block in card.blocks
        if isinstance(block, Folded)
    ]
    assert len(found) == 1
    ends = [step for card in cards(page_of(demonstration, FIND)[1]) for step in card.steps if step.end]
    tags = [row for step in ends for row in step.details if row.label == "Tag"]
    assert len(tags) == len(ends) - 1, "all but who leaves at once"
    assert said(tags[0].lines[-1]).startswith("Does the tag hang at the plant")
    assert all(said(row.lines[-1]).endswith("at the plant, and the same in the record") for row in tags[1:])


def test_a_page_that_was_written_by_hand_keeps_its_steps() -> None:
    # Every page of the demonstration is composed by now.
    by_hand = compile_folder(Path(__file__).parents[2] / "kb" / "good" / "vashby-mah")
    procedure, page = page_of(by_hand, "vashby-behind-the-filter")
    assert procedure.steps
    assert not procedure.written
    assert cards(page) == []


@pytest.mark.parametrize("name", [FIND, SAFE])
def test_own_words_stand_in_cards(demonstration: Compiled, name: str) -> None:
    procedure, page = page_of(demonstration, name)
    own = [step for step in procedure.steps if step.origin is None]
    text = " ".join(words(step.text) for card in cards(page) for step in card.steps)
    assert own
    assert all(words(step.do) in text for step in own)
