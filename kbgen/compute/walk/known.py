"""What was made of a state at a step before, by the part of the state that was asked for."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Generic, TypeVar

from kbgen.compute.walk.bits import Bits
from kbgen.compute.walk.state import ANYTHING, Fact

T = TypeVar("T")


@dataclass(slots=True)
class Known(Generic[T]):
    """What was made at one step.

    Two states that agree in all kinds of fact that were asked for here are asked alike and answer alike. What was made
    before a kind was asked for stays right: nobody asked for that kind then.

    Attributes:
        kinds: Kinds of fact that were asked for.
        found: What was made, by the facts of these kinds.
    """

    kinds: set[str] = field(default_factory=set)
    found: dict[int, T] = field(default_factory=dict)
    _mask: int = 0
    _facts: int = 0

    def part_of(self, bits: Bits, state: int) -> int:
        """Return the facts of a state that decide."""
        if self._facts != len(bits):
            self._measure(bits)
        return state & self._mask

    def learn(self, bits: Bits, seen: set[Fact]) -> None:
        """Take in what was asked for."""
        self.kinds |= {kind for kind, _ in seen}
        self._measure(bits)

    def _measure(self, bits: Bits) -> None:
        self._mask = -1 if ANYTHING[0] in self.kinds else bits.of_kinds(*self.kinds)
        self._facts = len(bits)
