"""What every entry has."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from kbgen.position import Route


@dataclass(frozen=True, slots=True)
class Signature:
    """Who read an entry, and when (ISO 8601 date as typed): initials, a claim and not an identity.

    Attributes:
        mark: Of what was read, as `kbgen.model.mark` writes it; empty where nobody signed.
        for_: Licences of the signer that the page needs.
    """

    by: str
    on: str
    mark: str = ""
    for_: tuple[str, ...] = ()
    route: Route = ()


@dataclass(frozen=True, slots=True)
class Walked:
    """Who did the steps of a page at which plant, and who watched (ISO 8601 date as typed)."""

    did: str
    watched: str
    plant: str
    on: str


class State(StrEnum):
    """How an entry stands to what was signed."""

    DRAFT = "draft"
    """Nobody has approved it, or it is approved and nobody who may has signed."""
    CHANGED = "changed"
    """Its words or actions differ from what was signed."""
    PARTLY = "partly signed"
    """What it says is signed, and not yet by everybody whom its steps need."""
    SIGNED = "signed"
    WITHDRAWN = "withdrawn"


@dataclass(frozen=True, slots=True)
class Standing:
    """How an entry stands to what was signed.

    Attributes:
        by: Who signed last; where a text takes the place of the page, who signed that. Empty where nobody did.
        on: When.
        now: The signatures that are for what it says now.
        last: The text that was signed, line by line, where it takes the place of one that is being changed or that
            not everybody has signed.
    """

    state: State = State.DRAFT
    by: str = ""
    on: str = ""
    now: tuple[Signature, ...] = ()
    last: tuple[str, ...] = ()


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
    """Title, other names, what was typed for it, review and the like: the fields that all kinds share."""

    title: str
    aliases: tuple[str, ...] = ()
    asked: tuple[str, ...] = ()
    status: str = "draft"
    review: tuple[Signature, ...] = ()
    withdrawn: str = ""
    walked: Walked | None = None
    former_ids: tuple[str, ...] = ()
    photos: tuple[Photo, ...] = ()
    accept: tuple[Acceptance, ...] = ()
    standing: Standing = Standing()

    @property
    def draft(self) -> bool:
        """Whether nobody has approved the entry as it stands, and no signed text takes its place."""
        standing = self.standing
        if standing.state is State.WITHDRAWN:
            return self.status != "approved"
        return standing.state is not State.SIGNED and not standing.last
