"""Processor seconds of whole commands on the demonstration: cold, nothing changed, one edit.

With ``KBGEN_BEFORE`` naming another checkout its commands are measured beside, in the same run. Python keeps its
compiled modules, as it does for a user, also where the environment of the bench forbids it.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tempfile
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from tests.bench.generate import generate

HERE = Path(__file__).parents[2]
TIMES = 3
SIZES = (1_000, 10_000)
COMMANDS = {
    "check": ["check"],
    "build": ["build", "--out", "OUT"],
    "locate": ["locate", "sb-limits", "--size", "sb-2", "--at", "T20=118"],
    "readings": ["readings", "sb-limits", "--size", "sb-2"],
    "order": ["order", "sb-limits", "--size", "sb-2"],
    "search": ["search", "limits", "not", "made"],
    "walk": ["walk", "sb-make-safe"],
}
GOALS = {
    "`--help`": 0.15,
    "`check`, cold": 4,
    "`build`, cold": 13,
    "`check`, nothing changed": 0.3,
    "10,000 entries: `check`, a symptom edited": 3,
    **{f"`{name}`, nothing changed": 0.6 for name in COMMANDS if name != "check"},
    **{
        f"`check`, {what} edited": 0.8
        for what in ("a symptom", "a caution", "a device", "a term", "a procedure")
    },
    **{
        f"`build`, {what} edited": 1.5
        for what in ("a symptom", "a caution", "a device", "a term", "a procedure")
    },
    **{f"`check`, {what} edited": 2.5 for what in ("equipment", "a circuit", "kb.yaml")},
    **{f"`build`, {what} edited": 5 for what in ("equipment", "a circuit", "kb.yaml")},
}
"""Processor seconds that were asked for."""
EDITS = {
    "a symptom": "symptoms/sb-limits-not-made.yaml",
    "a caution": "cautions/dry-boiler.yaml",
    "a device": "devices/sb-first-low-water.yaml",
    "a term": "terms/jumper.yaml",
    "a procedure": "procedures/sb-make-safe.yaml",
    "equipment": "equipment/ondrel-sb.yaml",
    "a circuit": "circuits/sb-limits.yaml",
    "kb.yaml": "kb.yaml",
}


class Shop:
    """A copy of a knowledge base, a cache of its own and a program that works on it."""

    def __init__(self, where: Path, source: Path, program: Path) -> None:
        self.root = where / "kb"
        self.out = where / "site"
        self.edits = 0
        shutil.copytree(source, self.root)
        path = os.pathsep.join([str(program), str(HERE)])
        self.environment = {
            **{name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"},
            "PYTHONPYCACHEPREFIX": str(where / "compiled"),
            "XDG_CACHE_HOME": str(where / "cache"),
            "PYTHONPATH": path,
        }
        self.peak = 0.0

    def seconds(self, words: list[str]) -> float:
        """Run a command; return its processor seconds, and keep the most memory it took in ``peak`` (MB)."""
        typed = [str(self.out) if word == "OUT" else word for word in words]
        kb = [] if typed == ["--help"] else ["--kb", str(self.root)]
        running = subprocess.Popen(
            [sys.executable, "-m", "kbgen", *typed, *kb],
            env=self.environment,
            cwd=self.root.parent,
            stdout=subprocess.DEVNULL,
        )
        _, status, used = os.wait4(running.pid, 0)
        running.returncode = os.waitstatus_to_exitcode(status)
        assert running.returncode in (0, 1), words
        self.peak = used.ru_maxrss / 1024
        return used.ru_utime + used.ru_stime

    def cold(self, words: list[str]) -> float:
        """Forget everything, then run a command."""
        shutil.rmtree(self.root.parent / "cache", ignore_errors=True)
        return self.seconds(words)

    def edit(self, path: str) -> None:
        """Change a title or the shop's name, each time another way."""
        file = self.root / path
        self.edits += 1
        text = file.read_text(encoding="utf-8")
        changed = re.sub(
            r"^((?:title|shop): .*?)(?: x\d+)?$", rf"\1 x{self.edits}", text, count=1, flags=re.MULTILINE
        )
        file.write_text(changed, encoding="utf-8")


def measured(shop: Shop) -> dict[str, float]:
    """Return the least of some runs of each command in each state, and the most memory (MB)."""
    found = {"`--help`": min(shop.seconds(["--help"]) for _ in range(TIMES))}
    for name in ("check", "build"):
        found[f"`{name}`, cold"] = min(shop.cold(COMMANDS[name]) for _ in range(2))
        found[f"memory of `{name}`, cold"] = shop.peak
    for name, words in COMMANDS.items():
        shop.seconds(words)
        found[f"`{name}`, nothing changed"] = min(shop.seconds(words) for _ in range(TIMES))
        found[f"memory of `{name}`, nothing changed"] = shop.peak
    for what, path in EDITS.items():
        for name in ("check", "build"):
            runs = []
            for _ in range(TIMES):
                shop.edit(path)
                runs.append(shop.seconds(COMMANDS[name]))
            found[f"`{name}`, {what} edited"] = min(runs)
    return found


def large(shop: Shop, entries: int) -> dict[str, float]:
    """Return what many generated entries cost."""
    what = f"{entries:,} entries: `check`"
    found = {f"{what}, cold": shop.cold(["check"]), f"memory of {what}, cold": shop.peak}
    found[f"{what}, nothing changed"] = shop.seconds(["check"])
    runs = []
    for _ in range(TIMES):
        shop.edit("symptoms/symptom-7.yaml")
        runs.append(shop.seconds(["check"]))
    return {**found, f"{what}, a symptom edited": min(runs)}


def run() -> list[str]:
    """Measure, and return a Markdown table."""
    programs = {"now": HERE}
    if other := os.environ.get("KBGEN_BEFORE"):
        programs = {"before": Path(other), **programs}
    columns: dict[str, dict[str, float]] = {}
    with tempfile.TemporaryDirectory() as temporary:
        # In a process that ends: what a child takes at most is counted from the memory of who starts it.
        with ProcessPoolExecutor(1) as apart:
            many = {
                size: apart.submit(generate, Path(temporary) / str(size), size).result() for size in SIZES
            }
        for name, program in programs.items():
            here = Path(temporary) / name
            columns[name] = measured(Shop(here / "demonstration", program / "kb_source", program))
            for size, root in many.items():
                columns[name] |= large(Shop(here / str(size), root, program), size)
    rows = ["| what | " + " | ".join(columns) + " | goal |", "| --- |" + " ---: |" * (len(columns) + 1)]
    for what in columns["now"]:
        figures = [_shown(what, found[what]) for found in columns.values()]
        rows.append(f"| {' | '.join([what, *figures, _shown(what, GOALS[what]) if what in GOALS else ''])} |")
    return [*rows, "", "Processor seconds, user and system, of whole commands; the least of several."]


def _shown(what: str, figure: float) -> str:
    return f"{figure:.0f} MB" if what.startswith("memory") else f"{figure:.2f} s"
