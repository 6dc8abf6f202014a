"""Signs that a wrong encoding has damaged: what was typed is lost, or stands there as other signs."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator

from kbgen.load.fault import FILES, Fault

DAMAGED_SIGN = FILES.error(
    "damaged-sign",
    "A degree sign that reads as something else, or is gone, makes a figure that nobody can trust.",
    "opens_when: The water reaches 65 \u00c2\u00b0C",
    "opens_when: The water reaches 65 °C",
)
# What the bytes behind the first of a sign in UTF-8 look like in Windows-1252. All else of its letters begins
# words of some language; no word has one of these leads before such a sign.
_BEHIND = (
    "[\u00a0-\u00bf\u0152\u0153\u0160\u0161\u0178\u017d\u017e\u0192\u02c6\u02dc\u2013-\u203a\u20ac\u2122]"
)
_DAMAGED = re.compile(f"\u00e2{_BEHIND}{{2}}|[\u00c2\u00c3\u00ce\u00cf]{_BEHIND}|\ufffd+")
_CLOSING = "\u00bb\u2019\u201d\u203a"
"""A word may end in one of the leads, and a quote behind it."""
_MAILED = re.compile("=[C-F][0-9A-F](?:=[89AB][0-9A-F]){1,3}|(?<=[a-z])=\\n[ \\t]*(?=[a-z])")
"""A sign as a mail carries it, byte by byte, and the mark where it wraps a line."""
_MOST = 20


def damaged_signs(text: str) -> Iterator[Fault]:
    """Report signs lost or turned into others by a wrong encoding, one for each place."""
    if text.isascii() and "=" not in text:
        return
    left = _MOST
    for match in sorted((*_DAMAGED.finditer(text), *_MAILED.finditer(text)), key=lambda found: found.start()):
        piece = match.group()
        if piece[0] == "=":
            mailed = _mailed(piece)
            if mailed is None:
                continue
            message, hint = mailed
        elif piece[0] == "\ufffd":
            message = "a sign was lost here (U+FFFD stands in its place)"
            hint = "Type it anew, such as ° or ±."
        elif meant := _meant(piece):
            message = f"`{piece}` is damaged by a wrong encoding"
            hint = f"Type `{meant}`."
        else:
            continue
        yield Fault(DAMAGED_SIGN, match.start(), message, hint)
        left -= 1
        if not left:
            return


def _mailed(piece: str) -> tuple[str, str] | None:
    """Say what a mail has made of a piece, or return ``None`` where it is no sign of one."""
    if piece[1] == "\n":
        return "a mail has wrapped the line here, inside a word", "Take the `=` out and join the two lines."
    try:
        meant = bytes.fromhex(piece.replace("=", "")).decode("utf-8")
    except UnicodeError:
        return None
    return (
        f"`{piece}` is a sign as a mail carries it",
        f"Type {'a blank' if meant.isspace() else f'`{meant}`'}.",
    )


def _meant(piece: str) -> str | None:
    """Read a piece as the bytes it was, or return ``None`` where it may be what was meant."""
    if piece[0] != "\u00c2" and piece[-1] in _CLOSING and len(piece) == 2:
        return None
    try:
        meant = piece.encode("cp1252").decode("utf-8")
    except UnicodeError:
        return None
    if meant == "\u00a0":
        return " "
    return meant if unicodedata.category(meant)[0] in "LNPS" else None
