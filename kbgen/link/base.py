"""The linked knowledge base: one immutable value that every later stage reads."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import groupby
from typing import TypeVar

from kbgen.model.circuit import Circuit
from kbgen.model.device import Device
from kbgen.model.entry import AnyRecord, Entry
from kbgen.model.equipment import Equipment
from kbgen.model.procedure import Procedure
from kbgen.model.shop import ShopSettings
from kbgen.ref import Kind, Ref

T = TypeVar("T", bound=AnyRecord)


@dataclass(frozen=True, slots=True)
class KnowledgeBase:
    """A shop's entries, checked and linked.

    Attributes:
        entries: By reference, in the order of kinds, then ids.
        backlinks: For each entry, the entries that name it, sorted; entries nobody names are absent.
        photos: Names of the files in ``photos/``.
    """

    shop: ShopSettings
    entries: Mapping[Ref, Entry]
    backlinks: Mapping[Ref, tuple[Ref, ...]]
    photos: frozenset[str] = frozenset()
    _by_record: Mapping[type, tuple[Entry, ...]] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Sort the entries by kind once: pages ask for all circuits or notes again and again."""
        by_record: defaultdict[type, tuple[Entry, ...]] = defaultdict(tuple)
        for record, entries in groupby(self.entries.values(), key=lambda entry: type(entry.record)):
            by_record[record] += tuple(entries)
        object.__setattr__(self, "_by_record", dict(by_record))

    def of(self, record: type[T]) -> Iterator[tuple[Entry, T]]:
        """Yield the entries of one kind with their typed record, in order of id."""
        for entry in self._by_record.get(record, ()):
            if isinstance(entry.record, record):
                yield entry, entry.record

    def equipment(self, entry_id: str) -> Equipment | None:
        """Return a family of plant by its id."""
        return self._find(Kind.EQUIPMENT, entry_id, Equipment)

    def circuit(self, entry_id: str) -> Circuit | None:
        """Return a circuit by its id."""
        return self._find(Kind.CIRCUIT, entry_id, Circuit)

    def device(self, entry_id: str) -> Device | None:
        """Return a device by its id."""
        return self._find(Kind.DEVICE, entry_id, Device)

    def procedure(self, entry_id: str) -> Procedure | None:
        """Return a procedure by its id."""
        return self._find(Kind.PROCEDURE, entry_id, Procedure)

    def title(self, ref: Ref) -> str:
        """Return an entry's title, or its id where it is missing."""
        entry = self.entries.get(ref)
        return entry.title if entry else ref.id

    def _find(self, kind: Kind, entry_id: str, record: type[T]) -> T | None:
        entry = self.entries.get(Ref(kind, entry_id))
        return entry.record if entry is not None and isinstance(entry.record, record) else None
