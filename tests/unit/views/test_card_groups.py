"""Which steps share a card, the ladder of a hunt with ohms, and pages that are done on the way."""

from __future__ import annotations

from kbgen.model.procedure import ProcedureStep
from kbgen.pipeline import Compiled
from kbgen.ref import Kind, Ref
from kbgen.render.text import page_lines
from kbgen.views.blocks import Box, Goto
from kbgen.views.card import Called
from kbgen.views.card_groups import groups_of
from tests.unit.views.test_cards import cards, composed, listed, page_of, said, table

DEAD, SEASON = "sb-find-open-contact-dead", "sb-season-start"


def step(name: str, **fields: str) -> ProcedureStep:
    return ProcedureStep(id=name, **fields)  # type: ignore[arg-type]


def test_a_line_that_only_the_one_above_leads_to_is_the_next_line_of_its_card() -> None:
    shared = [step("one", ways=(("seen", "two"), ("not-seen", "far"))), step("two"), step("far")]  # type: ignore[arg-type]
    assert [group.at for group in groups_of(shared)] == [[0, 1], [2]]
    led_elsewhere = [*shared[:2], step("three", go="two"), step("far")]
    assert [group.at for group in groups_of(led_elsewhere)] == [[0], [1], [2], [3]]


def test_what_leads_elsewhere_or_asks_more_than_a_plain_question_ends_its_card(
    demonstration: Compiled,
) -> None:
    after_go = [step("one", go="far"), step("two"), step("far")]
    assert [group.at for group in groups_of(after_go)] == [[0], [1], [2]]
    found = {card.name: card for card in cards(page_of(demonstration, "sb-is-it-doing-its-job")[1])}
    assert len(found["3"].steps[0].choices) > 3
    assert [each.anchor for each in found["4"].steps] == ["step-first-low"]


def test_a_card_without_a_title_says_in_its_lines_how_long_they_take(demonstration: Compiled) -> None:
    for name in composed(demonstration):
        for card in cards(page_of(demonstration, name)[1]):
            assert card.title or not card.minutes, (name, card.name)
    glass = next(
        c for c in cards(page_of(demonstration, DEAD)[1]) if c.steps and c.steps[0].anchor == "step-glass"
    )
    assert ("Time", "1 min") in [(row.label, said(row.lines[0])) for row in glass.steps[0].details]


def test_a_hunt_with_ohms_is_the_ladder_of_its_contacts(demonstration: Compiled) -> None:
    page = page_of(demonstration, DEAD)[1]
    hunt = next(card for card in cards(page) if card.title == "Trace with ohms: Limit string")
    assert not hunt.ticks
    ladder = table(hunt)
    assert ladder.head == ("Across", "Under 2 Ω: closed", "Over 100 kΩ: open", "Read")
    rows = [[said(cell) for cell in row] for row in ladder.rows]
    assert [row[0] for row in rows] == [
        "T25 to T26",
        "T24 to T25",
        "T22 to T23",
        "T19 to T20",
        "T23 to T24",
    ]
    assert [row[1] for row in rows[:4]] == [f"→ {row[0]}" for row in rows[1:]]
    assert rows[3][2].startswith("More, also in between: Fuse `F3` is open".replace("`", ""))
    assert rows[0][2] == "the first low-water cutoff, or its wires."
    assert Goto("first low-water cutoff", Ref(Kind.DEVICE, "sb-first-low-water")) in ladder.rows[0][2]
    assert rows[1][2].endswith("Look whether the red button stands out."), "the author's own words are kept"
    assert rows[4][1].startswith("Ohms do not show the burner switch")
    assert all(isinstance(row[3][0], Box) for row in ladder.rows)
    which = next(c.name for c in cards(page) if c.steps and c.steps[0].anchor == "step-which")
    unsure = next(c.name for c in cards(page) if c.steps and c.steps[0].anchor == "step-unsure")
    assert "A contact or a terminal is bad there. Write down the two points." in listed(hunt)
    assert f"Not sure: → {unsure}" in listed(hunt)
    assert f"Open, or in between: write it down. → {which}" in listed(hunt)
    assert len(hunt.every) == 12


def test_a_page_done_on_the_way_is_one_card_with_the_ends_that_go_on(demonstration: Compiled) -> None:
    page = page_of(demonstration, SEASON)[1]
    called = [block for section in page.sections for block in section.blocks if isinstance(block, Called)]
    assert [each.ref.id for each in called] == [
        "sb-prove-valve-switches",
        "sb-prove-gas-switches",
        "sb-prove-steam-controls",
        "sb-prove-low-water",
        "sb-slow-drain",
    ]
    assert "Where that page ends “found”, go on below" in said(called[0].says)
    assert "“returned to service”" in said(called[-1].says)
    assert (
        Goto("Prove both low-water cutoffs of the boiler", Ref(Kind.PROCEDURE, "sb-prove-low-water"))
        in called[3].says
    )
    for each in called:
        assert each.name == f"{each.cards[0].name} to {each.cards[-1].name}"
        assert not any(card.name.isalpha() for card in each.cards), "its ways out are those of this page"
    assert any("Clip meter 1 on T41 and T90." in line for line in page_lines(page)), "who signs it reads it"


def test_a_check_of_a_device_says_of_which(demonstration: Compiled) -> None:
    titles = [card.title for card in cards(page_of(demonstration, "sb-is-it-doing-its-job")[1])]
    assert "Is it doing its job: High steam pressure limit" in titles


def test_questions_in_the_middle_of_a_page_are_not_headed_at_the_door(demonstration: Compiled) -> None:
    found = [card.title for card in cards(page_of(demonstration, "sb-season-start")[1])]
    assert found[0] == "At the door"
    assert "Before you go on" in found
    assert "At the door" not in found[1:]
