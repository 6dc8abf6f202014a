"""One test a rule of type, held against the printed file.

The rules follow what is published on documents that are read in action: NASA CR-177605, on the typography of flight-deck
documentation, and CAP 676 of the Civil Aviation Authority, on emergency and abnormal checklists. What a booklet of A6
falls short of stands in the results of the bench.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

import pytest
from fontTools.ttLib import TTFont  # type: ignore[import-untyped]
from pypdf import PageObject, PdfReader
from pypdf.generic import ContentStream

from kbgen.render.guide.glyphs import FONTS
from tests.printed import Run
from tests.unit.booklet.conftest import Printed

MM = 72 / 25.4
ACTION = ("LEAVE", "SAFE", "ELSE", "SEEN", "MORE", "NEVER")
"""Tabs of what is read in action."""
EDITION = 7.0


def in_action(printed: Printed) -> Iterator[tuple[Run, ...]]:
    """Yield pages that are read in action, without their header and footer."""
    for text, runs in zip(printed.pages, printed.runs, strict=True):
        if any(f" {tab} " in text[:60] for tab in ACTION):
            yield tuple(run for run in runs if 9 * MM < run.y < 139 * MM)


def test_nothing_is_smaller_than_8_pt_but_the_edition_line(printed: Printed) -> None:
    for runs in printed.runs:
        for run in runs:
            rotated = run.size == 0
            assert (
                rotated
                or run.size >= 8
                or (run.size == EDITION and "Edition" in " ".join(r.text for r in runs))
            )
    small = {run.text for runs in printed.runs for run in runs if 0 < run.size < 8}
    assert all(re.search(r"Edition|\d{4}-\d\d-\d\d", text) for text in small), small


def test_what_is_read_in_action_has_an_x_height_of_1_7_mm(printed: Printed) -> None:
    font = TTFont(FONTS / "NotoSans-SemiCondensed.ttf")
    share = font["OS/2"].sxHeight / font["head"].unitsPerEm
    read = small = 0
    for runs in in_action(printed):
        for run in runs:
            read += len(run.text)
            small += len(run.text) * (run.size * share / MM < 1.69)
    # Who may, contents, and what a box is for: read before, not in action.
    assert small / read < 0.06


def test_lines_stand_apart_by_an_eighth_of_their_size_at_least(printed: Printed) -> None:
    for runs in in_action(printed):
        ys = sorted(
            {round(run.y, 1): run.size for run in runs if run.size and run.x < 40 * MM}.items(), reverse=True
        )
        for (high, _), (low, size) in pairwise(ys):
            apart = high - low
            assert apart < 2 or apart >= 1.125 * min(size, 9), (apart, size)


def test_no_line_is_printed_over_another(printed: Printed) -> None:
    """Two sheets of proofs were: their rows were 9.2 mm high, whatever was printed in them."""
    for number, runs in enumerate(printed.runs, 1):
        columns: dict[int, set[tuple[float, float]]] = {}
        for run in runs:
            if run.size:
                columns.setdefault(round(run.x), set()).add((round(run.y, 1), run.size))
        for lines in columns.values():
            for (low, size), (high, other) in pairwise(sorted(lines)):
                assert not 0.3 < high - low < 0.95 * min(size, other), (number, high - low)


@pytest.mark.parametrize("mark", ["Italic", "Oblique"])
def test_nothing_is_set_in_italics(printed: Printed, mark: str) -> None:
    assert not [run for runs in printed.runs for run in runs if mark in run.font]


def test_everything_is_black_or_white(printed: Printed) -> None:
    for page in PdfReader(printed.file).pages:
        for operands, operator in _drawn(page):
            if operator.lower() in (b"g", b"rg", b"k", b"scn", b"sc"):
                assert {float(each) for each in operands} <= {0.0, 1.0}, (operands, operator)


def test_a_box_to_write_in_is_8_mm_high(printed: Printed) -> None:
    found = 0
    for page, runs in zip(PdfReader(printed.file).pages, printed.runs, strict=True):
        for left, low, right, high in _frames(page):
            empty = not any(left < run.x < right and low < run.y < high for run in runs)
            if empty and 13 * MM < right - left < 80 * MM and high - low > 2 * MM:
                assert high - low > 7.9 * MM, (page.page_number, (high - low) / MM)
                found += 1
    assert found > 10


def _drawn(page: PageObject) -> Iterator[tuple[list[object], bytes]]:
    yield from ContentStream(page.get_contents(), page.pdf).operations
    forms = page["/Resources"].get("/XObject", {})  # type: ignore[union-attr]
    for form in forms.values():
        if form.get_object()["/Subtype"] == "/Form":
            yield from ContentStream(form.get_object(), page.pdf).operations


def _frames(page: PageObject) -> Iterator[tuple[float, float, float, float]]:
    """Yield frames that are drawn and not filled, in points from the lower left."""
    shifts: list[tuple[float, float, float]] = [(1.0, 0.0, 0.0)]
    path: list[tuple[float, float]] = []
    for operands, operator in ContentStream(page.get_contents(), page.pdf).operations:
        flip, dx, dy = shifts[-1]
        if operator == b"q":
            shifts.append(shifts[-1])
        elif operator == b"Q":
            shifts.pop()
        elif operator == b"cm":
            numbers = [float(each) for each in operands]
            shifts[-1] = (flip * numbers[3], dx + numbers[4], dy + flip * numbers[5])
        elif operator in (b"m", b"l"):
            x, y = (float(each) for each in operands)
            path.append((x + dx, flip * y + dy))
        elif operator == b"re":
            x, y, w, h = (float(each) for each in operands)
            path += [(x + dx, flip * y + dy), (x + w + dx, flip * (y + h) + dy)]
        elif operator in (b"S", b"s", b"f", b"f*", b"B", b"n"):
            if operator in (b"S", b"s") and len(path) > 1:
                xs, ys = [x for x, _ in path], [y for _, y in path]
                yield min(xs), min(ys), max(xs), max(ys)
            path = []
