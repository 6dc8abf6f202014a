"""Where something stands: a route into an entry, or a line and column of a file."""

from __future__ import annotations

from dataclasses import dataclass

Route = tuple[str | int, ...]
"""Steps from the top of a document, e.g. ``("steps", 3, "next")``; list indices start at 0."""


@dataclass(frozen=True, order=True, slots=True)
class Position:
    """A place in a file; lines and columns start at 1, columns count code points."""

    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Spot:
    """A place named by its route; its line and column are looked up once, late.

    Attributes:
        path: The file, relative to the knowledge base, with forward slashes.
        route: Route of the value.
        on_key: Whether the map key is meant rather than the value behind it.
        find: A piece of the value's text to point at; empty for its beginning.
    """

    path: str
    route: Route = ()
    on_key: bool = False
    find: str = ""


@dataclass(frozen=True, slots=True)
class Exact:
    """A place already known by line and column, for what no route can name (a tab, a stray mark)."""

    path: str
    position: Position = Position(1, 1)


Place = Spot | Exact


def show_route(route: Route) -> str:
    """Write a route the way an author reads it.

    >>> show_route(("steps", 2, "next"))
    'steps[3].next'
    """
    text = ""
    for step in route:
        if isinstance(step, int):
            text += f"[{step + 1}]"
        else:
            text += f".{step}" if text else step
    return text
