"""Leads belong to terminals: who watches a gauge is not told to clip any on."""

from __future__ import annotations

import pytest

from kbgen.views.procedure import procedure_page
from tests.unit.walk.procedures import procedure


@pytest.mark.parametrize(
    ("watched", "told"),
    [({"watch": "pressure", "point": "plug"}, False), ({"watch": "volts", "at": "X2", "to": "N"}, True)],
)
def test_only_a_reading_at_terminals_speaks_of_leads(watched, told) -> None:
    base, entry = procedure([{"do": "Watch it.", **watched}, "leave"])
    page = procedure_page(base, entry, entry.record, {})
    assert ("Clip the leads on" in repr(page)) is told
