"""What the program is, as a hash: what was made by another is not found."""

from __future__ import annotations

import hashlib
import sys
from functools import cache
from pathlib import Path

from kbgen.resources import folder, package

_SHIPPED = ("schema", "site_overrides")


def make_key(*parts: str | bytes) -> bytes:
    """Return a hash of some parts and of the program; no two lists of parts have the same."""
    digest = hashlib.sha256(program())
    for part in parts:
        data = part.encode("utf-8", "surrogatepass") if isinstance(part, str) else part
        digest.update(len(data).to_bytes(8, "big"))
        digest.update(data)
    return digest.digest()


@cache
def program() -> bytes:
    """Return a hash of everything that makes values: the program, what it ships with, the packages it works with."""
    digest = hashlib.sha256(sys.version.encode())
    for path in sys.path:
        where = Path(path)
        installed = sorted(each.name for each in where.glob("*.dist-info")) if where.is_dir() else []
        digest.update(repr(installed).encode())
    digest.update(program_files())
    return digest.digest()


@cache
def program_files() -> bytes:
    """Return a hash of the program's own files and of what ships with it: the same on every machine."""
    digest = hashlib.sha256()
    for name, where in (("kbgen", package()), *((each, folder(each)) for each in _SHIPPED)):
        for file in sorted(where.rglob("*")):
            path = file.relative_to(where)
            if file.suffix == ".pyc" or "__pycache__" in path.parts or path.parts[0] == "_data":
                continue
            if file.is_file():
                digest.update(f"{name}/{path.as_posix()}\0".encode())
                digest.update(hashlib.sha256(file.read_bytes()).digest())
    return digest.digest()
