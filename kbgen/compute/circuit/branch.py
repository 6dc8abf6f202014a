"""The best order of tests in general: exactly while that is quick, else a rollout with its gap.

Finding the cheapest decision tree is hard in general (Hyafil and Rivest, 1976). Branch and bound over
what is left, what is opened and whether the plant is dead is exact; beyond a number of expansions a
rollout takes over: at each node the test whose followers, gone about greedily, cost least (Bertsekas,
Tsitsiklis and Wu, 1997). The number is counted and not timed, so that every machine gives one answer.
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass, field
from math import log2

from kbgen.compute.circuit.plan import Policy, Task

BUDGET = 20_000
"""Expansions before the exact search gives up; under two seconds on a machine of 2020."""

_Key = tuple[int, int, bool]


class _TooManyError(Exception):
    """The exact search would take too long."""


@dataclass(frozen=True, slots=True)
class Solution:
    """A policy, and a bound no policy can beat (weighted minutes from the given state)."""

    policy: Policy
    lower_bound: float
    exact: bool


def solve(
    task: Task, left: int | None = None, opened: int = 0, *, dead: bool = False, budget: int = BUDGET
) -> Solution:
    """Find the best policy from a state, or a good one."""
    search = _Search(task, budget)
    start = task.everything if left is None else left
    states, forced = [(start, opened, dead)], 0.0
    if left is None and task.first is not None:
        after, still = opened | task.needs[task.first], task.tests[task.first].dead
        states = [(rest, after, still) for _, rest in task.split(task.first, start)]
        forced = task.weight(start) * task.minutes(task.first, opened, dead=dead)
    try:
        return Solution(search.chosen, forced + sum(search.best(*state) for state in states), exact=True)
    except _TooManyError:
        bound = forced + sum(search.bound(rest) for rest, _, _ in states)
        return Solution(search.rolled, bound, exact=False)


@dataclass(slots=True)
class _Search:
    task: Task
    budget: int
    exact: dict[_Key, tuple[float, int | None]] = field(default_factory=dict)
    bounds: dict[int, float] = field(default_factory=dict)
    greedy: dict[_Key, float] = field(default_factory=dict)

    def chosen(self, left: int, opened: int, dead: bool) -> int | None:
        """Return the best test; what the search pruned away is worked out when asked for."""
        self.best(left, opened, dead)
        return self.exact[left, opened, dead][1]

    def best(self, left: int, opened: int, dead: bool) -> float:
        """Return the least weighted cost from a state."""
        key = (left, opened, dead)
        if key in self.exact:
            return self.exact[key][0]
        self.budget -= 1
        if self.budget < 0:
            raise _TooManyError
        task = self.task
        weight = task.weight(left)
        ranked = []
        for test in task.useful(left):
            now = weight * task.minutes(test, opened, dead=dead)
            parts = task.split(test, left)
            ranked.append((now + sum(self.bound(rest) for _, rest in parts), test, now, parts))
        least, choice = (float("inf"), None) if ranked else (0.0, None)
        for floor, test, now, parts in sorted(ranked, key=lambda item: item[:2]):
            if floor >= least - 1e-12:
                break
            after, still = opened | task.needs[test], task.tests[test].dead
            total, rest_floor = now, floor - now
            for _, rest in sorted(parts, key=lambda part: part[1].bit_count()):
                rest_floor -= self.bound(rest)
                total += self.best(rest, after, still)
                if total + rest_floor >= least - 1e-12:
                    break
            else:
                least, choice = total, test
        self.exact[key] = (least, choice)
        return least

    def bound(self, left: int) -> float:
        """Return weighted minutes no policy can do without.

        Whatever is asked, the cheapest useful test is the least each level of the tree costs, and no
        tree has a smaller weighted depth than that of Huffman (1952) with as many branches.
        """
        if left in self.bounds:
            return self.bounds[left]
        task = self.task
        useful = task.useful(left)
        found = 0.0
        if useful:
            cheapest = min(task.tests[t].minutes for t in useful)
            arity = max(len(task.split(t, left)) for t in useful)
            found = cheapest * _huffman(self._told_apart(left, useful), arity)
        self.bounds[left] = found
        return found

    def _told_apart(self, left: int, useful: list[int]) -> list[float]:
        """Return the weights of the hypotheses, those no test tells apart taken together."""
        groups = [left]
        for t in useful:
            groups = [rest for group in groups for _, rest in self.task.split(t, group)]
        return [self.task.weight(group) for group in groups]

    def rolled(self, left: int, opened: int, dead: bool) -> int | None:
        """Return the test whose followers, gone about greedily, cost least."""
        return min(
            self.task.useful(left), key=lambda t: (self._ahead(t, left, opened, dead), t), default=None
        )

    def _ahead(self, test: int, left: int, opened: int, dead: bool) -> float:
        task = self.task
        after, still = opened | task.needs[test], task.tests[test].dead
        followers = sum(self._greedy_cost(rest, after, still) for _, rest in task.split(test, left))
        return task.weight(left) * task.minutes(test, opened, dead=dead) + followers

    def _greedy_cost(self, left: int, opened: int, dead: bool) -> float:
        key = (left, opened, dead)
        if key not in self.greedy:
            test = self._greedy_test(left, opened, dead)
            self.greedy[key] = 0.0 if test is None else self._ahead(test, left, opened, dead)
        return self.greedy[key]

    def _greedy_test(self, left: int, opened: int, dead: bool) -> int | None:
        """Return the test that tells most for a minute (information of Shannon)."""
        task = self.task
        total = task.weight(left)

        def merit(test: int) -> float:
            shares = [task.weight(rest) / total for _, rest in task.split(test, left)]
            return -sum(s * log2(s) for s in shares) / max(task.minutes(test, opened, dead=dead), 1e-9)

        return max(task.useful(left), key=lambda t: (merit(t), -t), default=None)


def _huffman(weights: list[float], arity: int) -> float:
    """Return the least weighted depth of a tree with these leaves."""
    heap = list(weights)
    while len(heap) > 1 and (len(heap) - 1) % (arity - 1):
        heap.append(0.0)
    heapq.heapify(heap)
    depth = 0.0
    while len(heap) > 1:
        joined = sum(heapq.heappop(heap) for _ in range(arity))
        depth += joined
        heapq.heappush(heap, joined)
    return depth
