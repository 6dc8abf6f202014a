"""``kbgen serve``."""

from __future__ import annotations

import argparse
import gc
import tempfile
import threading
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path

from kbgen.cli.common import Commands, Progress, WrongUse, add_command, find_folder
from kbgen.render.web import WebError
from kbgen.report import counts, prefix_to
from kbgen.serve.preview import Preview
from kbgen.serve.server import HOST, Board, Server
from kbgen.serve.watch import Changes, watching
from kbgen.store import Store, open_store

_LAST_PORT = 65_535


def add(commands: Commands) -> None:
    """Add the command."""
    parser = add_command(commands, "serve", run, "kbgen serve --kb kb_source")
    parser.add_argument(
        "--port", metavar="NUMBER", type=_port, default=0, help="where to answer (default: a free port)"
    )


def _port(text: str) -> int:
    if not text.isascii() or not text.isdigit() or int(text) > _LAST_PORT:
        raise WrongUse(f"`{text}` is no port; give --port a whole number up to {_LAST_PORT}, such as 8000")
    return int(text)


def run(args: argparse.Namespace) -> int:
    """Show a knowledge base while somebody writes it, until Ctrl-C."""
    root = find_folder(args.kb)
    with ExitStack() as stack:
        board = Board(prefix_to(root, Path.cwd()))
        stack.callback(board.end)
        server = stack.enter_context(_listening(board, args.port))
        stack.callback(server.shutdown)
        threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.1}, daemon=True).start()
        stores = _stores(stack, kept=args.store.keeps)
        changes = stack.enter_context(watching(root))
        print(f"open {server.address} – Ctrl-C ends it", flush=True)
        # Ctrl-C comes to this thread only: it interrupts no compiling halfway, and nobody waits for that either.
        work = _Work(Preview(root, stores), board, changes)
        threading.Thread(target=work.go_on, daemon=True).start()
        try:
            work.broken.wait()
        except KeyboardInterrupt:
            work.end("\npreview ended")
            return 0
    raise RuntimeError("the preview came to an end by itself") from work.fault


def _listening(board: Board, port: int) -> Server:
    try:
        return Server(board, port)
    except (OSError, OverflowError) as fault:
        raise WrongUse(f"{HOST}:{port} cannot be used: {fault}; leave --port out for a free one") from fault


def _stores(stack: ExitStack, *, kept: bool) -> Callable[[], Store]:
    """Return what opens the user's store; one that is gone at the end where it is not wanted."""
    if kept:
        return open_store
    file = Path(stack.enter_context(tempfile.TemporaryDirectory(ignore_cleanup_errors=True))) / "store.sqlite"
    return lambda: Store(file)


class _Work:
    """Compiles at every change, until the program ends."""

    def __init__(self, preview: Preview, board: Board, changes: Changes) -> None:
        self._preview = preview
        self._board = board
        self._changes = changes
        self.broken = threading.Event()
        self.fault: Exception | None = None
        self._voice = threading.Lock()
        self._ended = False

    def end(self, last: str) -> None:
        """Say the last word: a thread that speaks while the program ends breaks it."""
        with self._voice:
            self._ended = True
            print(last, flush=True)

    def go_on(self) -> None:
        """Compile, show, wait for a change, and again."""
        try:
            while True:
                # Looking for garbage in the middle of it costs more than all else.
                gc.disable()
                self._once()
                gc.enable()
                gc.collect()
                self._changes.wait()
        except Exception as fault:
            self.fault = fault
            self.broken.set()

    def _once(self) -> None:
        progress = Progress()

        def doing(what: str) -> None:
            with self._voice:
                if not self._ended:
                    progress(what)
            self._board.doing(what)

        self._board.begin()
        try:
            shown = self._preview.show(doing)
        except (OSError, WebError) as fault:
            progress.done()
            self._board.show()
            self._say(f"not shown, because of: {fault}")
        else:
            progress.done()
            self._say(counts(shown.problems))
            self._board.show(shown)

    def _say(self, text: str) -> None:
        with self._voice:
            if not self._ended:
                print(text, flush=True)
