"""Small parts of sentences that routines put together."""

from __future__ import annotations

import re
from dataclasses import replace

from kbgen.model.handling import Deed

_NAMED = re.compile(r"(?:`|[A-Z]\w*\d|[a-z]+ `)")


def the(name: str) -> str:
    """Put the article before a thing that is not named by its mark.

    >>> the("burner cock"), the("isolator `Q2`"), the("Panel door")
    ('the burner cock', 'isolator `Q2`', 'the panel door')
    """
    if _NAMED.match(name) or name.startswith("the "):
        return name
    return f"the {lower(name)}"


def lower(name: str) -> str:
    """Return a title as it stands inside a sentence.

    >>> lower("Panel door"), lower("CO alarm")
    ('panel door', 'CO alarm')
    """
    return name if name[1:2].isupper() else name[:1].lower() + name[1:]


def if_so(condition: str, words: Deed) -> Deed:
    """Put a condition before an instruction."""
    return replace(words, do=f"{condition}: {lower(words.do)}")
