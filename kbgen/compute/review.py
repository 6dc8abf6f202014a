"""When an entry is due for review."""

from __future__ import annotations

from kbgen.every import months_after


def due(reviewed_on: str, months: int) -> str:
    """Return the day a review runs out, as ISO 8601 text.

    Args:
        reviewed_on: Day of the review, ISO 8601.
        months: How long a review holds.
    """
    return months_after(reviewed_on, months)
