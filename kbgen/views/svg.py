"""The few marks both drawings are made of: plain SVG without styles, scripts and identifiers.

Lines take ``currentColor``, so that a drawing follows the page's scheme and prints black.
"""

from __future__ import annotations

from dataclasses import dataclass
from html import escape

FONT = 13
"""Size of text in a drawing's own units; one unit is one CSS pixel at full size."""


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing.

    Attributes:
        svg: One ``<svg>`` element, complete, with its name and text alternative inside.
        title: Its name.
        alt: What it shows, in words.
        width, height: Its size in units.
    """

    svg: str
    title: str
    alt: str
    width: int
    height: int


def wrap(text: str, most: int) -> list[str]:
    """Break text into lines of at most so many characters, at blanks where there are any."""
    lines = [""]
    for word in text.split():
        rest = word
        if lines[-1] and len(lines[-1]) + 1 + len(rest) <= most:
            lines[-1] += " " + rest
            continue
        while len(rest) > most:
            lines.append(rest[:most])
            rest = rest[most:]
        lines.append(rest)
    return [line for line in lines if line] or [""]


def text(x: float, y: float, lines: list[str], *, anchor: str = "start", bold: bool = False) -> str:
    """Return text whose block of lines is centred on ``y``."""
    step = FONT + 2
    top = y - step * (len(lines) - 1) / 2 + FONT * 0.35
    weight = ' font-weight="bold"' if bold else ""
    where = "" if anchor == "start" else f' text-anchor="{anchor}"'
    return "".join(
        f'<text x="{x:g}" y="{top + k * step:g}"{where}{weight}>{escape(line)}</text>'
        for k, line in enumerate(lines)
    )


def drawing(width: int, height: int, title: str, alt: str, lines: str, words: str) -> Drawing:
    """Put a drawing together from its line work and its text."""
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}"'
        f' height="{height}" role="img"><title>{escape(title)}</title><desc>{escape(alt)}</desc>'
        f'<g fill="none" stroke="currentColor" stroke-width="2">{lines}</g>'
        f'<g fill="currentColor" font-family="sans-serif" font-size="{FONT}">{words}</g></svg>'
    )
    return Drawing(svg, title, alt, width, height)
