"""The list of all files of a web edition with their hashes: what a tablet fetches, and what a folder is held against."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import Any

from kbgen.render.web.error import WebError
from kbgen.views.address import HOME

LIST = "edition-files.json"
SIGNATURE = f"{LIST}.sig"
FORMAT = 1
_FIRST = "leave-now.html"
_NAMED = re.compile(r'\s(?:src|href)="((?:\.{1,2}/)*([a-z][^"#:]*\.(?:css|js|svg|png)))"')
_HASH = re.compile(r"[0-9a-f]{64}\Z")
_MARK = re.compile(r"[0-9a-f]{8,64}\Z")


@dataclass(frozen=True, slots=True)
class FileList:
    """What one list says.

    Attributes:
        shop: Key of the shop.
        mark: The edition's mark, the same as in the pocket guide.
        date: The edition's day, ISO 8601.
        number: Which of two editions is the newer one.
        size: Bytes of all its files together.
        files: SHA-256 in hex by address, in the order in which a tablet fetches them.
        fingerprint: The first 20 hex digits of the SHA-256 of the list itself.
    """

    shop: str
    mark: str
    date: str
    number: int
    size: int
    files: Mapping[str, str]
    fingerprint: str


@dataclass(frozen=True, slots=True)
class Held:
    """What became of holding a folder against its list; addresses, sorted."""

    missing: tuple[str, ...]
    changed: tuple[str, ...]
    foreign: tuple[str, ...]

    @property
    def whole(self) -> bool:
        """Whether the folder is the edition of its list, all of it and nothing else."""
        return not (self.missing or self.changed or self.foreign)


def grouped(fingerprint: str) -> str:
    """Return a fingerprint as it is read aloud.

    >>> grouped("0123456789abcdef0123")
    '0123 4567 89ab cdef 0123'
    """
    return " ".join(fingerprint[at : at + 4] for at in range(0, len(fingerprint), 4))


def write_list(site: Path, shop: str, mark: str, date: str, number: int) -> FileList:
    """Write the list of a finished folder into it."""
    found = sorted(_files(site))
    files = {path: _digest(site / path) for path in _in_order(site, found)}
    size = sum((site / path).stat().st_size for path in found)
    about = {"format": FORMAT, "shop": shop, "mark": mark, "date": date, "number": number, "bytes": size}
    text = json.dumps({**about, "files": files}, indent=0).encode() + b"\n"
    (site / LIST).write_bytes(text)
    return _read(text)


def read_list(folder: Path) -> FileList:
    """Read the list of a folder.

    Raises:
        WebError: There is none, or it is none that kbgen wrote; the message says which.
    """
    file = folder / LIST
    if not file.is_file():
        if folder.is_dir():
            fault = f"{folder} has no {LIST}"
        else:
            fault = f"{folder} is a file" if folder.exists() else f"there is no folder {folder}"
        raise WebError(f"{fault}; give the folder that kbgen build wrote")
    try:
        return _read(file.read_bytes())
    except (ValueError, KeyError, TypeError, AttributeError) as fault:
        raise WebError(f"{file} is no list that kbgen build wrote; build the edition anew") from fault


def hold(folder: Path, listed: FileList) -> Held:
    """Hold every file of a folder against a list; a signature beside the list is no file of the edition."""
    there = set(_files(folder)) - {SIGNATURE}
    both = there & listed.files.keys()
    return Held(
        missing=tuple(sorted(listed.files.keys() - there)),
        changed=tuple(sorted(path for path in both if _digest(folder / path) != listed.files[path])),
        foreign=tuple(sorted(there - listed.files.keys())),
    )


def _files(folder: Path) -> Iterator[str]:
    """Yield the address of every file but the list."""
    for file in folder.rglob("*"):
        if not file.is_dir() and (path := file.relative_to(folder).as_posix()) != LIST:
            yield path


def _digest(file: Path) -> str:
    return hashlib.sha256(file.read_bytes()).hexdigest() if file.is_file() else ""


def _in_order(site: Path, found: list[str]) -> dict[str, None]:
    """Return what is needed first, first: the emergency page with its style, home, what the panels show."""
    pages = [_FIRST, HOME, *(path for path in found if path.startswith("plant/"))]
    ordered: dict[str, None] = {}
    for page in pages:
        if page in found:
            text = (site / page).read_text(encoding="utf-8")
            named = (path for _, path in _NAMED.findall(text) if path in found)
            ordered |= dict.fromkeys((page, *named))
    return ordered | dict.fromkeys(found)


def _read(text: bytes) -> FileList:
    """Take a list apart; anything else raises one of Python's own errors."""
    data: dict[str, Any] = json.loads(text)
    if data["format"] != FORMAT or not _MARK.match(data["mark"]):
        raise ValueError(data["format"])
    for path, digest in data["files"].items():
        place = PurePosixPath(path)
        if place.is_absolute() or ".." in place.parts or not _HASH.match(digest):
            raise ValueError(path)
    return FileList(
        shop=str(data["shop"]),
        mark=data["mark"],
        date=str(data["date"]),
        number=int(data["number"]),
        size=int(data["bytes"]),
        files=data["files"],
        fingerprint=hashlib.sha256(text).hexdigest()[:20],
    )
