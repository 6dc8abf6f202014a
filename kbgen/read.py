"""From files to entries, each file by itself: a file that was in order is not read again while its bytes are the same.

A file with a problem is read in every run, because what is said about it may hang on the other files.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache, partial
from pathlib import Path
from typing import Any

from kbgen.load import Document, File, KeptDocument, Loaded, Source, load, read
from kbgen.load.discover import SIGNED
from kbgen.model.build import build
from kbgen.model.entry import AnyRecord, Card, KeptEntry, digests_of, make_card, make_entry
from kbgen.model.shop import ShopSettings
from kbgen.problems import Problem
from kbgen.program import make_key
from kbgen.records import dump
from kbgen.records import load as from_bytes
from kbgen.ref import Kind, Ref
from kbgen.schemacheck import check
from kbgen.schemas import Schemas
from kbgen.store import Store


@dataclass(frozen=True, slots=True)
class ReadFolder:
    """A knowledge base file by file.

    Attributes:
        documents: Every file, sorted by path.
        shop: The shop's settings; without a name where they are broken.
        entries: The entries of the sound files.
        digests: For every file a hash of what it says; of its bytes where it is not sound.
    """

    loaded: Loaded
    documents: tuple[Document, ...]
    problems: tuple[Problem, ...]
    shop: ShopSettings
    entries: tuple[KeptEntry, ...]
    digests: Mapping[str, bytes]

    @property
    def said(self) -> list[bytes]:
        """Hashes of what the sound files say."""
        return [self.digests[document.path] for document in self.documents if document.sound]

    @property
    def settings(self) -> Mapping[str, Any]:
        """The data of kb.yaml; empty where it is broken."""
        return next((each.data for each in self.documents if each.kind is None and each.sound), {})

    @property
    def dates(self) -> list[str]:
        """The newest day of every entry, in ISO 8601; empty where there is none."""
        return [entry.card.date for entry in self.entries]


def read_folder(root: Path, schemas: Schemas, store: Store) -> ReadFolder:
    """Read and check every file of a knowledge base."""
    shelf = _Shelf(store)
    loaded = load(root, shelf.known)
    checked = check(loaded, schemas)
    shop = ShopSettings(shop="", key="")
    entries: list[KeptEntry] = []
    digests: dict[str, bytes] = {}
    for document in checked.documents:
        if document.sound and not isinstance(document, KeptDocument):
            shelf.keep(document)
        if not document.sound:
            digests[document.path] = hashlib.sha256(
                document.source.text.encode("utf-8", "surrogatepass")
            ).digest()
        elif document.kind is None:
            digests[document.path] = digests_of(document.path, document.data).whole
            shop = shelf.shop(document)
        else:
            entry = shelf.entry(document)
            entries.append(entry)
            digests[document.path] = entry.card.digests.whole
    problems = (*loaded.problems, *checked.problems)
    return ReadFolder(loaded, checked.documents, problems, shop, tuple(entries), digests)


def signed_path(ref: Ref) -> str:
    """Return where the text of an entry lies that was signed last, relative to the knowledge base.

    >>> signed_path(Ref(Kind.TERM, "lint"))
    'signed/terms/lint.txt'
    """
    return f"{SIGNED}/{ref.kind.folder}/{ref.id}.txt"


def signed_text(root: Path, ref: Ref) -> tuple[str, ...]:
    """Return the text of an entry that was signed last, line by line; nothing where there is none."""
    try:
        return tuple((root / signed_path(ref)).read_text(encoding="utf-8").splitlines())
    except (OSError, UnicodeDecodeError):
        return ()


def picture_digests(root: Path, photos: Iterable[str]) -> dict[str, bytes]:
    """Return a hash of every picture by its name; of nothing where it cannot be read, which a rule reports."""
    found = {}
    for path in photos:
        try:
            found[Path(path).name] = hashlib.sha256((root / path).read_bytes()).digest()
        except OSError:
            found[Path(path).name] = b""
    return found


Whole = Callable[[], tuple[Any, Mapping[str, Any]]]
"""Gives the record of a document, and its data."""


class _Shelf:
    """The documents that were kept, and those to keep."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._keys: dict[str, bytes] = {}
        self._cards: dict[str, Card] = {}
        self._whole: dict[str, Whole] = {}

    def known(self, file: File, data: bytes, named: bool) -> Document | None:
        """Return the document of a file that was in order when its bytes were these."""
        if not self._store.keeps:
            return None
        key = make_key("file", file.path, file.kind or "", file.id, str(named), data)
        self._keys[file.path] = key
        body = self._store.get(key)
        if body is None:
            return None
        try:
            card, inner = from_bytes(body)
        except Exception:  # whatever is wrong with it, the file is read
            return None
        whole = cache(partial(from_bytes, inner))
        self._lay(file.path, card, whole)
        return KeptDocument(
            (file.path, file.kind, file.id), lambda: dict(whole()[1]), lambda: _source(file, data, named)
        )

    def keep(self, document: Document) -> None:
        """Keep a document that is in order."""
        card, made = _made(document)
        if document.path not in self._keys:
            return self._lay(document.path, card, lambda: made)
        inner = dump(made)
        self._store.fresh += 1
        self._store.put(self._keys[document.path], dump((card, inner)))
        return self._lay(document.path, card, cache(partial(from_bytes, inner)))

    def _lay(self, path: str, card: Card | None, whole: Whole) -> None:
        if card is not None:
            self._cards[path] = card
        self._whole[path] = whole

    def shop(self, document: Document) -> ShopSettings:
        """Return the shop's settings of a sound kb.yaml."""
        settings: ShopSettings = self._whole[document.path]()[0]
        return settings

    def entry(self, document: Document) -> KeptEntry:
        """Return the entry of a sound document."""
        ref = Ref(Kind(document.kind or ""), document.id)
        return KeptEntry(ref, document.path, self._cards[document.path], self._whole[document.path])


def _made(document: Document) -> tuple[Card | None, tuple[AnyRecord | ShopSettings, Mapping[str, Any]]]:
    """Return the record of a document and its data, and of an entry what is known without reading it."""
    if document.kind is None:
        return None, (build(ShopSettings, document.data), document.data)
    entry = make_entry(document.kind, document.id, document.path, document.data)
    return make_card(entry), (entry.record, entry.data)


def _source(file: File, data: bytes, named: bool) -> Source:
    return read(file, data, named=named)[0].source
