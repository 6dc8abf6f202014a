"""What somebody with a booklet in the pocket has in hand."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from kbgen.compute.circuit.study import Study
from kbgen.compute.due import due_list
from kbgen.compute.edition import Edition
from kbgen.model.device import Device
from kbgen.model.equipment import Equipment
from kbgen.model.procedure import Procedure
from kbgen.outputs import booklet as booklets
from kbgen.outputs.booklet import length_notes
from kbgen.pipeline import Compiled
from kbgen.ref import Kind, Ref
from kbgen.render.guide.booklet import LEAVES, OVERLEAF, WHY_LONGER, Fitted, print_booklet
from kbgen.render.guide.fit import MOST_PAGES, WHOLE_PAGES
from kbgen.render.guide.paper import SHEETS
from kbgen.render.guide.typeset import PAGES, Setting, Typesetter
from kbgen.store import Store
from kbgen.views.blocks import Goto
from kbgen.views.booklet import Booklet, make_booklet, short
from kbgen.views.booklet.circuits import order
from kbgen.views.booklet.conditions import FIND_FIRST, dangerous
from kbgen.views.booklet.devices import proofs
from kbgen.views.booklet.leaf import Grid, Tick, Ticks, Words
from kbgen.views.booklet.plant import in_order
from kbgen.views.booklet.say import said
from tests.pdf_ua import faults
from tests.printed import references
from tests.unit.booklet.conftest import Printed

MM = 72 / 25.4


def test_a_booklet_has_at_most_64_pages_of_its_size_or_says_why_it_has_72(printed: Printed) -> None:
    reader = PdfReader(printed.file)
    longer = WHY_LONGER in printed.pages[0]
    assert len(reader.pages) <= (WHOLE_PAGES if longer else MOST_PAGES)
    assert longer is (len(reader.pages) > MOST_PAGES)
    box = reader.pages[0].mediabox
    assert (round(float(box.width) / MM), round(float(box.height) / MM)) == (105, 148)


def test_leave_now_is_inside_the_cover_and_whom_to_call_outside(printed: Printed) -> None:
    assert "Leave now" in printed.pages[1]
    assert "Muster point" in printed.pages[1]
    assert "Whom to call" in printed.pages[-1]


def test_folded_whom_to_call_is_the_back_cover(printed: Printed) -> None:
    assert len(printed.pages) % 4 == 0
    assert "Whom to call" in printed.pages[-1]


def test_nothing_of_a_site_is_printed(printed: Printed, demonstration: Compiled) -> None:
    whole = " ".join(printed.pages)
    for site in demonstration.base.shop.sites:
        for words in (site.address, site.muster, site.gas_shut_off):
            assert not words or words not in whole


def test_a_condition_stands_on_one_page_or_on_two_that_follow(printed: Printed) -> None:
    for leaf in printed.booklet.leaves:
        if leaf.condition and leaf.condition.stop:
            title = printed.page_of(f"SEEN {leaf.title}")
            whole = " ".join(printed.pages[title - 1 : title + 1])
            for line in (*leaf.condition.stop, *leaf.condition.record):
                assert _bare(line) in _bare(whole), (leaf.title, line)


def _bare(text: str) -> str:
    return "".join(text.split())


def test_stop_stands_first_where_a_line_of_it_is_a_danger_to_life(printed: Printed) -> None:
    seen = 0
    for leaf in printed.booklet.leaves:
        if leaf.condition and leaf.condition.stop:
            page = printed.pages[printed.page_of(f"SEEN {leaf.title}") - 1]
            first = page.index("STOP") < page.index("Look first, no meter")
            assert first is (bool(leaf.condition.immediate) or dangerous(leaf.condition.stop)), leaf.title
            seen += first
    assert seen


def test_immediate_actions_stand_before_everything_else(printed: Printed) -> None:
    for leaf in printed.booklet.leaves:
        if leaf.condition and leaf.condition.immediate:
            page = printed.pages[printed.page_of(f"SEEN {leaf.title}") - 1]
            assert page.index("AT ONCE") < page.index("STOP") < page.index("Look first")


def test_every_page_reference_names_the_page_it_leads_to(printed: Printed) -> None:
    found = list(references(printed.file))
    assert [each for each in found if each.says != each.leads] == []
    assert len(found) > 100


def test_a_booklet_is_tagged_for_everybody(printed: Printed) -> None:
    assert faults(printed.file) == []


def test_marks_of_the_plant_are_set_as_marks_and_no_markup_is_printed(printed: Printed) -> None:
    assert not [page[:40] for page in printed.pages if "`" in page or "**" in page]


def test_nothing_leads_to_a_screen_and_what_has_no_page_says_where_it_is(printed: Printed) -> None:
    whole = " ".join(printed.pages)
    assert not re.search(r"web edition|https?:|on screen|with the tablet first", whole)
    assert "(tablet or binder only)" in whole


def test_every_energy_is_named_where_all_of_them_are_isolated_fuel_first(
    printed: Printed, demonstration: Compiled
) -> None:
    plant = demonstration.base.equipment(printed.booklet.plant)
    assert plant is not None
    first = printed.page_of("SAFE Isolate all of these") - 1
    text = " ".join(printed.pages[first : first + 3])
    places = {source.id: text.index(source.title) for source in plant.sources}
    fuels = [places[source.id] for source in plant.sources if source.energy == "fuel"]
    assert max(fuels) < min(at for name, at in places.items() if at not in fuels)
    locks = next(each for each in plant.arrive if each.sees_locks)
    assert text.index(locks.do.replace("`", "")) < min(places.values())


def test_making_safe_is_printed_line_by_line_whatever_page_its_lines_come_from(
    printed: Printed, demonstration: Compiled
) -> None:
    leaf = next(leaf for leaf in printed.booklet.leaves if "make-safe" in leaf.labels)
    first = printed.page_of(f"SAFE {leaf.title}") - 1
    text = _bare(" ".join(printed.pages[first : first + 6]))
    plant = demonstration.base.equipment(printed.booklet.plant)
    assert plant is not None
    smell = next(each for each in plant.arrive if each.danger)
    assert _bare(smell.do.replace("`", "")) in text
    assert "Doallof" not in text


def test_making_safe_and_bringing_back_stand_whole_for_every_plant(printed: Printed) -> None:
    labels = {label for leaf in printed.booklet.leaves for label in leaf.labels}
    assert {"make-safe", "restore"} <= labels
    for leaf in printed.booklet.leaves:
        if {"make-safe", "restore"} & set(leaf.labels):
            assert any(f"SAFE {leaf.title}" in page for page in printed.pages), leaf.title


def test_no_answer_of_making_safe_leads_to_a_card_that_is_not_printed_without_saying_so(
    printed: Printed,
) -> None:
    leaf = next(leaf for leaf in printed.booklet.leaves if "make-safe" in leaf.labels)
    numbers = {card.title.split(" ")[0].rstrip(",") for card in leaf.parts}  # type: ignore[union-attr]
    led = 0
    for card in leaf.parts:
        for tick in card.rows:  # type: ignore[union-attr]
            for span in tick.otherwise:  # type: ignore[union-attr]
                for number in re.findall(r"→ (?:card )?(\d+)", getattr(span, "text", "")):
                    assert number in numbers or "tablet or binder" in span.text, (card, span)  # type: ignore[union-attr]
                    led += number not in numbers
    assert led


def test_where_to_turn_names_every_leaf_that_is_printed(printed: Printed) -> None:
    page = next(page for page in printed.pages if "Where to turn" in page)
    listed = _bare(page.partition("Where to turn")[2])
    for leaf in printed.booklet.leaves:
        if leaf.labels and not leaf.condition and leaf.tab != "LEAVE":
            there = any(f"{leaf.tab} {leaf.title}" in each for each in printed.pages)
            assert (_bare(leaf.title) in listed) is there, leaf.title


def test_no_gate_no_wait_and_no_proof_is_missing_from_a_short_form(demonstration: Compiled) -> None:
    for _, procedure in demonstration.base.of(Procedure):
        if procedure.derived:
            continue
        said = _said(short.short_form(demonstration.base, procedure))
        for step in short.gates_of(procedure):
            if step.origin and (step.origin.page or step.origin.circuit):
                continue
            words = step.ask or step.in_short or _first(step.do)
            assert _bare(words.replace("`", "")) in said, (procedure.head.title, words)


def _first(do: Any) -> str:
    from kbgen.text import words

    return words(do)[:40]


def _said(form: Any) -> str:
    parts = []
    for card in form:
        for tick in card.rows:
            parts += [_line(tick.says), tick.gate, tick.answer]
    return _bare(" ".join(parts))


def _line(spans: Any) -> str:
    return "".join(getattr(span, "text", getattr(span, "label", "")) for span in spans)


def test_a_printed_search_says_where_each_of_its_ends_leads(demonstration: Compiled) -> None:
    found = {}
    for entry, procedure in demonstration.base.of(Procedure):
        for card in () if procedure.derived else short.short_form(demonstration.base, procedure):
            for tick in card.rows:
                if _line(tick.says).startswith(("Read point by point", "Ohms, proved dead")):
                    found.setdefault(entry.ref.id, []).append(_line(tick.otherwise))
    assert len(found) > 6
    for name, ways in found.items():
        for way in ways:
            assert "All made" in way or "Nothing open" in way, (name, way)
            assert "pen place" in way, (name, way)
            assert way.count("→") > 2, (name, way)
    first, *_ = found["sb-find-open-contact"]
    assert first == (
        "All made → 8  Open place, weak place → 12 found  Fuse open, no supply → Call the electrician  Not sure → Stop here"
    )


def test_what_a_procedure_needs_is_said_in_sentences(printed: Printed) -> None:
    for leaf in printed.booklet.leaves:
        assert not re.search(r"\. [a-z]", leaf.note), (leaf.title, leaf.note)


def test_a_card_that_only_an_answer_leads_to_says_so(demonstration: Compiled) -> None:
    safe = demonstration.base.procedure("sb-make-safe")
    assert safe is not None
    titles = [card.title for card in short.short_form(demonstration.base, safe)]
    assert any(title.endswith(", only if sent here") for title in titles)
    assert "5 Lock off" in titles


def test_the_same_booklet_gives_the_same_bytes(
    printed: Printed, demonstration: Compiled, tmp_path: Any
) -> None:
    if printed.booklet.plant == "harnok-td":
        booklets.make_pocket(demonstration, tmp_path / "again.pdf", "harnok-td")
        assert (tmp_path / "again.pdf").read_bytes() == printed.file.read_bytes()


def test_how_a_booklet_fits_is_kept_and_set_at_once_the_next_time(
    printed: Printed, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if printed.booklet.plant != "harnok-td":
        return
    settings: list[tuple[str, ...]] = []
    run = Typesetter.run

    def counted(self: Typesetter, *names: str, **how: Any) -> Setting:
        settings.append(names)
        return run(self, *names, **how)

    monkeypatch.setattr(Typesetter, "run", counted)
    again = replace(printed.booklet, edition=Edition("another", "2027-02-03"), void_after="2028-02-03")
    made = []
    with Store(tmp_path / "store") as store:
        for booklet in (printed.booklet, printed.booklet, again):
            made.append((print_booklet(booklet, SHEETS["a6"], store), settings.count((PAGES, LEAVES))))
            settings.clear()
    (first, tried), (second, once), (other, of_other) = made
    assert tried > 1
    assert (once, of_other) == (1, 1)
    assert first == second
    assert isinstance(first[1], Fitted)
    assert other[1] == first[1]


def test_every_device_that_a_condition_names_has_a_card(printed: Printed, demonstration: Compiled) -> None:
    titles = {entry.title for ref, entry in demonstration.base.entries.items() if ref.kind is Kind.DEVICE}
    assert titles
    for leaf in printed.booklet.leaves:
        for _, _, page in leaf.condition.looks if leaf.condition else ():
            for goto in page:
                ref = getattr(goto, "page", None)
                assert isinstance(ref, Ref)
                assert any(demonstration.base.title(ref) in text for text in printed.pages if "PARTS" in text)


def test_a_check_tells_of_a_long_booklet_what_is_then_printed(
    printed: Printed, demonstration: Compiled
) -> None:
    told = [each for each in length_notes(demonstration) if f"/{printed.booklet.plant}.yaml" in each]
    pages = len(printed.pages)
    assert bool(told) is (pages > MOST_PAGES)
    for each in told:
        assert f": its booklet takes up to {pages} pages, {pages - MOST_PAGES} over 64; with fewer," in each


def test_the_plant_is_brought_to_rest_before_the_first_energy_goes_off(
    printed: Printed, demonstration: Compiled
) -> None:
    """A pump that carries the heat away was locked off on the line before its run-on, a plug pulled before STOP."""
    plant = demonstration.base.equipment(printed.booklet.plant)
    assert plant
    assert plant.firing.stop
    leaf = next(leaf for leaf in printed.booklet.leaves if leaf.title == "Isolate all of these")
    parts = [part for part in leaf.parts if isinstance(part, Ticks | Words)]
    stop = next(at for at, part in enumerate(parts) if part.title == "Then stop it")
    first = next(at for at, part in enumerate(parts) if part.title.startswith("1 "))
    assert 0 < stop < first
    whole = _bare(" ".join(printed.pages[printed.page_of("SAFE Isolate") - 1 :][:3]))
    order = [
        whole.index(_bare(said)) for said in ("Before anything", _plain(plant.firing.stop.do), "1 Fuel gas")
    ]
    if plant.firing.still:
        order.append(whole.index(_bare(_plain(plant.firing.still.do))))
    order.append(whole.index("2" + _bare(in_order(plant)[1].title)))
    assert order == sorted(order)


def _plain(text: str) -> str:
    return text.replace("`", "").split(". ")[0]


def test_who_climbs_reads_the_weather_before_anything_on_the_roof(demonstration: Compiled) -> None:
    """The sight glass is read once the fire is stopped: before, a flame is what belongs there."""
    booklet = make_booklet(
        demonstration.base,
        demonstration.edition,
        Study(demonstration.base, demonstration.store),
        "vashby-mah",
    )
    assert booklet
    leaf = next(leaf for leaf in booklet.leaves if leaf.title == "Isolate all of these")
    door, stop = (part for part in leaf.parts[:2] if isinstance(part, Ticks))
    said_ = [str(tick.says) for tick in door.rows]
    assert ["Smell" in said_[0], "weather" in said_[1] or "roof, sky" in said_[1]] == [True, True]
    assert "padlocks" in said_[2]
    assert not any("sight glass" in each for each in said_)
    assert "sight glass" in str(stop.rows[-1].says)


def test_what_is_left_when_nothing_else_fits_stands_last_in_the_finder(demonstration: Compiled) -> None:
    """A hurried reader takes the first line that fits."""
    for plant, first, last in (
        (
            "zellick-ph",
            "Red button of the second outlet limit is out",
            "Letter C stays, pool heater does not start",
        ),
        ("ondrel-sb", "High gas pressure has tripped", "burner stays off"),
    ):
        booklet = make_booklet(
            demonstration.base, demonstration.edition, Study(demonstration.base, demonstration.store), plant
        )
        assert booklet
        finder = next(leaf for leaf in booklet.leaves if leaf.tab == "FIND").parts[0]
        assert isinstance(finder, Grid)
        lines = ["".join(getattr(span, "text", "") for span in row[1]) for row in finder.rows]
        assert lines.index(first) < lines.index(last)
        at = lines.index(last) + 1
        assert finder.rows[at][0], "the next line has a display of its own"


def test_who_has_neither_tablet_nor_binder_is_told_where_to_stop(printed: Printed) -> None:
    """A search ends with the next procedure, which may have no page: nobody is left standing at open plant."""
    form = _bare(" ".join(page for page in printed.pages if " SAFE" in page[:80]))
    ends = form.count(_bare("Found. Next:")) + form.count(_bare("in the record. Next:"))
    gone = form.count(_bare("(tablet or binder only) Neither here: Stop here"))
    assert ends
    assert 0 < gone <= ends


def test_every_page_says_whether_it_goes_on(printed: Printed) -> None:
    heads = [page.split(" ", 1)[0] for page in printed.pages]
    assert heads
    for page in printed.pages[1:]:
        assert ("goes on →" in page) is not ("■ end" in page)
    starts = [leaf.title for leaf in printed.booklet.leaves if leaf.condition]
    for title in starts:
        before = printed.page_of(f"SEEN {title}") - 1
        assert "■ end" in printed.pages[before - 1], title
    safe = printed.page_of("SAFE Make the")
    assert "goes on →" in printed.pages[safe - 1]


def test_a_short_form_that_may_give_is_a_spread_at_most(printed: Printed) -> None:
    """Heights said two pages, and one line stood on a third."""
    run = 0
    for page in printed.pages:
        run = run + 1 if page.removeprefix(printed.booklet.title).startswith(" MORE ") else 0
        assert run <= 2, page
        if "■ end" in page:
            run = 0


def test_no_way_to_end_a_job_stands_there_that_nothing_leads_to(printed: Printed) -> None:
    led = {str(goto.page) for goto in _gotos(printed.booklet, ("SAFE", "MORE", "ELSE", "SEEN"))}
    for leaf in printed.booklet.leaves:
        if leaf.tab == "ELSE":
            for part in leaf.parts:
                assert isinstance(part, Ticks)
                assert part.label in led | {"ending leave-now"}, part.title


def test_every_condition_of_the_demonstration_stands_on_one_page(printed: Printed) -> None:
    for leaf in printed.booklet.leaves:
        if leaf.condition:
            assert "■ end" in printed.pages[printed.page_of(f"SEEN {leaf.title}") - 1], leaf.title


def test_a_plant_of_too_many_entries_is_told_so(
    demonstration: Compiled, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(booklets, "MOST_ENTRIES", 50)
    told = list(length_notes(demonstration))
    assert re.match(
        r"equipment/harnok-td\.yaml: 5\d entries are too many for a booklet: cut the family", told[0]
    )


def _gotos(booklet: Booklet, tabs: tuple[str, ...]) -> Iterator[Goto]:
    for leaf in booklet.leaves:
        if leaf.tab in tabs:
            for part in leaf.parts:
                for tick in getattr(part, "rows", ()):
                    lines = (tick.says, tick.otherwise, tick.page) if isinstance(tick, Tick) else ()
                    yield from (span for line in lines for span in line if isinstance(span, Goto))


def test_a_way_to_end_a_job_is_referred_to_where_it_stands_itself(printed: Printed) -> None:
    """Not at the top of the leaf: a reader who turned there did not find it."""
    ends = {part.label for leaf in printed.booklet.leaves if leaf.tab == "ELSE" for part in leaf.parts}  # type: ignore[union-attr]
    led = {
        str(each.page)
        for each in _gotos(printed.booklet, ("SAFE", "ELSE"))
        if str(each.page).startswith("ending ")
    }
    assert led
    assert led <= ends


def test_what_is_locked_in_an_ending_is_referred_to_at_its_own_energy(printed: Printed) -> None:
    """Not at the questions at the door, one of which sends back."""
    energies = {getattr(part, "label", "") for leaf in printed.booklet.leaves for part in leaf.parts}
    led = {
        str(each.page) for each in _gotos(printed.booklet, ("ELSE",)) if str(each.page).startswith("energy ")
    }
    assert led
    assert led <= energies


def test_before_the_meter_stands_the_procedure_that_has_its_gates(printed: Printed) -> None:
    seen = 0
    for leaf in printed.booklet.leaves:
        test = leaf.condition.test if leaf.condition else ()
        gotos = [span for span in test if isinstance(span, Goto)]
        if len(gotos) > 1:
            assert gotos[0].label == FIND_FIRST, leaf.title
            assert isinstance(gotos[0].page, Ref)
            assert gotos[0].page.kind is Kind.PROCEDURE
            seen += 1
    assert seen > 3


def test_every_condition_says_that_the_door_comes_first_and_fills_what_it_takes(printed: Printed) -> None:
    titles = [leaf.title for leaf in printed.booklet.leaves if leaf.condition]
    pages = [page for page in printed.pages if re.match(r"\S.{0,60} SEEN ", page)]
    begun = [page for page in pages if any(f"SEEN {title}" in page for title in titles)]
    assert len(begun) == len(titles)
    assert all("Door first" in page for page in begun)
    assert all(len(page) > 250 for page in pages if page not in begun)


def test_a_tripped_limit_is_not_said_to_pass_by_itself(demonstration: Compiled, printed: Printed) -> None:
    conditions = {leaf.title: leaf.condition for leaf in printed.booklet.leaves if leaf.condition}
    if printed.booklet.plant == "ondrel-sb":
        assert not conditions["High gas pressure has tripped"].normal  # type: ignore[union-attr]
        assert not conditions["Second low water has tripped"].normal  # type: ignore[union-attr]


def test_the_finder_begins_with_what_is_left_at_once(printed: Printed) -> None:
    finder = next(leaf for leaf in printed.booklet.leaves if leaf.tab == "FIND")
    first = finder.parts[0].rows[0]  # type: ignore[union-attr]
    assert any(isinstance(span, Goto) and span.page == "leave" for cell in first for span in cell)  # type: ignore[union-attr]


def test_every_line_of_an_ending_says_what_is_done(printed: Printed) -> None:
    ends = [part for leaf in printed.booklet.leaves if leaf.tab == "ELSE" for part in leaf.parts]
    for part in ends:
        for tick in part.rows:  # type: ignore[union-attr]
            said = " ".join(getattr(span, "text", "") or getattr(span, "label", "") for span in tick.says)  # type: ignore[union-attr]
            assert len(said.split()) > 1, (part, said)


def _finder_pages(booklet: Booklet) -> list[str]:
    finder = next(leaf for leaf in booklet.leaves if leaf.tab == "FIND")
    rows = finder.parts[0].rows  # type: ignore[union-attr]
    return [str(span.page) for row in rows for cell in row for span in cell if isinstance(span, Goto)]


def test_a_sign_that_asks_for_an_act_at_once_stands_before_every_display(printed: Printed) -> None:
    """A shock felt beats a cold drum: who has both turns to it first."""
    pages = _finder_pages(printed.booklet)
    if printed.booklet.plant == "harnok-td":
        assert pages.index("symptom:td-tingle") < pages.index("symptom:td-heat-held")
        assert pages.index("symptom:td-burning-smell") < pages.index("symptom:td-no-flame")


def test_what_sends_everybody_out_says_so_before_making_safe_is_read(printed: Printed) -> None:
    seen = 0
    for leaf in printed.booklet.leaves:
        condition = leaf.condition
        if condition and condition.out_first:
            assert condition.stop[: len(condition.out_first)] == condition.out_first
            page = printed.pages[printed.page_of(f"SEEN {leaf.title}") - 1]
            assert len(re.findall(r"All out first 2 ?:", page)) == len(condition.out_first), leaf.title
            seen += 1
        for line in condition.stop if condition else ():
            if re.search(r"headache|smell of gas|co alarm", line, re.IGNORECASE):
                assert condition is not None
                assert line in condition.out_first
    assert seen


def test_a_condition_that_is_not_printed_leads_to_whom_to_call(printed: Printed) -> None:
    assert "call" in _finder_pages(printed.booklet)
    finder = " ".join(page for page in printed.pages if " FIND " in page[:80])
    assert "No page: call" in finder
    assert "opens nothing and calls" in printed.pages[0]


def test_leave_now_has_one_answer_for_the_burner_on_the_way_and_stands_on_one_page(printed: Printed) -> None:
    page = printed.pages[1]
    assert page.index("Everybody out first") < page.index("burner off only if you pass it")
    assert "Gas shut-off" in page
    assert "First aid" in printed.pages[2]


def test_who_has_too_few_padlocks_is_told_what_then(printed: Printed) -> None:
    page = printed.pages[printed.page_of("SAFE Isolate all of these") - 1]
    assert "Too few: lock fuel and supply first" in page


def test_a_wait_in_an_ending_says_how_long(printed: Printed) -> None:
    if printed.booklet.plant == "harnok-td":
        whole = " ".join(page for page in printed.pages if " ELSE " in page[:80])
        assert "until the mains filter has discharged. 1 min." in whole


def test_the_sheet_of_proofs_says_how_often_and_has_the_proofs_of_the_plant_itself(
    demonstration: Compiled,
) -> None:
    base = demonstration.base
    for entry, plant in base.of(Equipment):
        (sheet,) = proofs(base, entry.ref.id, plant, list(base.of(Device, plant=entry.ref.id)))
        assert sheet.head[2] == "Every"
        assert len(sheet.rows) >= len(due_list(base, entry.ref.id))
        if entry.ref.id == "zellick-ph":
            of_plant = said("Fuel shuts off when the flame is lost, and the gas valve holds")
            assert (of_plant, said("year")) in [(row[0], row[2]) for row in sheet.rows]


def test_a_circuit_stands_on_its_spread_or_the_imprint_says_that_it_goes_on(printed: Printed) -> None:
    """The last point of the pool heater's string stood overleaf, and nobody was told."""
    seen = 0
    for leaf in printed.booklet.leaves:
        if leaf.tab == "CIRCUIT" and leaf.labels:
            first = printed.page_of(f"CIRCUIT {leaf.title}")
            last = next(n for n in range(first, len(printed.pages) + 1) if "■ end" in printed.pages[n - 1])
            assert first == last or first % 2 == 0, leaf.title
            over = f"{OVERLEAF}: " in printed.pages[0] and leaf.title in printed.pages[0]
            assert (last - first > 1) is over, leaf.title
            seen += 1
    assert seen > 1


