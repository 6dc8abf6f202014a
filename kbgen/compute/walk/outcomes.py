"""What an outcome of a question means: taken from ``is``, else from the author's words."""

from __future__ import annotations

import re
from collections.abc import Iterable

from kbgen.model.procedure import Outcome

YES, NO, FULL, NONE, SOME, NOT_SURE, OTHER = "yes", "no", "full", "none", "some", "not-sure", "other"

_WORDS: tuple[tuple[str, str], ...] = (
    (NOT_SURE, r"not\s+(?:quite\s+)?sure|unsure|cannot\s+tell|can't\s+tell|unclear"),
    (SOME, r"some(?:thing)?|in\s+between|in-between|middle"),
    (NONE, r"none|nothing|zero"),
    (FULL, r"full"),
    (YES, r"yes"),
    (NO, r"no"),
)
_PATTERNS = [(meaning, re.compile(rf"\b(?:{words})\b", re.IGNORECASE)) for meaning, words in _WORDS]

_REST = re.compile(r"\b(?:anything|something|everything)\s+else\b|\botherwise\b", re.IGNORECASE)
"""Words of an outcome that takes in whatever the others leave."""


def meanings(outcome: Outcome) -> frozenset[str]:
    """Return what an outcome means; several where its words join them ("in between or not sure").

    >>> sorted(meanings(Outcome("In between or not sure", "repeat")))
    ['not-sure', 'some']
    """
    if outcome.is_:
        found = {outcome.is_}
        # "Anything else, or not sure" is one outcome with two meanings, whatever it is for the check.
        if _PATTERNS[0][1].search(outcome.when):
            found.add(NOT_SURE)
        return frozenset(found)
    # Leading words decide: "Yes, and nothing else moved" is a yes.
    rest = outcome.when
    found = set()
    for meaning, pattern in _PATTERNS:
        if pattern.search(rest):
            found.add(meaning)
            rest = pattern.sub(" ", rest)
    if len(found) > 1:
        first = re.match(r"\W*(yes|no)\b", outcome.when, re.IGNORECASE)
        if first:
            return frozenset({first.group(1).lower()} | ({NOT_SURE} & found))
    return frozenset(found)


def missing(outcomes: Iterable[Outcome], *, reading: bool) -> list[str]:
    """Return the meanings that a question still needs before every outcome leads somewhere.

    Args:
        outcomes: The outcomes listed.
        reading: Whether the question asks for a voltage, which can be full, none or in between.
    """
    given: set[str] = set()
    rest = False
    for outcome in outcomes:
        given |= meanings(outcome)
        rest = rest or _REST.search(outcome.when) is not None
    needed = [] if rest else [NOT_SURE]
    if OTHER in given:
        return [each for each in needed if each not in given]
    if given & {YES, NO}:
        needed += [YES, NO]
    elif FULL in given or SOME in given or (reading and NONE in given):
        needed += [FULL, NONE, SOME]
    return [each for each in needed if each not in given]
