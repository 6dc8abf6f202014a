"""Write a change into a copy of its knowledge base and let the check look at it."""

from __future__ import annotations

import gc
import os
import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path

from kbgen.pipeline import compile_folder
from kbgen.problems import Problem, Severity
from kbgen.store import Store
from tests.bench.control.draft import Data, written
from tests.bench.control.plant import Shop

MEMORY = Path("/dev/shm")


class _Kept(Store):
    """What the right pages make, kept in memory; what a change makes is forgotten."""

    def __init__(self) -> None:
        super().__init__(Path(os.devnull))
        self.kept: dict[bytes, bytes] = {}

    def get(self, key: bytes) -> bytes | None:
        return self._new.get(key) or self.kept.get(key)

    def close(self) -> None:
        self.kept.update(self._new)
        self._new.clear()


class Bench:
    """A copy of one knowledge base, its right state compiled once."""

    def __init__(self, shop: Shop) -> None:
        self._home = tempfile.TemporaryDirectory(dir=MEMORY if MEMORY.is_dir() else None)
        self.root = Path(self._home.name) / "kb"
        shutil.copytree(shop.root, self.root)
        self.store = _Kept()
        self.before = self._errors()
        self.store.close()
        gc.collect()
        gc.freeze()

    def close(self) -> None:
        """Take the copy away."""
        self._home.cleanup()

    def _errors(self) -> set[tuple[str, str, str]]:
        found = compile_folder(self.root, store=self.store).problems
        return {_named(each) for each in found if each.severity is Severity.ERROR}

    def errors(self, files: Mapping[str, Data]) -> set[tuple[str, str, str]]:
        """Return the errors that a change brings: rule, file, sentence."""
        old = {path: (self.root / path).read_bytes() for path in files}
        try:
            for path, data in files.items():
                (self.root / path).write_text(written(data), encoding="utf-8")
            return self._errors() - self.before
        finally:
            self.store._new.clear()
            for path, body in old.items():
                (self.root / path).write_bytes(body)


def _named(problem: Problem) -> tuple[str, str, str]:
    return problem.rule, problem.place.path, problem.message
