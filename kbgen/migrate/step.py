"""What a step of migration knows and gives."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from kbgen.migrate.page import Page
from kbgen.model.action import TABLE, Row
from kbgen.position import Route
from kbgen.ref import Kind

BY_HEAD: dict[str, Row] = {row.name: row for row in TABLE.values()}


@dataclass(frozen=True, slots=True)
class Shop:
    """The knowledge base as it was read, for what one file cannot tell alone.

    Attributes:
        equipment: Data of the equipment entries by id.
        procedures: Data of the procedures by id.
    """

    equipment: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    procedures: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)


class Step(NamedTuple):
    """One step of migration.

    Attributes:
        says: What it turns into what, in one sentence.
        kind: Kind of the entries it changes.
        run: Plans the edits of one page and tells them.
    """

    says: str
    kind: Kind
    run: Callable[[Page, Shop], None]


def steps(page: Page) -> Iterator[tuple[Route, dict[str, Any]]]:
    """Yield every step of a page with its route."""
    for route in page.steps:
        listed = page.layout.at(route) if route in page.layout.spans else None
        for index, step in enumerate(listed if isinstance(listed, list) else ()):
            if isinstance(step, dict):
                yield (*route, index), step


def head_of(step: Mapping[str, Any]) -> str:
    """Return the head key of a step's action; empty without one, or with several."""
    heads = [key for key in step if key in BY_HEAD]
    return heads[0] if len(heads) == 1 else ""


def maps(value: object) -> list[dict[str, Any]]:
    """Return the maps of a list; none where it is no list."""
    return [each for each in value if isinstance(each, dict)] if isinstance(value, list) else []


def texts(value: object) -> list[str]:
    """Return the texts of a list, or of one text."""
    listed: Sequence[object] = value if isinstance(value, list) else [value]
    return [each for each in listed if isinstance(each, str)]
