"""Reviews that have run out: the one check that looks at a date, and only when it is given one."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from kbgen.compute.review import due
from kbgen.link.base import KnowledgeBase
from kbgen.position import Spot
from kbgen.problems import Problem, warning


def overdue_reviews(base: KnowledgeBase, today: date) -> Iterator[Problem]:
    """Warn about approved entries whose review has run out by ``today``."""
    for entry in base.entries.values():
        note = entry.record.head.review
        if note is None or entry.record.head.draft:
            continue
        until = due(note.on, base.shop.review_months)
        if until < today.isoformat():
            yield warning(
                "review-overdue",
                Spot(entry.path, ("review", "on")),
                f"the review of {note.on} held until {until}",
                "Read the entry again and give the day and the reviewer.",
            )
