"""Where a thing stands in one of the versions: path, line and column."""

from __future__ import annotations

from collections.abc import Mapping

from kbgen.pipeline import Compiled
from kbgen.position import Route, Spot
from kbgen.ref import Ref
from kbgen.review.change import Place


class Where:
    """Looks places up in one version."""

    def __init__(self, compiled: Compiled, called: Mapping[str, str] | None = None) -> None:
        self._documents = {document.path: document for document in compiled.documents}
        self._paths = {
            Ref(document.kind, document.id): document.path
            for document in compiled.documents
            if document.kind is not None
        }
        self._origins = compiled.origins
        self._called = called or {}

    def __contains__(self, ref: Ref | None) -> bool:
        return ref is None or ref in self._paths

    def path(self, ref: Ref | None) -> str:
        """Return the path of an entry's file; that of the settings for ``None``."""
        return "kb.yaml" if ref is None else self._paths.get(ref, "")

    def at(self, ref: Ref | None, route: Route = ()) -> Place | None:
        """Return the place of a route of an entry as its author typed it; ``None`` where there is no such file."""
        path = self.path(ref)
        document = self._documents.get(path)
        if document is None:
            return None
        position = document.source.resolve(Spot(path, route))
        return Place(self._called.get(path, path), position.line, position.column)

    def step(self, ref: Ref, index: int | None, inside: Route = ()) -> Place | None:
        """Return the place of a step of the page as it is written out: the line that stands for it."""
        if index is None:
            return None
        sources = self._origins.get(self.path(ref), ())
        if not sources:
            return self.at(ref, ("steps", index, *inside))
        return self.at(ref, ("steps", sources[index].line)) if index < len(sources) else None
