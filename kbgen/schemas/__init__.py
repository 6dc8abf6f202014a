"""The schemas of the entry kinds: read once, made ready for fast checking."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from kbgen.position import Route
from kbgen.ref import Kind
from kbgen.resources import folder
from kbgen.schemas.editor import Known, editor_schema
from kbgen.schemas.inline import Inliner, Schema
from kbgen.schemas.walk import fields_around, heads_in, leaves, references, references_beside, texts, variant

__all__ = [
    "Schema",
    "Schemas",
    "fields_around",
    "heads_in",
    "leaves",
    "load_schemas",
    "references",
    "texts",
    "variant",
]

_SETTINGS = "kb"


@dataclass(frozen=True, slots=True)
class Schemas:
    """All schemas of one program.

    Attributes:
        inlined: Per kind (``None`` for ``kb.yaml``) the schema without ``$ref``; it may contain itself.
        files: The schema files as written, by file name.
    """

    inlined: Mapping[Kind | None, Schema]
    files: Mapping[str, Any]

    def of(self, kind: Kind | None) -> Schema:
        """Return the inlined schema of a kind of entry, or of ``kb.yaml``."""
        return self.inlined[kind]

    def references(self, kind: Kind | None, data: Mapping[str, Any]) -> Iterator[tuple[Route, Kind, str]]:
        """Yield route, kind and id of every reference that a document makes in a field of its own.

        Args:
            kind: The document's kind; ``None`` for ``kb.yaml``.
            data: Data that passed the schema check.
        """
        return references(self.inlined[kind], data)

    def references_beside(
        self, kind: Kind | None, data: Mapping[str, Any], route: Route
    ) -> Mapping[str, Kind]:
        """Return the fields of the map around a route that name entries, with the kind each names."""
        return references_beside(self.inlined[kind], data, route)

    def texts(self, kind: Kind | None, data: Mapping[str, Any]) -> Iterator[tuple[Route, str, str]]:
        """Yield route, class (``short``, ``long`` or ``code``) and text of every text of a document."""
        return texts(self.inlined[kind], data)

    def for_editor(self, kind: Kind | None, known: Known | None = None) -> dict[str, Any]:
        """Return a plain JSON Schema that an editor can use for this kind.

        Args:
            known: Names of the shop to offer.
        """
        return editor_schema(file_name(kind), self.files, known)


def file_name(kind: Kind | None) -> str:
    """Return the name of a kind's schema file."""
    return f"{kind or _SETTINGS}.schema.json"


def load_schemas() -> Schemas:
    """Read the schema files of the program; that they are in order is held by tests."""
    kinds: list[Kind | None] = [None, *Kind]
    where = folder("schema")
    files = {
        path.name: json.loads(path.read_text(encoding="utf-8"))
        for path in sorted(where.glob("*.schema.json"))
    }
    inliner = Inliner(files)
    return Schemas({kind: inliner.schema(file_name(kind)) for kind in kinds}, files)
