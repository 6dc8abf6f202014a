"""Where a value stands."""

from __future__ import annotations

import pytest

from kbgen.position import Position, Route, Spot
from tests.unit.load.reading import read_text

TEXT = """# a comment
title: "Quoted: text"
ä: 72 °F
steps:
  - do: |
      First line.
      See [cutoff](device:lwco) now.
    next: {to: end, "on": no}
  - [a, b]
empty:
"""


@pytest.mark.parametrize(
    ("route", "on_key", "find", "expected"),
    [
        ((), False, "", (2, 1)),
        (("title",), False, "", (2, 8)),
        (("title",), True, "", (2, 1)),
        (("title",), False, "text", (2, 17)),
        (("ä",), False, "°", (3, 7)),
        (("steps",), False, "", (5, 3)),
        (("steps",), True, "", (4, 1)),
        (("steps", 0, "do"), False, "", (5, 9)),
        (("steps", 0, "do"), False, "device:lwco", (7, 20)),
        (("steps", 0, "do"), False, "not there", (5, 9)),
        (("steps", 0, "next", "on"), False, "", (8, 27)),
        (("steps", 0, "next", "on"), True, "", (8, 21)),
        (("steps", 1, 1), False, "", (9, 9)),
        (("steps", 1, 7), False, "", (9, 5)),
        (("steps", 0, "missing", "deeper"), True, "", (5, 5)),
        (("empty",), True, "", (10, 1)),
    ],
)
def test_a_route_leads_to_line_and_column(
    route: Route, on_key: bool, find: str, expected: tuple[int, int]
) -> None:
    document, problems = read_text(TEXT)
    assert problems == []
    assert document.source.resolve(Spot(document.path, route, on_key, find)) == Position(*expected)


def test_windows_line_ends_do_not_shift_positions() -> None:
    document, _ = read_text(TEXT.replace("\n", "\r\n").encode())
    assert document.source.resolve(Spot(document.path, ("steps", 1, 1))) == Position(9, 9)
