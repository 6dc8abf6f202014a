"""The shipped data: the very figures the command line judges by."""

from __future__ import annotations

import json

import numpy as np
import pytest

from kbgen.compute.circuit.ship import FIRST, browser_data
from tests.unit.circuit.test_locate import CASES, prepared


@pytest.mark.parametrize("case", range(len(CASES)))
def test_the_browser_gets_the_intervals_of_the_table(case):
    probing = prepared(case)
    data = json.loads(json.dumps(browser_data(probing)))
    pieces = probing.table.pieces
    for k, (owner, least, most, *rows) in enumerate(data["pieces"]):
        assert (owner, least, most) == (pieces.owner[k], *pieces.swing[k])
        for mode, row in enumerate(rows):
            told = [
                cells[2 * (ord(sign) - FIRST) :][:2]
                for cells, sign in zip(data["cells"], data["rows"][row], strict=True)
            ]
            assert np.array_equal(told, pieces.volts[mode, k])
    assert [fault["weight"] for fault in data["faults"]] == list(probing.suspicion.weights)
