from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image
from pypdf import PdfReader

from kbgen.render.guide import build_guide
from kbgen.views.page import Book
from tests.unit.guide import books

Printer = Callable[..., list[str]]


@pytest.fixture
def print_book(tmp_path: Path) -> Printer:
    """Print a book and return the text of each page, with runs of white space as one blank."""

    def run(book: Book) -> list[str]:
        out = tmp_path / "guide.pdf"
        result = build_guide(book, out, books.POCKET)
        assert result.problems == ()
        pages = [" ".join(page.extract_text().split()) for page in PdfReader(out).pages]
        assert result.pages == len(pages)
        return pages

    return run


@pytest.fixture(scope="session")
def full_guide(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The book with every block, printed once."""
    out = tmp_path_factory.mktemp("guide") / "full.pdf"
    build_guide(books.full(), out, books.POCKET, photos={"panel.jpg": photo()})
    return out


@pytest.fixture(scope="session")
def full_pages(full_guide: Path) -> list[str]:
    """The text of its pages."""
    return [" ".join(page.extract_text().split()) for page in PdfReader(full_guide).pages]


def photo(size: tuple[int, int] = (1600, 1200), form: str = "JPEG", mode: str = "RGB") -> bytes:
    """A picture with some grain, as a camera would give."""
    out = io.BytesIO()
    Image.effect_noise(size, 40).convert(mode).save(out, form)
    return out.getvalue()
