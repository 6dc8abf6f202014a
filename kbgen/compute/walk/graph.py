"""The steps of a procedure as a graph: which step leads where, and what that alone tells."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from kbgen.model.action import End, HandOver
from kbgen.model.answers import Answer, answers
from kbgen.model.procedure import Procedure, ProcedureStep

MOST_PATHS = 10_000
"""Where counting paths stops; more than this nobody looks at one by one."""
_MOST_VISITS = 200_000


@dataclass(frozen=True, slots=True)
class Edge:
    """A way from one step to another.

    Attributes:
        target: Index of the step it leads to.
        answer: Index of the answer that leads there, ``None`` where nothing is asked.
        at_most: How often it may be taken; 0 for no limit.
    """

    target: int
    answer: int | None = None
    at_most: int = 0


@dataclass(frozen=True)
class Graph:
    """Steps and the ways between them; steps are named by their index.

    Attributes:
        edges: For each step, where it leads; names of steps that do not exist are left out.
        ends: Steps with which the procedure ends.
        falls_off: Steps after which nothing comes although they do not end the procedure.
        whole: Whether every name of a step leads to a step.
    """

    edges: tuple[tuple[Edge, ...], ...]
    ends: frozenset[int]
    falls_off: tuple[int, ...]
    whole: bool

    @cached_property
    def _onward(self) -> list[list[int]]:
        """For each step, the steps it leads to."""
        return [[edge.target for edge in edges] for edges in self.edges]

    @cached_property
    def reachable(self) -> frozenset[int]:
        """Steps that can be reached from the first."""
        return _closure([0], self._onward)

    @cached_property
    def can_end(self) -> frozenset[int]:
        """Steps from which some end can be reached."""
        return self.leading_to(self.ends)

    def comes_back(self, step: int) -> bool:
        """Return whether a way leads from a step to itself."""
        return step in self.after(step)

    def after(self, step: int) -> frozenset[int]:
        """Return every step that can come after one."""
        return _closure(self._onward[step], self._onward)

    def leading_to(self, steps: Iterable[int]) -> frozenset[int]:
        """Return some steps and all from which one of them can be reached."""
        back: list[list[int]] = [[] for _ in self.edges]
        for source, edges in enumerate(self.edges):
            for edge in edges:
                back[edge.target].append(source)
        return _closure(steps, back)

    def paths(self) -> int:
        """Count the ways from the first step to an end that pass no step twice, up to ``MOST_PATHS``."""
        counted = self._ways_without_loops()
        if counted is not None:
            return min(counted, MOST_PATHS)
        useful = self.can_end
        if 0 not in useful:
            return 0
        found = 0
        on_way = {0}
        stack: list[tuple[int, Iterator[Edge]]] = [(0, iter(self.edges[0]))]
        found += 0 in self.ends
        for _ in range(_MOST_VISITS):
            if not stack or found >= MOST_PATHS:
                return min(found, MOST_PATHS)
            step, ways = stack[-1]
            edge = next(ways, None)
            if edge is None:
                stack.pop()
                on_way.discard(step)
            elif edge.target in useful and edge.target not in on_way:
                found += edge.target in self.ends
                on_way.add(edge.target)
                stack.append((edge.target, iter(self.edges[edge.target])))
        return MOST_PATHS

    def _ways_without_loops(self) -> int | None:
        """Count all ways by adding up from the ends; ``None`` when there is a loop."""
        ways: dict[int, int] = {}
        open_: set[int] = set()
        stack = [0]
        while stack:
            step = stack[-1]
            waiting = [edge.target for edge in self.edges[step] if edge.target not in ways]
            if not waiting:
                ways[step] = (step in self.ends) + sum(ways[edge.target] for edge in self.edges[step])
                open_.discard(step)
                stack.pop()
            elif any(target in open_ for target in waiting) or step == waiting[0]:
                return None
            else:
                open_.add(step)
                stack.append(waiting[0])
        return ways[0]


def make_graph(procedure: Procedure, name: str = "") -> Graph:
    """Read the ways between the steps of a procedure.

    Args:
        name: Its id: a hand-over to this very procedure goes on in it.
    """
    steps = procedure.steps
    index: dict[str, int] = {}
    for number, step in enumerate(steps):
        if step.id:
            index.setdefault(step.id, number)
    asked = [answers(step) for step in steps]
    edges = tuple(tuple(_edges(steps, number, index, name, asked[number])) for number in range(len(steps)))
    ends = frozenset(number for number, step in enumerate(steps) if isinstance(step.action, End | HandOver))
    named = [
        [*(answer.go for answer in each if answer.go), *filter(None, [step.go])]
        for step, each in zip(steps, asked, strict=True)
    ]
    return Graph(
        edges=edges,
        ends=ends,
        falls_off=tuple(
            number
            for number, step in enumerate(steps)
            if not edges[number] and number not in ends and not named[number]
        ),
        whole=index.keys() >= {name for each in named for name in each},
    )


def _edges(
    steps: Sequence[ProcedureStep], number: int, index: dict[str, int], own: str, asked: Sequence[Answer]
) -> Iterator[Edge]:
    step = steps[number]
    if isinstance(step.action, End):
        return
    if isinstance(step.action, HandOver):
        # The colleague goes on with the same procedure; otherwise it ends here.
        if step.action.next in ("", own) and step.action.next_step in index:
            yield Edge(index[step.action.next_step])
        return
    for which, answer in enumerate(asked):
        if answer.go in index:
            yield Edge(index[answer.go], which, answer.at_most)
    if asked:
        return
    if step.go:
        if step.go in index:
            yield Edge(index[step.go])
    elif number + 1 < len(steps):
        yield Edge(number + 1)


def _closure(starts: Iterable[int], ways: Sequence[Iterable[int]]) -> frozenset[int]:
    """Return some steps and all that ways lead to from them."""
    found = set(starts)
    waiting = list(found)
    while waiting:
        for target in ways[waiting.pop()]:
            if target not in found:
                found.add(target)
                waiting.append(target)
    return frozenset(found)
