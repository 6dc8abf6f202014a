"""Ids that a knowledge base already has, for saying which one was meant."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Any

from kbgen.load import Document
from kbgen.load.names import as_id
from kbgen.nearest import nearest
from kbgen.position import Route
from kbgen.schemas import Schema


class Names:
    """The ids inside entries: of sizes, stages, sources, covers, steps.

    Those of broken files count too: a name is meant even where another field is wrong.
    """

    def __init__(self, documents: Sequence[Document]) -> None:
        self._documents = documents
        self._known: frozenset[str] | None = None

    def meant(self, written: str, route: Route, schema: Schema) -> str | None:
        """Say what to type for text that is no id; ``None`` where that is not what is wrong.

        Args:
            written: The text.
            route: Where it stands.
            schema: Its schema, with the pattern that it does not match.
        """
        proper = as_id(written)
        if not proper or not re.search(schema["pattern"], proper):
            return None
        # A field that gives a name cannot mean another's.
        gives = route[-1] == "id" or "former_ids" in route
        if not gives and (near := nearest(proper, self._names())):
            return f"Did you mean `{near}`?"
        return f"Write it as `{proper}`"

    def _names(self) -> frozenset[str]:
        if self._known is None:
            # Gathered on first need: most knowledge bases never ask.
            self._known = frozenset(name for document in self._documents for name in _ids(document.data))
        return self._known


def _ids(data: Any) -> Iterator[str]:
    if isinstance(data, dict):
        if isinstance(name := data.get("id"), str):
            yield name
        for value in data.values():
            yield from _ids(value)
    elif isinstance(data, list):
        for item in data:
            yield from _ids(item)
