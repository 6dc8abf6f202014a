"""Tells that something in a knowledge base has changed."""

from __future__ import annotations

import logging
import os
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from watchdog.events import FileSystemEvent, FileSystemEventHandler
from watchdog.observers import Observer

_CHANGES = frozenset(("created", "modified", "moved", "deleted"))
_PAUSE = 0.03
"""Seconds: an editor saves a file in several moves."""

_PATIENCE = 2.0
"""Seconds to wait for the watcher's end; the program ends without it."""


class Changes(FileSystemEventHandler):
    """Collects what changed since it was asked last."""

    def __init__(self, root: Path) -> None:
        self._root = root.resolve()
        self._changed = threading.Event()

    def on_any_event(self, event: FileSystemEvent) -> None:
        """Take note of an event."""
        paths = (event.src_path, event.dest_path)
        if event.event_type in _CHANGES and any(self._matters(os.fsdecode(path)) for path in paths if path):
            self._changed.set()

    def _matters(self, path: str) -> bool:
        try:
            inside = Path(path).relative_to(self._root)
        except ValueError:
            return False
        # What begins with a dot is an editor's.
        return not any(part.startswith(".") for part in inside.parts)

    def wait(self) -> None:
        """Return when something has changed."""
        self._changed.wait()
        time.sleep(_PAUSE)
        self._changed.clear()


@contextmanager
def watching(root: Path) -> Iterator[Changes]:
    """Watch a knowledge base while the block runs.

    Raises:
        OSError: It cannot be watched.
    """
    changes = Changes(root)
    # At its end it complains of events that come while it stops.
    logging.getLogger("watchdog").addHandler(logging.NullHandler())
    observer = Observer()
    observer.schedule(changes, str(root.resolve()), recursive=True)
    observer.start()
    try:
        yield changes
    finally:
        observer.stop()
        observer.join(_PATIENCE)
