"""What was compiled before, kept by what it was made of.

One SQLite file in the user's cache folder, never in a knowledge base. A value lies under a hash of everything it
was made of and of the program, so that it is found again only where making it again would give the same. What is
damaged, foreign or of another format is thrown away, and the value is made: the store saves time and nothing else.
Two runs at once wait for each other while one of them writes, a moment at its end.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import time
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Self, TypeVar

from kbgen.records import dump, load

if TYPE_CHECKING:
    import sqlite3

T = TypeVar("T")

MOST_BYTES = 300 * 2**20
"""Size of the file; what was not used for the longest time goes first."""
_DAYS_UNUSED = 30
_PATIENCE = 2.0
_DAY = 86_400
_LAYOUT = "CREATE TABLE kept (key BLOB PRIMARY KEY, body BLOB NOT NULL, checksum BLOB NOT NULL, used INTEGER NOT NULL)"


class Store:
    """Values by key; without a file it keeps nothing and everything is made anew."""

    def __init__(self, file: Path | None = None) -> None:
        self._file = file
        self._base: sqlite3.Connection | None = None
        self._others: sqlite3.Connection | None = None
        self._new: dict[bytes, bytes] = {}
        self._used: set[bytes] = set()
        self._anew = False
        self.fresh = 0
        """How many values were made and not found; for tests and measurements."""

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @property
    def keeps(self) -> bool:
        """Whether values are kept at all."""
        return self._file is not None

    def get(self, key: bytes) -> bytes | None:
        """Return the bytes under a key, or ``None``."""
        if self._file is None:
            return None
        if key in self._new:
            return self._new[key]
        import sqlite3

        try:
            base = self._open()
            row = base.execute("SELECT body, checksum, used FROM kept WHERE key = ?", (key,)).fetchone()
        except sqlite3.DatabaseError as fault:
            self._gone(fault)
            return None
        if row is None:
            return None
        body, checksum, used = row
        if not isinstance(body, bytes) or checksum != _checksum(key, body):
            return None
        if not isinstance(used, int) or used < _today():
            self._used.add(key)
        return body

    def put(self, key: bytes, body: bytes) -> None:
        """Keep bytes under a key; they are written when the store is closed."""
        if self._file is not None:
            self._new[key] = body

    def begin_beside(self) -> tuple[frozenset[bytes], int]:
        """Go on in a process that was doubled; return what was new before, and how many values were made."""
        # The connection belongs to the other process: it is neither used nor closed here.
        self._others, self._base = self._base, None
        return frozenset(self._new), self.fresh

    def made_beside(self, before: tuple[frozenset[bytes], int]) -> tuple[dict[bytes, bytes], int]:
        """Return what was made since ``begin_beside``, for ``take_over``."""
        known, fresh = before
        return {key: body for key, body in self._new.items() if key not in known}, self.fresh - fresh

    def take_over(self, new: dict[bytes, bytes], fresh: int) -> None:
        """Keep what another process has made."""
        self._new |= new
        self.fresh += fresh

    def value(self, key: bytes, make: Callable[[], T], sure: Callable[[], bool] = lambda: True) -> T:
        """Return the value under a key, or make it and keep it.

        A value that was just made is handed on as one that was kept, so that no run can see a difference.

        Args:
            sure: Whether what the key was made of is still so after making; else nothing is kept.
        """
        body = self.get(key)
        if body is not None:
            try:
                return load(body)  # type: ignore[no-any-return]
            except Exception:  # noqa: S110 - whatever is wrong with it, it is made again
                pass
        made = make()
        if self._file is None or not sure():
            return made
        self.fresh += 1
        body = dump(made)
        self.put(key, body)
        return load(body)  # type: ignore[no-any-return]

    def close(self) -> None:
        """Write what is new; without a fuss where that fails, since everything can be made again."""
        if self._file is None:
            return
        import sqlite3

        try:
            if self._new or self._used:
                self._write(self._open())
        except sqlite3.DatabaseError as fault:
            self._gone(fault)
            if self._file is not None:
                self.close()
        finally:
            if self._base is not None:
                self._base.close()
                self._base = None
            self._new.clear()
            self._used.clear()

    def _write(self, base: sqlite3.Connection) -> None:
        today = _today()
        with base:
            base.execute("BEGIN IMMEDIATE")
            base.executemany(
                "INSERT OR REPLACE INTO kept VALUES (?, ?, ?, ?)",
                ((key, body, _checksum(key, body), today) for key, body in self._new.items()),
            )
            base.executemany("UPDATE kept SET used = ? WHERE key = ?", ((today, key) for key in self._used))
            # Once a day; the file itself knows on which day it was swept.
            if _number(base, "user_version") < today:
                base.execute("DELETE FROM kept WHERE used < ?", (today - _DAYS_UNUSED,))
                base.execute(f"PRAGMA user_version = {today}")
        while _size(base) > MOST_BYTES:
            with base:
                base.execute(
                    "DELETE FROM kept WHERE rowid IN (SELECT rowid FROM kept ORDER BY used, rowid LIMIT "
                    "(SELECT 1 + count(*) / 4 FROM kept))"
                )

    def _open(self) -> sqlite3.Connection:
        if self._base is None:
            import sqlite3

            base = sqlite3.connect(self._file or ":memory:", timeout=_PATIENCE, isolation_level=None)
            # What was taken out of a knowledge base leaves no trace in pages that are free again.
            for pragma in (
                "trusted_schema = OFF",
                "secure_delete = ON",
                "synchronous = OFF",
                "auto_vacuum = FULL",
            ):
                base.execute(f"PRAGMA {pragma}")
            found = [row[0] for row in base.execute("SELECT sql FROM sqlite_master WHERE sql IS NOT NULL")]
            if not found:
                base.execute(_LAYOUT.replace("TABLE", "TABLE IF NOT EXISTS"))
            elif found != [_LAYOUT]:
                base.close()
                raise sqlite3.DatabaseError("of another format")
            self._base = base
        return self._base

    def _gone(self, fault: Exception) -> None:
        """Throw away a store that cannot be read and begin another; leave alone one that somebody is writing."""
        import sqlite3

        if self._base is not None:
            self._base.close()
            self._base = None
        file, self._file = self._file, None
        busy = isinstance(fault, sqlite3.OperationalError) and "malformed" not in str(fault)
        if not busy and file is not None and not self._anew:
            self._anew = True
            with contextlib.suppress(OSError):
                file.unlink(missing_ok=True)
                self._file = file


def _checksum(key: bytes, body: bytes) -> bytes:
    return hashlib.sha256(key + body).digest()[:16]


def _size(base: sqlite3.Connection) -> int:
    return (_number(base, "page_count") - _number(base, "freelist_count")) * _number(base, "page_size")


def _number(base: sqlite3.Connection, pragma: str) -> int:
    return int(base.execute(f"PRAGMA {pragma}").fetchone()[0])


def _today() -> int:
    return int(time.time()) // _DAY


def open_store(*, cached: bool = True) -> Store:
    """Open the user's store; one that keeps nothing where it is not wanted or cannot be trusted."""
    if not cached:
        return Store()
    home = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "kbgen"
    try:
        home.mkdir(mode=0o700, parents=True, exist_ok=True)
        # In a folder that another person can write, nothing is believed.
        if hasattr(os, "getuid"):
            state = home.stat()
            if state.st_uid != os.getuid() or state.st_mode & 0o022:
                return Store()
        file = home / "store.sqlite"
        if file.is_symlink():
            return Store()
        if not file.exists():
            os.close(os.open(file, os.O_CREAT | os.O_RDWR, 0o600))
        return Store(file)
    except (OSError, RuntimeError):
        return Store()
