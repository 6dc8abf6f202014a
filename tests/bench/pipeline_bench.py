"""What each stage costs in processor time, beside MkDocs alone on the same page tree."""

from __future__ import annotations

import gc
import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from kbgen.outputs.guide import make_binder
from kbgen.outputs.index import make_index
from kbgen.outputs.web import build_edition
from kbgen.pipeline import compile_folder
from kbgen.render.web import mkdocs_build as mkdocs
from kbgen.render.web.pages import leaves_of, page_tree
from kbgen.views.page import Book
from tests.bench.generate import generate

T = TypeVar("T")
SIZES = (100, 1000, 5000)
ROUNDS = 3
"""A shared processor is up to twice as fast from one minute to the next: the sizes take turns, and of each
figure the least counts."""


def run() -> list[str]:
    """Measure, and return the lines of a Markdown table."""
    with tempfile.TemporaryDirectory() as temporary:
        roots = {size: generate(Path(temporary) / str(size), size) for size in SIZES}
        rounds = [_round(Path(temporary)) for _ in range(ROUNDS)]
        rows = {
            size: {what: min(each[size][what] for each in rounds) for what in rounds[0][size]}
            for size in SIZES
        }
        for size, root in roots.items():
            print(f"bare mkdocs, {size} entries …", file=sys.stderr)
            rows[size]["bare"] = bare_mkdocs(compile_folder(root).book(), Path(temporary) / f"bare-{size}")
    lines = [
        f"Processor seconds; of {ROUNDS} rounds the least, bare MkDocs once.",
        "",
        "| entries | check | index | whole build | of it MkDocs | bare `mkdocs build` | everything but MkDocs | an entry | guide | an entry |",
        "| ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: |",
    ]
    for size, row in rows.items():
        lines.append(
            f"| {size} | {row['check']:.2f} s | {row['index']:.2f} s | {row['build']:.2f} s | {row['mkdocs']:.2f} s "
            f"| {row['bare']:.2f} s | {row['own']:.2f} s | {row['own'] / size * 1000:.2f} ms "
            f"| {row['guide']:.2f} s | {row['guide'] / size * 1000:.2f} ms |"
        )
    times = {what: rows[5000][what] / rows[1000][what] for what in ("own", "check", "guide")}
    lines += [
        "",
        f"5,000 entries cost {times['own']:.2f} times 1,000 (everything but MkDocs); the check alone "
        f"{times['check']:.2f} times, the guide {times['guide']:.2f} times.",
    ]
    return lines


def _round(folder: Path) -> dict[int, dict[str, float]]:
    """Measure every size once, in a process of its own: Typst remembers what it has set before."""
    done = subprocess.run(
        [sys.executable, "-m", "tests.bench.pipeline_bench", str(folder)], check=True, stdout=subprocess.PIPE
    )
    return {int(size): found for size, found in json.loads(done.stdout).items()}


def measure(entries: int, root: Path) -> dict[str, float]:
    """Return processor seconds of each stage for the knowledge base at ``root``."""
    with tempfile.TemporaryDirectory() as temporary:
        out = Path(temporary) / "site"
        found: dict[str, float] = {}
        print(f"{entries} entries …", file=sys.stderr)
        compiled, found["check"] = timed(lambda: compile_folder(root))
        assert compiled.sound, "the generated knowledge base must be in order"
        _, found["index"] = timed(lambda: make_index(compiled))
        in_mkdocs: list[float] = []
        whole = mkdocs.mkdocs_build

        def counted(*args: object) -> None:
            _, seconds = timed(lambda: whole(*args))
            in_mkdocs.append(seconds)

        mkdocs.mkdocs_build = counted
        try:
            _, found["build"] = timed(lambda: build_edition(compile_folder(root), out, lambda _: None))
        finally:
            mkdocs.mkdocs_build = whole
        found["mkdocs"] = sum(in_mkdocs)
        found["own"] = found["build"] - found["mkdocs"]
        _, found["guide"] = timed(lambda: make_binder(compiled, Path(temporary) / "guide.pdf"))
        return found


def timed(work: Callable[[], T]) -> tuple[T, float]:
    """Do some work; return its result and the processor seconds it took in this process."""
    start = time.process_time()
    result = work()
    return result, time.process_time() - start


def bare_mkdocs(book: Book, folder: Path) -> float:
    """Return the processor seconds of a plain ``mkdocs build`` of the same page tree, theme as it comes."""
    pages = folder / "bare"
    for path, text in page_tree(leaves_of(book)):
        file = pages / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")
    config = folder / "bare.yml"
    config.write_text(
        f"site_name: Bench\ndocs_dir: {pages}\nsite_dir: {folder / 'bare-site'}\nuse_directory_urls: false\n"
        "theme: {name: material, font: false}\nplugins: []\n",
        encoding="utf-8",
    )
    before = os.times()
    subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", "-q", "-f", str(config)],
        check=True,
        env={**os.environ, "NO_MKDOCS_2_WARNING": "1"},
        stderr=subprocess.DEVNULL,
    )
    after = os.times()
    return after.children_user + after.children_system - before.children_user - before.children_system


if __name__ == "__main__":
    gc.disable()  # as the command line does
    print(json.dumps({size: measure(size, Path(sys.argv[1]) / str(size)) for size in SIZES}))
