"""What is read of a report of Lighthouse: a run that could not be measured never looks like a good one."""

from __future__ import annotations

from math import inf

from tests.bench.lighthouse import FIGURES, KINDS, read


def test_what_could_not_be_measured_counts_as_the_worst() -> None:
    scores = {kind: {"score": 0.97} for kind in KINDS}
    figures = {name: {"numericValue": 0.02} for name in FIGURES.values()}
    assert read({"categories": scores, "audits": figures}) == [97, 97, 97, 0.02, 0.02, 0.02]
    failed = figures | {"cumulative-layout-shift": {"score": None, "numericValue": None}}
    del failed["total-blocking-time"]
    scores["performance"] = {"score": None}  # type: ignore[dict-item]
    assert read({"categories": scores, "audits": failed}) == [0, 97, 97, inf, inf, 0.02]
