"""The one reader of long text: a small CommonMark subset with raw HTML off.

Long fields are read once into a small tree. The web renders the tree to HTML, the guide passes
it to Typst as data, the search index takes its words. Short fields never come here: nothing in
them is markup.

The subset: paragraphs, dashed and numbered lists, ``*emphasis*``, ``**strong**``, backticks for
marks of the panel, links to entries as ``[words](kind:id)``, a backslash before a sign that is
meant literally, two spaces or a backslash at a line's end to keep the line end. Stars inside a
word (``24*2*3``), underscores and brackets that name no entry stay as typed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from markdown_it import MarkdownIt
from markdown_it.rules_inline import StateInline
from markdown_it.rules_inline.state_inline import Delimiter
from markdown_it.token import Token

from kbgen.ref import Kind, Ref


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

_TARGET = re.compile(rf"({'|'.join(Kind)}):([a-z0-9-]+)\Z")
_PLAIN = re.compile(r"[^*`\[\\\n]+\Z")
_LIST_START = re.compile(r"[ ]{0,3}(?:[-+*]|\d{1,9}[.)])(?:\s|\Z)")


def read(source: str) -> RichText:
    """Read one long field.

    Never fails: what is not markup of the subset is text.

    >>> read("Look at `X3:5` *first*.")
    (Paragraph(children=(Words(text='Look at '), Code(text='X3:5'), Words(text=' '), \
Emphasis(children=(Words(text='first'),)), Words(text='.'))),)
    """
    trimmed = source.strip()
    if _PLAIN.match(trimmed) and not _LIST_START.match(trimmed):
        return (Paragraph((Words(trimmed),)),)
    tokens = _reader().parse(source)
    return _blocks(tokens, 0, len(tokens))


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


@cache
def _reader() -> MarkdownIt:
    reader = MarkdownIt("zero").enable(["list", "emphasis", "backticks", "link", "escape", "newline"])
    reader.inline.ruler.at("emphasis", _stars)
    reader.validateLink = lambda url: _TARGET.match(url) is not None  # type: ignore[method-assign]
    reader.normalizeLink = lambda url: url  # type: ignore[method-assign]
    return reader


def _stars(state: StateInline, silent: bool) -> bool:
    """Read stars as delimiters of emphasis, but never inside a word, and never underscores.

    CommonMark would turn ``24*2*3`` into emphasis; a reading must stay as typed.
    """
    start = state.pos
    if state.src[start] != "*" or silent:
        return False
    run = state.scanDelims(start, True)
    before = state.src[start - 1] if start else " "
    end = start + run.length
    after = state.src[end] if end < len(state.src) else " "
    inside_word = before.isalnum() and after.isalnum()
    for _ in range(run.length):
        token = state.push("text", "", 0)
        token.content = "*"
        state.delimiters.append(
            Delimiter(
                marker=ord("*"),
                length=run.length,
                token=len(state.tokens) - 1,
                end=-1,
                open=run.can_open and not inside_word,
                close=run.can_close and not inside_word,
            )
        )
    state.pos += run.length
    return True


def _blocks(tokens: Sequence[Token], start: int, end: int) -> RichText:
    found: list[TextBlock] = []
    at = start
    while at < end:
        token = tokens[at]
        if token.type == "paragraph_open":
            found.append(Paragraph(_inlines(tokens[at + 1].children or [])))
            at += 3
        elif token.type in ("bullet_list_open", "ordered_list_open"):
            close = _closing(tokens, at)
            found.append(
                Listing(
                    ordered=token.type.startswith("ordered"),
                    items=_items(tokens, at + 1, close),
                    start=int(token.attrs.get("start", 1)),
                )
            )
            at = close + 1
        else:
            at += 1
    return tuple(found)


def _items(tokens: Sequence[Token], start: int, end: int) -> tuple[RichText, ...]:
    items = []
    at = start
    while at < end:
        close = _closing(tokens, at)
        items.append(_blocks(tokens, at + 1, close))
        at = close + 1
    return tuple(items)


def _closing(tokens: Sequence[Token], at: int) -> int:
    level = tokens[at].level
    wanted = tokens[at].type.replace("_open", "_close")
    return next(
        i for i in range(at + 1, len(tokens)) if tokens[i].level == level and tokens[i].type == wanted
    )


def _inlines(tokens: Sequence[Token]) -> tuple[Inline, ...]:
    stack: list[list[Inline]] = [[]]
    targets: list[Ref] = []

    def put(text: str) -> None:
        last = stack[-1][-1] if stack[-1] else None
        if isinstance(last, Words):
            stack[-1][-1] = Words(last.text + text)
        elif text:
            stack[-1].append(Words(text))

    for token in tokens:
        match token.type:
            case "code_inline":
                stack[-1].append(Code(token.content))
            case "softbreak":
                put(" ")
            case "hardbreak":
                stack[-1].append(Break())
            case "strong_open" | "em_open":
                stack.append([])
            case "link_open":
                kind, _, name = str(token.attrs["href"]).partition(":")
                targets.append(Ref(Kind(kind), name))
                stack.append([])
            case "strong_close":
                children = tuple(stack.pop())
                stack[-1].append(Strong(children))
            case "em_close":
                children = tuple(stack.pop())
                stack[-1].append(Emphasis(children))
            case "link_close":
                children = tuple(stack.pop())
                stack[-1].append(Link(children, targets.pop()))
            case _:
                put(token.content)
    return tuple(stack[0])
