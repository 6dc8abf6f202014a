"""What all tests share: the switch that renews golden files, the demonstration, and one built web edition."""

from __future__ import annotations

import fcntl
import gc
import os
import signal
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from kbgen.pipeline import Compiled
from kbgen.render.web import WebFiles, build_web
from tests import shared
from tests.samples.web_book import FILES, web_book

Golden = Callable[[Path, str], None]
Once = Callable[[str, Callable[[Path], object]], Path]


LONG = frozenset(
    f"test_{name}.py"
    for name in (
        "mutants",
        "same_bytes",
        "consequences",
        "locate_judge",
        "documents",
        "do",
        "offline_edition",
    )
)
"""Modules with tests of many seconds."""
GARBAGE = 2_000_000
"""So many objects more than at the last look are looked through; every look goes through the compiled shops too."""


def pytest_configure() -> None:
    """Look for garbage between tests only, as a command never does: it is half of the time of a walk.

    What was begun in the background ignores Ctrl-C, and so would every command that a test starts and ends with it.
    """
    gc.disable()
    if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
        signal.signal(signal.SIGINT, signal.default_int_handler)


@pytest.hookimpl(trylast=True)
def pytest_runtest_teardown() -> None:
    """Look through what a good many tests have left."""
    gc.disable()
    if gc.get_count()[0] > GARBAGE:
        gc.collect()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Begin what takes long first where processes share the tests, so that none sits over it alone in the end."""
    if "PYTEST_XDIST_WORKER" in os.environ:
        items.sort(key=lambda item: item.path.name not in LONG)


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the one switch for all golden files."""
    parser.addoption("--update-golden", action="store_true", help="write golden files instead of comparing")


@pytest.fixture(scope="session", autouse=True)
def _own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep what commands remember out of the home of who runs the tests, and all workers of a run on one store."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(shared.folder_of_run(tmp_path_factory) / "cache"))
        # Else every command that a test starts would compile the whole program's modules.
        patch.delenv("PYTHONDONTWRITEBYTECODE", raising=False)
        yield


@pytest.fixture(scope="session")
def demonstration(_own_cache: None) -> Compiled:
    """The demonstration, compiled."""
    return shared.compiled(shared.DEMONSTRATION)


@pytest.fixture
def golden(request: pytest.FixtureRequest) -> Golden:
    """Compare a text with a golden file, or renew the file with ``--update-golden``."""

    def compare(file: Path, text: str) -> None:
        if request.config.getoption("--update-golden"):
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_text(text, encoding="utf-8", newline="\n")
        assert file.is_file(), f"{file.name} is missing; run with --update-golden and look at it"
        assert text == file.read_text(encoding="utf-8")

    return compare


@pytest.fixture(scope="session")
def once(tmp_path_factory: pytest.TempPathFactory) -> Once:
    """Make a folder under a name once in a run, however many processes share the tests; nobody changes it."""
    root = shared.folder_of_run(tmp_path_factory) / "once"
    root.mkdir(exist_ok=True)

    def make(name: str, write: Callable[[Path], object]) -> Path:
        with (root / f"{name}.lock").open("w") as lock:
            fcntl.flock(lock, fcntl.LOCK_EX)
            done = root / name
            if not done.exists():
                write(root / f"{name}.new")
                (root / f"{name}.new").rename(done)
        return done

    return make


@pytest.fixture(scope="session")
def web_edition(once: Once) -> Path:
    """The web edition of the hand-made book, built once."""
    return once("web-book", lambda out: build_web(web_book(), WebFiles(FILES), out))
