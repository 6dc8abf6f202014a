"""The printed pages of one entry, drawn for the screen while its author writes it."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from threading import Lock

from markupsafe import Markup

from kbgen.outputs.guide import drawn
from kbgen.ref import Kind, Ref
from kbgen.serve.preview import Shown

FOLDER = ".kbgen/printed/"


@dataclass
class Printed:
    """Draws each page once for a state of the preview; safe between threads."""

    _of: Shown | None = None
    _made: dict[str, tuple[bytes, ...]] = field(default_factory=dict)
    _one: Lock = field(default_factory=Lock)

    def page(self, shown: Shown, where: str) -> bytes | None:
        """Return the page that shows the sheets of an entry; ``None`` where there is no such entry.

        Args:
            where: Its address below `FOLDER`: that of the entry's own page.
        """
        sheets = self._sheets(shown, where)
        if sheets is None:
            return None
        pictures = [
            Markup('<img src="/{}{}/{}.svg?{}" alt="Sheet {}">').format(
                FOLDER, where, number, hashlib.sha256(sheet).hexdigest()[:20], number
            )
            for number, sheet in enumerate(sheets, 1)
        ]
        none = Markup("<p>Nothing of it is printed as it is now.</p>")
        return (
            Markup(
                '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
                '<meta name="viewport" content="width=device-width, initial-scale=1"><title>Printed pages</title>'
                '<link rel="icon" href="data:,"></head><body><main class="preview-printed">'
                '<p><a href="/{}">Back to the page</a></p><h1>Printed pages of {}</h1>{}'
                '<p class="preview-doing" role="status"></p></main></body></html>'
            )
            .format(where, shown.files[where], Markup().join(pictures) or none)
            .encode()
        )

    def sheet(self, shown: Shown, name: str) -> bytes | None:
        """Return one sheet by its name below `FOLDER`."""
        where, _, file = name.rpartition("/")
        sheets = self._sheets(shown, where) or ()
        number = file.removesuffix(".svg")
        wanted = int(number) - 1 if number.isascii() and number.isdigit() and len(number) < 6 else -1
        return sheets[wanted] if 0 <= wanted < len(sheets) else None

    def _sheets(self, shown: Shown, where: str) -> tuple[bytes, ...] | None:
        if where not in shown.files:
            return None
        with self._one:
            if self._of is not shown:
                self._of, self._made = shown, {}
            if where not in self._made:
                folder, _, name = where.removesuffix(".html").partition("/")
                kind = next(each for each in Kind if each.folder == folder)
                try:
                    self._made[where] = drawn(shown.compiled, Ref(kind, name))
                finally:
                    shown.compiled.store.close()
            return self._made[where]
