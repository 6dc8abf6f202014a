"""What somebody with the printed guide in hand sees."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from pypdf import PageObject, PdfReader

from kbgen.ref import Kind, Ref
from kbgen.render.guide import PAPERS, MissingSign, build_guide
from kbgen.render.guide.glyphs import width
from kbgen.render.guide.paper import binder_of, sheet_of
from kbgen.views.blocks import Box, Fits, Goto, Item, Items, Mark, Only, Plain, Prose, Step, Steps, Table
from kbgen.views.card import Card, Tick
from tests.unit.guide import books
from tests.unit.guide.conftest import Printer

MM = 72 / 25.4


def page_of(pages: list[str], text: str) -> int:
    """The only page, counted from 1, whose text holds ``text``."""
    found = [number for number, page in enumerate(pages, 1) if text in page]
    assert len(found) == 1, f"{text!r} stands on pages {found}"
    return found[0]


def test_the_cover_names_shop_edition_notice_and_who_to_call(full_pages: list[str]) -> None:
    cover = full_pages[0]
    for text in (
        "Ternhollow Plant Services",
        "Edition 4f2a91c0, 2026-03-01",
        "licensed practice come first",
        "Lead technician extension 12",
    ):
        assert text in cover


def test_the_leave_now_page_is_the_second_and_the_contents_follow(full_pages: list[str]) -> None:
    assert "Smell of gas, alarm, flooding: leave" in full_pages[1]
    assert full_pages[2].startswith("Contents Contents")


def test_a_book_without_leave_now_page_still_prints(print_book: Printer) -> None:
    assert "Contents" in print_book(books.book(leave_now=False))[1]


def test_every_page_names_its_number_and_the_edition(full_pages: list[str]) -> None:
    for number, page in enumerate(full_pages, 1):
        left, right = f"{number} Edition 4f2a91c0, 2026-03-01", f"Edition 4f2a91c0, 2026-03-01 {number}"
        assert page.endswith(right if number % 2 else left)


def test_the_head_of_a_page_names_kind_and_title(full_pages: list[str]) -> None:
    assert full_pages[page_of(full_pages, "Instruction number 25:") - 1].startswith(
        "Procedures Prove the first low wa…"
    )
    first = next(page for page in full_pages if page.startswith("Terms Term number 1 – Term number "))
    last = re.match(r"Terms Term number 1 – Term number (\d+)", first)
    assert last
    assert f"Term number {last[1]} What it means" in first
    assert f"Term number {int(last[1]) + 1} What" not in first


def test_drafts_and_minor_entries_are_not_printed(full_pages: list[str]) -> None:
    text = " ".join(full_pages)
    assert "Nobody approved this" not in text
    assert "Of little weight" not in text


def test_chapters_follow_the_order_of_need(full_pages: list[str]) -> None:
    heads = ["Symptoms", "Procedures", "Devices", "Equipment and circuits", "Cautions", "Terms"]
    starts = [next(n for n, page in enumerate(full_pages) if page.startswith(f"{head} ")) for head in heads]
    assert starts == sorted(starts)


def test_cross_references_name_the_page_where_the_entry_begins(full_pages: list[str]) -> None:
    text = " ".join(full_pages)
    trips = next(n for n, page in enumerate(full_pages, 1) if "– Prove the first low wa…" in page)
    low_water = next(
        n
        for n, page in enumerate(full_pages, 1)
        if "Devices First low water First low" in page or "Devices First low water Devices" in page
    )
    safe = next(
        n for n, page in enumerate(full_pages, 1) if "Procedures Make safe and prove dead What" in page
    )
    assert f"see prove it trips → page {trips} and" in text
    assert f"First low water → page {low_water}" in text
    assert f"No → Make safe → page {safe}" in text
    last_step = page_of(full_pages, "Instruction number 25:")
    assert f"Not sure → step 25 → page {last_step}" in text


def test_a_link_to_what_is_not_printed_says_so(full_pages: list[str]) -> None:
    assert "a draft (not printed here);" in " ".join(full_pages)


def test_the_links_of_the_contents_lead_to_the_pages_they_name(full_guide: Path) -> None:
    reader = PdfReader(full_guide)
    places = {page.indirect_reference.idnum: n for n, page in enumerate(reader.pages, 1)}  # type: ignore[union-attr]
    contents = reader.pages[2]
    targets = [
        places[destination[0].idnum]  # type: ignore[attr-defined]
        for note in contents.get("/Annots", ())
        if (destination := _destination(reader, note.get_object())) is not None
    ]
    named = [int(n) for n in re.findall(r" (\d+)$", contents.extract_text(), re.MULTILINE)]
    assert len(targets) > 10
    assert targets == named[: len(targets)]


def _destination(reader: PdfReader, note: object) -> list[object] | None:
    assert isinstance(note, dict)
    goal = note.get("/Dest") or note["/A"].get("/D")
    if isinstance(goal, str):
        named = reader.named_destinations[goal]
        return [named["/Page"]]
    return list(goal) if goal is not None else None


def test_contents_and_indexes_name_the_right_pages(full_pages: list[str]) -> None:
    contents = " ".join(full_pages[2:4])
    displays = next(page for page in full_pages if page.startswith("Index by display"))
    names = " ".join(page for page in full_pages if page.startswith("Index of titles"))
    limits = next(
        n for n, page in enumerate(full_pages, 1) if "Steam boiler Panel shows LIMITS" in page and n > 4
    )
    device = next(
        n
        for n, page in enumerate(full_pages, 1)
        if "Devices First low water First low" in page or "Devices First low water Devices" in page
    )
    assert f"Panel shows LIMITS NOT MADE {limits}" in contents
    assert f"First low water {device}" in contents
    assert f"A-17 {limits}" in displays
    assert f"LIMITS NOT MADE {limits}" in displays
    assert f"low water cut-off {device}" in names
    assert f"won't light {limits}" in names


@pytest.mark.parametrize("text", books.HOSTILE)
def test_text_that_looks_like_markup_is_printed_as_typed(full_pages: list[str], text: str) -> None:
    assert sum(text in page for page in full_pages) >= 1


def test_every_sign_is_printed(full_pages: list[str]) -> None:
    page = next(page for page in full_pages if "⏚ bond" in page)
    for sign in books.SIGNS + books.LETTERS:
        # A PDF reader gives either code point of ohm and micro; the shape is the same.
        same = {"\u2126": "Ω", "\u03bc": "µ"}.get(sign, sign)
        assert sign in page or same in page, f"U+{ord(sign):04X}"


def test_no_box_stands_in_for_a_sign(full_guide: Path) -> None:
    for page in PdfReader(full_guide).pages:
        assert "\ufffd" not in page.extract_text()
        assert "\x00" not in page.extract_text()


def test_a_sign_no_font_has_stops_the_print_and_is_named(tmp_path: Path) -> None:
    out = tmp_path / "guide.pdf"
    out.write_bytes(b"the last good edition")
    book = books.book(books.page(Kind.TERM, "fire", "Fire", Prose(books.say("hot 🔥, ⚠\ufe0f"))))
    result = build_guide(book, out, books.POCKET)
    assert result.problems == (MissingSign(Ref(Kind.TERM, "fire"), "🔥", "hot 🔥, ⚠"),)
    assert result.problems[0].code_point == "U+1F525"
    assert out.read_bytes() == b"the last good edition"


def test_the_same_book_gives_the_same_bytes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    prints = []
    for zone, epoch in (("UTC", "0"), ("Pacific/Kiritimati", "1700000000"), ("America/Anchorage", "")):
        monkeypatch.setenv("TZ", zone)
        monkeypatch.setenv("SOURCE_DATE_EPOCH", epoch)
        out = tmp_path / zone.replace("/", "-") / "guide.pdf"
        build_guide(books.full(), out, books.POCKET)
        prints.append(out.read_bytes())
    assert prints[0] == prints[1] == prints[2]


def test_nothing_is_left_beside_the_guide(tmp_path: Path) -> None:
    build_guide(books.book(), tmp_path / "guide.pdf", books.POCKET)
    assert [path.name for path in tmp_path.iterdir()] == ["guide.pdf"]


@pytest.mark.parametrize("paper", PAPERS)
def test_the_sheet_has_the_size_asked_for(tmp_path: Path, paper: str) -> None:
    out = tmp_path / "guide.pdf"
    build_guide(books.book(books.page(Kind.TERM, "a", "A term")), out, PAPERS[paper])
    box = PdfReader(out).pages[0].mediabox
    size = (float(box.width) / MM, float(box.height) / MM)
    assert size == pytest.approx((PAPERS[paper].width, PAPERS[paper].height), abs=0.1)


@pytest.mark.parametrize(
    ("paper", "page", "sheet"),
    [
        ("a6", "a6", "a4"),
        ("a4", "a6", "a4"),
        ("letter", "quarter-letter", "letter"),
        ("half-letter", "quarter-letter", "letter"),
    ],
)
def test_a_shop_has_the_page_and_the_sheet_of_its_country(paper: str, page: str, sheet: str) -> None:
    assert (sheet_of(paper).name, binder_of(paper).name) == (page, sheet)


@pytest.mark.parametrize("paper", PAPERS)
def test_no_text_is_set_under_eight_points_and_steps_never_under_nine(paper: str) -> None:
    assert PAPERS[paper].size >= 9
    assert PAPERS[paper].small >= 8


def test_twenty_five_steps_are_numbered_to_twenty_five(full_pages: list[str]) -> None:
    text = " ".join(full_pages)
    numbers = [int(n) for n, m in re.findall(r"(\d+) Instruction number (\d+):", text) if n == m]
    assert numbers[-24:] == list(range(2, 26))


def test_what_a_reader_meets_twice_on_one_page_is_linked_within_it(print_book: Printer) -> None:
    jump = Steps((replace(books.steps(1).steps[0], then=Goto("step 1", None, "step-1")),))
    pages = print_book(books.book(books.page(Kind.PROCEDURE, "loop", "Loop", jump)))
    assert "→ step 1 Reviewed" in " ".join(pages)


def test_a_card_is_printed_with_its_ladder_and_without_the_steps_that_the_ladder_says(
    print_book: Printer,
) -> None:
    one = books.steps(3).steps
    ladder = Table(
        "Limits: begin at T1",
        ("Point", "Full: 85 V or more", "None: 5 V or less", "Read"),
        (
            ((Mark("T1"),), (Goto("T2", None, "read-T2"),), (Plain("Fuse F1 is open."),), (Box("T1 to T9"),)),
            ((Mark("T2"),), (Plain("Made."),), (Plain("T1-T2 open."),), (Box("T2 to T9"),)),
        ),
        anchors=("read-T1", "read-T2"),
    )
    hunt = Card(
        "7",
        "Hunt",
        "card-7",
        (Tick((one[0],)),),
        (books.caution("Stored charge", books.say("Wait.")),),
        state="control circuit live",
        minutes="about 3 min",
        blocks=(ladder,),
        every=(one[1],),
    )
    ending = Card(
        "A", "Something does not fit", "card-a", (Tick((one[2],), "Lock off"),), brief=(Plain("In short."),)
    )
    other = books.page(
        Kind.PROCEDURE, "other", "Other", Items((Item((Goto("step", Ref(Kind.PROCEDURE, "p"), "step-2"),)),))
    )
    pages = print_book(books.book(books.page(Kind.PROCEDURE, "p", "P", hunt, ending), other))
    text = " ".join(pages)
    assert "7 Hunt about 3 min Plant now: control circuit live WARNING Stored charge" in text
    assert "Full: 85 V or more None: 5 V or less Read T1 T2 Fuse F1 is open." in text
    assert "Instruction number 2" not in text
    assert "A Something does not fit Lock off: Instruction number 3" in text
    assert "In short." not in text, "on paper its lines stand open"
    assert f"step → page {page_of(pages, '7 Hunt')}" in text, "what is led to is the card that says it"


def test_a_wide_table_is_written_row_by_row_and_a_long_word_is_broken(tmp_path: Path) -> None:
    word = "x" * 300
    blocks = (
        Table(
            "Wide",
            tuple(f"Heading {n}" for n in range(12)),
            (tuple((Plain(f"cell {n}"),) for n in range(12)),),
        ),
        Table("Long", ("Row", "Value"), (((Plain("a"),), (Plain(word),)),)),
        Prose(books.say(word)),
        Items((Item((Plain(word),)),)),
    )
    out = tmp_path / "guide.pdf"
    build_guide(books.book(books.page(Kind.DEVICE, "wide", word, *blocks)), out, books.POCKET)
    pages = PdfReader(out).pages
    for number, page in enumerate(pages, 1):
        margin = 8 if number % 2 else 12
        edge = float(page.mediabox.width) - (margin - 0.5) * MM
        assert _reach(page) <= edge, f"page {number}"
    assert sum(page.extract_text().replace("\n", "").count("x") for page in pages) >= 4 * 300


def _reach(page: PageObject) -> float:
    """Where the text of a page ends on the right, in points, by the widths of the bundled face."""
    ends = [0.0]

    def visit(text: str, cm: list[float], tm: list[float], _font: object, size: float) -> None:
        scale = size * abs(tm[0]) * abs(cm[0])
        start = cm[0] * tm[4] + cm[4]
        ends.extend(start + 0.95 * width(line.strip()) * scale for line in text.split("\n"))

    page.extract_text(visitor_text=visit)
    return max(ends)


def test_a_table_repeats_its_head_on_every_page(full_pages: list[str]) -> None:
    pages = [page for page in full_pages if "rather long explanation" in page]
    assert len(pages) >= 2
    assert all("Fault At 3" in page for page in pages)


@pytest.mark.parametrize("before", range(24))
def test_a_caution_stands_on_the_sheet_of_its_step_directly_before_it(
    print_book: Printer, before: int
) -> None:
    filler = Prose(tuple(block for n in range(before) for block in books.say(f"Line {n}.")))
    step = Step(
        12,
        "step-12",
        books.say("Short the coil. " * 40),
        (books.caution("Stored charge", books.say("Wait.")),),
    )
    pages = print_book(books.book(books.page(Kind.PROCEDURE, "p", "P", filler, Steps((step,)))))
    caution = page_of(pages, "Stored charge")
    assert re.search(r"Wait\. 12 Short the coil\.", pages[caution - 1])


@pytest.mark.parametrize("before", range(20))
def test_a_caution_taller_than_a_page_goes_on_under_its_title(print_book: Printer, before: int) -> None:
    filler = Prose(tuple(block for n in range(before) for block in books.say(f"Line {n}.")))
    tall = books.caution("Stored charge", tuple(b for n in range(60) for b in books.say(f"Point {n}.")))
    step = Step(12, "step-12", books.say("Short the coil."), (tall,))
    pages = print_book(books.book(books.page(Kind.PROCEDURE, "p", "P", filler, Steps((step,)))))
    with_caution = [page for page in pages if re.search(r"Point \d+\.", page)]
    assert len(with_caution) >= 2
    assert "Stored charge (continued)" not in with_caution[0]
    for page in with_caution[1:]:
        assert re.search(r"P WARNING Stored charge \(continued\) Point", page)
    assert "Point 59. 12 Short the coil." in with_caution[-1]
    assert all(len(page) > 60 for page in pages), "a blank page"


@pytest.mark.parametrize("before", range(10, 30, 2))
def test_a_heading_is_never_the_last_line(print_book: Printer, before: int) -> None:
    filler = Prose(tuple(block for n in range(before) for block in books.say(f"Line {n}.")))
    page = books.page(Kind.DEVICE, "d", "D", filler)
    section = replace(
        page.sections[0], anchor="next", title="The next heading", blocks=(Prose(books.say("Follows.")),)
    )
    pages = print_book(books.book(replace(page, sections=(*page.sections, section))))
    assert "The next heading Follows." in pages[page_of(pages, "The next heading") - 1]


@pytest.mark.parametrize("lines", range(2, 22, 2))
def test_a_heading_goes_with_its_step_where_cautions_fill_the_page_before_it(
    print_book: Printer, lines: int
) -> None:
    filler = Prose(tuple(block for n in range(22) for block in books.say(f"Line {n}.")))
    avoid = tuple(block for n in range(lines) for block in books.say(f"Point {n}."))
    page = books.page(Kind.PROCEDURE, "p", "P", filler, books.caution("Stored charge", avoid))
    step = Step(
        1, "step-1", books.say("Short the coil. " * 14), question="Is it shorted?", state="locked off"
    )
    section = replace(page.sections[0], anchor="steps", title="All steps", blocks=(Steps((step,)),))
    pages = print_book(books.book(replace(page, sections=(*page.sections, section))))
    assert re.search(r"All steps 1 Plant now: locked off", pages[page_of(pages, "All steps") - 1])


@pytest.mark.parametrize("state", ["", "locked off"])
@pytest.mark.parametrize("before", range(14, 30))
def test_the_number_of_a_step_is_never_left_on_the_page_before(
    print_book: Printer, before: int, state: str
) -> None:
    filler = Prose(tuple(block for n in range(before) for block in books.say(f"Line {n}.")))
    rows = (
        *books.say("Begin here."),
        *(b for _ in range(30) for b in books.say("Short the coil and hold it.")),
    )
    step = Step(12, "step-12", rows, state=state)
    pages = print_book(books.book(books.page(Kind.PROCEDURE, "p", "P", filler, Steps((step,)))))
    words = f"Plant now: {state} Begin here." if state else "Begin here."
    assert f" 12 {words}" in pages[page_of(pages, "Begin here.") - 1]


@pytest.mark.parametrize("state", ["", "locked off"])
@pytest.mark.parametrize("before", range(14, 26, 2))
def test_the_number_of_a_card_of_own_steps_is_never_left_on_the_page_before(
    print_book: Printer, before: int, state: str
) -> None:
    filler = Prose(tuple(block for n in range(before) for block in books.say(f"Line {n}.")))
    one, *more = books.steps(3).steps
    first = replace(one, text=books.say("Short the coil and hold it. " * 12))
    own = Card("19", "", "card-19", tuple(Tick((each,)) for each in (first, *more)), state=state)
    pages = print_book(books.book(books.page(Kind.PROCEDURE, "p", "P", filler, own)))
    assert re.search(
        rf"19 {f'Plant now: {state} ' if state else ''}\W*Short the coil",
        pages[page_of(pages, "Short the coil") - 1],
    )


def test_short_heads_of_narrow_columns_stay_whole(print_book: Printer) -> None:
    table = Table(
        "Path",
        ("Mark", "Part", "Where, when fitted"),
        tuple(
            ((Plain(f"T{n}"),), (Plain("Test point"),), (Plain("Control panel; behind the door " * 3),))
            for n in range(3)
        ),
    )
    assert "Mark Part Where, when fitted" in " ".join(
        print_book(books.book(books.page(Kind.CIRCUIT, "c", "C", table)))
    )


def test_an_end_is_told_in_the_words_of_the_step(print_book: Printer) -> None:
    last = replace(books.steps(1).steps[0], end="left safe and tagged.")
    pages = print_book(books.book(books.page(Kind.PROCEDURE, "p", "P", Steps((last,)))))
    assert "rests. Ends here: left safe and tagged. Reviewed" in " ".join(pages)


def test_a_step_has_a_box_to_note_its_reading_in(full_pages: list[str]) -> None:
    first = page_of(full_pages, "Measure between 3 and the return.") - 1
    assert "Reading at 3" in " ".join(full_pages[first : first + 2])


def test_what_holds_for_some_plants_stands_under_their_words(print_book: Printer) -> None:
    fits = Fits(("sb-3",), (), (), "for SB-3, with the vent")
    table = Only(fits, (Prose(books.say("The purge contact is read at T61.")),))
    text = " ".join(print_book(books.book(books.page(Kind.CIRCUIT, "purge", "Purge", table))))
    assert "Only for SB-3, with the vent The purge contact is read at T61." in text
