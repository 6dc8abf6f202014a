"""When an entry is due for review."""

from __future__ import annotations

import calendar
from datetime import date


def due(reviewed_on: str, months: int) -> str:
    """Return the day a review runs out, as ISO 8601 text.

    Args:
        reviewed_on: Day of the review, ISO 8601.
        months: How long a review holds. The last day of a shorter month stands in for a day it
            does not have: a month after 31 January is 28 February.
    """
    start = date.fromisoformat(reviewed_on)
    index = start.year * 12 + start.month - 1 + months
    year, month = index // 12, index % 12 + 1
    day = min(start.day, calendar.monthrange(year, month)[1])
    return date(year, month, day).isoformat()
