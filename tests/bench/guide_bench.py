"""What booklets and binders of many plants cost: processor time, and memory of the largest process."""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

from tests.bench.generate import generate

PLANTS = (10, 20, 40)
ENTRIES = 125
"""Entries of a plant; forty have five thousand."""
TOO_MANY = 301
_MEASURE = """
import resource, subprocess, sys
status = subprocess.run(sys.argv[1:]).returncode
used = resource.getrusage(resource.RUSAGE_CHILDREN)
print(used.ru_utime + used.ru_stime, used.ru_maxrss)
sys.exit(status)
"""


def run() -> list[str]:
    """Measure, and return the lines of a Markdown table."""
    lines = [
        f"{ENTRIES} entries a plant, generated. The base comes from the store; the first command after a change is apart.",
        "",
        "| plants | entries | what | processor time | a plant | largest process |",
        "| ---: | ---: | --- | ---: | ---: | ---: |",
    ]
    with tempfile.TemporaryDirectory() as temporary:
        for plants in PLANTS:
            root = generate(Path(temporary) / str(plants), plants * ENTRIES, plants)
            lines += measured(root, plants)
        large = generate(Path(temporary) / "large", TOO_MANY)
        found = _guide(large, "--equipment", "plant-0")[2]
        told = next((line for line in found.splitlines() if "too many for a booklet" in line), "nothing")
    return [*lines, "", f"One plant of {TOO_MANY} entries and its own: `{told}`."]


def measured(root: Path, plants: int) -> list[str]:
    """Measure the knowledge base at ``root``; return its rows."""
    rows = []
    for what, given in (
        ("first, one booklet", ["--equipment", "plant-0"]),
        ("booklets", []),
        ("binders", ["--binder"]),
    ):
        print(f"{plants} plants, {what} …", file=sys.stderr)
        seconds, memory, _ = _guide(root, *given)
        books = 1 if "--equipment" in given else plants
        rows.append(
            f"| {plants} | {plants * ENTRIES} | {what} | {seconds:.1f} s | {seconds / books:.2f} s | {memory} MB |"
        )
    return rows


def _guide(root: Path, *given: str) -> tuple[float, int, str]:
    """Run the command; return its processor seconds, the megabytes of its largest process, and what it said."""
    with tempfile.TemporaryDirectory() as out:
        command = [sys.executable, "-m", "kbgen", "guide", "--kb", str(root), "--out", out, *given]
        # Whoever starts a process hands its own size on as the least that is measured of it, and generating takes more
        # than a book does: so a small process starts the command and measures.
        done = subprocess.run(
            [sys.executable, "-c", _MEASURE, *command], capture_output=True, text=True, check=False
        )
    if done.returncode:
        raise RuntimeError(f"kbgen guide ended with {done.returncode}: {done.stderr}")
    seconds, kilobytes = done.stdout.splitlines()[-1].split()
    return float(seconds), int(kilobytes) // 1024, done.stdout
