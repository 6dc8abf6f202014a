"""The one reader of long text: a small CommonMark subset with raw HTML off.

Long fields are read once into a small tree. The web renders the tree to HTML, the guide passes
it to Typst as data, the search index takes its words. Short fields never come here: nothing in
them is markup.
"""

from __future__ import annotations

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
    """A link to another entry, written ``[words](kind:id)``."""

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
