"""How the columns of a printed table share its width."""

from __future__ import annotations

from kbgen.render.guide.tables import INSET, columns

FULL = "Full: within 5 V of T19, 85 V or more"
WHOLE = "T23 to T24 open: the operating control, or its wires. Below 85 psi it is not satisfied."


def test_the_column_that_makes_its_rows_tall_gets_the_room() -> None:
    found = columns([("Point", FULL, "None"), ("T24", "to T21", WHOLE), ("T21", "to T22", WHOLE)], 28)
    assert found is not None
    _, full, none = found
    assert none > 1.5 * full
    assert sum(found) <= 28


def test_what_fits_is_as_wide_as_its_words() -> None:
    found = columns([("A", "B"), ("one", "two words")], 40)
    assert found is not None
    assert sum(found) < 12
    assert min(found) > INSET


def test_words_that_do_not_fit_are_set_row_by_row() -> None:
    assert columns([("A", "B"), ("counterbalanced", "interchangeable")], 10) is None
