"""One Chromium for all browser tests, pages that watch themselves, and a small local server.

A test that takes ``page`` fails on its own when the page wrote to its console or asked for anything
outside the files on disk and the servers the test started itself. A test that provokes an error on
purpose clears ``watch.errors`` after looking at it.
"""

from __future__ import annotations

import os
import shutil
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from edition_host import Host, edition
from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Page,
    Request,
    expect,
    sync_playwright,
)

from kbgen.outputs.web import build_edition
from kbgen.pipeline import compile_folder
from kbgen.render.web import WebFiles, build_web
from kbgen.store import open_store
from tests import shared
from tests.conftest import Once
from tests.samples.web_book import FILES, web_book

QUIET = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--no-first-run",
    "--disable-sync",
    "--disable-component-update",
    "--disable-quic",
]
ROOT = Path(__file__).resolve().parents[2]
TABLET = {"width": 820, "height": 1180}
PATIENCE = 60_000
"""How long a test waits for what it expects (ms): a busy machine takes many times as long as a free one."""
Editions = Callable[..., Path]


@dataclass
class Watch:
    """What the pages of one test did.

    Attributes:
        errors: Console messages of every kind and uncaught exceptions, as text.
        foreign: Addresses asked for outside the disk and the test's own servers.
        own: Address beginnings that count as ours.
    """

    errors: list[str] = field(default_factory=list)
    foreign: list[str] = field(default_factory=list)
    own: list[str] = field(default_factory=lambda: ["file:", "data:", "blob:", "about:"])

    def follow(self, page: Page) -> None:
        """Record what a page says on its console."""
        page.on("console", self._console)
        page.on("pageerror", lambda error: self.errors.append(str(error)))

    def request(self, request: Request) -> None:
        """Record a request that leaves the site."""
        if not request.url.startswith(tuple(self.own)):
            self.foreign.append(request.url)

    def _console(self, message: ConsoleMessage) -> None:
        self.errors.append(f"{message.type}: {message.text}")


WINDOWED = ("chromium", "chromium-browser")


def chromium(*, windowed: bool = False) -> str | None:
    """Return the machine's own Chromium; ``None`` when there is only that of the driver, or none.

    Args:
        windowed: Whether it must be the whole browser. Where not, one of the same version and engine that has no
            window is taken if there is one: a page in it costs a third.
    """
    named = os.environ.get("KBGEN_CHROMIUM")
    names = WINDOWED if windowed else ("chromium-headless-shell", *WINDOWED)
    return named or next(filter(None, map(shutil.which, names)), None)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The Chromium of the machine, started once."""
    program = chromium()
    expect.set_options(timeout=PATIENCE)
    with sync_playwright() as playwright:
        if program is None and not Path(playwright.chromium.executable_path).exists():
            pytest.fail("the browser tests need Chromium: install it or name it in KBGEN_CHROMIUM")
        running = playwright.chromium.launch(executable_path=program, args=QUIET)
        yield running
        running.close()


@pytest.fixture
def watch() -> Watch:
    """The record of errors and requests shared by all pages of one test."""
    return Watch()


@pytest.fixture
def context(browser: Browser, watch: Watch) -> Iterator[BrowserContext]:
    """A fresh tablet-sized browser profile whose pages are watched."""
    fresh = browser.new_context(viewport=TABLET)  # type: ignore[arg-type]
    fresh.set_default_timeout(PATIENCE)
    fresh.on("page", watch.follow)
    fresh.on("request", watch.request)
    yield fresh
    fresh.close()


@pytest.fixture
def page(context: BrowserContext, watch: Watch) -> Iterator[Page]:
    """A page that must end its test without console errors and foreign requests."""
    opened = context.new_page()
    yield opened
    assert watch.errors == []
    assert watch.foreign == []


@pytest.fixture
def serve(watch: Watch) -> Iterator[Callable[[Path], str]]:
    """Serve folders on 127.0.0.1; returns the address of each with a slash at its end."""
    running: list[ThreadingHTTPServer] = []

    class Silent(SimpleHTTPRequestHandler):
        def log_message(self, *args: object) -> None:
            pass

    def start(folder: Path) -> str:
        server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Silent, directory=str(folder)))
        threading.Thread(target=server.serve_forever, args=(0.02,), daemon=True).start()
        running.append(server)
        address = f"http://127.0.0.1:{server.server_address[1]}/"
        watch.own.append(address)
        return address

    yield start
    for server in running:
        server.shutdown()
        server.server_close()


@pytest.fixture(scope="session")
def built(once: Once) -> Callable[[str], Path]:
    """The web edition of a knowledge base of this repository; its folder is made once."""

    def make(folder: str) -> Path:
        def write(out: Path) -> None:
            shared.compiled(ROOT / folder)
            with open_store() as store:
                compiled = compile_folder(ROOT / folder, store=store)
                assert compiled.sound
                build_edition(compiled, out, lambda _: None)

        return once(f"built-{folder.replace('/', '-')}", write)

    return make


@pytest.fixture(scope="session")
def editions(once: Once) -> Editions:
    """Editions by number and mark, every page changed from one to the next."""
    base = once("editions", lambda out: build_web(web_book(extra_terms=40), WebFiles(FILES), out))

    def make(number: int, mark: int | None = None) -> Path:
        return once(f"edition-{number}-{mark or number}", lambda out: edition(base, out, number, mark))

    return make


@pytest.fixture
def host(watch: Watch) -> Iterator[Host]:
    """A host that is ended after the test."""
    running = Host()
    watch.own.append(f"http://127.0.0.1:{running.port}/")
    yield running
    running.stop()
