"""The only door to Typst."""

from __future__ import annotations

import re
from pathlib import Path

import typst

from kbgen.render.guide.glyphs import FONTS

TEMPLATE = Path(__file__).parent / "guide.typ"


def typeset(folder: Path) -> tuple[bytes, int]:
    """Typeset ``book.json`` and the pictures beside it.

    Args:
        folder: A folder of its own for this run; the template is copied into it, since Typst reads
            nothing outside.

    Returns:
        The PDF and its number of pages.
    """
    # No tags: they triple the file; who reads by ear reads the web edition.
    pdf = _compiler(folder).compile(format="pdf", pdf_tags=False)
    if not isinstance(pdf, bytes):
        raise TypeError("Typst gave several files where one PDF was asked for")
    return pdf, max(int(count) for count in re.findall(rb"/Count (\d+)", pdf))


def draw(folder: Path) -> tuple[bytes, ...]:
    """Typeset the same for a screen: one SVG picture a page."""
    drawn = _compiler(folder).compile(format="svg")
    return tuple(filter(None, drawn if isinstance(drawn, list) else [drawn]))


def _compiler(folder: Path) -> typst.Compiler:
    """Make a typesetter ready; the template reads content only as data. Fonts are the bundled ones, never the machine's."""
    main = folder / "guide.typ"
    main.write_bytes(TEMPLATE.read_bytes())
    fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(FONTS)])
    return typst.Compiler(input=str(main), root=str(folder), font_paths=fonts)
