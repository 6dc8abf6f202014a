"""Find the files of a knowledge base, in an order that no operating system decides."""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from kbgen.load.fault import FILES
from kbgen.load.names import clashes, entry_name_fault, is_yaml, picture_name_fault
from kbgen.nearest import nearest, one_of
from kbgen.position import Exact
from kbgen.problems import Problem
from kbgen.ref import FOLDERS, Kind

SETTINGS = "kb.yaml"
PHOTOS = "photos"
SIGNED = "signed"
"""Texts of entries as they were signed last; `kbgen sign` writes them."""
_KINDS = {name: kind for kind, name in FOLDERS.items()}
# Left behind by editors and file managers; nobody wrote them on purpose.
_DEBRIS = re.compile(r"\..*|.*~|#.*#|.*\.(?:swp|swo|bak|tmp|orig|rej)|Thumbs\.db|desktop\.ini", re.IGNORECASE)


class File(NamedTuple):
    """A file to read: path relative to the knowledge base, kind (``None`` for ``kb.yaml``) and id."""

    path: str
    kind: Kind | None
    id: str


class Found(NamedTuple):
    """What lies in a knowledge base; files and photos are sorted by path."""

    files: list[File]
    photos: list[str]
    problems: list[Problem]


NO_KNOWLEDGE_BASE = FILES.error(
    "no-knowledge-base",
    "Without kb.yaml nobody knows whose book it is.",
    "(a folder without kb.yaml)",
    "kb.yaml",
)
SETTINGS_NAME = FILES.error(
    "settings-name", "Some systems tell KB.yaml from kb.yaml and some do not.", "KB.yml", "kb.yaml"
)
MISPLACED_FILE = FILES.error(
    "misplaced-file",
    "An entry outside the folder of its kind has no kind.",
    "cutoff.yaml",
    "devices/cutoff.yaml",
)


def discover(root: Path) -> Found:
    """List the files of the knowledge base at ``root``."""
    found = Found([], [], [])
    if not root.is_dir():
        message, hint = "there is no such folder", "Name the folder that holds kb.yaml."
        found.problems.append(NO_KNOWLEDGE_BASE.at(Exact(SETTINGS), message, hint))
        return found
    for item in _items(root, "", found.problems):
        if item.is_symlink():
            found.problems.append(_link(item.name))
        elif item.is_dir():
            if item.name != SIGNED:
                _folder(root, item.name, found)
        elif not item.is_file():
            found.problems.append(_no_file(_shown(item.name)))
        elif item.name == SETTINGS:
            found.files.append(File(SETTINGS, None, "kb"))
        elif item.name in _KINDS or item.name == PHOTOS:
            message, hint = f"`{item.name}` is a file, not a folder", "Move it away, or delete it."
            found.problems.append(MISPLACED_FILE.at(Exact(item.name), message, hint))
        elif is_yaml(item.name):
            found.problems.append(_misplaced(_shown(item.name)))
    if not any(file.kind is None for file in found.files) and not any(
        problem.rule == SETTINGS_NAME.name for problem in found.problems
    ):
        hint = "Create kb.yaml with the fields `shop` and `key`, or name another folder."
        found.problems.append(NO_KNOWLEDGE_BASE.at(Exact(SETTINGS), "this folder has no kb.yaml", hint))
    found.files.sort(key=lambda file: file.path)
    found.photos.sort()
    return found


UNKNOWN_FOLDER = FILES.error(
    "unknown-folder",
    "The folder says what kind of entry a file is; entries elsewhere would be forgotten.",
    "device/",
    "devices/",
)
MISPLACED_FOLDER = FILES.error(
    "misplaced-folder",
    "Entries lie directly in the folder of their kind; the file name is the id.",
    "devices/boiler/cutoff.yaml",
    "devices/cutoff.yaml",
)


def fingerprint(root: Path) -> bytes | None:
    """Return a hash of the name and the bytes of every file of a knowledge base; ``None`` where one cannot be read."""
    digest = hashlib.sha256()
    found = discover(root)
    digest.update(repr(found.problems).encode("utf-8", "surrogatepass"))
    try:
        signed = sorted(path.relative_to(root).as_posix() for path in (root / SIGNED).glob("*/*.txt"))
        for name in (*(file.path for file in found.files), *found.photos, *signed):
            digest.update(repr(name).encode("utf-8", "surrogatepass"))
            digest.update(hashlib.sha256((root / name).read_bytes()).digest())
    except OSError:
        return None
    return digest.digest()


