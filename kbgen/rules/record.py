"""What a rule is: a name, why it exists, an example, and the check itself."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kbgen.link.base import KnowledgeBase
from kbgen.problems import Problem, Severity
from kbgen.ref import Ref
from kbgen.schemas import Schemas

if TYPE_CHECKING:
    from kbgen.compute.walk import Walk


@dataclass(frozen=True, slots=True)
class Material:
    """What rules judge.

    Attributes:
        walks: What the safety walk found, by procedure.
        schemas: Say which fields are text for reading and which are codes.
    """

    base: KnowledgeBase
    walks: Mapping[Ref, Walk]
    schemas: Schemas


Check = Callable[[Material], Iterable[Problem]]


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule, with everything that ``kbgen explain`` and the page of rules say about it.

    Attributes:
        name: Stable readable name, e.g. ``alteration-left``.
        family: The heading it stands under.
        why: What happens to somebody, or to the reader, without it.
        before: YAML that breaks it.
        after: The same, mended.
        rests_on: The practice or open standard behind it, named and not quoted.
        check: Finds what breaks it; ``None`` for rules of the earlier stages, which need no second look.
        safety: Whether it protects somebody's life; such a problem can never be accepted in an entry.
    """

    name: str
    family: str
    severity: Severity
    why: str
    before: str
    after: str
    rests_on: str = ""
    check: Check | None = None
    safety: bool = False
