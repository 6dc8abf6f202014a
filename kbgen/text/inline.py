"""What stands inside a paragraph: emphasis, marks of the panel, links, kept line ends.

The reading is markdown-it's, with fewer signs that mean anything: whatever could stand in an ordinary
reading stays as typed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import cache
from itertools import pairwise
from typing import TYPE_CHECKING

from kbgen.ref import Kind, Ref
from kbgen.text.tree import Break, Code, Emphasis, Inline, Link, Strong, Words

if TYPE_CHECKING:
    from markdown_it import MarkdownIt
    from markdown_it.rules_inline import StateInline
    from markdown_it.token import Token

_TARGET = re.compile(rf"({'|'.join(Kind)}):([a-z0-9-]+)\Z")
_ESCAPED = "*`[]-"
_CLOSES, _OPENS = frozenset(")]}.,;:!?"), frozenset("([{")
_PLAIN = re.compile(r"[^*`\[\\\n]+\Z")


def inlines(text: str) -> tuple[Inline, ...]:
    """Read the text of one paragraph, with its line ends; what is not markup is text."""
    if _PLAIN.match(text):
        return (Words(text),)
    return _inlines(_tokens(text))


def changed(text: str) -> str:
    """Return the piece of a paragraph that reading would change beyond taking its marks away, or nothing."""
    if _PLAIN.match(text):
        return ""
    tokens = _tokens(text)
    typed, read = "".join(text.split()), "".join("".join(_typed(tokens)).split())
    if typed == read:
        empty = any(now.type == "link_open" and then.type == "link_close" for now, then in pairwise(tokens))
        return "[](" if empty else ""
    same = next((k for k, pair in enumerate(zip(typed, read, strict=False)) if pair[0] != pair[1]), 0)
    for piece in text.split():
        if same < len(piece):
            return piece
        same -= len(piece)
    return text.rsplit(maxsplit=1)[-1]


def _tokens(text: str) -> list[Token]:
    return _reader().parseInline(text)[0].children or []


def _typed(tokens: Sequence[Token]) -> Iterator[str]:
    """Yield what an author types for these tokens."""
    targets: list[str] = []
    for token in tokens:
        match token.type:
            case "code_inline":
                yield f"{token.markup}{token.content}{token.markup}"
            case "softbreak":
                yield "\n"
            case "hardbreak":
                yield token.markup
            case "link_open":
                targets.append(str(token.attrs["href"]))
                yield "["
            case "link_close":
                yield f"]({targets.pop()})"
            case "text_special":
                yield token.markup
            case _:
                yield token.markup or token.content


@cache
def _reader() -> MarkdownIt:
    # Imported late: most texts have no mark in them, and a text that was read before is not read again.
    from markdown_it import MarkdownIt

    reader = MarkdownIt("zero").enable(["emphasis", "backticks", "link", "escape", "newline"])
    # Text behind a backslash keeps its own token, so that what was typed can be told from it.
    reader.disable("text_join")
    reader.inline.ruler.at("emphasis", _stars)
    reader.inline.ruler.at("escape", _escape)
    reader.validateLink = lambda url: _TARGET.match(url) is not None  # type: ignore[method-assign]
    reader.normalizeLink = lambda url: url  # type: ignore[method-assign]
    return reader


def _escape(state: StateInline, silent: bool) -> bool:
    """Read a backslash before a sign of the markup, or behind a blank at the end of a line.

    Any other backslash is a sign like any other, as in the path of a file.
    """
    after = state.src[state.pos + 1 : state.pos + 2]
    if state.src[state.pos] != "\\" or not after or (after != "\n" and after not in _ESCAPED):
        return False
    if after == "\n" and state.src[state.pos - 1 : state.pos] != " ":
        return False
    if not silent:
        token = state.push("hardbreak" if after == "\n" else "text_special", "", 0)
        token.markup = f"\\{after}"
        token.content = after.strip()
    state.pos += 2
    return True


def _stars(state: StateInline, silent: bool) -> bool:
    """Read stars as delimiters of emphasis, but never inside a word, and never underscores.

    CommonMark would turn ``24*2*3`` into emphasis; a reading must stay as typed.
    """
    from markdown_it.rules_inline.state_inline import Delimiter

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
                # ``(*)`` is a mark of a footnote, and two of them are no emphasis.
                open=run.can_open and not inside_word and after not in _CLOSES,
                close=run.can_close and not inside_word and before not in _OPENS,
            )
        )
    state.pos += run.length
    return True


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