def _folder(root: Path, name: str, found: Found) -> None:
    meant = name
    if name not in _KINDS and name != PHOTOS:
        near = nearest(name, [*_KINDS, PHOTOS])
        if near or any(is_yaml(item.name) for item in _items(root, name, [])):
            hint = f"Did you mean {near}/?" if near else f"Use {one_of(f'{known}/' for known in _KINDS)}."
            message = f"no kind of entry lies in `{_shown(name)}/`"
            found.problems.append(UNKNOWN_FOLDER.at(Exact(_shown(name)), message, hint))
        others = {item.name for item in _items(root, "", [])} - {name} if near else ()
        if near is None or near in {nearest(other, [*_KINDS, PHOTOS]) for other in others}:
            return
        # Read all the same: one misspelt folder must not make every reference into it wrong.
        meant = near
    named: list[str] = []
    faults: list[Problem] = []
    for item in _items(root, name, faults):
        path = f"{_shown(name)}/{_shown(item.name)}"
        if item.is_symlink():
            faults.append(_link(path))
            continue
        if item.is_dir():
            hint = f"Move its files up into {meant}/."
            faults.append(
                MISPLACED_FOLDER.at(Exact(path), f"`{_shown(name)}/` has no folders inside it", hint)
            )
            continue
        if not item.is_file():
            faults.append(_no_file(path))
            continue
        wrong = picture_name_fault(path) if meant == PHOTOS else entry_name_fault(path)
        if wrong:
            faults.append(wrong)
        if meant == PHOTOS or is_yaml(item.name):
            named.append(path)
        if meant != PHOTOS and item.name.endswith(".yaml") and _shown(item.name) == item.name:
            found.files.append(File(path, _KINDS[meant], item.name.removesuffix(".yaml")))
        elif meant == PHOTOS and not wrong:
            found.photos.append(path)
    together = list(clashes(named))
    # A clash is one fault; that one of the names is also a wrong one is part of it.
    clashing = {
        place.path for clash in together for place in (clash.place, *(r.place for r in clash.related))
    }
    found.problems.extend(fault for fault in faults if fault.place.path not in clashing)
    found.problems.extend(together)


UNREADABLE_FILE = FILES.error(
    "unreadable-file",
    "A file that cannot be read would be left out without a word.",
    "(no permission to read)",
    "(readable for everybody)",
)


def _items(root: Path, folder: str, problems: list[Problem]) -> Iterator[os.DirEntry[str]]:
    try:
        with os.scandir(root / folder) as items:
            listed = sorted(items, key=lambda item: item.name)
    except OSError as fault:
        message = f"this folder cannot be listed: {fault.strerror or 'the system refused'}"
        problems.append(UNREADABLE_FILE.at(Exact(folder or "."), message, "Check its permissions."))
        return
    yield from (item for item in listed if not _DEBRIS.fullmatch(item.name))


def _misplaced(name: str) -> Problem:
    if name.lower() in ("kb.yaml", "kb.yml"):
        return SETTINGS_NAME.at(
            Exact(name), "the settings file must be called kb.yaml", "Rename it to kb.yaml."
        )
    hint = f"Move it into {one_of(f'{folder}/' for folder in FOLDERS.values())}."
    return MISPLACED_FILE.at(Exact(name), "an entry lies in the folder of its kind", hint)


SYMBOLIC_LINK = FILES.error(
    "symbolic-link",
    "A link can point at another file on every machine.",
    "devices/cutoff.yaml -> ../old/cutoff.yaml",
    "devices/cutoff.yaml (the file itself)",
)


def _link(path: str) -> Problem:
    return SYMBOLIC_LINK.at(
        Exact(_shown(path)), "symbolic links are not followed", "Put the file itself here."
    )


def _no_file(path: str) -> Problem:
    """A pipe or a device would be read without end."""
    message, hint = "this is no ordinary file", "Delete it, or put an ordinary file in its place."
    return UNREADABLE_FILE.at(Exact(path), message, hint)


def _shown(name: str) -> str:
    """A file name as text, even if its bytes are not UTF-8."""
    return os.fsencode(name).decode("utf-8", errors="replace")
