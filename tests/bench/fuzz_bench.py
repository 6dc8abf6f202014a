"""Damaged files through the whole check: no traceback, no hang, no lost problem, little memory.

The damaged files of one folder lie between the whole demonstration plant, so that they also meet in linking,
in the walk and in the rules.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import traceback
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

from kbgen.pipeline import Compiled, compile_folder
from kbgen.report import as_github, as_json, as_text, locate
from kbgen.report.sarif import as_sarif
from tests.bench.damage import KINDS

DEMONSTRATION = Path(__file__).parents[2] / "kb_source"
WHOLE = ("equipment", "circuits", "devices")
INPUTS = 20_000
FOLDER = 20
MOST_SECONDS = 15.0
"""Of the processor: other programs on the machine must not make the check look slow."""
MOST_CLOCK_SECONDS = 60.0
"""For what waits and does nothing, such as a pipe that nobody writes to."""
MOST_MEGABYTES = 500


@dataclass
class Figures:
    """What came out; faults and the slowest folder come with its seed."""

    inputs: int = 0
    kinds: Counter[str] = field(default_factory=Counter)
    problems: int = 0
    slowest: tuple[float, int] = (0.0, 0)
    megabytes: int = 0
    faults: list[str] = field(default_factory=list)


def run() -> list[str]:
    """Damage 20,000 files, and return the figures as Markdown."""
    start = time.perf_counter()
    found = in_another_process(INPUTS, 0)
    kinds: dict[str, int] = found["kinds"]
    return [
        f"{found['inputs']:,} damaged files of {len(kinds)} kinds, {FOLDER} at a time among the devices and "
        f"circuits of the demonstration, through the whole check and every report; "
        f"{time.perf_counter() - start:.0f} s.",
        "",
        f"- Tracebacks, hangs over {MOST_SECONDS:.0f} s of the processor, lost problems: {len(found['faults'])}.",
        f"- {found['problems']:,} problems reported; slowest folder {found['slowest'][0]:.2f} s; "
        f"at most {found['megabytes']} MB (limit {MOST_MEGABYTES} MB).",
        f"- Kinds: {', '.join(f'{name} {count}' for name, count in sorted(kinds.items()))}.",
        *(f"- Fault: {fault}" for fault in found["faults"]),
    ]


def in_another_process(inputs: int, seed: int) -> dict[str, object]:
    """Do it where the memory measured is that of the check alone."""
    words = [sys.executable, "-m", "tests.bench.fuzz_bench", str(inputs), str(seed)]
    root = Path(__file__).parents[2]
    done = subprocess.run(words, cwd=root, capture_output=True, text=True, check=False)
    if done.returncode:
        raise RuntimeError(done.stderr[-2000:])
    figures: dict[str, object] = json.loads(done.stdout)
    return figures


def fuzz(inputs: int, seed: int) -> Figures:
    """Damage files, check them, and note whatever must not happen."""
    signal.signal(signal.SIGALRM, _hung)
    signal.signal(signal.SIGPROF, _hung)
    good = {
        path.relative_to(DEMONSTRATION).as_posix(): path.read_text(encoding="utf-8")
        for path in sorted(DEMONSTRATION.glob("*/*.yaml"))
    }
    figures = Figures()
    with tempfile.TemporaryDirectory() as temporary:
        root = Path(temporary) / "kb"
        while figures.inputs < inputs:
            _folder(root, good, seed, figures)
            seed += 1
    figures.megabytes = _most_megabytes()
    if figures.megabytes > MOST_MEGABYTES:
        figures.faults.append(f"{figures.megabytes} MB")
    return figures


def _most_megabytes() -> int:
    """Return the most memory this program held.

    Not ``ru_maxrss``: a program started from a large one inherits the large one's figure.
    """
    for line in Path("/proc/self/status").read_text(encoding="ascii").splitlines():
        if line.startswith("VmHWM:"):
            return int(line.split()[1]) // 1024
    raise RuntimeError("the system does not tell how much memory was held")


def _folder(root: Path, good: dict[str, str], seed: int, figures: Figures) -> None:
    rng = random.Random(seed)
    shutil.rmtree(root, ignore_errors=True)
    for name in WHOLE:
        shutil.copytree(DEMONSTRATION / name, root / name)
    shutil.copy(DEMONSTRATION / "kb.yaml", root)
    damaged = {}
    for path in rng.sample(sorted(good), FOLDER):
        kind = rng.choice(sorted(KINDS))
        file = root / path
        file.parent.mkdir(exist_ok=True)
        file.write_bytes(KINDS[kind].make(good[path], rng))
        damaged[path] = kind
    odd = _odd_files(root, rng)
    figures.inputs += len(damaged) + len(odd)
    figures.kinds.update([*damaged.values(), *odd.values()])
    start = time.process_time()
    signal.setitimer(signal.ITIMER_PROF, MOST_SECONDS)
    signal.setitimer(signal.ITIMER_REAL, MOST_CLOCK_SECONDS)
    try:
        compiled = compile_folder(root)
        located = locate(compiled.problems, compiled.documents)
        for report in (as_text, as_github, as_sarif):
            report(located).encode()
        json.dumps(as_json(located, 0)).encode()
    except (Exception, Hung):
        last = traceback.format_exc().strip().splitlines()[-3:]
        figures.faults.append(f"folder {seed}: {' / '.join(each.strip() for each in last)}")
        return
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.setitimer(signal.ITIMER_REAL, 0)
    figures.slowest = max(figures.slowest, (time.process_time() - start, seed))
    figures.problems += len(located)
    wanted = {path for path, kind in damaged.items() if KINDS[kind].bad} | set(odd)
    figures.faults += [f"folder {seed}: {each}" for each in _lost(compiled, wanted, {**damaged, **odd})]


def _lost(compiled: Compiled, wanted: set[str], kinds: dict[str, str]) -> list[str]:
    """Files without a problem that must have one, and problems that are ours."""
    errors = {problem.place.path for problem in compiled.problems if problem.severity == "error"}
    unsound = {document.path for document in compiled.documents if not document.sound}
    unsound |= wanted
    return [
        *(
            f"{path} ({kinds.get(path)}) is not in order and has no error"
            for path in sorted(unsound - errors)
        ),
        *(
            f"{problem.place.path} ({kinds.get(problem.place.path)}): {problem.message}"
            for problem in compiled.problems
            if problem.rule == "internal-error"
        ),
    ]


def _odd_files(root: Path, rng: random.Random) -> dict[str, str]:
    """What lies in a folder and is no ordinary file."""
    path = f"devices/odd-{rng.randint(0, 9)}.yaml"
    file = root / path
    match rng.randint(0, 9):
        case 0:
            file.symlink_to(root / "kb.yaml")
            return {path: "link"}
        case 1:
            file.symlink_to(file)
            return {path: "link to itself"}
        case 2:
            file.mkdir()
            return {path: "folder named like an entry"}
        case 3:
            os.mkfifo(file)
            return {path: "pipe"}
        case 4 if os.geteuid():
            file.write_text("title: x\n")
            file.chmod(0)
            return {path: "unreadable file"}
    return {}


class Hung(BaseException):
    """The check took too long; no `except` of the program may catch it."""


def _hung(*_: object) -> None:
    raise Hung


def main() -> None:
    """Print the figures as JSON."""
    parser = argparse.ArgumentParser(description="Damage files and check them.")
    parser.add_argument("inputs", type=int)
    parser.add_argument("seed", type=int)
    args = parser.parse_args()
    print(json.dumps(vars(fuzz(args.inputs, args.seed))))


if __name__ == "__main__":
    main()
