"""Sheets are cut, laid together and folded as somebody does it by hand, and read."""

from __future__ import annotations

from pathlib import Path

import pytest
import typst
from pypdf import PageObject, PdfReader
from pypdf.generic import ContentStream

from kbgen.render.guide import impose
from kbgen.render.guide.glyphs import FONTS
from kbgen.render.guide.paper import SHEETS

MM = 72 / 25.4
Half = tuple[str, str]
"""What stands on the left and right half of one face of a strip of paper."""
Strip = tuple[Half, Half]
"""Front and back, each as seen from its own side."""


def cut(fronts: list[list[str]], backs: list[list[str]]) -> list[Strip]:
    """Cut a pile of sheets at half height; the upper halves lie on the lower ones."""
    upper = [((f[0], f[1]), (b[0], b[1])) for f, b in zip(fronts, backs, strict=True)]
    lower = [((f[2], f[3]), (b[2], b[3])) for f, b in zip(fronts, backs, strict=True)]
    return upper + lower


def fold(strips: list[Strip]) -> list[str]:
    """Fold a pile once, the front of the first outside, and leaf through it.

    A strip turned on its upright middle shows on the left of its back what lies behind the right of its front.
    """
    ahead = [page for (_, right), (left, _) in strips for page in (right, left)]
    behind = [page for (left, _), (_, right) in reversed(strips) for page in (right, left)]
    return ahead + behind


@pytest.fixture(scope="module")
def small_book(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """Twelve pages of A6, each with a word of its own."""
    main = tmp_path_factory.mktemp("small") / "small.typ"
    main.write_text(
        "#set page(width: 105mm, height: 148mm)\n"
        + "#pagebreak()\n".join(f"page-{n}\n" for n in range(1, 13))
    )
    content = typst.compile(str(main), font_paths=[str(FONTS)])
    assert isinstance(content, bytes)
    return content


@pytest.mark.parametrize("pages", [4, 8, 16, 36, 60, 64, 68, 72])
@pytest.mark.parametrize("signature", impose.SIGNATURES)
def test_what_is_cut_laid_together_and_folded_is_read_in_order(pages: int, signature: int) -> None:
    found = [[str(cell.page) for cell in side] for side in impose.sides(pages, signature)]
    strips = cut(found[::2], found[1::2])
    read: list[str] = []
    for size in impose.folded(pages, signature):
        assert size <= signature
        read += fold(strips[: size // 4])
        strips = strips[size // 4 :]
    assert not strips
    blanks = ["0"] * (-pages % 8)
    assert read == [*map(str, range(1, pages)), *blanks, str(pages)]


def test_piles_are_as_even_as_they_can_be() -> None:
    assert impose.folded(64, 48) == (32, 32)
    assert impose.folded(72, 64) == (36, 36)
    assert impose.folded(60, 64) == (64,)


def test_inner_pages_move_to_the_fold_by_the_thickness_of_a_leaf() -> None:
    creep = {cell.page: cell.creep for side in impose.sides(64) for cell in side}
    assert (creep[1], creep[3], creep[31], creep[33], creep[64]) == (0, 0.1, 1.5, 1.5, 0)
    short = {cell.page: cell.creep for side in impose.sides(64, 16) for cell in side}
    assert (short[1], short[7], short[17]) == (0, 0.3, 0)


@pytest.mark.parametrize("page", sorted(SHEETS))
def test_a_file_is_folded_and_read_page_by_page(small_book: bytes, page: str, tmp_path: Path) -> None:
    """Twelve pages, each with its own word: the file is read quarter by quarter, not asked how it was made."""
    content, sheets = impose.impose(small_book, 12, page)
    assert sheets == 2
    (tmp_path / "sheets.pdf").write_bytes(content)
    reader = PdfReader(tmp_path / "sheets.pdf")
    assert len(reader.pages) == 4
    sides = [_quarters(each) for each in reader.pages]
    read = fold(cut([list(each) for each in sides[::2]], [list(each) for each in sides[1::2]]))
    assert read == [f"page-{number}" for number in range(1, 12)] + [""] * 4 + ["page-12"]
    again, _ = impose.impose(small_book, 12, page)
    assert again == content


def test_marks_stand_at_half_height_and_at_the_fold(small_book: bytes, tmp_path: Path) -> None:
    content, _ = impose.impose(small_book, 12, "a6")
    (tmp_path / "sheets.pdf").write_bytes(content)
    lines = _lines(PdfReader(tmp_path / "sheets.pdf").pages[0])
    across = {
        (round(x1), round(x2)) for x1, y1, x2, y2 in lines if abs(y1 - y2) < 0.1 and abs(y1 - 148.5) < 0.1
    }
    upright = [(y1, y2) for x1, y1, x2, y2 in lines if abs(x1 - x2) < 0.1 and abs(x1 - 105) < 0.1]
    assert across == {(0, 7), (203, 210)}
    assert len(upright) == 4


def _quarters(side: PageObject) -> tuple[str, ...]:
    """Read the words of each placed page at the quarter where it is placed."""
    found = ["", "", "", ""]
    width, height = float(side.mediabox.width), float(side.mediabox.height)
    forms = side["/Resources"]["/XObject"]  # type: ignore[index]
    at = (0.0, 0.0)
    for operands, operator in ContentStream(side.get_contents(), side.pdf).operations:
        if operator == b"cm":
            at = (float(operands[4]), float(operands[5]))
        if operator == b"Do":
            text = side.extract_xform_text(forms[operands[0]].get_object()).strip()
            right, lower = at[0] > width / 4, at[1] < height / 4
            found[2 * lower + right] = text
    return tuple(found)


def _lines(side: PageObject) -> list[tuple[float, float, float, float]]:
    """Return straight strokes in millimetres from the lower left."""
    found = []
    shift, start = (0.0, 0.0), (0.0, 0.0)
    for operands, operator in ContentStream(side.get_contents(), side.pdf).operations:
        numbers = [float(each) for each in operands] if operator in (b"cm", b"m", b"l") else []
        if operator == b"cm":
            shift = (numbers[4], numbers[5])
        elif operator == b"m":
            start = (numbers[0], numbers[1])
        elif operator == b"l":
            ends = (start[0] + shift[0], start[1] + shift[1], numbers[0] + shift[0], numbers[1] + shift[1])
            found.append(tuple(each / MM for each in ends))
    return found  # type: ignore[return-value]
