"""The only door to Typst: every setting is made in a process of its own, and its memory is given back."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from kbgen.render.guide.glyphs import FONTS

HOME = Path(__file__).parent
STANDARDS = ("a-2a", "ua-1")
"""Kept for their text, and readable by ear; Typst refuses to write what does not conform."""
PAGES = "<pages>"


@dataclass(frozen=True, slots=True)
class Setting:
    """What came of setting a folder once.

    Attributes:
        values: What the template says of itself, by name.
        made: The PDF, or one SVG picture a page; nothing where none was asked for.
    """

    values: dict[str, list[Any]]
    made: tuple[bytes, ...]

    @property
    def pages(self) -> int:
        """The number of pages, where the template tells it."""
        return int(self.values[PAGES][0])


class Typesetter:
    """A template with its data, which may be put anew; it reads content only as data."""

    def __init__(self, folder: Path, template: str) -> None:
        self._folder = folder
        self._template = template
        (folder / template).write_bytes((HOME / template).read_bytes())

    def put(self, data: dict[str, Any]) -> None:
        """Put other data in place."""
        (self._folder / "book.json").write_text(json.dumps(data, ensure_ascii=False), encoding="utf-8")

    def run(self, *names: str, made: str = "", tagged: bool = True, only_of: range | None = None) -> Setting:
        """Set what is in place.

        Args:
            names: What the template is asked for.
            made: ``pdf`` or ``svg``; nothing is written when empty.
            tagged: Whether a PDF is tagged and held to its standards, or small for the printer.
            only_of: Numbers of pages at which a file is worth writing; it needs `PAGES` among the names.

        Raises:
            RuntimeError: The template has a fault, or a picture cannot be read.
        """
        asked = {
            "folder": str(self._folder),
            "template": self._template,
            "fonts": str(FONTS),
            "values": names,
            "format": made,
            "standards": STANDARDS if made == "pdf" and tagged else (),
            "most": None if only_of is None else list(only_of),
        }
        done = subprocess.run(  # noqa: S603
            [sys.executable, "-P", str(HOME / "setting.py")],
            input=json.dumps(asked),
            capture_output=True,
            text=True,
            encoding="utf-8",
            check=False,
        )
        if done.returncode:
            raise RuntimeError(f"{self._template} was not set: {done.stderr.strip()}")
        files = sorted(self._folder.glob("made-*"), key=lambda file: int(file.name.partition("-")[2]))
        found = tuple(file.read_bytes() for file in files)
        for file in files:
            file.unlink()
        return Setting(json.loads(done.stdout), found)


@contextmanager
def typesetter(template: str, data: dict[str, Any]) -> Iterator[Typesetter]:
    """Give a typesetter with a folder of its own."""
    with TemporaryDirectory() as temporary:
        setter = Typesetter(Path(temporary), template)
        setter.put(data)
        yield setter
