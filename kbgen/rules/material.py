"""What the rules judge, and what a check is."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from kbgen.link.base import KnowledgeBase
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
        settings: The data of kb.yaml; empty where it is broken.
        store: Keeps what a check finds in one entry alone.
    """

    base: KnowledgeBase
    walks: Mapping[Ref, Walk]
    schemas: Schemas
    settings: Mapping[str, Any] = field(default_factory=dict)
    store: Store = field(default_factory=Store)


Check = Callable[[Material], Iterable[Problem]]
