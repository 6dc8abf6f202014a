"""What an outcome meant before it carried a verdict word: by ``is``, else by the author's words."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, NamedTuple

from kbgen.model.answers import doubts

YES, NO, OTHER, NOT_SURE = "yes", "no", "other", "not-sure"
READ = ("full", "none", "some")
IS_WORDS = (YES, NO, *READ, NOT_SURE, OTHER)

# Only where yes or no stands for itself: "No bubbles" may be good news.
_FIRST = re.compile(r"\W*(yes|no)\b(?=\W*$|\s*[,;:.(]|\s+(?:and|or|but)\b)", re.IGNORECASE)
_READ = {
    "some": re.compile(r"\b(?:some|something|in[ -]between|middle)\b", re.IGNORECASE),
    "none": re.compile(r"\b(?:none|nothing|zero)\b", re.IGNORECASE),
    "full": re.compile(r"\bfull\b", re.IGNORECASE),
}
_NOT_QUITE = re.compile(r"\b(?:not|never|less|under|below|almost|nearly|hardly|than)\b", re.IGNORECASE)
_PURE_DOUBT = re.compile(
    r"\W*(?:not (?:quite |really )?(?:sure|certain)|unsure|uncertain|cannot tell|can't tell|unclear|in doubt)\W*",
    re.IGNORECASE,
)
_USUAL = re.compile(
    r"(?:yes|no|full|none|nothing|zero|in[ -]between)(?:,? or not sure)?|not sure", re.IGNORECASE
)


class Meant(NamedTuple):
    """What an outcome meant.

    Attributes:
        word: ``yes``, ``no``, ``full``, ``none``, ``some`` or ``other``; empty where it cannot be told.
        doubt: Whether whoever is not sure goes this way.
    """

    word: str
    doubt: bool


def meant(outcome: Mapping[str, Any]) -> Meant:
    """Return what an outcome meant.

    >>> meant({"when": "In between or not sure"})
    Meant(word='some', doubt=True)
    >>> meant({"when": "No bubbles"}), meant({"when": "0.1 V or more", "is": "other"})
    (Meant(word='', doubt=False), Meant(word='other', doubt=False))
    """
    when, is_ = outcome.get("when") or "", outcome.get("is")
    doubt = doubts(when) or is_ == NOT_SURE
    if is_ in IS_WORDS and is_ != NOT_SURE:
        return Meant(is_, doubt)
    first = _FIRST.match(when)
    if first:
        return Meant(first.group(1).lower(), doubt)
    rest, found = when, []
    for word, pattern in _READ.items():
        if pattern.search(rest):
            found.append(word)
            rest = pattern.sub(" ", rest)
    without_doubt = re.sub(r"\bnot (?:quite |really )?(?:sure|certain)\b", " ", rest, flags=re.IGNORECASE)
    sure = len(found) == 1 and not _NOT_QUITE.search(without_doubt)
    return Meant(found[0] if sure else "", doubt)


def only_doubt(outcome: Mapping[str, Any]) -> bool:
    """Return whether an outcome says nothing but that one is not sure."""
    return _PURE_DOUBT.fullmatch(outcome.get("when") or "") is not None


def usual(outcome: Mapping[str, Any]) -> bool:
    """Return whether the words of an outcome say nothing more than a page says by itself."""
    return _USUAL.fullmatch((outcome.get("when") or "").strip()) is not None
