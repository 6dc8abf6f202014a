"""What a page does and says, as a value to be held against that of another version."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from kbgen.compute.walk import state as s
from kbgen.model import action as act
from kbgen.review.deeds import Key

_DANGEROUS = (
    act.OpenCover,
    act.WorkIn,
    act.Replace,
    act.Clip,
    act.Fit,
    act.OpenGasTrain,
    act.Unlock,
    act.Restore,
    act.OpenValve,
)


AHEAD = (*_DANGEROUS, act.StartDemand, act.Reset, act.Adjust)


"""What exposes somebody, brings energy back or changes what protects."""


@dataclass(slots=True)
class DeedSaid:
    """One deed: its words, what is compared beside it, and the steps that do it."""

    says: str
    beside: dict[str, set[str]] = field(default_factory=dict)
    steps: list[int] = field(default_factory=list)


@dataclass(slots=True)
class Target:
    """What is so for certain before a deed or an end, what may be so, and what was surely done."""

    sure: frozenset[s.Fact]
    maybe: frozenset[s.Fact]
    done: frozenset[Key]


@dataclass(frozen=True, slots=True)
class Way:
    """One answer: what follows at once, what it can lead to, and what is said of the plant by it.

    Attributes:
        fails: Whether it says that something was not proved, or takes doubt.
        passes: Whether it says that something was.
    """

    next: str
    ahead: frozenset[Key]
    fails: bool
    passes: bool
    at_most: int
    claims: tuple[str, ...]
    danger: bool
    shown: str
    step: int


@dataclass(frozen=True, slots=True)
class Line:
    """The words of a step, by field."""

    texts: Mapping[str, str]
    id: str
    acts: bool
    step: int


@dataclass(slots=True)
class PageSaid:
    """Everything that is compared of a page."""

    deeds: dict[Key, DeedSaid]
    targets: dict[Key, Target]
    facts: dict[s.Fact, str]
    ways: dict[tuple[str, str], Way]
    asked: dict[str, str]
    pairs: dict[str, frozenset[str]]
    named: dict[str, frozenset[str]]
    cautions: dict[str, dict[str, int]]
    off: tuple[Key, ...]
    on: tuple[Key, ...]
    fuel: frozenset[Key]
    lines: dict[str, list[Line]]
    shown: dict[str, str]
    needs: dict[s.Fact, str]
    brought: dict[s.Fact, str]
    finds: dict[s.Fact, str]
    leaves: dict[s.Fact, str]
    whole: bool

    def called(self, label: str) -> str:
        """Return what a person calls a step, or what its label says."""
        text = self.shown.get(label, label).strip("“”")
        return text if len(text) < _LONG else f"{text[: _LONG - 1]}…"


_LONG = 80
_HEADS = frozenset(act.TABLE[each].name for each in AHEAD)


def ahead_is_danger(key: Key) -> bool:
    """Return whether what a way leads to exposes somebody, brings energy back or calls the plant ready."""
    return key[0] in _HEADS or (
        key[0] == "end" and key[1] in ("returned-to-service", "found", "not-reproduced")
    )
