"""Days that have passed or not come: the one check that looks at a date, and only when it is given one."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from kbgen.compute.review import due
from kbgen.compute.signing import isolates
from kbgen.link.base import KnowledgeBase
from kbgen.model.field_note import FieldNote
from kbgen.model.plant import Machine
from kbgen.model.procedure import Procedure
from kbgen.position import Route, Spot
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
    yield from _unwalked(base, today)
    for entry in base.entries.values():
        record = entry.record
        for signature in entry.head.review:
            yield from _to_come(entry.path, (*signature.route, "on"), signature.on, today)
        if entry.head.walked is not None:
            yield from _to_come(entry.path, ("walked", "on"), entry.head.walked.on, today)
        if isinstance(record, FieldNote):
            yield from _to_come(entry.path, ("date",), record.date, today)
        if isinstance(record, Machine):
            yield from _to_come(entry.path, ("as_of",), record.as_of, today)


DAY_TO_COME = REVIEWS.warning(
    "day-to-come",
    "A mistyped year becomes the date of the edition, and the review never runs out.",
    'review: {by: MK, on: "2126-01-12"}',
    'review: {by: MK, on: "2026-01-12"}',
)


def _to_come(path: str, route: Route, day: str, today: date) -> Iterator[Problem]:
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
        signed = entry.head.standing.now
        if not signed:
            continue
        first = min(signed, key=lambda each: each.on)
        until = due(first.on, base.shop.review_months)
        if until < today.isoformat():
            yield REVIEW_OVERDUE.at(
                Spot(entry.path, (*first.route, "on")),
                f"the review of {first.on} held until {until}",
                f"Read the entry again and type: kbgen sign {entry.ref} --by {first.by}",
            )


WALK_OVERDUE = REVIEWS.warning(
    "walk-overdue",
    "Where the region asks for it, an isolation is watched at the plant at fixed intervals: reading is not doing.",
    'walked: {did: JT, watched: MK, plant: "1044", on: "2024-01-10"}',
    'walked: {did: JT, watched: MK, plant: "1044", on: "2026-01-12"}',
)


def _unwalked(base: KnowledgeBase, today: date) -> Iterator[Problem]:
    """Warn about signed pages that make safe and that nobody walked at a plant for longer than the shop allows."""
    months = base.shop.walk_months
    for entry, _ in base.of(Procedure) if months else ():
        if not entry.head.standing.now or not isolates(entry):
            continue
        walked = entry.head.walked
        until = due(walked.on, months) if walked else ""
        if until < today.isoformat():
            said = (
                f"it was last walked on {walked.on}, which held until {until}"
                if walked
                else "nobody has walked it"
            )
            yield WALK_OVERDUE.at(
                Spot(entry.path, ("walked", "on") if walked else ("status",)),
                f"{said}, and `walk_months` is {months}",
                "Do it at a plant while somebody watches, and write `walked: {did, watched, plant, on}`.",
            )
