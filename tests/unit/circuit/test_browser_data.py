"""The shipped data judged as plainly as a browser does, against `locate`: the same must remain."""

from __future__ import annotations

import json
import random

import pytest

from kbgen.compute.circuit.evidence import Reading
from kbgen.compute.circuit.inference import judge
from kbgen.compute.circuit.ship import browser_data
from tests.unit.circuit.test_locate import CASES, prepared


def remain(data, taken):
    """Intersect digits: everything the browser is to do."""

    def said(reading):
        if isinstance(reading.value, str):
            return {"none": 1, "some": 2, "full": 4}[reading.value]
        return 1 if reading.value <= data["none_to"] else 4 if reading.value >= data["full_from"] else 2

    full = {r.port for r in taken if said(r) == 4}
    left = set(range(len(data["faults"])))
    for reading in taken:
        what, port = said(reading), data["ports"].index(reading.port)
        if what == 2 and not reading.low_z:
            continue
        needed = data["before"].get(reading.port, data["supply"])
        if what == 1 and reading.port != data["supply"] and needed not in full:
            continue
        for row, digits in enumerate(data["words"]["low_z" if reading.low_z else "high_z"]):
            fits = int(digits[port]) & what
            if fits and what == 2 and not isinstance(reading.value, str):
                least, most = data["middle"][str(row)][str(port)]
                fits = least <= reading.value <= most
            if not fits:
                left.discard(row)
    return left


@pytest.mark.parametrize("case", range(len(CASES)))
def test_what_remains_in_the_browser_is_what_locate_says(case):
    probing = prepared(case)
    data = json.loads(json.dumps(browser_data(probing)))
    rng = random.Random(case)
    for _ in range(100):
        taken = []
        for _ in range(rng.randint(1, 5)):
            port = rng.choice(data["ports"])
            value = rng.choice(["none", "some", "full", rng.uniform(0, 130), rng.uniform(0, 30)])
            taken.append(Reading(port, value, rng.random() < 0.4))
        assert remain(data, taken) == {row for row, _ in judge(probing, taken).remaining}
