"""What all tests share: the switch that renews golden files, and one built web edition."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from kbgen.render.web import WebFiles, build_web
from tests.samples.web_book import FILES, web_book

Golden = Callable[[Path, str], None]


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the one switch for all golden files."""
    parser.addoption("--update-golden", action="store_true", help="write golden files instead of comparing")


@pytest.fixture(scope="session", autouse=True)
def _own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep what `kbgen check` remembers of passing folders out of the home of who runs the tests."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("cache")))
        yield


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
def web_edition(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The web edition of the hand-made book, built once."""
    out = tmp_path_factory.mktemp("web") / "site"
    build_web(web_book(), WebFiles(FILES), out)
    return out