def test_no_order_of_tests_is_cut_between_two_pages(printed: Printed) -> None:
    orders = [part for leaf in printed.booklet.leaves if leaf.tab == "CIRCUIT" for part in leaf.parts]
    heads = sum(_bare(page).count("ReadFull→None→Some→") for page in printed.pages)
    assert heads == sum(isinstance(part, Grid) for part in orders)
    assert heads


def test_kinds_of_a_plant_that_are_read_alike_have_one_order_and_what_differs_says_for_which(
    demonstration: Compiled,
) -> None:
    """Two lines told what over at J8 means, one for each kind, and neither said for which."""
    study = Study(demonstration.base, demonstration.store)
    parts = tuple(order(study, "ph-string", ()))
    (grid,) = (part for part in parts if isinstance(part, Grid))
    assert (grid.title, [_line(row[1]) for row in grid.rows][:3]) == ("", ["J24", "J4", "J3"])
    lines = [_line(line) for part in parts if isinstance(part, Words) for line in part.lines]
    fan = "Plant-room fan with airflow contact"
    assert [each.partition(";")[0] for each in lines if "at J8" in each] == [
        f"Only without {fan}: over at J8: Safety input of the controller failed, wire J8 to J9 and 2 more",
        f"Only with {fan}: over at J8: Plant-room airflow contact open, Safety input of the controller failed and 3 more",
    ]
    burner = [part.title for part in order(study, "mah-string", ()) if isinstance(part, Grid)]
    assert burner == [
        "Burner string, only without Dirty-filter cut-out",
        "Burner string, only with Dirty-filter cut-out",
    ]


