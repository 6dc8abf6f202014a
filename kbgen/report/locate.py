"""Look up path, line and column of every problem, once, late."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kbgen.position import Exact, Place, Position
from kbgen.problems import Problem, Severity

if TYPE_CHECKING:
    from kbgen.load import Document


@dataclass(frozen=True, order=True, slots=True)
class LocatedRelated:
    """A further place that explains a problem."""

    path: str
    line: int
    column: int
    message: str


@dataclass(frozen=True, order=True, slots=True)
class Located:
    """A problem with its place in numbers; sorts by path, line, column.

    Attributes:
        path: Relative to the knowledge base, with forward slashes.
        line: From 1.
        column: From 1, in characters.
        source_line: The line it stands on, without line end; empty when there is none.
    """

    path: str
    line: int
    column: int
    rule: str
    severity: Severity
    message: str
    hint: str
    related: tuple[LocatedRelated, ...] = ()
    source_line: str = ""


def locate(problems: Iterable[Problem], documents: Iterable[Document]) -> list[Located]:
    """Locate problems, sort them by path, line and column, and keep one of several identical ones."""
    by_path = {document.path: document for document in documents}
    return sorted({_located(problem, by_path) for problem in problems})


def _located(problem: Problem, documents: Mapping[str, Document]) -> Located:
    path = problem.place.path
    position = _position(problem.place, documents)
    document = documents.get(path)
    return Located(
        path,
        position.line,
        position.column,
        problem.rule,
        problem.severity,
        problem.message,
        problem.hint,
        tuple(_related(near.place, near.message, documents) for near in problem.related),
        document.source.line(position.line) if document else "",
    )


def _related(place: Place, message: str, documents: Mapping[str, Document]) -> LocatedRelated:
    position = _position(place, documents)
    return LocatedRelated(place.path, position.line, position.column, message)


def _position(place: Place, documents: Mapping[str, Document]) -> Position:
    if place.path in documents:
        return documents[place.path].source.resolve(place)
    return place.position if isinstance(place, Exact) else Position(1, 1)
