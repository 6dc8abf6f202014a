"""What a public host may tell: no place where the shop works, and no machine it met."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any

from kbgen.model.entry import AnyRecord, Entry, KeptEntry, digests_of
from kbgen.model.field_note import FieldNote
from kbgen.model.shop import ShopSettings
from kbgen.ref import Kind

_MACHINE = str(Kind.PLANT)


def without_places(shop: ShopSettings, entries: Iterable[Entry]) -> tuple[ShopSettings, tuple[Entry, ...]]:
    """Return the settings and entries without sites and machines; a field note no longer says at which machine it was."""
    return replace(shop, sites=()), tuple(_public(entries))


def _public(entries: Iterable[Entry]) -> Iterator[Entry]:
    for entry in entries:
        if entry.ref.kind is Kind.FIELD_NOTE:
            yield _nowhere(entry)
        elif entry.ref.kind is not Kind.PLANT:
            yield entry


def _nowhere(entry: Entry) -> Entry:
    record, data = entry.whole() if isinstance(entry, KeptEntry) else (entry.record, entry.data)
    if not isinstance(record, FieldNote) or not record.plant:
        return entry
    made: tuple[AnyRecord, Mapping[str, Any]] = (
        replace(record, plant=""),
        {name: value for name, value in data.items() if name != _MACHINE},
    )
    if not isinstance(entry, KeptEntry):
        return replace(entry, record=made[0], data=made[1])
    # What was signed stays signed: the mark is of the whole note.
    digests = digests_of(entry.path, made[1])._replace(content=entry.card.digests.content)
    return KeptEntry(entry.ref, entry.path, replace(entry.card, digests=digests), lambda: made)
