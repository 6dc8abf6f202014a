"""Photos and drawings on paper."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from PIL import Image
from pypdf import PdfReader

from kbgen.ref import Kind, Ref
from kbgen.render.guide import CoarsePicture, UnusablePicture, build_guide
from kbgen.render.guide.pictures import prepare, svg_aspect
from kbgen.views.blocks import Picture
from kbgen.views.page import Book
from tests.unit.guide import books
from tests.unit.guide.conftest import photo

ROOM = (90.0, 120.0)


def with_picture(name: str) -> Book:
    return books.book(books.page(Kind.DEVICE, "d", "D", Picture(name, "The open panel", "The panel")))


def test_a_large_photo_is_reduced_to_three_hundred_dots_per_inch() -> None:
    ready = prepare(photo((4000, 3000)), ROOM)
    with Image.open(io.BytesIO(ready.content)) as picture:
        assert picture.size[0] / (ready.width / 25.4) == pytest.approx(300, abs=1)
    assert ready.dpi == 300


def test_a_small_photo_is_printed_and_reported_with_its_dots_per_inch(tmp_path: Path) -> None:
    result = build_guide(
        with_picture("s.jpg"), tmp_path / "g.pdf", books.POCKET, photos={"s.jpg": photo((320, 240))}
    )
    (problem,) = result.problems
    assert isinstance(problem, CoarsePicture)
    assert (problem.where, problem.file) == (Ref(Kind.DEVICE, "d"), "s.jpg")
    assert 90 <= problem.dpi <= 105
    assert any(page.images for page in PdfReader(tmp_path / "g.pdf").pages)


def test_a_transparent_picture_stands_on_white() -> None:
    out = io.BytesIO()
    Image.new("RGBA", (600, 400), (0, 0, 0, 0)).save(out, "PNG")
    with Image.open(io.BytesIO(prepare(out.getvalue(), ROOM).content)) as picture:
        assert picture.mode == "RGB"
        assert picture.getpixel((5, 5)) == (255, 255, 255)


def test_position_and_serial_number_do_not_reach_the_print() -> None:
    exif = Image.Exif()
    exif[0x0112] = 6
    exif[0x010F] = "Camera maker"
    out = io.BytesIO()
    Image.new("RGB", (400, 300), "red").save(out, "JPEG", exif=exif)
    with Image.open(io.BytesIO(prepare(out.getvalue(), ROOM).content)) as picture:
        assert picture.size == (300, 400), "turned upright"
        assert not picture.getexif()


def test_drawings_stay_lines(tmp_path: Path) -> None:
    svg = books.LADDER.replace("currentColor", "black").encode()
    result = build_guide(with_picture("l.svg"), tmp_path / "g.pdf", books.POCKET, photos={"l.svg": svg})
    assert result.problems == ()
    assert not any(page.images for page in PdfReader(tmp_path / "g.pdf").pages)
    assert any("LWC-1" in page.extract_text() for page in PdfReader(tmp_path / "g.pdf").pages)


@pytest.mark.parametrize("photos", [{}, {"s.jpg": b"not a picture"}])
def test_words_stand_in_for_a_picture_that_cannot_be_printed(
    tmp_path: Path, photos: dict[str, bytes]
) -> None:
    result = build_guide(with_picture("s.jpg"), tmp_path / "g.pdf", books.POCKET, photos=photos)
    assert isinstance(result.problems[0], UnusablePicture)
    assert any(
        "Picture: The open panel" in page.extract_text() for page in PdfReader(tmp_path / "g.pdf").pages
    )


@pytest.mark.parametrize(
    ("head", "aspect"),
    [
        ('<svg viewBox="0 0 300 100">', 3.0),
        ('<svg width="200px" height="100">', 2.0),
        ("<svg>", 1.0),
        ('<svg viewBox="0 0 300 0">', 1.0),
    ],
)
def test_the_shape_of_a_drawing_is_read_from_its_head(head: str, aspect: float) -> None:
    assert svg_aspect(head) == aspect
