from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest
from pypdf import PdfReader

from kbgen.compute.circuit.study import Study
from kbgen.outputs.booklet import make_pocket
from kbgen.outputs.guide import make_binder
from kbgen.pipeline import Compiled
from kbgen.views.booklet import Booklet, make_booklet
from tests.conftest import Once
from tests.printed import Run, read

PLANTS = ("harnok-td", "ondrel-sb", "vashby-mah", "zellick-ph")


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

    def write(out: Path) -> None:
        make_pocket(demonstration, out / "booklet.pdf", plant)
        # What was typeset is kept for others of this run, as a command keeps it at its end.
        demonstration.store.close()

    folder = once(f"booklet-{plant}", write)
    booklet = make_booklet(
        demonstration.base, demonstration.edition, Study(demonstration.base, demonstration.store), plant
    )
    assert booklet is not None
    texts, runs = zip(*(read(page) for page in PdfReader(folder / "booklet.pdf").pages), strict=True)
    return Printed(booklet, folder / "booklet.pdf", texts, runs)


@pytest.fixture(scope="session")
def binder(demonstration: Compiled, once: Once) -> Path:
    """The largest binder of the demonstration, set in parts, printed once for all processes of a run."""
    return _bound(demonstration, once, "ondrel-sb")


@pytest.fixture(scope="session", params=PLANTS)
def each_binder(request: pytest.FixtureRequest, demonstration: Compiled, once: Once) -> Path:
    """Each binder of the demonstration, printed once like the largest one."""
    return _bound(demonstration, once, request.param)


def _bound(demonstration: Compiled, once: Once, plant: str) -> Path:
    def write(out: Path) -> None:
        make_binder(demonstration, out / "b.pdf", None, plant)
        demonstration.store.close()

    return once(f"binder-{plant}", write) / "b.pdf"
