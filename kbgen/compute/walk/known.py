"""What was found at a step before, by the part of the state that was asked for."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from kbgen.compute.walk.state import ANYTHING, Fact, State

if TYPE_CHECKING:
    from kbgen.compute.walk.finding import Finding


@dataclass(slots=True)
class Known:
    """Findings at one step.

    Two states that agree in all kinds of fact that were asked for here are asked alike and answer alike. What was found
    before a kind was asked for stays right: nobody asked for that kind then.

    Attributes:
        kinds: Kinds of fact that were asked for.
        found: Findings by the facts of these kinds.
    """

    kinds: set[str] = field(default_factory=set)
    found: dict[State, tuple[Finding, ...]] = field(default_factory=dict)

    def part_of(self, state: State) -> State:
        """Return the facts of a state that decide."""
        if ANYTHING[0] in self.kinds:
            return state
        return frozenset([fact for fact in state if fact[0] in self.kinds])

    def learn(self, seen: set[Fact]) -> bool:
        """Take in what was asked for; return whether there was a new kind."""
        new = {kind for kind, _ in seen} - self.kinds
        self.kinds |= new
        return bool(new)
