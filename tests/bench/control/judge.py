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
from tests.bench.control.draft import Data, read, written
from tests.bench.control.plant import Shop

OWN = ("procedures/", "equipment/", "circuits/", "devices/")
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
    """A copy of what a knowledge base says of one plant, its right state compiled once."""

    def __init__(self, shop: Shop, plant: str) -> None:
        self._home = tempfile.TemporaryDirectory(dir=MEMORY if MEMORY.is_dir() else None)
        self.root = Path(self._home.name) / "kb"
        shutil.copytree(shop.root, self.root)
        self._only(plant)
        for path, data in shop.written.items():
            if (self.root / path).exists():
                (self.root / path).write_text(written(data), encoding="utf-8")
        self.store = _Kept()
        while self._errors():
            for _, path, _ in self._errors():
                assert not path.startswith(OWN), f"{path} is not right to begin with"
                (self.root / path).unlink(missing_ok=True)
        self.store.close()
        # What stays is looked at no more; the rest goes after each change.
        self._collected = gc.isenabled()
        gc.collect()
        gc.freeze()
        gc.disable()

    def _only(self, plant: str) -> None:
        """Take away what is about other plants; no page of theirs leads to one of this plant."""
        for file in sorted(self.root.glob("*/*.yaml")):
            said = read(file.read_text(encoding="utf-8")).get("equipment", ())
            about = [said] if isinstance(said, str) else list(said)
            about = [file.stem] if file.parent.name == "equipment" else about
            if (about and plant not in about) or file.parent.name == "field_notes":
                file.unlink()

    def close(self) -> None:
        """Take the copy away, and look for garbage again as before."""
        self._home.cleanup()
        if self._collected:
            gc.unfreeze()
            gc.enable()

    def _errors(self) -> set[tuple[str, str, str]]:
        found = compile_folder(self.root, store=self.store).problems
        # Calls are written out here, so a season's page names none of the pages that the due list asks for.
        errors = (each for each in found if each.severity is Severity.ERROR)
        return {_named(each) for each in errors if each.rule != "season-start-lacks"}

    def errors(self, files: Mapping[str, Data]) -> set[tuple[str, str, str]]:
        """Return the errors that a change brings: rule, file, sentence."""
        old = {path: (self.root / path).read_bytes() for path in files}
        try:
            for path, data in files.items():
                (self.root / path).write_text(written(data), encoding="utf-8")
            return self._errors()
        finally:
            gc.collect()
            self.store._new.clear()
            for path, body in old.items():
                (self.root / path).write_bytes(body)


def _named(problem: Problem) -> tuple[str, str, str]:
    return problem.rule, problem.place.path, problem.message
