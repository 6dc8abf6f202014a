"""How long a person waits for ``kbgen check``, as a new process: cold, and again with nothing changed."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.bench.generate import generate

SIZES = (165, 1000, 10_000)
TIMES = 5


def run() -> list[str]:
    """Measure, and return a Markdown table; each figure is the least of several runs."""
    lines = [
        "| entries | cold | nothing changed | processor, cold | processor, nothing changed |",
        "| ---: | ---: | ---: | ---: | ---: |",
    ]
    for size in SIZES:
        with tempfile.TemporaryDirectory() as temporary:
            root = generate(Path(temporary) / "kb", size)
            runs = 2 if size > 1000 else TIMES
            cold = [_check(root, Path(temporary), "--no-cache") for _ in range(runs)]
            _check(root, Path(temporary))
            again = [_check(root, Path(temporary)) for _ in range(TIMES)]
        figures = [min(each[part] for each in found) for part in (0, 1) for found in (cold, again)]
        lines.append(f"| {size:,} | " + " | ".join(f"{figure:.2f} s" for figure in figures) + " |")
    return [*lines, "", f"Start of Python included; least of {TIMES} runs (10,000 cold: of 2)."]


def _check(root: Path, home: Path, *options: str) -> tuple[float, float]:
    """Return the seconds on the clock and in the processor of one check."""
    before, start = os.times(), time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-m", "kbgen", "check", "--kb", str(root), *options],
        env={**os.environ, "XDG_CACHE_HOME": str(home)},
        stdout=subprocess.DEVNULL,
        check=False,
    )
    clock, after = time.perf_counter() - start, os.times()
    assert done.returncode == 0, "the generated knowledge base must be in order"
    processor = after.children_user + after.children_system - before.children_user - before.children_system
    return clock, processor
