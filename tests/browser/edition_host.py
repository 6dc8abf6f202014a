"""A host that fails in the ways hosts and signal do, editions to put on it, and a tablet that keeps them."""

from __future__ import annotations

import hashlib
import json
import re
import shutil
import socket
import threading
import time
from contextlib import suppress
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

from playwright.sync_api import BrowserContext, CDPSession, Page

from kbgen.render.web.filelist import FileList, write_list

BELOW, BESIDE = "/shop/kb/", "/shop/other/"
DATE = "2026-03-01"


class Host:
    """Serves one folder below a sub-path.

    Attributes:
        folder: The edition that is offered.
        down: Answers nothing; connections are cut.
        left: So many answers more, then it is down; ``None`` for no end.
        until: It is down as soon as this address was answered.
        off: Offers the worker that switches the keeping off.
        portal: Answers a page of its own to everything, as a hotel does.
        refuses: Answers everything with this error, 401 when it asks for a password; 0 for none.
        bad: Addresses that are answered with an error, each with its own.
        other: Another shop's edition, at an address beside the first.
        wrong: Addresses that come with one letter changed.
        cut: Addresses whose answer ends in the middle.
        days_ahead: How wrong its clock is beside the tablet's.
        slow: Addresses that are answered only when `go` is set.
        asked: Addresses that were asked for while it was up.
    """

    def __init__(self, port: int = 0) -> None:
        self.folder = Path()
        self.other = Path()
        self.down = self.portal = self.off = False
        self.refuses = 0
        self.bad: dict[str, int] = {}
        self.left: int | None = None
        self.until: str | None = None
        self.wrong: set[str] = set()
        self.cut: set[str] = set()
        self.days_ahead = 0
        self.slow: set[str] = set()
        self.go = threading.Event()
        self.asked: list[str] = []
        self._lock = threading.Lock()
        self._server = ThreadingHTTPServer(("127.0.0.1", port), partial(_Handler, self))
        self._server.daemon_threads = True
        self.port = self._server.server_address[1]
        self.address = f"http://127.0.0.1:{self.port}{BELOW}"
        threading.Thread(target=self._server.serve_forever, args=(0.02,), daemon=True).start()

    def stop(self) -> None:
        """End it for good; nothing listens any more."""
        self._server.shutdown()
        self._server.server_close()

    def mend(self) -> None:
        """Take every fault away."""
        self.down = self.portal = False
        self.left = self.until = None
        self.refuses = 0
        self.wrong, self.cut, self.bad = set(), set(), {}

    def take(self, path: str) -> bool:
        """Note a request; say whether it is answered."""
        with self._lock:
            if self.left is not None:
                self.left -= 1
                self.down = self.down or self.left < 0
            answers = not self.down
            if answers:
                self.asked.append(path)
            self.down = self.down or path == self.until
            return answers


