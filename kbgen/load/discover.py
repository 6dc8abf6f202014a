"""Find the files of a knowledge base, and say what is wrong with their names."""

from __future__ import annotations

import os
import re
import unicodedata
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from kbgen.nearest import nearest, one_of
from kbgen.position import Exact
from kbgen.problems import Problem, Related, error
from kbgen.ref import FOLDERS, Kind

SETTINGS = "kb.yaml"
PHOTOS = "photos"
_PICTURES = (".png", ".jpg", ".jpeg", ".webp", ".svg")
_KINDS = {name: kind for kind, name in FOLDERS.items()}
_ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
_LONGEST_ID = 60
_PICTURE = re.compile(r"[a-z0-9]+(?:[-_.][a-z0-9]+)*")
# Left behind by editors and file managers; nobody wrote them on purpose.
_DEBRIS = re.compile(r"\..*|.*~|#.*#|.*\.(?:swp|swo|bak|tmp|orig|rej)|Thumbs\.db|desktop\.ini", re.IGNORECASE)
_WINDOWS_DEVICE = re.compile(r"(?:con|prn|aux|nul|com[0-9]|lpt[0-9])(?:\..*)?", re.IGNORECASE)


class File(NamedTuple):
    """A file to read: path relative to the knowledge base, kind (``None`` for ``kb.yaml``) and id."""

    path: str
    kind: Kind | None
    id: str


class Found(NamedTuple):
    """What lies in a knowledge base; everything sorted by path."""

    files: list[File]
    photos: list[str]
    problems: list[Problem]


def discover(root: Path) -> Found:
    """List the files of the knowledge base at ``root``."""
    found = Found([], [], [])
    if not root.is_dir():
        found.problems.append(
            error("no-knowledge-base", Exact(SETTINGS), "there is no such folder", "name the folder that holds kb.yaml")
        )
        return found
    names: list[str] = []
    for item in _items(root, "", found.problems):
        if item.is_symlink():
            found.problems.append(_link(item.name))
        elif item.is_dir():
            _folder(root, item, found, names)
        elif item.name == SETTINGS:
            found.files.append(File(SETTINGS, None, "kb"))
        elif item.name.lower() in ("kb.yaml", "kb.yml"):
            hint = "rename it to kb.yaml"
            found.problems.append(error("file-name", Exact(item.name), "the settings file must be called kb.yaml", hint))
        elif _is_yaml(item.name):
            hint = f"move it into {one_of(f'{folder}/' for folder in FOLDERS.values())}"
            found.problems.append(error("misplaced-file", Exact(item.name), "entries lie in the folder of their kind", hint))
    if not any(file.kind is None for file in found.files) and not any(
        problem.rule == "file-name" and "/" not in problem.place.path for problem in found.problems
    ):
        hint = "create kb.yaml with the lines `shop:` and `key:`, or name another folder"
        found.problems.append(error("no-knowledge-base", Exact(SETTINGS), "this folder has no kb.yaml", hint))
    found.problems.extend(_clashes(names))
    clashing = {problem.place.path for problem in found.problems if problem.rule == "file-name-clash"}
    clashing |= {near.place.path for problem in found.problems for near in problem.related}
    # A clash is one fault, not also a wrong name.
    kept = [p for p in found.problems if p.rule != "file-name" or p.place.path not in clashing]
    return Found(sorted(found.files), sorted(found.photos), kept)


