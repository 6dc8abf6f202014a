"""The only door to Typst."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Literal

import typst

from kbgen.render.guide.glyphs import FONTS

HOME = Path(__file__).parent
STANDARDS: list[Literal["a-2a", "ua-1"]] = ["a-2a", "ua-1"]
"""Kept for their text, and readable by ear; Typst refuses to write what does not conform."""


def typeset(folder: Path) -> tuple[bytes, int]:
    """Typeset ``book.json`` and the pictures beside it.

    Args:
        folder: A folder of its own for this run; the template is copied into it, since Typst reads
            nothing outside.

    Returns:
        The PDF and its number of pages.
    """
    pdf = _compiler(folder, "guide.typ").compile(format="pdf", pdf_standards=[*STANDARDS])
    if not isinstance(pdf, bytes):
        raise TypeError("Typst gave several files where one PDF was asked for")
    return pdf, max(int(count) for count in re.findall(rb"/Count (\d+)", pdf))


def draw(folder: Path) -> tuple[bytes, ...]:
    """Typeset the same for a screen: one SVG picture a page."""
    drawn = _compiler(folder, "guide.typ").compile(format="svg")
    return tuple(filter(None, drawn if isinstance(drawn, list) else [drawn]))


class Typesetter:
    """A template with its data, which may be put anew: what stayed the same is not set again."""

    def __init__(self, folder: Path, template: str) -> None:
        self._folder = folder
        self._compiler = _compiler(folder, template)

    def put(self, data: dict[str, Any]) -> None:
        """Put other data in place."""
        (self._folder / "book.json").write_text(json.dumps(data, ensure_ascii=False), encoding="utf-8")

    def measured(self) -> list[tuple[float, int, float, float]]:
        """Return what the template measures of each leaf (`kbgen.render.guide.fit.Measured`)."""
        return [
            (float(share), int(level), float(large), float(close))
            for share, level, large, close in self.values("<measured>")[0]
        ]

    def values(self, name: str) -> list[Any]:
        """Return what the template says of itself under a name."""
        return list(json.loads(self._compiler.query(name, field="value")))

    def pages(self) -> int:
        """Return the number of pages."""
        return int(self.values("<pages>")[0])

    def pdf(self, *, tagged: bool) -> bytes:
        """Return the PDF, tagged and held to its standards, or small for the printer."""
        pdf = self._compiler.compile(
            format="pdf", pdf_tags=tagged, pdf_standards=[*STANDARDS] if tagged else []
        )
        if not isinstance(pdf, bytes):
            raise TypeError("Typst gave several files where one PDF was asked for")
        return pdf


@contextmanager
def typesetter(template: str, data: dict[str, Any]) -> Iterator[Typesetter]:
    """Give a typesetter with a folder of its own."""
    with TemporaryDirectory() as temporary:
        setter = Typesetter(Path(temporary), template)
        setter.put(data)
        yield setter


def _compiler(folder: Path, template: str) -> typst.Compiler:
    """Make a typesetter ready; the template reads content only as data. Fonts are the bundled ones, never the machine's."""
    main = folder / template
    main.write_bytes((HOME / template).read_bytes())
    fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(FONTS)])
    return typst.Compiler(input=str(main), root=str(folder), font_paths=fonts)
