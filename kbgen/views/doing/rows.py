"""The data of a page as it is shipped: nodes in columns, what is alike once, a long page in several files."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from hashlib import sha256
from itertools import accumulate, pairwise
from typing import Any

CANNOT_BE, NO_MORE = "c", "n"
"""In place of how far on the node lies that an answer leads to."""
MOST, MOST_STEPS = 42_000, 40_000
"""Characters of a page that is one file, and of a file of steps alone: 10 KB when they are sent, a test says."""

Row = Sequence[Any]
"""Step, set, ways, steps left."""


def packed(page: Mapping[str, Any]) -> Iterator[str]:
    """Yield the files of a page as JSON: its data, and its steps in files of their own where both do not go into one.

    Args:
        page: See ``doing_data``; ``holds`` are numbers in ascending order, ``nodes`` are rows.

    Fields:
        ``nodes``: see `columns`, in the order of `walked`; ``holds``: which numbers come in or go out from one set to
        the next; ``steps``: different ones, ``which`` of them each is and ``at`` which anchor; ``parts``: how many
        files follow; ``mark``: what each of them begins with, so that none of another edition is taken.
    """
    rows, holds = _renumbered(walked(page["nodes"]), page["holds"])
    anchors = [step["at"] for step in page["steps"]]
    alike: dict[str, int] = {}
    which = [
        alike.setdefault(_json({name: value for name, value in step.items() if name != "at"}), len(alike))
        for step in page["steps"]
    ]
    mark = sha256("".join(alike).encode()).hexdigest()[:8]
    data = {
        **page,
        "nodes": columns(rows),
        "holds": _turned(holds),
        "which": _differences(which),
        "at": anchors,
        "steps": [],
    }
    whole = _json({**data, "steps": [json.loads(step) for step in alike]})
    if len(whole) <= MOST:
        yield whole
        return
    files = list(_cut(list(alike)))
    yield _json({**data, "parts": len(files), "mark": mark})
    for steps in files:
        yield _json([mark, *(json.loads(step) for step in steps)])


def opened(page: Mapping[str, Any], *parts: Sequence[Any]) -> dict[str, Any]:
    """Return the data of a page as `packed` had it, its nodes in another order; twin of ``opened`` in do-state.js.

    Raises:
        ValueError: A part is missing, or belongs to another edition.
    """
    if [part[0] for part in parts] != [page.get("mark")] * page.get("parts", 0):
        raise ValueError(f"{page['id']} is not all here")
    bodies = [*page["steps"], *(step for part in parts for step in part[1:])]
    nodes = page["nodes"]
    columns_ = (accumulate(nodes["s"]), accumulate(nodes["h"]), accumulate(nodes["l"]), nodes["w"])
    rows = [
        [step, there, [_to(to, at) for to in (ways if isinstance(ways, list) else [ways])], left]
        for at, (step, there, left, ways) in enumerate(zip(*columns_, strict=True))
    ]
    sets = accumulate((frozenset(turned) for turned in page["holds"]), lambda there, turned: there ^ turned)
    steps = [
        {**bodies[each], "at": at} for each, at in zip(accumulate(page["which"]), page["at"], strict=True)
    ]
    rest = {name: value for name, value in page.items() if name not in ("parts", "mark", "which", "at")}
    return {**rest, "nodes": rows, "holds": [sorted(each) for each in sets], "steps": steps}


def columns(rows: Sequence[Row]) -> dict[str, list[Any]]:
    """Return rows as columns.

    Fields:
        ``s``, ``h``, ``l``: steps, sets and steps left, each as the difference from the one before; ``w``: ways, as how
        far on their nodes lie, one alone without its list.

    >>> columns([[0, 0, [1, -1], 2], [4, 1, [0], 1]])
    {'s': [0, 4], 'h': [0, 1], 'l': [2, -1], 'w': [[1, 'c'], -1]}
    """
    ways = [[_far(to, at) for to in row[2]] for at, row in enumerate(rows)]
    return {
        "s": _differences([row[0] for row in rows]),
        "h": _differences([row[1] for row in rows]),
        "l": _differences([row[3] for row in rows]),
        "w": [each[0] if len(each) == 1 else each for each in ways],
    }


def walked(rows: Sequence[Row]) -> list[Row]:
    """Return nodes in the order in which one is met who always takes the first way, then the second.

    So neighbours are mostly a step and the one after it, which takes half the room.

    >>> walked([[0, 0, [2, 1], 2], [8, 0, [], 1], [4, 0, [1], 1]])
    [[0, 0, [1, 2], 2], [4, 0, [2], 1], [8, 0, [], 1]]
    """
    met: dict[int, int] = {}
    waiting = [0]
    while waiting:
        node = waiting.pop()
        if node not in met:
            met[node] = len(met)
            waiting.extend(to for to in reversed(rows[node][2]) if to >= 0)
    return [
        [rows[node][0], rows[node][1], [met[to] if to >= 0 else to for to in rows[node][2]], rows[node][3]]
        for node in met
    ]


def _renumbered(rows: Sequence[Row], sets: Sequence[Any]) -> tuple[list[Row], list[Any]]:
    """Number sets in the order in which they are met."""
    met: dict[int, int] = {}
    new: list[Row] = [[step, met.setdefault(there, len(met)), ways, left] for step, there, ways, left in rows]
    return new, [sets[there] for there in met]


def _turned(sets: Sequence[Sequence[int]]) -> list[list[int]]:
    """Return of each set what differs from the one before.

    >>> _turned([[0, 1], [1, 2], [1, 2, 3]])
    [[0, 1], [0, 2], [3]]
    """
    return [sorted(set(now) ^ set(before)) for before, now in pairwise([[], *sets])]


def _cut(texts: Sequence[str]) -> Iterator[list[str]]:
    """Yield texts in lists that make a file each."""
    here: list[str] = []
    for text in texts:
        if here and sum(map(len, here)) + len(text) > MOST_STEPS:
            yield here
            here = []
        here.append(text)
    yield here


def _json(data: object) -> str:
    return json.dumps(data, ensure_ascii=False, separators=(",", ":"))


def _differences(numbers: list[int]) -> list[int]:
    return numbers[:1] + [later - before for before, later in pairwise(numbers)]


def _far(to: int, at: int) -> int | str:
    return CANNOT_BE if to == -1 else NO_MORE if to == -2 else to - at


def _to(far: int | str, at: int) -> int:
    return -1 if far == CANNOT_BE else -2 if far == NO_MORE else int(far) + at
