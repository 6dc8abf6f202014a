"""The states of a page as whole numbers, a bit for every fact.

A page is walked through tens of thousands of states, and what is done with one is mostly to join, part and compare it.
With numbers that costs next to nothing; rules and actions go on to be told the facts.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import overload

from kbgen.compute.walk.state import Fact, State, between

Pair = tuple[int, int]
"""What is so for certain, and what may be so with it."""


class Bits:
    """Which bit stands for which fact on a page; a fact gets its bit when it is first met.

    Attributes:
        kinds: The bits of all facts of a kind.
    """

    def __init__(self) -> None:
        self.kinds: defaultdict[str, int] = defaultdict(int)
        self._facts: list[Fact] = []
        self._bit: dict[Fact, int] = {}
        self._states: dict[int, State] = {}

    def __len__(self) -> int:
        return len(self._facts)

    def of(self, facts: Iterable[Fact]) -> int:
        """Return some facts as a number."""
        known, found = self._bit, 0
        for fact in facts:
            found |= known.get(fact) or self._new(fact)
        return found

    def _new(self, fact: Fact) -> int:
        bit = self._bit[fact] = 1 << len(self._facts)
        self._facts.append(fact)
        self.kinds[fact[0]] |= bit
        return bit

    def of_kinds(self, *kinds: str) -> int:
        """Return the bits of all facts of some kinds."""
        found = 0
        for kind in kinds:
            found |= self.kinds[kind]
        return found

    def state(self, bits: int) -> State:
        """Return the facts of a number."""
        found = self._states.get(bits)
        if found is None:
            facts, left = [], bits
            while left:
                lowest = left & -left
                facts.append(self._facts[lowest.bit_length() - 1])
                left ^= lowest
            found = self._states[bits] = frozenset(facts)
        return found


class Reached(Sequence[State]):
    """The states in which a step is reached, in the order they were found; each is written out when it is asked for."""

    def __init__(self, bits: Bits, pairs: Sequence[Pair]) -> None:
        self.bits, self.pairs = bits, pairs

    def __len__(self) -> int:
        return len(self.pairs)

    @overload
    def __getitem__(self, at: int) -> State: ...

    @overload
    def __getitem__(self, at: slice) -> list[State]: ...

    def __getitem__(self, at: int | slice) -> State | list[State]:
        """Return a state, or some of them."""
        if isinstance(at, slice):
            return [self._written(pair) for pair in self.pairs[at]]
        return self._written(self.pairs[at])

    def always(self) -> State:
        """Return what is so for certain in all of them."""
        found = -1
        for low, _ in self.pairs:
            found &= low
        return self.bits.state(found)

    def ever(self) -> State:
        """Return what is so for certain in any of them."""
        found = 0
        for low, _ in self.pairs:
            found |= low
        return self.bits.state(found)

    def parts(self, *kinds: str) -> list[State]:
        """Return the different facts of some kinds that are so for certain in one of them."""
        asked = self.bits.of_kinds(*kinds)
        return [self.bits.state(part) for part in dict.fromkeys([low & asked for low, _ in self.pairs])]

    def most(self, kind: str) -> int:
        """Return how many facts of a kind are so for certain at once, at most."""
        return max((len(part) for part in self.parts(kind)), default=0)

    def _written(self, pair: Pair) -> State:
        low, high = pair
        return between(self.bits.state(low), self.bits.state(high))
