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


def add(commands: Commands) -> None:
    """Add the command."""
    parser = add_command(commands, "serve", run, "kbgen serve --kb kb_source")
    parser.add_argument(
        "--port", metavar="NUMBER", type=int, default=0, help="where to answer (default: a free port)"
    )


def run(args: argparse.Namespace) -> int:
    """Show a knowledge base while somebody writes it, until Ctrl-C."""
    root = find_folder(args.kb)
    # Unlike other commands it goes on and on.
    gc.enable()
    with ExitStack() as stack:
        board = Board(prefix_to(root, Path.cwd()))
        stack.callback(board.end)
        server = stack.enter_context(_listening(board, args.port))
        stack.callback(server.shutdown)
        threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.1}, daemon=True).start()
        stores = _stores(stack, kept=args.store.keeps)
        changes = stack.enter_context(watching(root))
        print(f"open {server.address} – Ctrl-C ends it", flush=True)
        try:
            _go_on(Preview(root, stores), board, changes)
        except KeyboardInterrupt:
            print("\npreview ended")
    return 0


def _listening(board: Board, port: int) -> Server:
    try:
        return Server(board, port)
    except (OSError, OverflowError) as fault:
        raise WrongUse(f"{HOST}:{port} cannot be used: {fault}; leave --port out for a free one") from fault


def _stores(stack: ExitStack, *, kept: bool) -> Callable[[], Store]:
    """Return what opens the user's store; one that is gone at the end where it is not wanted."""
    if kept:
        return open_store
    file = Path(stack.enter_context(tempfile.TemporaryDirectory())) / "store.sqlite"
    return lambda: Store(file)


def _go_on(preview: Preview, board: Board, changes: Changes) -> None:
    while True:
        progress = Progress()

        def doing(what: str, progress: Progress = progress) -> None:
            progress(what)
            board.doing(what)

        board.begin()
        try:
            shown = preview.show(doing)
        except (OSError, WebError) as fault:
            progress.done()
            board.show()
            print(f"not shown, because of: {fault}", flush=True)
        else:
            progress.done()
            board.show(shown)
            print(counts(shown.problems), flush=True)
        gc.collect()
        changes.wait()
