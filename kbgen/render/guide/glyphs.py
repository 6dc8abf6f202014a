"""What the bundled fonts can show, and how wide it is."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import cast

from kbgen.printable import signs

FONTS = Path(__file__).parent / "fonts"

UNKNOWN_WIDTH = 1000
MONO_WIDTH = 563
_INVISIBLE = (
    {ord(sign): None for sign in "\ufe0e\ufe0f\ufeff"} | {ord(sign): " " for sign in "\r\n"} | {9: "    "}
)
"""Selectors of a picture variant and line ends have no glyph and need none; a tab becomes blanks."""


@cache
def _widths(style: str) -> dict[str, int]:
    return cast(dict[str, dict[str, int]], signs()["widths"])[style]


def width(text: str, *, bold: bool = False, mono: bool = False) -> float:
    """Width of a text in multiples of its size; signs beyond Latin count as a full square."""
    if mono:
        return len(text) * MONO_WIDTH / 1000
    widths = _widths("bold" if bold else "regular")
    return sum(widths.get(sign, UNKNOWN_WIDTH) for sign in text) / 1000


def shown(text: str) -> str:
    """A text without the signs that have no shape of their own."""
    return text.translate(_INVISIBLE)


def shorten(text: str, limit: float, *, bold: bool = False) -> str:
    """Cut a text to a width in multiples of its size, with ``…`` where something is left out."""
    if width(text, bold=bold) <= limit:
        return text
    while text and width(text + "…", bold=bold) > limit:
        text = text[:-1]
    return text.rstrip() + "…"


def unbroken(text: str, limit: float, *, bold: bool = False, mono: bool = False) -> list[str]:
    """Split a text where a line may end although no word ends there.

    Words that fit into ``limit`` (multiples of the text size) stay whole; a longer one may end
    its line after any sign. Joining the pieces gives the text back.
    """
    words = text.split(" ")
    # No sign is wider than the text is high: nearly all words fit by their length, and need not be measured.
    if max(map(len, words)) <= limit:
        return [text]
    pieces = [""]
    for word in words:
        if width(word, bold=bold, mono=mono) <= limit:
            pieces[-1] += word + " "
        else:
            pieces[-1] += word[:1]
            pieces.extend(word[1:])
            pieces[-1] += " "
    pieces[-1] = pieces[-1][:-1]
    return [piece for piece in pieces if piece]
