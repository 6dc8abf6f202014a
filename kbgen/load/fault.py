"""A fault in the text of one file, before it becomes a problem of the knowledge base."""

from __future__ import annotations

from typing import NamedTuple

DEEPEST = 30
"""Levels of lists and maps inside each other; no entry needs a third of them."""

TOO_DEEP = (f"the entry is nested more than {DEEPEST} levels deep", "Quote the value if it is text.")


class Fault(NamedTuple):
    """One thing wrong with the text.

    Attributes:
        rule: Stable name of the rule.
        offset: Where, in code points.
        message: What is wrong.
        hint: What to type instead.
        earlier: Offset of an earlier place that explains it, or ``None``.
        earlier_message: What is there.
    """

    rule: str
    offset: int
    message: str
    hint: str
    earlier: int | None = None
    earlier_message: str = ""
