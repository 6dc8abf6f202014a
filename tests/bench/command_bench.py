"""Processor seconds of whole commands on the demonstration: cold, nothing changed, one edit.

With ``KBGEN_BEFORE`` naming another checkout its commands are measured beside, in the same run.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.bench.generate import generate

HERE = Path(__file__).parents[2]
TIMES = 3
COMMANDS = {
    "check": ["check"],
    "build": ["build", "--out", "OUT"],
    "locate": ["locate", "sb-limits", "--size", "sb-2", "--at", "T20=118"],
    "readings": ["readings", "sb-limits", "--size", "sb-2"],
    "order": ["order", "sb-limits", "--size", "sb-2"],
    "search": ["search", "limits", "not", "made"],
    "walk": ["walk", "sb-make-safe"],
}
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
        self.environment = {**os.environ, "XDG_CACHE_HOME": str(where / "cache"), "PYTHONPATH": path}

    def seconds(self, words: list[str]) -> float:
        """Run a command; return its processor seconds."""
        typed = [str(self.out) if word == "OUT" else word for word in words]
        kb = [] if typed == ["--help"] else ["--kb", str(self.root)]
        before = os.times()
        done = subprocess.run(
            [sys.executable, "-m", "kbgen", *typed, *kb],
            env=self.environment,
            cwd=self.root.parent,
            stdout=subprocess.DEVNULL,
            check=False,
        )
        after = os.times()
        assert done.returncode in (0, 1), words
        return after.children_user + after.children_system - before.children_user - before.children_system

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
    """Return the least of some runs of each command in each state."""
    found = {"`--help`": min(shop.seconds(["--help"]) for _ in range(TIMES))}
    for name in ("check", "build"):
        found[f"`{name}`, cold"] = min(shop.cold(COMMANDS[name]) for _ in range(2))
    for name, words in COMMANDS.items():
        shop.seconds(words)
        found[f"`{name}`, nothing changed"] = min(shop.seconds(words) for _ in range(TIMES))
    for what, path in EDITS.items():
        for name in ("check", "build"):
            runs = []
            for _ in range(TIMES):
                shop.edit(path)
                runs.append(shop.seconds(COMMANDS[name]))
            found[f"`{name}`, {what} edited"] = min(runs)
    return found


def large(shop: Shop) -> dict[str, float]:
    """Return what 10,000 generated entries cost."""
    found = {"10,000 entries: `check`, cold": shop.cold(["check"])}
    found["10,000 entries: `check`, nothing changed"] = shop.seconds(["check"])
    runs = []
    for _ in range(TIMES):
        shop.edit("symptoms/symptom-7.yaml")
        runs.append(shop.seconds(["check"]))
    return {**found, "10,000 entries: `check`, a symptom edited": min(runs)}


def run() -> list[str]:
    """Measure, and return a Markdown table."""
    programs = {"now": HERE}
    if other := os.environ.get("KBGEN_BEFORE"):
        programs = {"before": Path(other), **programs}
    columns: dict[str, dict[str, float]] = {}
    with tempfile.TemporaryDirectory() as temporary:
        many = generate(Path(temporary) / "many", 10_000)
        for name, program in programs.items():
            here = Path(temporary) / name
            columns[name] = measured(Shop(here / "demonstration", program / "kb_source", program))
            columns[name] |= large(Shop(here / "large", many, program))
    rows = ["| what | " + " | ".join(columns) + " |", "| --- |" + " ---: |" * len(columns)]
    rows += [
        f"| {what} | " + " | ".join(f"{found[what]:.2f} s" for found in columns.values()) + " |"
        for what in columns["now"]
    ]
    return [*rows, "", "Processor seconds, user and system, of whole commands; the least of several."]