def _folder(root: Path, folder: os.DirEntry[str], found: Found, names: list[str]) -> None:
    name = folder.name
    if name not in _KINDS and name != PHOTOS:
        near = nearest(name, [*_KINDS, PHOTOS])
        holds_yaml = any(_is_yaml(item.name) for item in _items(root, name, []))
        if near or holds_yaml:
            hint = f"did you mean {near}/?" if near else f"use {one_of(f'{known}/' for known in _KINDS)}"
            found.problems.append(error("unknown-folder", Exact(name), f"no kind of entry lies in `{name}/`", hint))
        return
    for item in _items(root, name, found.problems):
        path = f"{name}/{_shown(item.name)}"
        stem, dot, ending = item.name.rpartition(".")
        ending = dot + ending
        wrong: Problem | None = None
        if item.is_symlink():
            wrong = _link(path)
        elif item.is_dir():
            wrong = error("misplaced-file", Exact(path), f"`{name}/` has no folders inside it", f"move the files up into {name}/")
        elif name == PHOTOS:
            wrong = _picture_fault(path, stem, ending)
            names.append(path)
            if not wrong:
                found.photos.append(path)
        elif ending != ".yaml":
            kind = "an entry's file name ends in .yaml"
            hint = f"rename it to {stem or item.name}.yaml" if _is_yaml(item.name) else "rename it if it is an entry, or move it out of the knowledge base"
            wrong = error("file-name", Exact(path), kind, hint)
            if _is_yaml(item.name):
                names.append(path)
        else:
            wrong = _name_fault(path, stem)
            names.append(path)
            found.files.append(File(path, _KINDS[name], _shown(stem)))
        if wrong:
            found.problems.append(wrong)


def _items(root: Path, folder: str, problems: list[Problem]) -> Iterator[os.DirEntry[str]]:
    try:
        with os.scandir(root / folder) as items:
            listed = sorted(items, key=lambda item: item.name)
    except OSError as fault:
        reason = fault.strerror or "the system refused"
        problems.append(error("unreadable-file", Exact(folder or "."), f"cannot list this folder: {reason}", "check its permissions"))
        return
    yield from (item for item in listed if not _DEBRIS.fullmatch(item.name))


def _name_fault(path: str, stem: str) -> Problem | None:
    if _WINDOWS_DEVICE.fullmatch(stem):
        return error("file-name", Exact(path), f"`{stem}` is the name of a device on Windows", "choose another name")
    if len(stem) > _LONGEST_ID:
        hint = f"shorten it to {_LONGEST_ID} characters; it has {len(stem)}"
        return error("file-name", Exact(path), "the file name is too long", hint)
    if _ID.fullmatch(stem):
        return None
    hint = "use lower-case letters, digits and single hyphens"
    tidy = _as_id(stem)
    if tidy and not _WINDOWS_DEVICE.fullmatch(tidy):
        hint += f", for example {tidy}.yaml"
    return error("file-name", Exact(path), "the file name is the entry's id and cannot be one", hint)


def _picture_fault(path: str, stem: str, ending: str) -> Problem | None:
    if ending not in _PICTURES:
        hint = f"save it as {one_of(_PICTURES)}"
        return error("file-name", Exact(path), f"pictures with the ending `{ending}` are not read", hint)
    if not _PICTURE.fullmatch(stem) or _WINDOWS_DEVICE.fullmatch(stem):
        hint = f"rename it, for example {_as_id(stem) or 'panel'}{ending}"
        return error("file-name", Exact(path), "a picture's name holds lower-case letters, digits and hyphens", hint)
    return None


def _clashes(paths: list[str]) -> Iterator[Problem]:
    """Report names that are one file on systems that ignore case or Unicode composition."""
    same: dict[str, list[str]] = defaultdict(list)
    for path in paths:
        folded = unicodedata.normalize("NFC", unicodedata.normalize("NFC", path).casefold())
        same[re.sub(r"\.yml$", ".yaml", folded)].append(path)
    for group in same.values():
        if len(group) > 1:
            first, *others = sorted(group)
            related = [Related(Exact(other), "the other file") for other in others]
            yield error(
                "file-name-clash",
                Exact(first),
                "these file names differ only in case, in how an accent is stored or in the ending; "
                "on some computers they are one file",
                "rename one of them",
                *related,
            )


def _link(path: str) -> Problem:
    return error("symbolic-link", Exact(_shown(path)), "symbolic links are not followed", "put the file itself here")


def _is_yaml(name: str) -> bool:
    return name.lower().endswith((".yaml", ".yml"))


def _as_id(stem: str) -> str:
    plain = unicodedata.normalize("NFKD", stem.lower()).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:_LONGEST_ID].strip("-")


def _shown(name: str) -> str:
    """A file name as text, even if its bytes are not UTF-8."""
    return os.fsencode(name).decode("utf-8", errors="replace")
