"""The best order of tests along a string, exactly.

Along a string the faults stand in a row and each test cuts the row in two, so that what is left is
always an interval ``i..j``. With the set ``S`` of places reached and covers opened in the state,

    F(S, i, j) = least over tests t with cut i <= k < j of
                 w(i..j) * cost(t, S) + F(S + t, i, k) + F(S + t, k+1, j)

is the least expected cost, weighted (dynamic programming, Bellman 1957). All ``S`` that can come about
are worked out at once.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from kbgen.compute.circuit.plan import Task

MOST_STATES = 1024
"""Sets of opened resources up to which all are tried."""


@dataclass(frozen=True, slots=True)
class Row:
    """The hypotheses in their order along the string, and where each test cuts it.

    Attributes:
        order: Hypotheses, upstream first.
        cuts: For each test, the last position before its cut; -1 for a test that tells nothing.
    """

    order: tuple[int, ...]
    cuts: tuple[int, ...]


def find_row(task: Task) -> Row | None:
    """Find the row, or return ``None`` when the tests are not all cuts of one row."""
    count = len(task.weights)
    baseline = [row[count - 1] for row in task.outcomes]
    differs = [
        sum(1 << h for h in range(count) if row[h] != baseline[t]) for t, row in enumerate(task.outcomes)
    ]
    if any(len(sets) > 2 for sets in task.masks) or len(_states(task)) > MOST_STATES:
        return None
    order = sorted(range(count), key=lambda h: (-sum(d >> h & 1 for d in differs), h))
    cuts = []
    for mask in differs:
        size = mask.bit_count()
        if mask != sum(1 << h for h in order[:size]):
            return None
        cuts.append(size - 1)
    return Row(tuple(order), tuple(cuts))


@dataclass(frozen=True, slots=True)
class IntervalPlan:
    """The solved row.

    Attributes:
        states: The sets of opened resources that can come about, as bits.
        cost: ``F`` as states × positions × positions, weighted.
        choice: The best test there, -1 where none is needed.
    """

    task: Task
    row: Row
    states: tuple[int, ...]
    cost: npt.NDArray[np.float64]
    choice: npt.NDArray[np.int16]

    def span(self, left: int) -> tuple[int, int]:
        """Return the first and last position of a set of hypotheses."""
        positions = [i for i, h in enumerate(self.row.order) if left >> h & 1]
        return positions[0], positions[-1]

    def policy(self, left: int, opened: int, dead: bool) -> int | None:  # noqa: ARG002
        """Return the best next test."""
        i, j = self.span(left)
        test = int(self.choice[self.states.index(opened), i, j])
        return None if test < 0 else test


def solve_row(task: Task, row: Row) -> IntervalPlan:
    """Work out the best order for every interval and every set of opened resources."""
    n = len(row.order)
    states = _states(task)
    setup = np.array([sum(m for r, m in enumerate(task.setups) if s >> r & 1) for s in states])
    number = {state: k for k, state in enumerate(states)}
    tests = [t for t, cut in enumerate(row.cuts) if 0 <= cut < n - 1]
    cost = np.zeros((len(states), n, n))
    choice = np.full((len(states), n, n), -1, dtype=np.int16)
    if not tests:
        return IntervalPlan(task, row, states, cost, choice)
    cuts = np.array([row.cuts[t] for t in tests])
    after = np.array([[number[state | task.needs[t]] for t in tests] for state in states])[:, None, :]
    price = np.array([task.tests[t].minutes for t in tests]) + setup[after] - setup[:, None, None]
    sums = np.concatenate([[0.0], np.cumsum([task.weights[h] for h in row.order])])
    for length in range(2, n + 1):
        i = np.arange(n - length + 1)
        j = i + length - 1
        inside = (cuts >= i[:, None]) & (cuts < j[:, None])
        upstream = cost[after, i[:, None], np.maximum(cuts, i[:, None])]
        downstream = cost[after, np.minimum(cuts + 1, j[:, None]), j[:, None]]
        total = (sums[j + 1] - sums[i])[:, None] * price + upstream + downstream
        total = np.where(inside, total, np.inf)
        # Rounded, so that tests that cost the same are taken in the order of the panel everywhere.
        best = np.round(total, 9).argmin(axis=2)
        least = np.take_along_axis(total, best[:, :, None], axis=2)[:, :, 0]
        told = np.isfinite(least)
        cost[:, i, j] = np.where(told, least, 0.0)
        choice[:, i, j] = np.where(told, np.array(tests)[best], -1)
    return IntervalPlan(task, row, states, cost, choice)


def _states(task: Task) -> tuple[int, ...]:
    """Return every union of what the tests need, nothing opened included."""
    found = {0}
    for needs in sorted(set(task.needs)):
        found |= {state | needs for state in found}
    return tuple(sorted(found))
