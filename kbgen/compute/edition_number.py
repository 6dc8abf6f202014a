"""The number of an edition: a tablet goes to a higher one by itself and to a lower one never."""

from __future__ import annotations

import os
from datetime import UTC, date, datetime, time

from kbgen.compute.edition import Edition


def edition_number(edition: Edition) -> int:
    """Return the seconds of ``SOURCE_DATE_EPOCH``; without it those of the edition's day, which is the newest one.

    Two states of one day have the same number when nobody sets it. They are then told apart by their mark only,
    and which of them is newer a person has to say.
    """
    epoch = os.environ.get("SOURCE_DATE_EPOCH", "")
    if epoch.isdigit():
        return int(epoch)
    return int(datetime.combine(date.fromisoformat(edition.date), time(), UTC).timestamp())
