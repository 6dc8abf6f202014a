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
        needs: A cheap pattern without which the other is nowhere in a text: most texts have none of it.
    """

    rule: Rule
    what: str
    hint: str
    pattern: re.Pattern[str]
    needs: re.Pattern[str] | None = None

    def search(self, text: str) -> re.Match[str] | None:
        """Return the first place in a text that looks like it."""
        return self.pattern.search(text) if self.needs is None or self.needs.search(text) else None
