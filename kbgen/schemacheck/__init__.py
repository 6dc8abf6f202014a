"""Check documents against the schema of their kind; every fault becomes one plain sentence.

Text becomes a number or a boolean here, and only where the schema asks for one. The checking itself
is jsonschema's, with the schemas' own keywords (``x-heads``, ``x-quantity``, ``x-date``, ...) added.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

from kbgen.load import Document, KeptDocument, Loaded
from kbgen.position import Exact
from kbgen.problems import Problem, first_of
from kbgen.schemacheck.coerce import typed
from kbgen.schemacheck.known import Names
from kbgen.schemacheck.rules import MISSING_FIELD
from kbgen.schemas import Schemas


@dataclass(frozen=True, slots=True)
class Checked:
    """A knowledge base whose documents were checked.

    Attributes:
        documents: Every document, its data typed where it is sound; sorted by path.
        problems: What the schemas found.
    """

    documents: tuple[Document, ...]
    problems: tuple[Problem, ...]

    @property
    def sound(self) -> tuple[Document, ...]:
        """The documents that later stages work with."""
        return tuple(document for document in self.documents if document.sound)


def check(loaded: Loaded, schemas: Schemas) -> Checked:
    """Check every document of a knowledge base; a fault in one does not touch the others."""
    if all(isinstance(document, KeptDocument) for document in loaded.documents):
        return Checked(loaded.documents, ())
    # Imported late: what was checked before needs no checker.
    from kbgen.schemacheck.checker import Checker
    from kbgen.schemacheck.texts import text_problems

    explained = _explained(loaded.problems)
    checker = Checker(schemas, Names(loaded.documents))
    documents: list[Document] = []
    problems: list[Problem] = []
    for document in loaded.documents:
        if isinstance(document, KeptDocument) or not document.data:
            documents.append(document)
            continue
        schema = schemas.of(document.kind)
        data = typed(schema, document.data)
        found = checker.problems(document, data)
        told = {problem.place for problem in found}
        # What a blank makes of a date or a code was told already.
        found += [p for p in text_problems(document, schema, data) if p.place not in told]
        sound = document.sound and not found
        documents.append(dataclasses.replace(document, data=data, sound=sound))
        lines = explained.get(document.path)
        problems += first_of(found if lines is None else _not_consequences(found, document, lines))
    return Checked(tuple(documents), tuple(problems))


def _explained(problems: tuple[Problem, ...]) -> dict[str, set[int]]:
    """Lines about which the loader has already said something, by path."""
    lines: dict[str, set[int]] = {}
    for problem in problems:
        if isinstance(problem.place, Exact):
            lines.setdefault(problem.place.path, set()).add(problem.place.position.line)
    return lines


def _not_consequences(found: list[Problem], document: Document, lines: set[int]) -> list[Problem]:
    """Leave out what a fault of the text explains: its own line, and fields that it may have hidden."""
    return [
        problem
        for problem in found
        if problem.rule != MISSING_FIELD.name and lines.isdisjoint(document.source.lines_of(problem.place))
    ]
