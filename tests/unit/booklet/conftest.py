from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from pypdf import PageObject, PdfReader

from kbgen.compute.circuit.study import Study
from kbgen.outputs.booklet import make_pocket
from kbgen.pipeline import Compiled
from kbgen.views.booklet import Booklet, make_booklet
from tests.conftest import Once

PLANTS = ("harnok-td", "ondrel-sb", "vashby-mah", "zellick-ph")


class Run(NamedTuple):
    """A piece of text as it stands on the page, in points from the lower left."""

    text: str
    x: float
    y: float
    size: float
    font: str


@dataclass(frozen=True)
class Printed:
    """A booklet as somebody has it in hand: its leaves, its file, the text of its pages, and each piece of it."""

    booklet: Booklet
    file: Path
    pages: tuple[str, ...]
    runs: tuple[tuple[Run, ...], ...]

    def page_of(self, words: str) -> int:
        """The first page, counted from 1, whose text holds ``words``."""
        return next(n for n, page in enumerate(self.pages, 1) if words in page)


@pytest.fixture(scope="session", params=PLANTS)
def printed(request: pytest.FixtureRequest, demonstration: Compiled, once: Once) -> Printed:
    """Each booklet of the demonstration, printed once for all processes of a run."""
    plant = request.param
    folder = once(f"booklet-{plant}", lambda out: make_pocket(demonstration, out / "booklet.pdf", plant))
    booklet = make_booklet(
        demonstration.base, demonstration.edition, Study(demonstration.base, demonstration.store), plant
    )
    assert booklet is not None
    texts, runs = zip(*(_read(page) for page in PdfReader(folder / "booklet.pdf").pages), strict=True)
    return Printed(booklet, folder / "booklet.pdf", texts, runs)


def _read(page: PageObject) -> tuple[str, tuple[Run, ...]]:
    runs: list[Run] = []

    def visit(text: str, cm: list[float], tm: list[float], font: Any, size: float) -> None:
        if text.strip():
            across, up = abs(cm[0] * tm[0]), abs(cm[0] * tm[1])
            x, y = cm[0] * tm[4] + cm[4], cm[3] * tm[5] + cm[5]
            runs.append(
                Run(text.strip(), x, y, round(size * max(across, up), 2), (font or {}).get("/BaseFont", ""))
            )

    text = page.extract_text(visitor_text=visit)
    return " ".join(text.split()), tuple(runs)
