"""What the rules judge, and what a check is."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import partial
from typing import TYPE_CHECKING, Any

from kbgen.link.base import KnowledgeBase
from kbgen.link.kept import kept_all
from kbgen.model.entry import Entry
from kbgen.problems import Problem
from kbgen.ref import Ref
from kbgen.schemas import Schemas
from kbgen.store import Store

if TYPE_CHECKING:
    from kbgen.compute.walk import Walk


@dataclass(frozen=True, slots=True)
class Material:
    """What rules judge.

    Attributes:
        walks: What the safety walk found, by procedure.
        schemas: Say which fields are text for reading and which are codes.
        store: Keeps what a check finds in one entry alone.
    """

    base: KnowledgeBase
    walks: Mapping[Ref, Walk]
    schemas: Schemas
    store: Store = field(default_factory=Store)

    @property
    def settings(self) -> Mapping[str, Any]:
        """The data of kb.yaml; empty where it is broken."""
        return self.base.settings

    def of_each(self, name: str, find: Callable[[Entry, Schemas], tuple[Problem, ...]]) -> Iterator[Problem]:
        """Yield what is wrong with each entry alone.

        Args:
            name: That of no other `find`.
            find: Looks at an entry.
        """
        makers = [
            ((name, str(ref)), partial(find, entry, self.schemas)) for ref, entry in self.base.entries.items()
        ]
        for found in kept_all(self.store, self.base, makers):
            yield from found


Check = Callable[[Material], Iterable[Problem]]