PROVED = {
    "ondrel-sb": ("B26 Second low-water cutoff: Trips and holds until the reset", "0.5 in ± 0.2 in", "month"),
    "zellick-ph": ("Fuel shuts off when the flame is lost, and the gas valve holds", "1 s", "year"),
    "vashby-mah": ("Fixed gas and CO alarms tried", "", "6 months"),
    "harnok-td": ("B5 Cabinet limit 140 °C: Opens on hot air", "140 °C ± 6 °C; 110 °C ± 8 °C", "year"),
}


def test_every_proof_of_the_plant_is_printed_with_what_must_be_found_and_how_often(
    printed: Printed, demonstration: Compiled
) -> None:
    base, plant = demonstration.base, printed.booklet.plant
    sheet = _bare(" ".join(page for page in printed.pages if "What is proved, and how" in page))
    assert _bare("".join(PROVED[plant])) in sheet
    dues = due_list(base, plant)
    often = Counter(due.of for due in dues)
    for due in dues:
        if due.of.kind is Kind.DEVICE:
            assert sheet.count(_bare(f"{base.title(due.of)}:")) == often[due.of], due.of
        else:
            assert _bare(due.proof.prove) in sheet, due.proof.prove
    assert len(dues) > 8


def test_volts_say_for_which_stage_they_are(printed: Printed) -> None:
    # Where three circuits have volts of their own, the sheet takes two pages.
    volts = " ".join(page for page in printed.pages if " METER " in page[:80])
    assert "for the stage on the circuit's page" in volts
    circuits = [page for page in printed.pages if " CIRCUIT " in page[:80]]
    orders = sum(leaf.tab == "CIRCUIT" and bool(leaf.labels) for leaf in printed.booklet.leaves)
    assert sum(len(re.findall(r"(?:▪ ?|: )[Ff]or [A-Z]", page)) for page in circuits) >= orders > 0
