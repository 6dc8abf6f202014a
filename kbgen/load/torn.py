"""Items of a list in brackets that were one text: a comma inside quotes or brackets has torn them."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise
from typing import Any

from kbgen.load.fault import FILES, Fault

TORN_ITEM = FILES.error(
    "torn-item",
    "A comma ends an item of a list in brackets, also inside curly quotes: one text becomes two.",
    "aliases: [float “first, low”, cutoff]",
    'aliases: ["float “first, low”", cutoff]',
)
_CURLY = re.compile("[“”„‟«»＂]")
_SINGLE_OPENS = re.compile(r"(?:^|\s)[‘‚](?![^’]*’)")
_DOUBLE_OPENS = re.compile(r'(?:^|\s)"(?!.*")')
_BEFORE_COMMA, _AFTER_COMMA = (
    re.compile(r"(?:.*\s)?[0-9]{1,3}"),
    re.compile(r"[0-9]{3}(?![0-9])|[0-9]+\s*[^\s0-9]"),
)
# What no item of a list begins with, and what only a list of small beginnings may hold.
_JOINS = re.compile(r"(?:and|or|but|nor|und|oder|ou)\s\S")
_GOES_ON = re.compile(
    r"(?:which|because|then|for|with|without|of|from|in|on|at|by|to|until|unless|if|when|while|that)\s\S"
)
_RANGE = re.compile(r"[0-9][0-9.]*\s?(?:to|–|-)\s?[0-9][0-9.]*\s?[^\W\d_°%]{0,3}[°%]?[^\W\d_]{0,3}")
_SEMICOLON = re.compile(r"\S;\s+\S")
# What is open at the end of an item, and what is closed in a later one though it never opened there.
_PAIRS: tuple[tuple[str, Callable[[str], bool], Callable[[str], bool]], ...] = (
    (
        "a bracket",
        lambda text: text.count("(") > text.count(")"),
        lambda text: text.count(")") > text.count("("),
    ),
    (
        "a quote",
        lambda text: len(_CURLY.findall(text)) % 2 == 1,
        lambda text: len(_CURLY.findall(text)) % 2 == 1,
    ),
    ("a quote", lambda text: bool(_SINGLE_OPENS.search(text)), lambda text: "’" in text and "‘" not in text),
    ("a quote", lambda text: bool(_DOUBLE_OPENS.search(text)), lambda text: text.count('"') % 2 == 1),
)


def torn_items(items: Sequence[Any], starts: Sequence[int], source: str) -> Iterator[Fault]:
    """Report items that belong together.

    Args:
        items: The values of the list.
        starts: Where each starts in the text.
        source: The text of the file.
    """
    hint = 'Put straight quotes (") around the whole item; to part two items, type a blank behind the comma.'
    for what, opens, closes in _PAIRS:
        for index, item in enumerate(items):
            plain = isinstance(item, str) and source[starts[index]] not in "\"'"
            if (
                plain
                and opens(item)
                and any(isinstance(each, str) and closes(each) for each in items[index + 1 :])
            ):
                message = f"the comma behind `{item}` ends an item inside {what}"
                yield Fault(TORN_ITEM, starts[index], message, hint)
                return
    yield from _glued_or_cut(items, starts, source)
    for (first, start), (second, after) in pairwise(zip(items, starts, strict=True)):
        if (
            isinstance(first, str)
            and isinstance(second, str)
            and source[after - 1] == ","
            and source[start] not in "\"'"
            and _BEFORE_COMMA.fullmatch(first)
            and _AFTER_COMMA.match(second)
        ):
            message = f"`{first},{second}` is two items here, or one number with a comma in it"
            yield Fault(TORN_ITEM, start, message, hint)
            return


def _glued_or_cut(items: Sequence[Any], starts: Sequence[int], source: str) -> Iterator[Fault]:
    """Report the first item that goes on with the one before it, or that holds several."""
    plain = [
        (item, start)
        for item, start in zip(items, starts, strict=True)
        if isinstance(item, str) and source[start] not in "\"'"
    ]
    capitals = bool(plain) and plain[0][0][0].isupper()
    before = ""
    for item, start in plain:
        goes_on = _JOINS.match(item) or (capitals and _GOES_ON.match(item))
        ranged = before[:1].isalpha() and _RANGE.fullmatch(item)
        before = item
        if _SEMICOLON.search(item):
            message = f"the semicolon in `{item}` parts no items; it would be one text"
            hint = 'Type commas between items; if it is one text, put straight quotes (") around it.'
            yield Fault(TORN_ITEM, start, message, hint)
            return
        if start != starts[0] and (goes_on or ranged):
            message = f"the comma before `{item}` begins a new item, and the item before it ends there"
            hint = (
                'Put straight quotes (") around the whole text; if it is an item of its own, around this one.'
            )
            yield Fault(TORN_ITEM, start, message, hint)
            return
