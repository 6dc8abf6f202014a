"""Which edition this is: what the knowledge base says, and its newest date.

Neither depends on the machine or on today: the same content makes the same edition everywhere.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import NamedTuple

from kbgen.link.base import KnowledgeBase
from kbgen.load import Document
from kbgen.model.field_note import FieldNote

_NO_DATE = "1980-01-01"


class Edition(NamedTuple):
    """Which state of the knowledge base this is: a content hash and a date (ISO 8601)."""

    id: str
    date: str


def make_edition(base: KnowledgeBase, documents: Iterable[Document], photos: Sequence[Path]) -> Edition:
    """Name an edition.

    The id is taken from the data as read, not from the files: line ends, comments and trailing
    blanks do not make a new edition. The date is ``SOURCE_DATE_EPOCH`` where it is set, else the
    newest review or job in the knowledge base.
    """
    digest = hashlib.sha256()
    for document in documents:
        digest.update(json.dumps([document.path, document.data], ensure_ascii=False, sort_keys=True).encode())
    for photo in photos:
        digest.update(photo.name.encode())
        digest.update(photo.read_bytes())
    return Edition(digest.hexdigest()[:8], _date(base))


def _date(base: KnowledgeBase) -> str:
    epoch = os.environ.get("SOURCE_DATE_EPOCH", "")
    if epoch.isdigit():
        return datetime.fromtimestamp(int(epoch), UTC).date().isoformat()
    dates = [_NO_DATE]
    for entry in base.entries.values():
        if entry.record.head.review is not None:
            dates.append(entry.record.head.review.on)
        if isinstance(entry.record, FieldNote):
            dates.append(entry.record.date)
    return max(dates)
