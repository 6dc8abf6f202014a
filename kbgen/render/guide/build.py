"""Typeset a binder and put the PDF in place."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from types import MappingProxyType
from typing import Any

from kbgen.render.guide import contents, order, pictures
from kbgen.render.guide.pack import PICTURE_SHARE
from kbgen.render.guide.paper import Paper
from kbgen.render.guide.parts import draw_in_parts, set_in_parts
from kbgen.render.guide.result import CoarsePicture, GuideProblem, GuideResult, UnusablePicture, Where
from kbgen.replace import replace_file
from kbgen.store import Store
from kbgen.views.blocks import Picture, Steps
from kbgen.views.card import Called, Card
from kbgen.views.page import Book

NO_PHOTOS: Mapping[str, bytes] = MappingProxyType({})


def build_guide(
    book: Book,
    out: Path,
    sheet: Paper,
    photos: Mapping[str, bytes] = NO_PHOTOS,
    store: Store | None = None,
) -> GuideResult:
    """Print the approved entries of a book as a PDF.

    The same book gives the same bytes on every machine. The file at ``out`` is replaced in one
    rename, and left alone when a sign is missing from the bundled fonts.

    Args:
        out: The PDF to write; its folder is created.
        photos: Bytes of each picture file by its path below ``photos/``.
        store: Where page numbers of the same book are kept.
    """
    prints, problems = _prints(book, sheet, photos)
    data = _packed(book, sheet, prints)
    missing = contents.missing_in(book, data)
    if missing:
        return GuideResult(0, 0, missing)
    with _laid_out(prints) as folder:
        pdf, pages = set_in_parts(folder, data, store or Store())
    replace_file(out, pdf)
    return GuideResult(len(order.printed(book)), pages, problems)


def draw_guide(book: Book, sheet: Paper, photos: Mapping[str, bytes] = NO_PHOTOS) -> tuple[bytes, ...]:
    """Return the pages that `build_guide` would print, as SVG pictures; signs that no font has are boxes."""
    prints, _ = _prints(book, sheet, photos)
    with _laid_out(prints) as folder:
        return draw_in_parts(folder, _packed(book, sheet, prints))


def _packed(book: Book, sheet: Paper, prints: Mapping[str, pictures.Print]) -> dict[str, Any]:
    return contents.pack(
        book, sheet, {file: (name, prints[file].width) for file, name in _names(prints).items()}
    )


def _names(prints: Mapping[str, pictures.Print]) -> dict[str, str]:
    return {file: f"picture-{number}.{p.suffix}" for number, (file, p) in enumerate(prints.items(), 1)}


@contextmanager
def _laid_out(prints: Mapping[str, pictures.Print]) -> Iterator[Path]:
    """Give a folder with every picture that the typesetter reads."""
    with TemporaryDirectory() as temporary:
        folder = Path(temporary)
        for file, name in _names(prints).items():
            (folder / name).write_bytes(prints[file].content)
        yield folder


def _prints(
    book: Book, paper: Paper, photos: Mapping[str, bytes]
) -> tuple[dict[str, pictures.Print], tuple[GuideProblem, ...]]:
    """Make every picture of the guide ready once, however often it stands there."""
    room = (paper.text_width, paper.text_height * PICTURE_SHARE)
    prints: dict[str, pictures.Print] = {}
    problems: dict[str, GuideProblem] = {}
    for where, file in _pictures(book):
        if file in prints or file in problems:
            continue
        if file not in photos:
            problems[file] = UnusablePicture(where, file, "there is no such file")
            continue
        try:
            prints[file] = pictures.prepare(photos[file], room)
        except ValueError as fault:
            problems[file] = UnusablePicture(where, file, str(fault))
            continue
        if 0 < prints[file].dpi < pictures.COARSE:
            problems[file] = CoarsePicture(where, file, prints[file].dpi)
    return prints, tuple(problems.values())


def _pictures(book: Book) -> Iterator[tuple[Where, str]]:
    for page in contents.printed_with_leave_now(book):
        for section in page.sections:
            if section.web_only:
                continue
            for block in section.blocks:
                if isinstance(block, Picture):
                    yield page.ref, block.file
                for step in block.steps if isinstance(block, Steps | Card | Called) else ():
                    for picture in step.pictures:
                        yield page.ref, picture.file
