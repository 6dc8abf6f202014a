"""Pages of a PDF as somebody reads them: each piece of text where it stands, and what each reference says."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

from pypdf import PageObject, PdfReader


class Run(NamedTuple):
    """A piece of text as it stands on the page, in points from the lower left."""

    text: str
    x: float
    y: float
    size: float
    font: str


class Reference(NamedTuple):
    """A link of a file; pages are counted from 1.

    Attributes:
        page: Where it stands.
        says: The number that is printed in it at its end; 0 where there is none.
        leads: The page it leads to.
        text: What is printed in it.
    """

    page: int
    says: int
    leads: int
    text: str


def read(page: PageObject) -> tuple[str, tuple[Run, ...]]:
    """Return the text of a page, with runs of white space as one blank, and its pieces."""
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


def references(file: Path) -> Iterator[Reference]:
    """Yield every reference of a file, with what is printed inside of the lines that it is set on."""
    reader = PdfReader(file)
    number = {page.indirect_reference.idnum: n for n, page in enumerate(reader.pages, 1)}  # type: ignore[union-attr]
    for at, page in enumerate(reader.pages, 1):
        notes = [note.get_object() for note in page.get("/Annots", ())]
        if not notes:
            continue
        _, runs = read(page)
        for note in notes:
            left, low, right, high = (float(each) for each in note["/Rect"])
            whole = [left, low, right, low, right, high, left, high]
            corners = [float(each) for each in note.get("/QuadPoints", whole)]
            lines = [corners[n : n + 8] for n in range(0, len(corners), 8)]
            text = " ".join(run.text for line in lines for run in runs if _in(run, line))
            said = re.search(r"(\d+)\W*$", text)
            yield Reference(at, int(said[1]) if said else 0, number[note["/Dest"][0].idnum], text)


def _in(run: Run, corners: list[float]) -> bool:
    xs, ys = corners[::2], corners[1::2]
    return min(xs) - 0.5 <= run.x < max(xs) - 0.5 and min(ys) - 0.5 <= run.y <= max(ys)
