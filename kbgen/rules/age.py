"""Days that have passed or not come: the one check that looks at a date, and only when it is given one."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from kbgen.compute.review import due
from kbgen.link.base import KnowledgeBase
from kbgen.model.field_note import FieldNote
from kbgen.position import Spot
from kbgen.problems import Problem
from kbgen.rule import Family

REVIEWS = Family(
    "Reviews",
    "Review of safety instructions at fixed intervals.",
    "The dates of the entry and the day of the check.",
)


def age(base: KnowledgeBase, today: date) -> Iterator[Problem]:
    """Warn about reviews that have run out by ``today``, and about days that are still to come."""
    yield from _overdue(base, today)
    for entry in base.entries.values():
        record = entry.record
        if entry.head.review is not None:
            yield from _to_come(entry.path, ("review", "on"), entry.head.review.on, today)
        if isinstance(record, FieldNote):
            yield from _to_come(entry.path, ("date",), record.date, today)


DAY_TO_COME = REVIEWS.warning(
    "day-to-come",
    "A mistyped year becomes the date of the edition, and the review never runs out.",
    'review: {by: MK, on: "2126-01-12"}',
    'review: {by: MK, on: "2026-01-12"}',
)


def _to_come(path: str, route: tuple[str, ...], day: str, today: date) -> Iterator[Problem]:
    if day > today.isoformat():
        yield DAY_TO_COME.at(
            Spot(path, route),
            f"`{day}` is still to come, and the newest day becomes the date of the edition",
            "Give the day on which it was done.",
        )


REVIEW_OVERDUE = REVIEWS.warning(
    "review-overdue",
    "Plant and codes change; a write-up nobody has read for a year may be wrong.",
    'review: {by: MK, on: "2024-01-10"}',
    'review: {by: MK, on: "2026-01-12"}',
)


def _overdue(base: KnowledgeBase, today: date) -> Iterator[Problem]:
    for entry in base.entries.values():
        note = entry.head.review
        if note is None or entry.head.draft:
            continue
        until = due(note.on, base.shop.review_months)
        if until < today.isoformat():
            yield REVIEW_OVERDUE.at(
                Spot(entry.path, ("review", "on")),
                f"the review of {note.on} held until {until}",
                "Read the entry again and give the day and the reviewer.",
            )
