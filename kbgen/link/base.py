"""The linked knowledge base: one immutable value that every later stage reads.

It is the only door to what the folder says, and it can note what is asked through it. What a stage makes of the
same answers is the same; so a value is kept under the questions that were asked for it and their answers
(`kbgen.link.kept`), and nobody has to list by hand what a page or a walk hangs on.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, ItemsView, Iterable, Iterator, KeysView, Mapping, ValuesView
from contextlib import contextmanager
from itertools import groupby
from typing import Any, TypeVar

from kbgen.link.called import Names, meant, names_of
from kbgen.model.circuit import Circuit
from kbgen.model.device import Device
from kbgen.model.entry import RECORDS, AnyRecord, Card, Entry, KeptEntry
from kbgen.model.equipment import Equipment
from kbgen.model.head import Head
from kbgen.model.procedure import PageSays, Procedure
from kbgen.model.shop import KeptShop, ShopSettings
from kbgen.ref import Kind, Ref

T = TypeVar("T", bound=AnyRecord)
V = TypeVar("V")

NO_PLANT = "-"
"""Stands for a family of plant where what is about none in particular is meant."""
_KINDS: dict[type, Kind] = {record: kind for kind, record in RECORDS.items()}


class Noted(Mapping[Ref, V]):
    """A mapping that tells what was asked of it, by name and by reference.

    ``which`` stands for every reference, ``all`` for the whole.
    """

    def __init__(self, inner: Mapping[Ref, V], note: Callable[[str, object], None], what: str) -> None:
        self._inner = inner
        self._note = note
        self._what = what

    def __getitem__(self, key: Ref) -> V:
        self._ask(key)
        return self._inner[key]

    def get(self, key: Ref, default: Any = None) -> Any:
        """Return what lies under a reference."""
        self._ask(key)
        return self._inner.get(key, default)

    def __contains__(self, key: object) -> bool:
        self._ask(key)
        return key in self._inner

    def _ask(self, key: object) -> None:
        # Nothing else than a reference ever lies here.
        if isinstance(key, Ref):
            self._note(self._what, key)

    def __iter__(self) -> Iterator[Ref]:
        self._note(self._what, "which")
        return iter(self._inner)

    def __len__(self) -> int:
        self._note(self._what, "which")
        return len(self._inner)

    def keys(self) -> KeysView[Ref]:
        """Return all references."""
        self._note(self._what, "which")
        return self._inner.keys()

    def values(self) -> ValuesView[V]:
        """Return all values."""
        self._note(self._what, "all")
        return self._inner.values()

    def items(self) -> ItemsView[Ref, V]:
        """Return all pairs."""
        self._note(self._what, "all")
        return self._inner.items()


class KnowledgeBase:
    """A shop's entries, checked and linked.

    Args:
        shop: The shop's settings.
        entries: By reference, in the order of kinds, then ids.
        backlinks: For each entry, the entries that name it, sorted; entries nobody names are absent.
        photos: Names of the files in ``photos/``.
        settings: The shop's settings as plain data.
    """

    def __init__(
        self,
        shop: ShopSettings,
        entries: Mapping[Ref, Entry],
        backlinks: Mapping[Ref, tuple[Ref, ...]],
        photos: frozenset[str] = frozenset(),
        settings: Mapping[str, Any] | None = None,
    ) -> None:
        self._shop = shop
        self._settings = settings or {}
        self._photos = photos
        self.made: dict[tuple[str, ...], tuple[list[str], Any]] = {}
        self._answers: dict[str, bytes] = {}
        self._called: dict[tuple[str, ...], Names] = {}
        self._asked: list[set[tuple[str, object]]] = []
        self._all = {
            ref: entry.noted(self.note) if isinstance(entry, KeptEntry) else entry
            for ref, entry in entries.items()
        }
        self._named_by = backlinks
        self._of = {
            kind: tuple(entry for _, entry in found)
            for kind, found in groupby(self._all.items(), key=lambda each: each[0].kind)
        }
        self.entries: Mapping[Ref, Entry] = Noted(self._all, self.note, "exists")
        self.backlinks: Mapping[Ref, tuple[Ref, ...]] = Noted(backlinks, self.note, "named")

    @property
    def shop(self) -> ShopSettings:
        """The shop's settings."""
        return KeptShop(self._shop, lambda name: self.note("shop", name))

    @property
    def settings(self) -> Mapping[str, Any]:
        """The shop's settings as plain data; empty where they are broken."""
        self.note("settings", "")
        return self._settings

    @property
    def photos(self) -> frozenset[str]:
        """Names of the files in ``photos/``."""
        self.note("photos", "")
        return self._photos

    def of(self, record: type[T], *, plant: str = "", circuit: str = "") -> Iterator[tuple[Entry, T]]:
        """Yield the entries of one kind with their typed record, in order of id.

        Args:
            plant: Only those about this family of plant; ``NO_PLANT`` for those about none in particular.
            circuit: Only those about this circuit.
        """
        kind = _KINDS[record]
        self.note("of", (str(kind), plant, circuit))
        for entry in self._about(kind, plant, circuit):
            found = _record(entry)
            if isinstance(found, record):
                yield entry, found

    def of_plants(self, record: type[T], plants: Iterable[str]) -> list[tuple[Entry, T]]:
        """Return the entries of one kind about any of some families of plant, in order of id.

        What is made of them is not made anew for another plant's: whoever looks through all asks for all.
        """
        found = {
            entry.ref.id: (entry, each) for plant in plants for entry, each in self.of(record, plant=plant)
        }
        return [found[entry_id] for entry_id in sorted(found)]

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

    def page_says(self, entry_id: str, what: PageSays) -> Any | None:
        """Return one thing that a procedure says; ``None`` where there is no such procedure.

        Who asks hangs on nothing else of that page.
        """
        self.note("says", (entry_id, what))
        return self._page_says(entry_id, what)

    def _page_says(self, entry_id: str, what: str) -> Any | None:
        entry = self._all.get(Ref(Kind.PROCEDURE, entry_id))
        if isinstance(entry, KeptEntry):
            return entry.card.says.get(what)
        record = entry.record if entry is not None else None
        return getattr(record, what) if isinstance(record, Procedure) else None

    def meant(self, words: str, plants: tuple[str, ...]) -> frozenset[str]:
        """Return the devices of some families of plant that words name, of those with a job check of their own.

        The words are the question and the devices its answer: who asks hangs on no device's title.
        """
        self.note("meant", (words, *plants))
        return self._meant(words, plants)

    def _meant(self, words: str, plants: tuple[str, ...]) -> frozenset[str]:
        if plants not in self._called:
            devices = (
                (entry.ref.id, _head(entry), record)
                for entry in self._of.get(Kind.DEVICE, ())
                if isinstance(record := _record(entry), Device)
            )
            self._called[plants] = names_of(devices, plants)
        return meant(words, self._called[plants])

    def _find(self, kind: Kind, entry_id: str, record: type[T]) -> T | None:
        entry = self.entries.get(Ref(kind, entry_id))
        return entry.record if entry is not None and isinstance(entry.record, record) else None

    def _about(self, kind: Kind, plant: str, circuit: str) -> Iterator[Entry]:
        for entry in self._of.get(kind, ()):
            theirs = _plants(entry) if plant else ()
            if plant and plant not in (theirs or (NO_PLANT,)):
                continue
            if not circuit or _circuit(entry) == circuit:
                yield entry

    # What is asked, and what is answered.

    def note(self, what: str, of: object) -> None:
        """Note a question."""
        if self._asked:
            self._asked[-1].add((what, of))

    def note_again(self, questions: Iterable[str]) -> None:
        """Note questions that were written before."""
        if self._asked:
            self._asked[-1].update((what, of) for what, _, of in (each.partition(" ") for each in questions))

    @contextmanager
    def listening(self) -> Iterator[set[tuple[str, object]]]:
        """Give the questions asked within; who asks for the whole has asked them too."""
        asked: set[tuple[str, object]] = set()
        self._asked.append(asked)
        try:
            yield asked
        finally:
            self._asked.pop()
            if self._asked:
                self._asked[-1] |= asked

    def answer(self, question: str) -> bytes:
        """Return a hash of the answer to a question as `written` writes it.

        Raises:
            ValueError: There is no such question.
        """
        known = self._answers.get(question)
        if known is None:
            what, _, of = question.partition(" ")
            known = hashlib.sha256(self._answer(what, of)).digest()[:16]
            self._answers[question] = known
        return known

    def _answer(self, what: str, of: str) -> bytes:
        match what, of:
            case "shop", _:
                return _bytes(getattr(self._shop, of))
            case "settings", _:
                return _bytes(self._settings)
            case "photos", _:
                return _bytes(sorted(self._photos))
            case "exists", "all" | "which":
                return _bytes([(str(ref), entry.path) for ref, entry in self._all.items()])
            case "named", "which":
                return _bytes(sorted(map(str, self._named_by)))
            case "named", "all":
                return _bytes(sorted((str(ref), tuple(map(str, by))) for ref, by in self._named_by.items()))
            case "of", _:
                kind, plant, circuit = json.loads(of)
                return b"".join(
                    _card(entry).digests.body for entry in self._about(Kind(kind), plant, circuit)
                )
            case "says", _:
                return _bytes(self._page_says(*json.loads(of)))
            case "meant", _:
                words, *plants = json.loads(of)
                return _bytes(sorted(self._meant(words, tuple(plants))))
        kind, _, entry_id = of.partition(":")
        if kind not in Kind.__members__.values():
            return b""
        ref = Ref(Kind(kind), entry_id)
        if what == "named":
            return " ".join(map(str, self._named_by.get(ref, ()))).encode()
        entry = self._all.get(ref)
        if entry is None:
            return b""
        match what:
            case "exists":
                return _bytes(entry.path)
            case "entry":
                return _card(entry).digests.whole
            case "body":
                return _card(entry).digests.body
            case "head":
                return _bytes(_card(entry).head)
            case "title":
                return _bytes(_card(entry).head.title)
            case "plants":
                return _bytes(_card(entry).plants)
        raise ValueError(f"{what} is no question")


def written(what: str, of: object) -> str:
    """Write a noted question as text."""
    return f"{what} {json.dumps(of) if isinstance(of, tuple) else of}"


def _bytes(value: object) -> bytes:
    return repr(value).encode("utf-8", "surrogatepass")


def _card(entry: Entry) -> Card:
    if not isinstance(entry, KeptEntry):
        raise TypeError(f"{entry.ref} was not read from a file")
    return entry.card


def _record(entry: Entry) -> AnyRecord:
    """Return what an entry says; not noted."""
    return entry.whole()[0] if isinstance(entry, KeptEntry) else entry.record


def _head(entry: Entry) -> Head:
    """Return what entries of every kind say; not noted."""
    return entry.card.head if isinstance(entry, KeptEntry) else entry.head


def _plants(entry: Entry) -> tuple[str, ...]:
    return entry.card.plants if isinstance(entry, KeptEntry) else entry.plants


def _circuit(entry: Entry) -> Any:
    return entry.card.circuit if isinstance(entry, KeptEntry) else getattr(entry.record, "circuit", "")