class _Handler(SimpleHTTPRequestHandler):
    extensions_map = {**SimpleHTTPRequestHandler.extensions_map, ".js": "text/javascript"}  # noqa: RUF012

    def __init__(self, host: Host, *args: Any) -> None:
        self.host = host
        super().__init__(*args)

    def log_message(self, *args: object) -> None:
        pass

    def date_time_string(self, timestamp: float | None = None) -> str:
        moment = time.time() if timestamp is None else timestamp
        return super().date_time_string(int(moment + self.host.days_ahead * 86400))

    def do_GET(self) -> None:
        path = self.path.split("?")[0].removeprefix(BELOW)
        if not self.host.take(path):
            self.connection.shutdown(socket.SHUT_RDWR)
            return
        if path in self.host.slow:
            self.host.go.wait(20)
        name = "sw-off.js" if self.host.off and path == "sw.js" else path or "index.html"
        file = self.host.folder / name
        if name.startswith(BESIDE):
            file = self.host.other / (name.removeprefix(BESIDE) or "index.html")
        if self.host.portal:
            self._send(200, "text/html", b"<!doctype html><title>Welcome</title><p>Agree to our terms.")
        elif error := self.host.refuses or self.host.bad.get(path):
            self._send(error, "text/html", b"<!doctype html><title>Who are you?</title>")
        elif not file.is_file():
            self._send(404, "text/html", b"<!doctype html><title>No</title>")
        else:
            content = file.read_bytes()
            if path in self.host.wrong:
                content = bytes([content[0] ^ 1]) + content[1:]
            self._send(200, self.guess_type(str(file)), content, path in self.host.cut)

    do_HEAD = do_GET  # noqa: N815 - the name that the library calls

    def _send(self, status: int, kind: str, content: bytes, cut: bool = False) -> None:
        self.send_response(status)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(content)))
        self.send_header("Cache-Control", "max-age=600")
        self.end_headers()
        if self.command != "HEAD":
            with suppress(ConnectionError):  # a browser that was closed in the middle
                self.wfile.write(content[: len(content) // 2] if cut else content)


def edition(base: Path, out: Path, number: int, mark: int | None = None) -> FileList:
    """Make another edition of a built folder: every page, the stamp and the search say which one they are of."""
    mark = number if mark is None else mark
    shutil.copytree(base, out)
    for page in out.rglob("*.html"):
        text = page.read_text(encoding="utf-8")
        page.write_text(
            text.replace("<head>", f'<head><meta name="kb-test" content="{mark}">', 1), encoding="utf-8"
        )
    stamp = out / "assets" / "edition.js"
    text = re.sub(r'"id": "\w+"', f'"id": "{mark:08x}"', stamp.read_text(encoding="utf-8"))
    stamp.write_text(text + f"window.kbTest = {mark};\n", encoding="utf-8")
    index = out / "assets" / "search-index.js"
    index.write_text(index.read_text(encoding="utf-8") + f"window.kbTestIndex = {mark};\n", encoding="utf-8")
    return write_list(out, "test-sons", f"{mark:08x}", DATE, number)


def list_id(folder: Path) -> str:
    """Return the whole hash of a folder's list."""
    return hashlib.sha256((folder / "edition-files.json").read_bytes()).hexdigest()


LOOK = """wish => new Promise((done, fail) => {
  setTimeout(() => fail("the look did not end"), 60000);
  const before = kbTablet.status && kbTablet.status.last ? kbTablet.status.last.at : 0;
  const heard = () => {
    const last = kbTablet.status.last;
    if (!last || last.at <= before || last.state === "fetching") return;
    document.removeEventListener("kb-tablet", heard);
    clearInterval(again);
    done(kbTablet.status);
  };
  document.addEventListener("kb-tablet", heard);
  const look = () => kbTablet.compare({ force: true, ...wish });
  const again = setInterval(look, 20000);
  look();
})"""
AUDIT = """async scope => {
  const cache = await caches.open("kbgen " + scope), wrong = [];
  const keys = await cache.keys();
  for (const key of keys) {
    const name = key.url.slice(scope.length + 1);
    if (!/^[0-9a-f]{64}$/.test(name)) continue;
    const digest = await crypto.subtle.digest("SHA-256", await (await cache.match(key)).arrayBuffer());
    const hex = Array.from(new Uint8Array(digest), b => b.toString(16).padStart(2, "0")).join("");
    if (hex !== name) wrong.push(name);
  }
  return { files: keys.length, wrong };
}"""


SETTLED = """() => new Promise(done => {
  const heard = () => {
    if (window.kbTablet && kbTablet.way === "worker" && (kbTablet.status?.last?.state ?? "fetching") === "fetching") return;
    clearInterval(again);
    done();
  };
  const again = setInterval(heard, 20);
  setTimeout(() => { clearInterval(again); done(); }, 60000);
})"""


class Tablet:
    """A browser profile that keeps the edition of a host."""

    def __init__(self, context: BrowserContext, host: Host) -> None:
        self.context, self.host = context, host
        self.page = context.new_page()

    def open(self, path: str = "index.html", page: Page | None = None) -> int | None:
        """Open a page and wait until its own look at the host has ended.

        Returns:
            The edition it is of, ``None`` when it did not come.
        """
        page = page or self.page
        try:
            page.goto(self.host.address + path)
        except Exception as fault:
            assert "ERR_" in str(fault), fault  # noqa: PT017
            return None
        page.evaluate(SETTLED)
        mark = page.locator('meta[name="kb-test"]')
        return int(mark.get_attribute("content") or 0) if mark.count() else None

    def look(self, page: Page | None = None, **wish: Any) -> dict[str, Any]:
        """Compare with the host and return what the tablet says of it."""
        status: dict[str, Any] = (page or self.page).evaluate(LOOK, wish)
        return status

    def install(self) -> dict[str, Any]:
        """Open home and wait until the edition is whole."""
        self.open()
        status = self.look()
        assert status["last"]["state"] == "whole", status
        return status

    def devtools(self, page: Page | None = None) -> CDPSession:
        """Speak to the browser's own tools."""
        return self.context.new_cdp_session(page or self.page)

    def stop_workers(self) -> None:
        """End every worker, as the system does when memory is short."""
        tools = self.devtools()
        tools.send("ServiceWorker.enable")
        tools.send("ServiceWorker.stopAllWorkers")
        tools.detach()

    def room(self, size: int | None) -> None:
        """Set the quota of the host's origin in bytes; ``None`` lifts it."""
        tools = self.devtools()
        origin = f"http://127.0.0.1:{self.host.port}"
        tools.send(
            "Storage.overrideQuotaForOrigin", {"origin": origin, **({"quotaSize": size} if size else {})}
        )
        # The override ends with the session, so that it stays open.

    def usage(self) -> int:
        """Return the bytes that the browser counts for the origin."""
        return int(self.page.evaluate("navigator.storage.estimate().then(each => each.usage)"))

    def audit(self) -> dict[str, Any]:
        """Hold every stored file against its hash."""
        found: dict[str, Any] = self.page.evaluate(AUDIT, self.host.address)
        return found

    def take_off(self) -> None:
        """Put the worker that switches off on the host, let the tablet meet it, and take it away again.

        It waits until the worker before it has nothing to do and is ended. A browser that is being watched does not end
        one by itself, so that it is done here.
        """
        self.host.off = True
        self.page.goto(self.host.address + "leave-now.html")
        meets = """async scope => {
          const found = await navigator.serviceWorker.getRegistration();
          if (found && !found.installing && !found.waiting) await found.update();
          return [await caches.has("kbgen " + scope), Boolean(found && found.waiting)];
        }"""
        for _ in range(300):
            kept, waits = self.page.evaluate(meets, self.host.address)
            if not kept:
                break
            if waits:
                self.stop_workers()
            self.page.wait_for_timeout(200)
        else:
            raise AssertionError("still kept")
        self.page.evaluate("localStorage.clear()")
        self.host.off = False
        self.page.goto(self.host.address + "index.html")

    def answering(self, address: str = "") -> tuple[int, int]:
        """Return number and mark of the edition that answers a page opened now."""
        now = self.page.evaluate(
            "scope => caches.open('kbgen ' + scope).then(cache => cache.match(scope + '~now')).then(now => now.json())",
            address or self.host.address,
        )
        return now["number"], int(now["mark"], 16)

    def lose(self, digest: str) -> None:
        """Delete a stored file, as a browser does that clears room."""
        gone = self.page.evaluate(
            "([scope, name]) => caches.open('kbgen ' + scope).then(cache => cache.delete(scope + '~' + name))",
            [self.host.address, digest],
        )
        assert gone

    def record(self, name: str, value: Any) -> None:
        """Write one of the worker's records, as if it had been so before."""
        self.page.evaluate(
            "([scope, name, value]) => caches.open('kbgen ' + scope)"
            ".then(cache => cache.put(scope + '~' + name, new Response(JSON.stringify(value))))",
            [self.host.address, name, value],
        )

    def names(self) -> set[str]:
        """Return the names of everything that is stored."""
        found: list[str] = self.page.evaluate(
            "scope => caches.open('kbgen ' + scope).then(cache => cache.keys())"
            ".then(keys => keys.map(key => key.url.slice(scope.length + 1)))",
            self.host.address,
        )
        return set(found)

    def stamp(self, page: Page | None = None) -> list[int]:
        """Return which edition the page, its stamp and a file fetched just now are of."""
        found = (page or self.page).evaluate(
            """async root => {
              const text = await (await fetch(root + "assets/search-index.js")).text();
              return [Number(document.querySelector('meta[name="kb-test"]').content), window.kbTest,
                Number(/kbTestIndex = (\\d+)/.exec(text)[1])];
            }""",
            self.host.address,
        )
        return list(found)


def pages_of(folder: Path) -> list[str]:
    """Return the addresses of all pages that stay where they are opened."""
    return [
        path
        for path in load(folder)["files"]
        if path.endswith(".html")
        and path != "404.html"
        and 'http-equiv="refresh"' not in (folder / path).read_text(encoding="utf-8")
    ]


def load(folder: Path) -> dict[str, Any]:
    """Return the list of a folder as data."""
    data: dict[str, Any] = json.loads((folder / "edition-files.json").read_text(encoding="utf-8"))
    return data
