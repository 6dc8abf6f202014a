"""Which signs the fonts of the pocket guide have: asked before anything is printed."""

from __future__ import annotations

import json
from functools import cache
from typing import Any, cast

from kbgen.resources import package

_SIGNS = package() / "render" / "guide" / "fonts" / "signs.json"
_WITHOUT_SHAPE = frozenset("\ufe0e\ufe0f\ufeff\r\n\t")
"""Selectors of a picture variant, line ends and tabs have no glyph and need none."""


@cache
def signs() -> dict[str, Any]:
    """What the fonts have (``covered``, runs of code points) and how wide it is (``widths``, by style)."""
    return cast(dict[str, Any], json.loads(_SIGNS.read_text(encoding="utf-8")))


@cache
def covered() -> frozenset[str]:
    """Every sign that text of any style can show with the bundled fonts."""
    return frozenset(chr(point) for first, last in signs()["covered"] for point in range(first, last + 1))


def not_printable(text: str) -> list[str]:
    """Return the signs of a text that no font has, each once, in their order."""
    if text.isascii():
        return []
    return [sign for sign in dict.fromkeys(text) if sign not in covered() and sign not in _WITHOUT_SHAPE]
