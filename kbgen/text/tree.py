"""Long text as a small tree of paragraphs, lists and what stands in their lines."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from kbgen.ref import Ref


@dataclass(frozen=True, slots=True)
class Words:
    """Plain characters, exactly as typed."""

    text: str


@dataclass(frozen=True, slots=True)
class Strong:
    """Text written ``**like this**``."""

    children: tuple[Inline, ...]


@dataclass(frozen=True, slots=True)
class Emphasis:
    """Text written ``*like this*``."""

    children: tuple[Inline, ...]


@dataclass(frozen=True, slots=True)
class Code:
    """Text written between backticks: a terminal mark, a display."""

    text: str


@dataclass(frozen=True, slots=True)
class Link:
    """A link to another entry, written ``[words](kind:id)``; the link stage says whether it exists."""

    children: tuple[Inline, ...]
    target: Ref


@dataclass(frozen=True, slots=True)
class Break:
    """A line end the author wants to keep."""


Inline = Words | Strong | Emphasis | Code | Link | Break


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A run of text."""

    children: tuple[Inline, ...]


@dataclass(frozen=True, slots=True)
class Listing:
    """A bulleted or numbered list; each item is a small text of its own."""

    ordered: bool
    items: tuple[tuple[TextBlock, ...], ...]
    start: int = 1


TextBlock = Paragraph | Listing
RichText = tuple[TextBlock, ...]


def link_targets(text: RichText) -> Iterator[Ref]:
    """Yield the targets of all links, in order."""
    for inline in _walk(text):
        if isinstance(inline, Link):
            yield inline.target


def words(text: RichText) -> str:
    """Return the text without markup, paragraphs and items joined by spaces."""
    return " ".join(_block_words(block) for block in text)


def first_sentence(text: RichText) -> str:
    """Return the first sentence of a text without markup, for one-line summaries."""
    for block in text:
        line = _block_words(block)
        if line:
            return re.split(r"(?<=[.!?])\s", line, maxsplit=1)[0]
    return ""


def _block_words(block: TextBlock) -> str:
    if isinstance(block, Listing):
        return " ".join(words(item) for item in block.items)
    return "".join(_inline_words(inline) for inline in block.children)


def _inline_words(inline: Inline) -> str:
    if isinstance(inline, Words | Code):
        return inline.text
    if isinstance(inline, Break):
        return " "
    return "".join(_inline_words(child) for child in inline.children)


def _walk(text: RichText) -> Iterator[Inline]:
    def inlines(children: tuple[Inline, ...]) -> Iterator[Inline]:
        for child in children:
            yield child
            if isinstance(child, Strong | Emphasis | Link):
                yield from inlines(child.children)

    for block in text:
        if isinstance(block, Listing):
            for item in block.items:
                yield from _walk(item)
        else:
            yield from inlines(block.children)
