"""The version that a change is held against, as a folder: read out of git, or given as a folder."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from tempfile import TemporaryDirectory


class NoBase(Exception):  # noqa: N818 - said to a person
    """There is no such version; the message says why and what to type instead."""


@dataclass(frozen=True, slots=True)
class Base:
    """The version before.

    Attributes:
        folder: Holds it, to be read and changed freely.
        name: What a person calls it.
        empty: Whether there was no knowledge base yet.
    """

    folder: Path
    name: str
    empty: bool = False


@contextmanager
def base_of(root: Path, revision: str) -> Iterator[Base]:
    """Give the knowledge base as it was.

    Args:
        root: The folder of the knowledge base as it is.
        revision: A revision of git, or a folder that holds the version before.

    Raises:
        NoBase: There is no git, no repository or no such revision.
    """
    given = Path(revision)
    with TemporaryDirectory(prefix="kbgen-review-") as scratch:
        into = Path(scratch) / "base"
        if (given / "kb.yaml").is_file():
            shutil.copytree(given, into, symlinks=True)
            yield Base(into, revision)
            return
        into.mkdir()
        name, number = _read_out(root, revision, into)
        yield Base(into, name, empty=number == 0)


def _read_out(root: Path, revision: str, into: Path) -> tuple[str, int]:
    """Write the files of a knowledge base at a revision into a folder; return its name and their number."""
    _git(
        root,
        "rev-parse",
        "--git-dir",
        otherwise=f"{root} is in no git repository, and there is no folder {revision}",
    )
    prefix = _git(root, "rev-parse", "--show-prefix").decode().strip("\n")
    top = Path(os.fsdecode(_git(root, "rev-parse", "--show-toplevel").rstrip(b"\n")))
    commit = _commit(root, revision)
    if not commit:
        known = _git(root, "branch", "-a", "--format=%(refname:short)").decode().split()
        hint = f"known branches: {', '.join(known[:6])}" if known else "there is no commit yet"
        raise NoBase(
            f"there is no revision `{revision}` here; {hint}; a shallow clone has only what was fetched"
        )
    parted = _parted(root, commit)
    name = revision if parted == commit else f"{revision} (where this branch left it)"
    listed = _git(top, "ls-tree", "-r", "-z", "--full-tree", parted, "--", prefix or ".")
    files = []
    for row in filter(None, listed.split(b"\0")):
        about, _, path = row.partition(b"\t")
        _mode, what, blob = about.split()[:3]
        if what == b"blob":
            files.append((blob.decode(), os.fsdecode(path).removeprefix(prefix)))
    _write(top, files, into)
    return name, sum(name == "kb.yaml" for _, name in files)


def _write(top: Path, files: list[tuple[str, str]], into: Path) -> None:
    asked = "".join(f"{blob}\n" for blob, _ in files).encode()
    answer = _git(top, "cat-file", "--batch", given=asked)
    at = 0
    for _, path in files:
        end = answer.index(b"\n", at)
        size = int(answer[at:end].split()[2])
        pure = PurePosixPath(path)
        if not pure.is_absolute() and ".." not in pure.parts:
            target = into / pure
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(answer[end + 1 : end + 1 + size])
        at = end + size + 2


def _commit(root: Path, revision: str) -> str:
    try:
        found = _git(root, "rev-parse", "--verify", "--quiet", "--end-of-options", f"{revision}^{{commit}}")
    except NoBase as fault:
        if fault.__cause__ is not None:
            raise
        return ""
    return found.decode().strip()


def _parted(root: Path, commit: str) -> str:
    """Return where this branch left another: what was changed there since is none of its changes."""
    try:
        head = _git(root, "rev-parse", "HEAD").decode().strip()
        parted = _git(root, "merge-base", commit, head).decode().strip()
    except NoBase:
        return commit
    return commit if parted in ("", head) else parted


def _git(where: Path, *words: str, given: bytes = b"", otherwise: str = "") -> bytes:
    """Run git and return what it prints.

    Raises:
        NoBase: There is no git, or it refuses; with a cause where there is none.
    """
    # Nothing of it may wait for somebody at a terminal, or take a lock.
    env = {**os.environ, "GIT_OPTIONAL_LOCKS": "0", "GIT_TERMINAL_PROMPT": "0", "LC_ALL": "C"}
    try:
        done = subprocess.run(  # noqa: S603 - the words are ours but for a revision, which follows --end-of-options
            ["git", "-C", os.fspath(where), *words],  # noqa: S607 - the user's own git
            input=given,
            capture_output=True,
            check=False,
            env=env,
        )
    except FileNotFoundError as fault:
        raise NoBase(
            "git is not installed here; give a folder that holds the version before: --base FOLDER"
        ) from fault
    if done.returncode:
        said = done.stderr.decode(errors="replace").strip().splitlines()
        raise NoBase(otherwise or (said[0].removeprefix("fatal: ") if said else f"git {words[0]} failed"))
    return done.stdout
