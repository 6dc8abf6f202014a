"""Values made on a second processor while the first makes others."""

from __future__ import annotations

import marshal
import os
import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import NoReturn

from kbgen.store import Store

MUCH = 100
"""From so many values made in a run on, more are expected than a second process costs."""


@contextmanager
def ahead(store: Store, make: Callable[[], object]) -> Iterator[None]:
    """Let another process make values while the block makes others; behind the block the store has both.

    It saves time and nothing else: what it did not make is made by who asks for it. Nothing is begun where there is
    one processor, where the store keeps nothing or where little is new.

    Args:
        make: Asks for values that are kept in the store, and not for those that the block asks for.
    """
    if not _pays(store):
        yield
        return
    reads, writes = os.pipe()
    other = os.fork()
    if not other:
        _make_all(store, make, writes)
    os.close(writes)
    try:
        with os.fdopen(reads, "rb") as pipe:
            yield
            made = pipe.read()
        try:
            new, fresh = marshal.loads(made)  # noqa: S302 - our own process wrote it
        except (EOFError, ValueError, TypeError):
            return  # it broke off
        store.take_over(new, fresh)
    finally:
        os.kill(other, signal.SIGKILL)
        os.waitpid(other, 0)


def _pays(store: Store) -> bool:
    # A process with threads may not be doubled, and only where the system tells is it known to be worth it.
    return (
        store.keeps
        and store.fresh >= MUCH
        and threading.active_count() == 1
        and hasattr(os, "sched_getaffinity")
        and len(os.sched_getaffinity(0)) > 1
    )


def _make_all(store: Store, make: Callable[[], object], writes: int) -> NoReturn:
    """Make the values, hand them over and end; nothing of this process is told or written elsewhere."""
    status = 1
    try:
        before = store.begin_beside()
        make()
        with os.fdopen(writes, "wb") as pipe:
            pipe.write(marshal.dumps(store.made_beside(before)))
        status = 0
    finally:
        os._exit(status)
