"""What every entry has."""

from __future__ import annotations

from dataclasses import dataclass

from kbgen.position import Route


@dataclass(frozen=True, slots=True)
class ReviewNote:
    """Who vouches for an entry and since when (ISO 8601 date as typed)."""

    by: str
    on: str


@dataclass(frozen=True, slots=True)
class Photo:
    """A picture of the folder ``photos/`` with its alternative text."""

    file: str
    alt: str
    caption: str = ""
    route: Route = ()


@dataclass(frozen=True, slots=True)
class Acceptance:
    """A warning this entry accepts, with a reason and a reviewer."""

    rule: str
    reason: str
    by: str
    route: Route = ()


@dataclass(frozen=True, slots=True)
class Head:
    """Title, other names, review and the like: the fields that all kinds share."""

    title: str
    aliases: tuple[str, ...] = ()
    status: str = "draft"
    review: ReviewNote | None = None
    former_ids: tuple[str, ...] = ()
    photos: tuple[Photo, ...] = ()
    accept: tuple[Acceptance, ...] = ()

    @property
    def draft(self) -> bool:
        """Whether nobody has approved the entry yet."""
        return self.status != "approved"
