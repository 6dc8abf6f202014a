"""The nodes of a page as they are shipped: in columns, each number as what it is more than the one before."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import accumulate, pairwise
from typing import Any

CANNOT_BE, NO_MORE = "c", "n"
"""In place of how far on the node lies that an answer leads to."""


def columns(rows: Sequence[Sequence[Any]]) -> dict[str, list[Any]]:
    """Return rows of step, set, ways and steps left as columns.

    Fields:
        ``s``, ``l``: steps and steps left, each as the difference from the one before; ``h``: sets; ``w``: ways, as how
        far on their nodes lie, one alone without its list.

    >>> columns([[0, 0, [1, -1], 2], [4, 1, [0], 1]])
    {'s': [0, 4], 'h': [0, 1], 'l': [2, -1], 'w': [[1, 'c'], -1]}
    """
    ways = [[_far(to, at) for to in row[2]] for at, row in enumerate(rows)]
    return {
        "s": _differences([row[0] for row in rows]),
        "h": [row[1] for row in rows],
        "l": _differences([row[3] for row in rows]),
        "w": [each[0] if len(each) == 1 else each for each in ways],
    }


def opened(page: Mapping[str, Any]) -> dict[str, Any]:
    """Return the data of a page with its nodes as rows, as `columns` had them; twin of ``opened`` in do-state.js."""
    nodes = page["nodes"]
    rows = [
        [step, there, [_to(to, at) for to in (ways if isinstance(ways, list) else [ways])], left]
        for at, (step, there, left, ways) in enumerate(
            zip(accumulate(nodes["s"]), nodes["h"], accumulate(nodes["l"]), nodes["w"], strict=True)
        )
    ]
    return {**page, "nodes": rows}


def _differences(numbers: list[int]) -> list[int]:
    return numbers[:1] + [later - before for before, later in pairwise(numbers)]


def _far(to: int, at: int) -> int | str:
    return CANNOT_BE if to == -1 else NO_MORE if to == -2 else to - at


def _to(far: int | str, at: int) -> int:
    return -1 if far == CANNOT_BE else -2 if far == NO_MORE else int(far) + at
