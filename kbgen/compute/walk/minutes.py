"""How long a procedure takes, at least and at most."""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import replace

from kbgen.compute.walk.graph import Edge, Graph
from kbgen.compute.walk.result import Minutes
from kbgen.model.action import HandOver, Wait, Watch
from kbgen.model.procedure import Procedure, ProcedureStep
from kbgen.quantity import Quantity

_MOST_STATES = 20_000


def minutes(procedure: Procedure, graph: Graph) -> Minutes:
    """Add up the steps' times over the quickest and the longest way; a hand-over ends the time of this visit."""
    graph = replace(
        graph,
        edges=tuple(
            () if isinstance(step.action, HandOver) else edges
            for step, edges in zip(procedure.steps, graph.edges, strict=True)
        ),
    )
    times = [_time(step) for step in procedure.steps]
    untimed = sum(step.minutes is None and not _own_time(step) for step in procedure.steps)
    least = _least([low for low, _ in times], graph)
    most = _most([high for _, high in times], graph)
    return Minutes(least / 60, None if most is None else most / 60, untimed)


def _time(step: ProcedureStep) -> tuple[float, float]:
    """Return the least and most seconds of one step."""
    given = step.minutes or _own_time(step)
    return (given.lo, given.hi) if given else (0.0, 0.0)


def _own_time(step: ProcedureStep) -> Quantity | None:
    match step.action:
        case Wait(wait=time) | Watch(for_=time):
            return time
    return None


def _least(times: Sequence[float], graph: Graph) -> float:
    best = {0: times[0]}
    queue = [(times[0], 0)]
    while queue:
        spent, step = heapq.heappop(queue)
        if step in graph.ends:
            return spent
        if spent > best[step]:
            continue
        for edge in graph.edges[step]:
            after = spent + times[edge.target]
            if after < best.get(edge.target, float("inf")):
                best[edge.target] = after
                heapq.heappush(queue, (after, edge.target))
    return 0.0


def _most(times: Sequence[float], graph: Graph) -> float | None:
    """Return the longest way, each limited edge taken at most so often; ``None`` if a loop has no limit.

    Limited edges are counted in the state, so that the answer is exact; without them there is no cycle.
    """
    limited = [(step, edge) for step, edges in enumerate(graph.edges) for edge in edges if edge.at_most]
    number = {(step, edge): place for place, (step, edge) in enumerate(limited)}
    start = (0, tuple(edge.at_most for _, edge in limited))
    longest: dict[tuple[int, tuple[int, ...]], float] = {}
    open_: set[tuple[int, tuple[int, ...]]] = {start}
    stack = [start]
    while stack:
        state = stack[-1]
        step, left = state
        following = list(_following(graph.edges[step], step, left, number))
        waiting = [each for each in following if each not in longest]
        if waiting:
            if waiting[0] in open_ or len(longest) > _MOST_STATES:
                return None
            open_.add(waiting[0])
            stack.append(waiting[0])
            continue
        rest = max((longest[each] for each in following), default=0.0)
        longest[state] = times[step] + rest
        open_.discard(state)
        stack.pop()
    return longest[start]


def _following(
    edges: Sequence[Edge], step: int, left: tuple[int, ...], number: dict[tuple[int, Edge], int]
) -> list[tuple[int, tuple[int, ...]]]:
    found = []
    for edge in edges:
        place = number.get((step, edge))
        if place is None:
            found.append((edge.target, left))
        elif left[place]:
            found.append((edge.target, (*left[:place], left[place] - 1, *left[place + 1 :])))
    return found
