"""Answers a browser on this machine, and nobody else."""

from __future__ import annotations

import json
import mimetypes
import sys
import threading
import time
from dataclasses import dataclass, field
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import ClassVar
from urllib.parse import parse_qs, unquote, urlsplit

from kbgen.serve.panel import OWN, mark_of, missing, page
from kbgen.serve.preview import SEARCH_INDEX, Shown
from kbgen.serve.printed import FOLDER, Printed

HOST = "127.0.0.1"
_LONGEST_WAIT = 20.0
_SAID_AFTER = 0.5
"""Seconds of work before anybody is told of it."""
_OWN_FILES = {f"{OWN}/{name}": Path(__file__).with_name(name) for name in ("preview.css", "preview.js")}


@dataclass
class Board:
    """What is shown now, and what is being done about the next state; safe between threads.

    Attributes:
        prefix: What leads from the current folder to the knowledge base.
    """

    prefix: str
    _shown: Shown | None = None
    _doing: str = ""
    _since: float = 0.0
    _ended: bool = False
    _news: threading.Condition = field(default_factory=threading.Condition)
    _one: threading.Lock = field(default_factory=threading.Lock)
    printed: Printed = field(default_factory=Printed)

    def show(self, shown: Shown | None = None) -> None:
        """Show a state; without one what was there stays."""
        with self._news:
            self._shown, self._doing = shown or self._shown, ""
            self._news.notify_all()

    def begin(self) -> None:
        """Say that work begins."""
        with self._news:
            self._since = time.monotonic()

    def doing(self, what: str) -> None:
        """Say what is being done."""
        with self._news:
            self._doing = what
            self._news.notify_all()

    def end(self) -> None:
        """Let everybody go who waits."""
        with self._news:
            self._ended = True
            self._news.notify_all()

    def now(self) -> Shown | None:
        """Return what is shown; wait for the first state."""
        with self._news:
            self._news.wait_for(lambda: self._shown is not None or self._ended)
            return self._shown

    def search_index(self, shown: Shown) -> bytes:
        """Return the search index of a state; one thread at a time asks a knowledge base."""
        with self._one:
            return shown.search_index()

    def page(self, shown: Shown, where: str) -> bytes | None:
        """Return a page of a state; ``None`` where there is none."""
        return page(shown, where, self.prefix, self.printed)

    def wait(self, where: str, mark: str, told: str) -> dict[str, str]:
        """Return the mark of a page and what is being done, once one of them is another than what is known."""
        until = time.monotonic() + _LONGEST_WAIT
        seen: Shown | None = None
        now = mark
        while True:
            shown = self.now()
            if shown is not None and shown is not seen:
                seen, now = shown, mark_in(self.page(shown, where) or missing(shown, self.prefix))
            with self._news:
                left = until - time.monotonic()
                working = time.monotonic() - self._since
                doing = self._doing + " …" if self._doing and working >= _SAID_AFTER else ""
                if self._ended or left <= 0 or now != mark or doing != told:
                    return {"mark": now, "doing": doing}
                if self._shown is seen:
                    soon = _SAID_AFTER - working if self._doing and working < _SAID_AFTER else left
                    self._news.wait(min(left, soon))


def mark_in(content: bytes) -> str:
    """Return the mark that a page carries."""
    begin = b'<body data-preview="'
    return content.partition(begin)[2].partition(b'"')[0].decode() or mark_of(content)


class Server(ThreadingHTTPServer):
    """Listens on this machine only."""

    daemon_threads = True
    block_on_close = False

    def __init__(self, board: Board, port: int = 0) -> None:
        """Take a port; a free one for 0.

        Raises:
            OSError: Somebody else has it.
        """
        super().__init__((HOST, port), _Handler)
        self.board = board

    def handle_error(self, request: object, client_address: object) -> None:
        """Say nothing of a browser that went away before it was answered; that is no fault."""
        if not isinstance(sys.exc_info()[1], ConnectionError):
            super().handle_error(request, client_address)  # type: ignore[arg-type]

    @property
    def address(self) -> str:
        """What to open in a browser."""
        return f"http://{HOST}:{self.server_address[1]}/"

    @property
    def hosts(self) -> frozenset[str]:
        """The names it answers to; a page of elsewhere that led a name of its own here gets nothing."""
        port = self.server_address[1]
        return frozenset(f"{name}:{port}" for name in (HOST, "localhost"))


class _Handler(BaseHTTPRequestHandler):
    server: Server
    protocol_version = "HTTP/1.1"
    _HEADERS: ClassVar[dict[str, str]] = {
        "Cache-Control": "no-store",
        "Cross-Origin-Resource-Policy": "same-origin",
        "X-Content-Type-Options": "nosniff",
        "X-Frame-Options": "DENY",
    }

    def do_GET(self) -> None:
        if self.headers.get("Host", "") not in self.server.hosts:
            self._send(HTTPStatus.FORBIDDEN, "text/plain", b"This preview answers on this machine only.\n")
            return
        parts = urlsplit(self.path)
        where = unquote(parts.path).removeprefix("/")
        if not where or where.endswith("/"):
            where += "index.html"
        try:
            self._answer(where, parse_qs(parts.query))
        except (BrokenPipeError, ConnectionResetError):
            # The browser went on to another page.
            self.close_connection = True

    def _answer(self, where: str, query: dict[str, list[str]]) -> None:
        board = self.server.board
        if where == f"{OWN}/wait":
            asked, mark, told = (query.get(name, [""])[0] for name in ("page", "mark", "doing"))
            asked = asked.removeprefix("/")
            if not asked or asked.endswith("/"):
                asked += "index.html"
            answer = json.dumps(board.wait(unquote(asked), mark, told)).encode()
            return self._send(HTTPStatus.OK, "application/json", answer)
        if where in _OWN_FILES:
            return self._send(HTTPStatus.OK, _type(where), _OWN_FILES[where].read_bytes())
        shown = board.now()
        if shown is None:
            return self._send(HTTPStatus.SERVICE_UNAVAILABLE, "text/plain", b"The preview has ended.\n")
        if where == SEARCH_INDEX:
            return self._send(HTTPStatus.OK, _type(where), board.search_index(shown))
        found = board.page(shown, where)
        if found is not None:
            return self._send(HTTPStatus.OK, "text/html", found)
        sheet = board.printed.sheet(shown, where.removeprefix(FOLDER)) if where.startswith(FOLDER) else None
        if sheet is not None:
            return self._send(HTTPStatus.OK, "image/svg+xml", sheet)
        if where in shown.site.beside:
            return self._send(HTTPStatus.OK, _type(where), shown.site.beside[where])
        return self._send(HTTPStatus.NOT_FOUND, "text/html", missing(shown, board.prefix))

    def _send(self, status: HTTPStatus, kind: str, content: bytes) -> None:
        self.send_response(status)
        text = kind.startswith("text/") or kind.endswith(("json", "javascript"))
        self.send_header("Content-Type", f"{kind}; charset=utf-8" if text else kind)
        self.send_header("Content-Length", str(len(content)))
        for name, value in self._HEADERS.items():
            self.send_header(name, value)
        self.end_headers()
        self.wfile.write(content)

    def log_message(self, *_: object) -> None:
        """Say nothing: the terminal is for what the author should know."""


def _type(where: str) -> str:
    return mimetypes.guess_type(where)[0] or "application/octet-stream"
