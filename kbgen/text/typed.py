"""Long text as an author would type it: for what one entry says in its own words and another page repeats."""

from __future__ import annotations

import re
from collections.abc import Iterable

from kbgen.text.tree import Break, Code, Emphasis, Inline, Link, Listing, RichText, Strong, TextBlock, Words

_SIGNS = re.compile(r"[*`\[\]]")


def typed(text: RichText) -> str:
    r"""Return what is read as this text again.

    >>> from kbgen.text.blocks import read
    >>> typed(read("1. Look at `Y1`.\n2. **Gas: leave.**"))
    '1. Look at `Y1`.\n2. **Gas: leave.**'
    """
    return "\n\n".join(_block(block) for block in text)


def _block(block: TextBlock) -> str:
    if not isinstance(block, Listing):
        return _line(block.children)
    lines = []
    for number, item in enumerate(block.items, block.start):
        mark = f"{number}." if block.ordered else "-"
        inner = typed(item).replace("\n", "\n" + " " * (len(mark) + 1))
        lines.append(f"{mark} {inner}")
    return "\n".join(lines)


def _line(children: Iterable[Inline]) -> str:
    out = ""
    for child in children:
        # Two blanks at a line's end are taken away as it is read; one before a backslash stays.
        out += ("\\\n" if out.endswith(" ") else "  \n") if isinstance(child, Break) else _inline(child)
    return out


def _inline(inline: Inline) -> str:
    match inline:
        case Words(text):
            return _SIGNS.sub(r"\\\g<0>", text)
        case Code(text):
            return f"`{text}`"
        case Strong(children):
            return f"**{_line(children)}**"
        case Emphasis(children):
            return f"*{_line(children)}*"
        case Link(children, target):
            return f"[{_line(children)}]({target.kind}:{target.id})"
        case Break():
            return "\n"
