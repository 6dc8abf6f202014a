"""What many tests need and none changes, made once for a run: all workers have one store of compiled values."""

from __future__ import annotations

import fcntl
import json
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from kbgen.pipeline import Compiled, compile_folder
from kbgen.store import Store, open_store

_REPOSITORY = Path(__file__).resolve().parent.parent
DEMONSTRATION = _REPOSITORY / "kb_source"


def folder_of_run(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder that all workers of a run share."""
    own = tmp_path_factory.getbasetemp()
    return own.parent if "PYTEST_XDIST_WORKER" in os.environ else own


class _Slips(Store):
    """The run's store, in which nothing of a slip is kept.

    Under the name of a value lie the questions asked for it last. Those of a slip would stand in the place of the
    demonstration's, and the next slip would find nothing of what both have in common.
    """

    def close(self) -> None:
        self._new.clear()
        super().close()


@contextmanager
def _one_at_a_time(root: Path) -> Iterator[None]:
    """Let the first of a run's processes compile a folder, and the others find what it has kept."""
    kept = open_store()._file
    if kept is None:
        yield
        return
    kept.parent.mkdir(parents=True, exist_ok=True)
    with kept.with_name(f"{root.name}.lock").open("w") as file:
        fcntl.flock(file, fcntl.LOCK_EX)
        yield


def compiled(root: Path) -> Compiled:
    """Compile a folder, as a command does that finds what was compiled before.

    A slip in one file of the demonstration costs what it changes. That the result is that of a run from nothing is
    held by ``tests/unit/test_same_bytes.py``.
    """
    if root.resolve().is_relative_to(_REPOSITORY):
        with _one_at_a_time(root), open_store() as store:
            return compile_folder(root, store=store)
    with _Slips(open_store()._file) as store:
        return compile_folder(root, store=store)


def by_state(helper: str) -> list[dict[str, Any]]:
    """Return the data of a circuit's helper state by state; they are shipped field by field."""
    fields: dict[str, list[Any]] = json.loads(helper)["variants"]
    return [dict(zip(fields, values, strict=True)) for values in zip(*fields.values(), strict=True)]
