"""Run what concerns changed files, the nearest first, for a quarter of a minute: ``python -m tests.changed [FILE ...]``.

Nearest are tests whose path has words of the changed file's path, then those that import it, then those that import
an importer. A file that is no module is taken for imported by whoever names it. Without files: what differs from the
last commit. What there was no time for is counted, and a test that would take longer is cut off and named;
``make test`` runs all.
"""

from __future__ import annotations

import ast
import re
import signal
import subprocess
import sys
import time
from collections import defaultdict
from collections.abc import Generator, Iterable, Mapping, Sequence
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
SECONDS = 16
"""After so long no test is begun."""
CUT = 18
"""After so long the test that runs is cut off: some take a minute by themselves."""
MOST_MODULES = 12


@cache
def sources() -> dict[str, str]:
    """Return the text of every module of program and tests, by path from the root."""
    files = [each for folder in ("kbgen", "tests") for each in (ROOT / folder).rglob("*.py")]
    return {file.relative_to(ROOT).as_posix(): file.read_text(encoding="utf-8") for file in sorted(files)}


def imported(path: str, text: str, known: Iterable[str]) -> set[str]:
    """Return the modules that a module imports, anywhere in it, and the ``conftest.py`` that pytest gives it."""
    files = {f"{name}{end}" for name in _names(path, text) for end in (".py", "/__init__.py")}
    if Path(path).name.startswith("test_"):
        files |= {f"{folder.as_posix()}/conftest.py" for folder in Path(path).parents}
    return files & set(known) - {path}


@cache
def _names(path: str, text: str) -> set[str]:
    """Return what may be imported, as paths without an ending."""
    here = Path(path).parent
    names = set()
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Import):
            names |= {alias.name.replace(".", "/") for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            above = here.parents[node.level - 2].as_posix() if node.level > 1 else here.as_posix()
            stem = (node.module or "").replace(".", "/")
            base = "/".join(filter(None, (above if node.level else "", stem)))
            names |= {base, *(f"{base}/{alias.name}" for alias in node.names)}
            # Modules beside a browser test are found without their folder.
            names |= {f"{here.as_posix()}/{stem}"} if not node.level else set()
    return names


def distances(changed: Iterable[str], texts: Mapping[str, str]) -> dict[str, int]:
    """Return how far every module that a changed file concerns is from it."""
    importers = defaultdict(set)
    for path, text in texts.items():
        for each in imported(path, text, texts):
            importers[each].add(path)
    found = {path: 0 for path in changed if path in texts}
    for path in set(changed) - texts.keys():
        for each in _named(Path(path), texts):
            found.setdefault(each, 1)
    for distance in range(len(texts)):
        for path in [each for each, far in found.items() if far == distance]:
            for each in importers[path]:
                found.setdefault(each, distance + 1)
    return found


def _named(file: Path, texts: Mapping[str, str]) -> list[str]:
    """Return the modules that name a file; none: those that name one of its folders, the innermost first."""
    for name in (file.name, *(each.name for each in file.parents if each.name)):
        naming = [path for path, text in texts.items() if f'{name}"' in text or f"/{name}" in text]
        if naming:
            return naming
    return []


def concerned(changed: Sequence[str]) -> list[str]:
    """Return the test modules that changed files concern, the nearest first."""
    texts = sources()
    far = distances(changed, texts)
    wanted = set().union(*map(_words, changed))
    found = []
    for path in texts:
        alike = len(_words(path) & wanted)
        if Path(path).name.startswith("test_") and (alike or path in far):
            found.append((path not in changed, -alike, far.get(path, len(texts)), path))
    return [path for *_, path in sorted(found)]


def _words(path: str) -> set[str]:
    return set(re.findall(r"[a-z]{3,}", path.rpartition(".")[0].partition("/")[2])) - {"test", "unit", "init"}


class Watch:
    """Ends a run when its time is over.

    Attributes:
        done: How many tests came to their end.
        cut: The test that was cut off.
    """

    def __init__(self, start: float, seconds: float = SECONDS, cut: float = CUT) -> None:
        self.start = start
        self.seconds = seconds
        self.latest = cut
        self.done = self.all = 0
        self.cut = ""

    def pytest_collection_finish(self, session: pytest.Session) -> None:
        self.all = len(session.items)

    @pytest.hookimpl(wrapper=True, tryfirst=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Generator[None, object, object]:
        if self.cut or time.perf_counter() - self.start > self.seconds:
            raise item.session.Interrupted("the time is over")
        answer = yield
        self.done += not self.cut
        return answer

    @pytest.hookimpl(wrapper=True, tryfirst=True)
    def pytest_runtest_setup(self, item: pytest.Item) -> Generator[None, object, object]:
        return (yield from self._timed(item))

    @pytest.hookimpl(wrapper=True, tryfirst=True)
    def pytest_runtest_call(self, item: pytest.Item) -> Generator[None, object, object]:
        return (yield from self._timed(item))

    def _timed(self, item: pytest.Item) -> Generator[None, object, object]:
        def over(*_: object) -> None:
            self.cut = item.nodeid
            raise pytest.skip.Exception("the time is over")

        if not hasattr(signal, "setitimer"):
            return (yield)
        signal.signal(signal.SIGALRM, over)
        signal.setitimer(signal.ITIMER_REAL, max(0.01, self.start + self.latest - time.perf_counter()))
        try:
            return (yield)
        finally:
            signal.setitimer(signal.ITIMER_REAL, 0)


def main(words: list[str]) -> int:
    """Run the tests of some files, or of what differs from the last commit."""
    start = time.perf_counter()
    words = [Path(word).resolve().relative_to(ROOT).as_posix() for word in words]
    found = concerned(words or _differing())
    if not found:
        print("no test concerns what was changed")
        return 0
    watch = Watch(start)
    end = pytest.main(["-x", *found[:MOST_MODULES]], plugins=[watch])
    left, farther = watch.all - watch.done, len(found[MOST_MODULES:])
    print(
        f"{watch.done} tests of {len(found[:MOST_MODULES])} modules; not run: {left} tests, {farther} modules"
        + (f"; cut off: {watch.cut}" if watch.cut else "")
    )
    return 0 if end == pytest.ExitCode.INTERRUPTED and watch.done > 0 and left else int(end)


def _differing() -> list[str]:
    words = ["git", "-C", str(ROOT), "status", "--porcelain", "--untracked-files=all", "-z"]
    said = subprocess.run(words, capture_output=True, text=True, check=True).stdout
    return [line[3:] for line in said.split("\0") if line[2:3] == " "]


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
