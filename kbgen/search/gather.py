"""The only module that knows Whoosh: its field type counts the terms of an entry.

Terms are made by us, so that the browser makes the same; a keyword field takes them as they are. Whoosh's
files, its ranking and its query language are not used: what is shipped is our own export of these counts.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

Counts = dict[str, dict[str, int]]
"""For each field, how often each term stands in it."""


def count(entry: Mapping[str, Sequence[str]]) -> Counts:
    """Count the terms of each field of an entry.

    >>> count({"body": ["no", "flame", "flame"]})
    {'body': {'flame': 2, 'no': 1}}
    """
    # Imported late: where no entry changed nothing is counted.
    from whoosh.fields import KEYWORD

    field = KEYWORD()
    return {
        name: {term.decode(): frequency for term, frequency, _, _ in field.index(list(terms))}
        for name, terms in entry.items()
    }
