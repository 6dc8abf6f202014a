"""The only module that knows Whoosh: it gathers postings for terms we made ourselves.

Kept to what every fork of Whoosh offers: a schema, one field type with its own analyser, storage in
memory, and a walk over the finished postings. Nothing Whoosh writes is kept.
"""

from __future__ import annotations

import warnings
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # whoosh 2.7.4 has escapes that newer Pythons warn about
    from whoosh.codec.whoosh3 import W3Codec
    from whoosh.fields import FieldType, Schema
    from whoosh.filedb.filestore import RamStorage
    from whoosh.formats import Frequency

_NO_VALUE = b""


class _Terms(FieldType):  # type: ignore[misc]
    """A field whose text is already a list of terms."""

    def __init__(self) -> None:
        self.format = Frequency()
        self.indexed = True
        self.stored = self.unique = self.scorable = self.spelling = False
        self.vector = self.column_type = self.analyzer = None
        self.multitoken_query = "default"
        self.sortable_typecode = None

    def index(self, value: Sequence[str], **_: Any) -> Iterator[tuple[bytes, int, float, bytes]]:
        for term, count in Counter(value).items():
            yield term.encode(), count, float(count), _NO_VALUE

    def clean(self) -> None:
        """Whoosh asks fields to drop caches; there are none."""


class _Memory(RamStorage):  # type: ignore[misc]
    """Storage in memory for scratch files too: Whoosh would share one folder among all processes."""

    def temp_storage(self, name: str | None = None) -> _Memory:
        del name
        return _Memory()


def gather(
    fields: Sequence[str], entries: Sequence[Mapping[str, Sequence[str]]]
) -> Iterator[tuple[str, str, list[tuple[int, float]]]]:
    """Turn entries into postings.

    Args:
        fields: Names of the fields.
        entries: For each entry the terms of its fields, repeats included.

    Yields:
        Field, term, and the entries (by position in ``entries``) with the term's count there.
    """
    # Scores and compression are ours; switched off here they cost nothing.
    index = _Memory().create_index(Schema(**{name: _Terms() for name in fields}))
    writer = index.writer(limitmb=1 << 20, codec=W3Codec(blocklimit=1024, compression=0))
    for entry in entries:
        writer.add_document(**entry)
    writer.commit(merge=False)
    with index.reader() as reader:
        for field, term in reader.all_terms():
            postings = []
            matcher = reader.postings(field, term)
            while matcher.is_active():
                postings.append((matcher.id(), matcher.weight()))
                matcher.next()
            yield field, term.decode(), postings
