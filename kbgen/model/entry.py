"""All kinds of entry together, and how a document becomes one."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, replace
from typing import Any, NamedTuple

from kbgen.model.build import build
from kbgen.model.caution import Caution
from kbgen.model.circuit import Circuit
from kbgen.model.device import Device
from kbgen.model.equipment import Equipment
from kbgen.model.field_note import FieldNote
from kbgen.model.head import Acceptance, Head, Photo, Signature, Standing, Walked
from kbgen.model.mark import content_mark
from kbgen.model.plant import Machine
from kbgen.model.procedure import Procedure, said_by
from kbgen.model.symptom import Symptom
from kbgen.model.term import Term
from kbgen.ref import Kind, Ref

AnyRecord = Equipment | Circuit | Device | Symptom | Procedure | Caution | Term | Machine | FieldNote

RECORDS: dict[Kind, type[AnyRecord]] = {
    Kind.EQUIPMENT: Equipment,
    Kind.CIRCUIT: Circuit,
    Kind.DEVICE: Device,
    Kind.SYMPTOM: Symptom,
    Kind.PROCEDURE: Procedure,
    Kind.CAUTION: Caution,
    Kind.TERM: Term,
    Kind.PLANT: Machine,
    Kind.FIELD_NOTE: FieldNote,
}


Note = Callable[[str, Ref], None]
"""Is told what was asked, and of which entry."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of the knowledge base.

    Attributes:
        path: Its file, relative to the knowledge base.
        record: What it says, by kind.
        data: The same as plain data, as the export shows it.
    """

    ref: Ref
    path: str
    record: AnyRecord
    data: Mapping[str, Any]

    @property
    def head(self) -> Head:
        """What entries of every kind say."""
        return self.record.head

    @property
    def title(self) -> str:
        """Its title, as typed."""
        return self.record.head.title

    @property
    def plants(self) -> tuple[str, ...]:
        """The families of plant it is about; an equipment is about itself."""
        return plants_of(self.ref, self.record)


_HEAD = frozenset(each.name for each in fields(Head))


class Digests(NamedTuple):
    """Hashes of a file's path and of what it says as plain data: no comment, no line end is in them.

    Attributes:
        whole: Of all of it.
        body: Without what every entry has: its title, other names, review and the like.
        content: The mark of what is read and signed.
    """

    whole: bytes
    body: bytes
    content: str


def digests_of(path: str, data: Mapping[str, Any]) -> Digests:
    """Return the hashes of plain data."""
    body = {name: value for name, value in data.items() if name not in _HEAD}
    whole, rest = (hashlib.sha256(_text([path, each])).digest() for each in (data, body))
    return Digests(whole, rest, content_mark(data))


def _text(value: object) -> bytes:
    return json.dumps(value, ensure_ascii=False).encode("utf-8", "surrogatepass")


@dataclass(frozen=True, slots=True)
class Card:
    """What is asked of every entry again and again, without reading the whole of it.

    Attributes:
        date: The newest day in it, in ISO 8601; empty for none.
        circuit: The circuit it is about; empty for none.
        says: What pages that lead to a procedure ask of it; empty for other kinds.
    """

    digests: Digests
    head: Head
    plants: tuple[str, ...]
    circuit: str
    date: str
    says: Mapping[str, Any]


class KeptHead(Head):
    """A head that says what was asked of it: who asks a record for its fields does not hang on its title."""

    __slots__ = ("_head", "_note", "ref")
    ref: Ref
    _head: Head
    _note: Note

    def __init__(self, ref: Ref, head: Head, note: Note) -> None:
        put = object.__setattr__
        put(self, "ref", ref)
        put(self, "_head", head)
        put(self, "_note", note)

    def whole(self) -> Head:
        """Return all of it."""
        self._note("head", self.ref)
        return self._head

    @property
    def title(self) -> str:
        """Its title, as typed."""
        self._note("title", self.ref)
        return self._head.title

    @property
    def aliases(self) -> tuple[str, ...]:
        """Other names."""
        return self.whole().aliases

    @property
    def asked(self) -> tuple[str, ...]:
        """What was typed by who wanted it."""
        return self.whole().asked

    @property
    def status(self) -> str:
        """Whether it was approved."""
        return self.whole().status

    @property
    def review(self) -> tuple[Signature, ...]:
        """Who signed it."""
        return self.whole().review

    @property
    def withdrawn(self) -> str:
        """Why nobody may work by it."""
        return self.whole().withdrawn

    @property
    def walked(self) -> Walked | None:
        """Who did it at a plant."""
        return self.whole().walked

    @property
    def standing(self) -> Standing:
        """How it stands to what was signed."""
        return self.whole().standing

    @property
    def former_ids(self) -> tuple[str, ...]:
        """Ids it had before."""
        return self.whole().former_ids

    @property
    def photos(self) -> tuple[Photo, ...]:
        """Its pictures."""
        return self.whole().photos

    @property
    def accept(self) -> tuple[Acceptance, ...]:
        """Warnings it accepts."""
        return self.whole().accept

    def __reduce__(self) -> tuple[type[Head], tuple[object, ...]]:
        head = self.whole()
        return Head, tuple(getattr(head, each.name) for each in fields(Head))


class KeptEntry(Entry):
    """An entry that is read when somebody asks for it, and says what was asked of it.

    Args:
        card: What is known without reading it.
        read: Reads its record and its data.
        note: Is told every question, as `KnowledgeBase.answer` reads them.
    """

    __slots__ = ("_made", "_note", "_read", "card")
    card: Card
    _made: tuple[AnyRecord, Mapping[str, Any]] | None
    _note: Note
    _read: Callable[[], tuple[AnyRecord, Mapping[str, Any]]]

    def __init__(
        self,
        ref: Ref,
        path: str,
        card: Card,
        read: Callable[[], tuple[AnyRecord, Mapping[str, Any]]],
        note: Note = lambda _, __: None,
    ) -> None:
        put = object.__setattr__
        put(self, "ref", ref)
        put(self, "path", path)
        put(self, "card", card)
        put(self, "_read", read)
        put(self, "_note", note)
        put(self, "_made", None)

    def noted(self, note: Note) -> KeptEntry:
        """Return the same entry, which tells another its questions."""

        def read() -> tuple[AnyRecord, Mapping[str, Any]]:
            record, data = self._read()
            return replace(record, head=KeptHead(self.ref, self.card.head, note)), data

        return KeptEntry(self.ref, self.path, self.card, read, note)

    def whole(self) -> tuple[AnyRecord, Mapping[str, Any]]:
        """Return record and data; not noted, but what is asked of the record's head."""
        made = self._made
        if made is None:
            made = self._read()
            object.__setattr__(self, "_made", made)
        return made

    @property
    def record(self) -> AnyRecord:
        """What it says, by kind."""
        self._note("body", self.ref)
        return self.whole()[0]

    @property
    def data(self) -> Mapping[str, Any]:
        """The same as plain data."""
        self._note("entry", self.ref)
        return self.whole()[1]

    @property
    def head(self) -> Head:
        """What entries of every kind say."""
        return KeptHead(self.ref, self.card.head, self._note)

    @property
    def title(self) -> str:
        """Its title, as typed."""
        return self.head.title

    @property
    def plants(self) -> tuple[str, ...]:
        """The families of plant it is about."""
        self._note("plants", self.ref)
        return self.card.plants


