"""Which edition this is: what the knowledge base says, what the program makes of it, and the newest date.

None of them depends on the machine or on today: the same content and program make the same edition everywhere.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterable, Mapping
from datetime import UTC, datetime
from typing import NamedTuple

from kbgen.program import program_files

_LENGTH = 20
_NO_DATE = "1980-01-01"


class Edition(NamedTuple):
    """Which state of the knowledge base this is: a content hash and a date (ISO 8601)."""

    id: str
    date: str


def make_edition(said: Iterable[bytes], pictures: Mapping[str, bytes], dates: Iterable[str]) -> Edition:
    """Name an edition.

    The id is a hash of what was compiled and of the program that makes pages, sheets and data of it, the same
    on every machine: of the data as read, so that line ends and comments make no new edition, and of every
    file the program ships with, so that a page mended in its template does. The date is
    ``SOURCE_DATE_EPOCH`` where it is set, else the newest review or job in the knowledge base.

    Args:
        said: Hashes of what the files say, in their order.
        pictures: Hashes of the pictures by their name.
        dates: Days in ISO 8601.
    """
    digest = hashlib.sha256(program_files())
    for each in said:
        digest.update(each)
    for name, content in sorted(pictures.items()):
        digest.update(hashlib.sha256(name.encode("utf-8", "surrogatepass")).digest() + content)
    epoch = os.environ.get("SOURCE_DATE_EPOCH", "")
    if epoch.isdigit():
        date = datetime.fromtimestamp(int(epoch), UTC).date().isoformat()
    else:
        date = max(dates, default=_NO_DATE) or _NO_DATE
    return Edition(digest.hexdigest()[:_LENGTH], date)
