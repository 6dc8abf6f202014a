"""Small parts of sentences that routines put together."""

from __future__ import annotations

import re
from dataclasses import replace

from kbgen.model.handling import Deed

_MARK = re.compile(r"\b[A-Z]+[0-9][A-Z0-9:]*\b")


def the(name: str) -> str:
    """Return a thing as it stands in a sentence: its mark as code, an article where it has none.

    >>> the("burner cock"), the("isolator Q2"), the("Panel door")
    ('the burner cock', 'isolator `Q2`', 'the panel door')
    """
    if _MARK.search(name):
        return _MARK.sub(r"`\g<0>`", name)
    return name if name.startswith("the ") else f"the {lower(name)}"


def listed(names: list[str]) -> str:
    """Return names as one part of a sentence.

    >>> listed(["Q1", "Q2", "the cock"])
    'Q1, Q2 and the cock'
    """
    return " and ".join([", ".join(names[:-1]), names[-1]]) if len(names) > 1 else names[0]


def lower(name: str) -> str:
    """Return a title as it stands inside a sentence.

    >>> lower("Panel door"), lower("CO alarm")
    ('panel door', 'CO alarm')
    """
    return name if name[1:2].isupper() else name[:1].lower() + name[1:]


def if_so(condition: str, words: Deed) -> Deed:
    """Put a condition before an instruction."""
    return replace(words, do=f"{condition}: {lower(words.do)}")
