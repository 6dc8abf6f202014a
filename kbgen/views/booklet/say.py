"""Small helpers that the leaves of a booklet are said with."""

from __future__ import annotations

import re
from collections.abc import Iterable

from kbgen.link.base import KnowledgeBase
from kbgen.model.entry import Entry
from kbgen.model.equipment import Equipment
from kbgen.model.head import State
from kbgen.ref import Ref
from kbgen.text import RichText, words
from kbgen.views.blocks import Goto, Line, Mark, Plain
from kbgen.views.fitting import fits_sizes

MEANING_WORDS = 40
"""So many words a meaning has at most in the booklet."""

_SENTENCE = re.compile(r"(?<=[.!?])\s+(?=[A-Z0-9`\"(])")


def page(*names: Ref | str) -> Line:
    """Return page references, and nothing else."""
    return tuple(Goto("", name) for name in names)


def said(text: str) -> Line:
    """Make a line of a short text, with the marks of the plant that are typed between back-quotes; nothing of nothing."""
    pieces = text.split("`")
    if len(pieces) % 2 == 0:
        return (Plain(text),)
    spans = (Mark(each) if number % 2 else Plain(each) for number, each in enumerate(pieces))
    return tuple(span for span in spans if span.text)


def first_sentences(text: RichText, most: int = 2) -> str:
    """Return the first sentences of a long text without markup."""
    whole = " ".join(words(text).split())
    return " ".join(_SENTENCE.split(whole)[:most])


def count_words(text: str) -> int:
    """Count the words of a text as people do.

    >>> count_words("Burner switch to OFF.")
    4
    """
    return len(text.split())


def only_on(plant: Equipment, sizes: Iterable[str]) -> str:
    """Say for which sizes something is; nothing for all of them."""
    fits = fits_sizes(plant, sizes)
    return f"only {fits.said}" if fits else ""


def printed(entry: Entry) -> bool:
    """Whether an entry stands in a booklet: approved as it stands, and not withdrawn."""
    return not entry.head.draft and entry.head.standing.state is State.SIGNED and not entry.head.withdrawn


def titled(base: KnowledgeBase, ref: Ref) -> Goto:
    """Lead to an entry under its title."""
    return Goto(base.title(ref), ref)
