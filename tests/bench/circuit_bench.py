"""The circuit arithmetic in processor time of this process."""

from __future__ import annotations

import gzip
import random
import statistics
import time
from collections.abc import Callable

from kbgen.compute.circuit.evidence import Reading
from kbgen.compute.circuit.inference import judge, locate
from kbgen.compute.circuit.interval import find_row, solve_row
from kbgen.compute.circuit.order import make_order
from kbgen.compute.circuit.plan import Probe, Task
from kbgen.compute.circuit.probing import prepare
from kbgen.compute.circuit.readings import readings
from kbgen.views.ladder import ladder
from tests.unit.circuit.bases import read_base, string
from tests.unit.circuit.generated import random_circuit


def timed(what: Callable[[], object], times: int = 7) -> tuple[float, float]:
    """Return least and median milliseconds."""
    taken = []
    for _ in range(times):
        start = time.process_time()
        what()
        taken.append((time.process_time() - start) * 1000)
    return min(taken), statistics.median(taken)


def series(devices: int):
    path: list[dict] = [{"point": "L"}, {"fuse": "F1"}]
    for n in range(devices):
        path += [{"point": f"X3:{n}"}, {"contact": f"device-{n}"}]
    path += [{"point": f"X3:{devices}"}, {"input": "limits"}, {"point": "N"}]
    return string(path, {"voltage": "120 V ± 10 %", "current": "AC"})


def run() -> list[str]:
    """Measure, and return Markdown lines."""
    lines = ["| what | least ms | median ms | goal |", "| --- | --- | --- | --- |"]

    def row(what: str, work: Callable[[], object], goal: str = "") -> None:
        least, median = timed(work)
        lines.append(f"| {what} | {least:.1f} | {median:.1f} | {goal} |")

    base = series(25)
    row(
        "readings, 28 points, single faults, both meters",
        lambda: readings(base, "c", pairs=False),
        "50 ms (27 points)",
    )
    table = readings(base, "c", pairs=False)
    row("preparation and order of the same string", lambda: make_order(prepare(table)))
    row(
        "readings, preparation and order together",
        lambda: make_order(prepare(readings(base, "c", pairs=False))),
        "50 ms, besides the sweep of earth faults",
    )
    row("readings, 28 points, with 300 pairs of opens", lambda: readings(base, "c"))
    rng = random.Random(3)
    outcomes = tuple(tuple("none" if h <= k else "full" for h in range(26)) for k in range(25))
    tests = tuple(Probe(f"t{k}", 1.0, frozenset([k % 5])) for k in range(25))
    task = Task(tuple(rng.uniform(0.1, 3) for _ in range(26)), tests, outcomes, (1.0, 3.0, 2.0, 4.0, 8.0))
    found = find_row(task)
    assert found
    row("order, 25 devices, 5 covers, exact", lambda: solve_row(task, found), "50 ms")
    ondrel = read_base("ondrel")
    row("locate, Ondrel limits, cold", lambda: locate(ondrel, "limits", [Reading("X1:1", "full")]))
    probing = prepare(readings(ondrel, "limits"))
    row("locate, Ondrel limits, next reading", lambda: judge(probing, [Reading("X1:1", "full")]))
    gaps = []
    for seed in range(30):
        probing = prepare(readings(random_circuit(random.Random(seed)), "c", pairs=False))
        start = time.process_time()
        order = make_order(probing)
        gaps.append(
            (time.process_time() - start, order.gap, probing.row is not None, len(probing.table.devices))
        )
    lines += ["", "Generated circuits, 5 to 30 devices with parallel parts:", ""]
    lines += ["| devices | one string | order s | gap |", "| --- | --- | --- | --- |"]
    for seconds, gap, is_row, devices in sorted(gaps, key=lambda g: g[3]):
        lines.append(f"| {devices} | {'yes' if is_row else 'no'} | {seconds:.2f} | {gap:.1%} |")
    svg = ladder(base, "c").svg
    return [
        *lines,
        "",
        f"Ladder of 25 devices: {len(svg)} bytes, {len(gzip.compress(svg.encode()))} gzipped.",
    ]
