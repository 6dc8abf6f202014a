"""Tests, hypotheses and what a way of going about them costs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

from kbgen.compute.circuit.meter import HIGH_Z

OHMS = "ohms"
"""How the meter is set while the supply is locked off and proved dead."""


@dataclass(frozen=True, slots=True)
class Probe:
    """One thing to measure or look at.

    Attributes:
        name: Mark or device.
        minutes: Once everything it needs is opened.
        needs: Indices of the resources (places reached, covers off) it needs.
        dead: Whether it is done with the supply locked off and proved dead.
        device: Whether it is read across a device and not at a point to the return.
        meter: How the meter is set: a mode of it, or ``ohms`` with the supply locked off.
    """

    name: str
    minutes: float
    needs: frozenset[int] = frozenset()
    dead: bool = False
    device: bool = False
    meter: str = HIGH_Z


@dataclass(frozen=True)
class Task:
    """What is to be told apart, by which tests, at which cost.

    Attributes:
        weights: One a hypothesis; any positive scale.
        tests: In the order in which one walks along the panel.
        outcomes: ``outcomes[t][h]``: what test ``t`` shows under hypothesis ``h``.
        setups: Minutes to reach or open each resource, once.
        change: Minutes from live to dead work (lock and prove) or back.
        first: Probe that must come first (the supply), or ``None``.
    """

    weights: tuple[float, ...]
    tests: tuple[Probe, ...]
    outcomes: tuple[tuple[str, ...], ...]
    setups: tuple[float, ...] = ()
    change: float = 0.0
    first: int | None = None

    @cached_property
    def everything(self) -> int:
        """All hypotheses, as bits."""
        return (1 << len(self.weights)) - 1

    @cached_property
    def needs(self) -> tuple[int, ...]:
        """The resources of each test, as bits."""
        return tuple(sum(1 << r for r in test.needs) for test in self.tests)

    @cached_property
    def masks(self) -> tuple[tuple[tuple[str, int], ...], ...]:
        """For each test, the hypotheses of each outcome as bits, by outcome."""
        found = []
        for row in self.outcomes:
            sets: dict[str, int] = {}
            for h, outcome in enumerate(row):
                sets[outcome] = sets.get(outcome, 0) | 1 << h
            found.append(tuple(sorted(sets.items())))
        return tuple(found)

    def weight(self, hypotheses: int) -> float:
        """Return the weight of a set of hypotheses."""
        total, h = 0.0, 0
        while hypotheses:
            if hypotheses & 1:
                total += self.weights[h]
            hypotheses >>= 1
            h += 1
        return total

    def split(self, test: int, hypotheses: int) -> tuple[tuple[str, int], ...]:
        """Return what is left after each outcome that is still possible."""
        return tuple((outcome, mask & hypotheses) for outcome, mask in self.masks[test] if mask & hypotheses)

    def useful(self, hypotheses: int) -> list[int]:
        """Return the tests that can tell some of the hypotheses apart."""
        return [t for t, sets in enumerate(self.masks) if sum(1 for _, mask in sets if mask & hypotheses) > 1]

    def minutes(self, test: int, opened: int, *, dead: bool) -> float:
        """Return what a test costs now."""
        probe = self.tests[test]
        return self.minutes_of(probe, opened) + (self.change if probe.dead != dead else 0.0)

    def minutes_of(self, probe: Probe, opened: int) -> float:
        """Return what a probe costs with these resources opened, live and dead apart."""
        return probe.minutes + sum(self.setups[r] for r in sorted(probe.needs) if not opened >> r & 1)


@dataclass(frozen=True, slots=True)
class Leaf:
    """What is left when no test tells more."""

    hypotheses: int


@dataclass(frozen=True, slots=True)
class Node:
    """A test, its minutes and what follows each outcome."""

    test: int
    minutes: float
    outcomes: tuple[tuple[str, Node | Leaf], ...]


Tree = Node | Leaf
Policy = Callable[[int, int, bool], int | None]
"""Hypotheses left, resources opened, dead or live → the next test, or ``None`` when there is none."""


def grow(task: Task, policy: Policy, left: int | None = None, opened: int = 0, *, dead: bool = False) -> Tree:
    """Follow a policy to every end. The test that must come first comes first whatever the policy says."""
    if left is None:
        left = task.everything
        if task.first is not None:
            return _node(task, policy, task.first, left, opened, dead=dead)
    test = policy(left, opened, dead)
    return Leaf(left) if test is None else _node(task, policy, test, left, opened, dead=dead)


def _node(task: Task, policy: Policy, test: int, left: int, opened: int, *, dead: bool) -> Node:
    after, still = opened | task.needs[test], task.tests[test].dead
    return Node(
        test,
        task.minutes(test, opened, dead=dead),
        tuple((o, grow(task, policy, rest, after, dead=still)) for o, rest in task.split(test, left)),
    )


def expected(task: Task, tree: Tree) -> float:
    """Return the expected minutes of a tree."""
    total = task.weight(_under(tree))
    return _spent(task, tree) / total if total else 0.0


def _spent(task: Task, tree: Tree) -> float:
    if isinstance(tree, Leaf):
        return 0.0
    return task.weight(_under(tree)) * tree.minutes + sum(_spent(task, sub) for _, sub in tree.outcomes)


def _under(tree: Tree) -> int:
    if isinstance(tree, Leaf):
        return tree.hypotheses
    bits = 0
    for _, sub in tree.outcomes:
        bits |= _under(sub)
    return bits


def walking(task: Task) -> Policy:
    """Return the policy of going along the panel: the first test in order that tells anything."""

    def policy(left: int, opened: int, dead: bool) -> int | None:  # noqa: ARG001
        return next(iter(task.useful(left)), None)

    return policy


def halving(task: Task) -> Policy:
    """Return the policy of halving what is left by count, whatever it costs."""

    def policy(left: int, opened: int, dead: bool) -> int | None:  # noqa: ARG001
        def worst(test: int) -> int:
            return max(rest.bit_count() for _, rest in task.split(test, left))

        return min(task.useful(left), key=lambda t: (worst(t), t), default=None)

    return policy
