"""What a walk through a procedure found: broken rules, and the plant's state before every step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kbgen.compute.walk.state import NOTHING, State
from kbgen.rule import Rule


@dataclass(frozen=True, slots=True)
class Turn:
    """One question on the way and the outcome that was taken.

    Attributes:
        step: Number of the step, from 1.
        outcome: The outcome as typed.
    """

    step: int
    outcome: str


@dataclass(frozen=True, slots=True)
class Because:
    """A second step that explains a violation, e.g. "the jumper is fitted here"."""

    step: int
    message: str


def because(where: str, message: str) -> tuple[Because, ...]:
    """Point at a step of this procedure; at none where the fact comes from another page."""
    return (Because(int(where), message),) if where.isdigit() else ()


@dataclass(frozen=True, slots=True)
class Violation:
    """One rule broken on one way through the procedure, the shortest there is.

    Attributes:
        rule: The rule.
        step: Index of the step at which it is broken.
        field: The field of the step to point at.
        message: What is wrong, without the way there.
        hint: What to write instead.
        path: The questions on the way and their outcomes.
        because: Further steps that explain it; ``step`` is an index.
    """

    rule: Rule
    step: int
    field: str
    message: str
    hint: str
    path: tuple[Turn, ...] = ()
    because: tuple[Because, ...] = ()

    def sentence(self, names: Sequence[str] = ()) -> str:
        """Write the way and what is wrong: ``step 3 → not sure → step 9: jumper-1 is still in``.

        Args:
            names: What the steps are called, where their numbers say nothing to the author.
        """
        way = "".join(f"{_called(turn.step, names)} → {turn.outcome} → " for turn in self.path)
        return f"{way}{_called(self.step + 1, names)}: {self.message}"


def _called(number: int, names: Sequence[str]) -> str:
    name = names[number - 1] if number <= len(names) else ""
    return name or f"step {number}"


@dataclass(frozen=True, slots=True)
class Condition:
    """One line about the plant before a step.

    Attributes:
        what: E.g. ``isolated``, ``proved dead``, ``alterations in``.
        items: Names of what it is true of, as people read them; empty where the line says it all.
        sure: Whether it is so on every way to the step, or only on some.
        devices: Whether the items are ids of devices still.
    """

    what: str
    items: tuple[str, ...] = ()
    sure: bool = True
    devices: bool = False

    def line(self) -> str:
        """Write it in words.

        >>> Condition("isolated", ("Control supply",)).line()
        'isolated: Control supply'
        """
        text = f"{self.what}: {'; '.join(self.items)}" if self.items else self.what
        return text if self.sure else f"perhaps {text}"


@dataclass(frozen=True, slots=True)
class Minutes:
    """Time a procedure takes.

    Attributes:
        least: On the quickest way to an end.
        most: On the longest, with every limited loop taken as often as it may be; ``None`` where a
            loop has no limit.
        untimed: Number of steps without ``minutes``; they count as none.
    """

    least: float
    most: float | None
    untimed: int = 0


@dataclass(frozen=True, slots=True)
class Arrival:
    """What is so when step 1 of a page begins, besides what its ``starts`` say.

    Attributes:
        finds: What earlier pages may have left.
        brings: What every way that leads here brings about.
    """

    finds: State = NOTHING
    brings: State = NOTHING


AS_FOUND = Arrival()
"""A page that begins a job."""


@dataclass(frozen=True, slots=True)
class Exit:
    """A way out of a page.

    Attributes:
        step: Index of the step that ends it.
        end: How it ends.
        next: The page that goes on; empty for none.
        left: What may be left behind, in names that mean the same on every page.
        brings: What is so for certain, and whoever goes on with the job relies on.
    """

    step: int
    end: str
    next: str
    left: State
    brings: State = NOTHING

    def leaves(self, beside: State) -> State:
        """Return what stays outstanding, with what passes beside the page."""
        return self.left if self.end == "returned-to-service" else self.left | beside


@dataclass(frozen=True, slots=True)
class Leaving:
    """What an end leaves outstanding, in words.

    Attributes:
        step: Index of the step that ends the page.
        lines: All of it, one line each.
        tag: What does not show itself, and so stands on the tag.
    """

    step: int
    lines: tuple[str, ...]
    tag: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Contract:
    """What a page takes for granted, what it may find, and what it leaves.

    Attributes:
        needs: What must be so when step 1 begins.
        finds: What earlier pages may have left.
        leaves: What its ends leave outstanding; ends that leave nothing are not among them.
        hidden: What it may find that does not show itself.
    """

    needs: tuple[str, ...] = ()
    finds: tuple[str, ...] = ()
    leaves: tuple[Leaving, ...] = ()
    hidden: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Rests:
    """What a page without a finding rests on.

    Attributes:
        idle: Indices of steps with an action that no rule and no end relies on.
        claims: Answers that claim something of the plant.
        verdicts: Answers that carry a verdict word.
        told: Steps without an action.
    """

    idle: tuple[int, ...] = ()
    claims: int = 0
    verdicts: int = 0
    told: int = 0


@dataclass(frozen=True, slots=True)
class Walk:
    """The whole walk.

    Attributes:
        violations: By step, then rule.
        before: For each step, the plant's state on arrival; empty for steps nothing leads to.
        paths: Number of ways to an end that pass no step twice, up to ``graph.MOST_PATHS``.
        states: Number of different states (step and plant together) that were looked at.
        complete: Whether every state was looked at.
        exits: Every way out.
        contract: How the page stands between the others.
        rests: What it rests on, where nothing was found.
        arrival: What it was walked with.
        padlocks: How many sources are locked at once, at most.
    """

    violations: tuple[Violation, ...]
    before: tuple[tuple[Condition, ...], ...]
    paths: int
    states: int
    minutes: Minutes
    complete: bool = True
    exits: tuple[Exit, ...] = ()
    contract: Contract = Contract()
    rests: Rests = Rests()
    arrival: Arrival = AS_FOUND
    padlocks: int = 0
