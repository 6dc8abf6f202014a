"""Verdict words: what the answer to a step's question means to the check.

A proof counts only by its verdict word. The word is the key that leads on (``dead: ohms``), in place of
``go``; no word is a boolean of YAML or a field of any action, which a test holds.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Verdicts:
    """The verdict words that answer a step, from the one that passes to the one that takes doubt.

    Attributes:
        words: The first passes; whoever is not sure is led by the last, unless ``doubt`` names another.
        must: Whether the step proves something, so that each of its outcomes carries one of the words.
        doubt: The word that takes doubt.
        optional: Words that may be left out.
        reads: Whether it is a reading, whose question is answered by the meter.
    """

    words: tuple[str, ...]
    must: bool = True
    doubt: str = ""
    optional: tuple[str, ...] = ()
    reads: bool = False

    @property
    def passing(self) -> str:
        """The word that says it is proved."""
        return self.words[0]

    @property
    def doubtful(self) -> str:
        """The word that whoever is not sure follows."""
        return self.doubt or self.words[-1]

    @property
    def needed(self) -> tuple[str, ...]:
        """The words that must lead somewhere."""
        return tuple(word for word in self.words if word not in self.optional)


SAME = Verdicts(("same", "different"))
DEAD = Verdicts(("dead", "live"))
AWAY = Verdicts(("gone", "still-there"))
TIGHT = Verdicts(("tight", "leaks"))
TRIPPED = Verdicts(("tripped", "not-tripped"))
CAUSE = Verdicts(("cause-mended", "cause-left", "not-found"), optional=("cause-left",))
SEEN = Verdicts(("seen", "not-seen"))
MAYBE_SEEN = Verdicts(("seen", "not-seen"), must=False)
REAL = Verdicts(("real", "faulty"), doubt="real")
VOLTS = Verdicts(("full", "none", "some"), reads=True)
WATCHED = Verdicts(("full", "none", "some"), must=False, reads=True)
GONE = Verdicts(("no-pressure", "pressure-left"), must=False)
WITHIN = Verdicts(("within", "outside"), must=False)
AGREES = Verdicts(("within", "outside"))

ALL = (SAME, DEAD, AWAY, TIGHT, TRIPPED, CAUSE, SEEN, REAL, VOLTS, GONE, WITHIN)
WORDS: tuple[str, ...] = tuple(dict.fromkeys(word for row in ALL for word in row.words))
"""Every verdict word, in the order of the rows."""
