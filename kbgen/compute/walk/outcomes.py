"""Whether the outcomes of a question leave nothing out."""

from __future__ import annotations

import re
from collections.abc import Sequence

from kbgen.model.answers import Answer
from kbgen.model.verdicts import Verdicts

_WORDS = {
    "Yes": re.compile(r"^\W*yes\b", re.IGNORECASE),
    "No": re.compile(r"^\W*no\b(?!\s+longer)", re.IGNORECASE),
}
_REST = re.compile(r"\b(?:anything|something|everything)\s+else\b|\botherwise\b", re.IGNORECASE)
"""Words of an outcome that takes in whatever the others leave."""


def missing(asked: Sequence[Answer], verdicts: Verdicts | None) -> list[str]:
    """Return what a question still needs before every outcome leads somewhere.

    Args:
        asked: Its answers.
        verdicts: The verdict words it is answered with; ``None`` where no answer means anything.

    Returns:
        Verdict words, or ``Yes``, ``No`` and ``Not sure`` as an author writes them.
    """
    given = {answer.verdict for answer in asked} - {""}
    needed = [] if any(answer.doubt or _REST.search(answer.when) for answer in asked) else ["Not sure"]
    if verdicts is not None and (given or verdicts.must):
        if not all(answer.verdict in verdicts.words for answer in asked):
            return []  # what such an outcome means is asked first
        return [word for word in verdicts.needed if word not in given] or needed
    said = [next((word for word, is_ in _WORDS.items() if is_.search(answer.when)), "") for answer in asked]
    plain = [word for word, answer in zip(said, asked, strict=True) if not answer.doubt or word]
    if any(plain) and all(plain):
        needed += [word for word in _WORDS if word not in said]
    return needed
