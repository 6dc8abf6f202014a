"""What reading yields: documents of plain data, each with its source."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from kbgen.load.source import Source
from kbgen.problems import Problem
from kbgen.ref import Kind, Ref


@dataclass(frozen=True, slots=True)
class Document:
    """One file of the knowledge base.

    Attributes:
        path: Relative to the knowledge base, with forward slashes.
        kind: Kind of entry; ``None`` for ``kb.yaml``.
        id: The file's name without its ending.
        data: Maps, lists, text as typed, and ``None`` for a field with nothing behind it; empty when
            the file could not be read to its end. After the schema check also numbers and booleans.
        source: Its text and the positions in it.
        sound: Whether no error was found in it; what is not sound is not compiled.
    """

    path: str
    kind: Kind | None
    id: str
    data: dict[str, Any]
    source: Source
    sound: bool = True


class KeptDocument(Document):
    """A document that was read and found in order before; read again only when somebody asks.

    Args:
        data: Gives its data, typed as the schema check left it.
        source: Gives its text and the positions in it.
    """

    __slots__ = ("_data", "_source")
    _data: Callable[[], dict[str, Any]]
    _source: Callable[[], Source]

    def __init__(
        self,
        file: tuple[str, Kind | None, str],
        data: Callable[[], dict[str, Any]],
        source: Callable[[], Source],
    ) -> None:
        values = (*file, True, cache(data), cache(source))
        for name, value in zip(("path", "kind", "id", "sound", "_data", "_source"), values, strict=True):
            object.__setattr__(self, name, value)

    @property
    def data(self) -> dict[str, Any]:
        """Its data."""
        return self._data()

    @property
    def source(self) -> Source:
        """Its text."""
        return self._source()


@dataclass(frozen=True, slots=True)
class Loaded:
    """A knowledge base as read from disk.

    Attributes:
        root: Its folder.
        documents: Every file that was found, readable or not, sorted by path.
        photos: Files in ``photos/``, relative to the knowledge base, sorted.
        problems: What is wrong with files and their YAML.
    """

    root: Path
    documents: tuple[Document, ...]
    photos: tuple[str, ...]
    problems: tuple[Problem, ...]

    @property
    def known(self) -> frozenset[Ref]:
        """Every entry that has a file, broken ones too: a reference to it is not a mistake."""
        return frozenset(Ref(document.kind, document.id) for document in self.documents if document.kind)
