"""Pages to be held against each other, with nothing on them but what a test is about."""

from __future__ import annotations

from typing import Any

from kbgen.review.said import PageSaid

_NOTHING: dict[str, Any] = {
    name: {}
    for name in "deeds targets facts ways asked pairs named cautions lines shown needs brought finds leaves".split()
}


def page(**said: Any) -> PageSaid:
    """Return a page that says what is given and nothing else."""
    return PageSaid(**{**_NOTHING, "off": (), "on": (), "fuel": frozenset(), "whole": True, **said})


EMPTY = page()
