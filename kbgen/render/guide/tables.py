"""How wide the columns of a table become, so that nothing is cut at the margin."""

from __future__ import annotations

from collections.abc import Sequence

from kbgen.render.guide.glyphs import width

WIDEST_WORD = 14.0
"""A longer word, in multiples of the text size, does not claim room; it is broken instead."""

INSET = 0.8
"""Room beside a cell's text, left and right together."""

_STEP = 0.5
"""What a column is given at a time."""

SLACK = 0.2
"""Room given to a column beyond its widest word, so that rounding breaks no word."""


def columns(cells: Sequence[Sequence[str]], room: float) -> tuple[float, ...] | None:
    """Share ``room`` among the columns by what stands in them.

    Every column gets its widest word; what is left goes to those that make the rows tall.

    Args:
        cells: The head and the rows as plain text.
        room: Width of the table in multiples of its text size.

    Returns:
        One width a column, in sum ``room`` at most; ``None`` when the table is too wide for
        columns and has to be written row by row.
    """
    least, wished = [], []
    for column in zip(*cells, strict=True):
        words = {word for text in column for word in text.split(" ")}
        widest = max(_width(word) for word in words)
        least.append(min(widest, WIDEST_WORD) + INSET + SLACK)
        wished.append(max(_width(text) for text in column) + INSET + SLACK)
    if sum(least) > room:
        return None
    wishes = [max(wish, need) for wish, need in zip(wished, least, strict=True)]
    if sum(wishes) <= room:
        return tuple(wishes)
    sizes = [[_width(text) for text in row] for row in cells]
    return _shared(sizes, least, wishes, room - sum(least))


def _shared(
    sizes: Sequence[Sequence[float]], least: Sequence[float], wishes: Sequence[float], spare: float
) -> tuple[float, ...]:
    """Give the spare room step by step to the column by which the rows lose most of their height."""
    found = list(least)
    for _ in range(int(spare / _STEP)):
        saves = [0.0] * len(found)
        for row in sizes:
            lines = [size / (room - INSET) for size, room in zip(row, found, strict=True)]
            worst = max(range(len(found)), key=lines.__getitem__)
            saves[worst] += max(0.0, lines[worst] - 1) / (found[worst] - INSET)
        open_ = [at for at, wish in enumerate(wishes) if found[at] + _STEP <= wish]
        if not open_:
            break
        found[max(open_, key=saves.__getitem__)] += _STEP
    return tuple(round(each, 2) for each in found)


def rows_fit(cells: Sequence[Sequence[str]], widths: Sequence[float], lines: int) -> bool:
    """Whether every row surely needs fewer than ``lines`` lines, so that it may stay on one sheet."""
    return all(
        1.5 * _width(text) / (room - INSET) + 1 < lines
        for row in cells
        for text, room in zip(row, widths, strict=True)
    )


def _width(text: str) -> float:
    """Width in whichever face is the wider: a cell may hold marks."""
    return max(width(text, bold=True), width(text, mono=True))
