"""Paragraphs and lists of a long text, and what its reader would change without being asked to.

A list stands at the start of a text or behind an empty line, and its items begin at one edge. A line in
the middle of a paragraph is never an item: it may be a wrapped line that happens to begin with ``- 24 V``.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from kbgen.quantity import begins_with_quantity
from kbgen.text.inline import changed, inlines
from kbgen.text.tree import Listing, Paragraph, RichText, TextBlock, Words

_PLAIN = re.compile(r"[^*`\[\\\n]+\Z")
_MARKER = re.compile(r"(?P<lead>\s*)(?P<mark>[-*]|(?P<number>\d{1,4})\.)[ \t]+(?=\S)(?![-*+\s]*\Z)")
_ITEM_LIKE = re.compile(r"\s*(?:[-*+•·▪◦‣●○–—]\s+|\(?\d{1,3}[.)]\s+|\(?[a-zA-Z]\)\s+)\S")

# Of `*Look*` the stars are emphasis.
_UNSPACED = re.compile(r"\s*(?:[-•–]|\*(?=[^*\n]*\Z))[^\W\d_]")
_COLUMNS = re.compile(r"\S+ {3,}\S+")


@dataclass(frozen=True, slots=True)
class Told:
    """Something in a long text that would not be published as it was typed.

    Attributes:
        piece: The piece of the text it is about.
        message: What is wrong.
        hint: What to type instead.
    """

    piece: str
    message: str
    hint: str


class _Marker(NamedTuple):
    """The start of an item: where its mark and its text stand, and its number (0 for a dash)."""

    edge: int
    text: int
    number: int


def read(source: str) -> RichText:
    """Read one long field.

    Never fails: what is not markup of the subset is text.

    >>> read("Look at `X3:5` *first*.")
    (Paragraph(children=(Words(text='Look at '), Code(text='X3:5'), Words(text=' '), \
Emphasis(children=(Words(text='first'),)), Words(text='.'))),)
    """
    trimmed = source.strip()
    if _PLAIN.match(trimmed) and not _MARKER.match(trimmed):
        return (Paragraph((Words(trimmed),)),)
    return _Reader([]).blocks(source.split("\n"))


def told(source: str) -> list[Told]:
    """Return what reading a long field would change or run together, in the order of the text."""
    if (
        _PLAIN.match(source.strip())
        and not _ITEM_LIKE.match(source)
        and not ("\t" in source or "   " in source)
    ):
        return []
    reader = _Reader([])
    reader.blocks(source.split("\n"))
    return reader.told


class _Reader:
    """Reads lines into blocks and notes what is told of them."""

    def __init__(self, found: list[Told]) -> None:
        self.told = found

    def blocks(self, lines: Sequence[str], *, item: bool = False) -> RichText:
        """Read lines; those of an item begin with its text, be it ``- 5 V``."""
        found: list[TextBlock] = []
        at = 0
        while at < len(lines):
            if not lines[at].strip():
                at += 1
            elif not (item and at == 0) and _starts_list(lines, at):
                block, at = self._listing(lines, at)
                found.append(block)
            else:
                end = at + 1
                while end < len(lines) and lines[end].strip():
                    end += 1
                found.append(self._paragraph(lines[at:end], item=item))
                at = end
        return tuple(found)

    def _paragraph(self, lines: Sequence[str], *, item: bool) -> Paragraph:
        if line := _swallowed(lines, item=item):
            self.told.append(
                Told(
                    line.strip(),
                    f"`{_start(line)}` begins like an item of a list, but its line belongs to the text above it",
                    "Put an empty line before the list; if it is no item, begin the line with another word.",
                )
            )
        elif unspaced := [line.strip() for line in lines if _UNSPACED.match(line)][1:]:
            message = f"`{_start(unspaced[0])}` begins like an item of a list without a blank behind its mark"
            hint = "Put a blank behind the dash, and an empty line before the list."
            self.told.append(Told(unspaced[0], message, hint))
        elif rows := [line.strip() for line in lines if line.lstrip().startswith("|")][1:]:
            message = (
                f"`{_start(rows[0])}` looks like a row of a table, and the rows would be joined to one text"
            )
            self.told.append(Told(rows[0], message, "Write each row as an item of a list, or as a sentence."))
        elif tabbed := next((line.strip() for line in lines if "\t" in line.strip()), ""):
            hint = "Type a blank; what was a table is written as a list, an item a row."
            self.told.append(Told("\t", f"a TAB stands in `{_start(tabbed)}`, and no page shows one", hint))
        elif columns := next((found.group() for line in lines if (found := _COLUMNS.search(line))), ""):
            hint = "Write a list, an item a row; where nothing is meant by them, type one blank."
            message = f"`{columns}` is set in columns by blanks, and a page shows one of them"
            self.told.append(Told(columns, message, hint))
        # A blank at a line's end can mean something; at its start it never does.
        text = "\n".join(line.lstrip() for line in lines).rstrip()
        if piece := changed(text):
            self.told.append(
                Told(piece, f"`{piece}` would lose signs", "Put a backslash before each sign that is text.")
            )
        return Paragraph(inlines(text))

    def _listing(self, lines: Sequence[str], at: int) -> tuple[Listing, int]:
        first = _marker(lines[at]) or _Marker(0, 0, 0)
        items: list[RichText] = []
        while at < len(lines):
            marker = _marker(lines[at])
            if marker is None or marker.edge != first.edge or bool(marker.number) != bool(first.number):
                break
            if first.number and marker.number != first.number + len(items):
                break
            end = _item_end(lines, at, marker, first, len(items))
            own = [
                lines[at][marker.text :],
                *(line[_lead(line, marker.text) :] for line in lines[at + 1 : end]),
            ]
            if _signed(lines[at]):
                piece = lines[at].strip()
                self.told.append(
                    Told(
                        piece,
                        f"the `{piece[0]}` of `{_start(piece)}` would become the mark of an item",
                        "If it is a sign, leave out the blank behind it; if it is an item, begin it with a word.",
                    )
                )
            items.append(self.blocks(own, item=True))
            at = end
            while at < len(lines) and not lines[at].strip():
                at += 1
        return Listing(ordered=first.number > 0, items=tuple(items), start=first.number or 1), at


def _marker(line: str) -> _Marker | None:
    found = _MARKER.match(line)
    if not found or (found["number"] or "1").startswith("0"):
        return None
    return _Marker(len(found["lead"]), found.end(), int(found["number"] or 0))


def _starts_list(lines: Sequence[str], at: int) -> bool:
    """Whether a list starts in a line: a sign before a quantity, or one number alone, is text."""
    marker = _marker(lines[at])
    if marker is None or _signed(lines[at]):
        return False
    if not marker.number:
        return True
    return any(
        (other := _marker(line)) is not None
        and other.edge == marker.edge
        and other.number == marker.number + 1
        for line in lines[at + 1 :]
    )


def _swallowed(lines: Sequence[str], *, item: bool) -> str:
    """Return the line of a paragraph that was most likely meant as an item; empty without any.

    One sign before a quantity, or one number with a stop behind it, is a wrapped line.
    """
    like = [line for line in lines if _ITEM_LIKE.match(line)]
    sure = [line for line in lines[1:] if _ITEM_LIKE.match(line) and not _signed(line)]
    sure = [line for line in sure if item or not line.strip()[0].isdigit() or len(like) > 1 or _first(line)]
    if sure:
        return sure[0]
    return like[1] if len(like) > 1 and like[0] is lines[0] else ""


def _first(line: str) -> bool:
    return line.lstrip().startswith(("1.", "1)"))


def _item_end(lines: Sequence[str], at: int, marker: _Marker, first: _Marker, before: int) -> int:
    """Return the line after an item: after an empty line only what is indented below it goes on."""
    end, empty = at + 1, False
    while end < len(lines):
        line = lines[end]
        if not line.strip():
            empty = True
        else:
            inside = _lead(line, marker.text) == marker.text
            other = _marker(line)
            next_item = (
                other is not None
                and other.edge == first.edge
                and bool(other.number) == bool(first.number)
                and (not first.number or other.number == first.number + before + 1)
            )
            if next_item or (empty and not inside):
                break
            empty = False
        end += 1
    while end > at + 1 and not lines[end - 1].strip():
        end -= 1
    return end


def _lead(line: str, most: int) -> int:
    """Return the number of blanks a line begins with, but not more than ``most``."""
    return min(len(line) - len(line.lstrip()), most)


def _signed(line: str) -> bool:
    """Whether a line begins with a sign before a quantity, such as ``- 24 V``."""
    bare = line.lstrip()
    return bare[:1] in ("-", "+", "–", "—") and begins_with_quantity(bare[1:])


def _start(text: str) -> str:
    words = text.split()
    return " ".join(words[:3]) + (" …" if len(words) > 3 else "")
