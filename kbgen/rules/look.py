"""One thing that a rule looks for in texts by a pattern."""

from __future__ import annotations

import re
from typing import NamedTuple

from kbgen.rule import Rule


class Look(NamedTuple):
    """What is looked for.

    Attributes:
        what: What was found, in the message.
        hint: What to type instead.
    """

    rule: Rule
    what: str
    hint: str
    pattern: re.Pattern[str]