def make_entry(kind: Kind, entry_id: str, path: str, data: Mapping[str, Any]) -> Entry:
    """Build an entry from data that its schema has accepted."""
    return Entry(Ref(kind, entry_id), path, build(RECORDS[kind], data), data)


def plants_of(ref: Ref, record: AnyRecord) -> tuple[str, ...]:
    """Return the families of plant an entry is about; an equipment is about itself."""
    match record:
        case Equipment():
            return (ref.id,)
        case Circuit(equipment=plant) | FieldNote(equipment=plant) | Machine(equipment=plant):
            return (plant,)
        case Device(equipment=plants) | Symptom(equipment=plants) | Procedure(equipment=plants):
            return plants
        case Caution(equipment=plants):
            return plants
        case Term():
            return ()


def make_card(entry: Entry) -> Card:
    """Return what is known of an entry without reading it again."""
    head = entry.record.head
    dates = [each.on for each in head.review]
    if isinstance(entry.record, FieldNote):
        dates.append(entry.record.date)
    elif isinstance(entry.record, Machine):
        dates.append(entry.record.as_of)
    circuit = getattr(entry.record, "circuit", "")
    digests = digests_of(entry.path, entry.data)
    says = said_by(entry.record) if isinstance(entry.record, Procedure) else {}
    return Card(digests, head, plants_of(entry.ref, entry.record), circuit, max(dates, default=""), says)
