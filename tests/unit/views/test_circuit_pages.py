"""What the pages of circuits, symptoms and plants show that is worked out."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from kbgen.compute.circuit import sayings
from kbgen.compute.circuit.order import order
from kbgen.compute.circuit.plan import Leaf, Node
from kbgen.compute.circuit.readings import readings
from kbgen.compute.circuit.state import State
from kbgen.compute.circuit.study import Study
from kbgen.pipeline import Compiled, compile_folder
from kbgen.ref import Kind, Ref
from kbgen.views.blocks import Bars, Block, Drawing, Facts, Folded, Helper, Items, Notice, Only, Table
from kbgen.views.circuit_helper import MOST_VARIANTS, offer
from kbgen.views.circuit_order import MIDDLE, SHORT, likeliest, numbered_tests
from kbgen.views.circuit_words import CALLED, fault_name, stage_line, word_heads, word_lines
from kbgen.views.page import Book, Page
from kbgen.views.verdict_words import ASKED

ROOT = Path(__file__).resolve().parents[3]


@pytest.fixture(scope="module")
def vashby() -> Compiled:
    return compile_folder(ROOT / "tests" / "kb" / "good" / "vashby-mah")


@pytest.fixture(scope="module")
def book(demonstration: Compiled) -> Book:
    return demonstration.book()


def page(book: Book, kind: Kind, entry_id: str) -> Page:
    return next(each for each in book.pages if each.ref == Ref(kind, entry_id))


def blocks(shown: Page, anchor: str) -> tuple[Block, ...]:
    return next(section.blocks for section in shown.sections if section.anchor == anchor)


def texts(block: Block) -> list[str]:
    lines = [item.line for item in block.items] if isinstance(block, Items) else []
    if isinstance(block, Facts):
        lines = [line for row in block.rows for line in row.lines]
    return ["".join(getattr(s, "text", "") or getattr(s, "label", "") for s in line) for line in lines]


def test_a_warning_stands_before_the_order_and_before_the_helper(book: Book) -> None:
    shown = page(book, Kind.CIRCUIT, "sb-limits")
    for anchor in ("order", "judge"):
        assert isinstance(blocks(shown, anchor)[0], Notice)


def test_the_order_on_the_page_has_the_minutes_of_the_command(demonstration: Compiled, book: Book) -> None:
    told = order(demonstration.base, "sb-limits")
    facts = next(b for b in blocks(page(book, Kind.CIRCUIT, "sb-limits"), "order") if isinstance(b, Facts))
    said = " ".join(texts(facts))
    for minutes in (told.expected_minutes, told.walk_minutes, told.halving_minutes):
        assert f"{minutes:.1f} min" in said


def test_the_short_list_has_at_most_eight_lines_and_names_only_lines_there_are(
    demonstration: Compiled,
) -> None:
    studied = Study(demonstration.base).of("sb-limits")
    short = numbered_tests(demonstration.base, studied.order, SHORT)
    assert short is not None
    assert len(short.items) == SHORT
    said = texts(short)
    assert "T19" in said[0]
    assert all(f"line {k}" not in " ".join(said) for k in range(SHORT + 1, 40))
    named = " ".join(said)
    assert all(f"line {k}." in named for k in range(2, SHORT + 1)), "every line is led to"


def test_the_whole_order_ends_everywhere_and_leaves_nothing_open(demonstration: Compiled) -> None:
    studied = Study(demonstration.base).of("sb-limits")
    whole = numbered_tests(demonstration.base, studied.order, None)
    assert whole is not None

    def count(tree: Node | Leaf) -> int:
        return 0 if isinstance(tree, Leaf) else 1 + sum(count(below) for _, below in tree.outcomes)

    assert len(whole.items) == count(studied.order.tree)
    assert not any("point by point" in text for text in texts(whole))


def test_shares_are_those_of_the_command(demonstration: Compiled) -> None:
    told = order(demonstration.base, "sb-limits").to_json()["shares"]
    assert isinstance(told, list)
    shown = likeliest(Study(demonstration.base).of("sb-limits").order, 3)
    wrong = [row for row in told if row["fault"] != "healthy"]
    assert [(round(share, 4), notes) for _, share, notes in shown] == [
        (row["share"], row["notes"]) for row in wrong[:3]
    ]


def test_a_size_that_differs_has_a_drawing_of_its_own_under_its_name(book: Book) -> None:
    drawn = blocks(page(book, Kind.CIRCUIT, "sb-purge"), "ladder")
    assert [b.fits.said for b in drawn if isinstance(b, Only)] == ["for SB-1, SB-2", "for SB-3, SB-4"]
    assert all(isinstance(b, Only) and isinstance(b.blocks[0], Drawing) for b in drawn)
    assert sum(isinstance(b, Drawing) for b in blocks(page(book, Kind.CIRCUIT, "sb-limits"), "ladder")) == 1


def test_along_a_string_readings_are_told_in_a_few_rows(book: Book) -> None:
    table = next(b for b in blocks(page(book, Kind.CIRCUIT, "sb-limits"), "readings") if isinstance(b, Table))
    assert len(table.rows) <= 6
    assert any("full before it, none from the next point on" in str(row) for row in table.rows)


def test_a_symptom_names_readings_suspects_and_the_way_to_the_helper(book: Book) -> None:
    shown = blocks(page(book, Kind.SYMPTOM, "sb-limits-not-made"), "test")
    facts = next(
        b for b in shown if isinstance(b, Facts) and any(row.label == "Test first" for row in b.rows)
    )
    rows = {row.label: row.lines for row in facts.rows}
    assert len(rows["Likeliest"]) == 3
    assert "Start check" in texts(facts)[0]
    assert "T19" in texts(facts)[1]
    assert "field note" in texts(facts)[2]
    assert any(isinstance(block, Notice) and block.title == "Live control circuit" for block in shown)


def test_a_display_that_passes_by_itself_is_told_on_its_symptom(vashby: Compiled) -> None:
    passing = {
        p.shows.casefold()
        for plant in ("vashby-mah",)
        for stage in vashby.base.equipment(plant).sequence  # type: ignore[union-attr]
        for p in stage.passes
    }
    for each in vashby.book().pages:
        if each.kind is Kind.SYMPTOM and passing & {m.casefold() for m in each.marks}:
            assert any("Passes by itself" in t for b in blocks(each, "normal") for t in texts(b))


def test_jobs_are_counted_with_an_interval_on_symptom_circuit_and_plant(book: Book) -> None:
    for shown, anchor in (
        (page(book, Kind.CIRCUIT, "sb-limits"), "found"),
        (next(p for p in book.listings if p.ref == "found/ondrel-sb"), "devices"),
    ):
        bars = next(b for b in blocks(shown, anchor) if isinstance(b, Bars))
        assert all(0 <= bar.lo <= bar.count / bar.total <= bar.hi <= 1 for bar in bars.rows)
        counts = [bar.count for bar in bars.rows]
        assert counts == sorted(counts, reverse=True)


def test_choices_that_make_no_difference_are_not_asked_for(demonstration: Compiled, vashby: Compiled) -> None:
    limits = offer(Study(demonstration.base), "sb-limits")
    assert [d.name for d in limits.dimensions] == ["stage", "opened"], "all sizes have the same limits"
    string = offer(Study(vashby.base), "vashby-string")
    assert [d.name for d in string.dimensions] == ["stage", "options", "opened"]
    assert len(string.states) <= MOST_VARIANTS


def test_every_offered_state_is_one_the_arithmetic_tells_apart(vashby: Compiled) -> None:
    study = Study(vashby.base)
    states = offer(study, "vashby-string").states
    assert len({study.key("vashby-string", state) for state in states}) == len(states)


def test_a_state_is_worked_out_once_and_still_says_which_one_was_asked(demonstration: Compiled) -> None:
    study = Study(demonstration.base)
    first, second = (study.of("sb-limits", State(size=size)) for size in ("sb-1", "sb-2"))
    assert first.probing.task is second.probing.task
    assert second.probing.table.variant.setting.state.size == "sb-2"


def test_the_helper_is_for_the_screen_and_the_whole_order_is_folded(book: Book) -> None:
    shown = page(book, Kind.CIRCUIT, "sb-limits")
    web_only = {section.anchor for section in shown.sections if section.web_only}
    assert {"judge", "whole-order"} <= web_only
    assert any(isinstance(block, Helper) for block in blocks(shown, "judge"))
    assert any(isinstance(block, Folded) for block in blocks(shown, "whole-order"))


def test_the_helper_is_worked_out_only_when_it_is_asked_for(
    vashby: Compiled, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []

    def noted(_: Study, circuit_id: str) -> str:
        asked.append(circuit_id)
        return "{}"

    monkeypatch.setattr("kbgen.views.circuit_sections.helper_data", noted)
    shown = page(vashby.book(), Kind.CIRCUIT, "vashby-string")
    assert asked == []
    [helper] = [block for block in blocks(shown, "judge") if isinstance(block, Helper)]
    assert helper.data() == "{}"
    assert asked == ["vashby-string"]


def test_nothing_that_a_meter_shows_is_called_sound(demonstration: Compiled) -> None:
    # A wire across a contact reads like a made one: the best a voltmeter can say is "made, as far as read".
    scripts = (ROOT / "site_overrides" / "assets" / "js").glob("locate*.js")
    shown = [text for script in scripts for text in re.findall(r'"([^"\n]* [^"\n]*)"', script.read_text())]
    shown += [text for told in vars(sayings).values() for text in every_text(told)]
    shown += [MIDDLE, *ASKED.values(), *CALLED.values()]
    for circuit in ("sb-limits", "sb-running", "ph-string", "ph-pump", "td-heat", "mah-string"):
        table = readings(demonstration.base, circuit)
        shown += [fault_name(demonstration.base, fault) for fault in table.faults]
        shown += [*word_lines(table), *word_heads(table), stage_line(table)]
    assert len(shown) > 300
    assert [
        text for text in shown if re.search(r"\b(sound|good|ok|okay|healthy)\b", text, re.IGNORECASE)
    ] == []


def every_text(told: object) -> list[str]:
    if isinstance(told, dict):
        return [text for each in told.values() for text in every_text(each)]
    if isinstance(told, tuple):
        return [text for each in told for text in every_text(each)]
    return [told] if isinstance(told, str) and " " in told and told != sayings.__doc__ else []


def test_a_contact_with_a_closed_branch_beside_it_is_said_not_to_show(vashby: Compiled) -> None:
    shown = page(vashby.book(), Kind.CIRCUIT, "vashby-string")
    readings = next(b for b in blocks(shown, "readings") if isinstance(b, Only))
    table = next(b for b in readings.blocks if isinstance(b, Table))
    silent = next(row for row in table.rows if "as if all were made" in str(row[1]))
    assert "Low-outlet-temperature cut-out open" in str(silent[0])
