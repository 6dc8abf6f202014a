"""Where a command may write: never over what somebody typed."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from kbgen.cli.common import WrongUse
from kbgen.ref import FOLDERS


def refuse_source(out: Path, root: Path) -> None:
    """Refuse to write among the entries of the knowledge base.

    Raises:
        WrongUse: ``out`` is ``kb.yaml``, or a folder of entries or pictures, or lies in one.
    """
    source = {(root / name).resolve() for name in ("kb.yaml", "photos", *FOLDERS.values())}
    place = out.resolve()
    if not source.isdisjoint((place, *place.parents)):
        raise WrongUse(f"{out} is where the knowledge base itself stands; name another place with --out")


def refuse_other_file(out: Path, begins: bytes, what: str) -> None:
    """Refuse to write over a file that no such command wrote.

    Args:
        begins: How a file that may be replaced begins.
        what: What such a file is called.

    Raises:
        WrongUse: ``out`` is a folder, or a file that begins otherwise.
    """
    if out.is_dir():
        raise WrongUse(f"{out} is a folder; give a file name with --out")
    if not out.exists():
        return
    # A pipe or a device would be read without end.
    if not out.is_file() or not _begins(out, begins):
        raise WrongUse(f"{out} is there already and is no {what}; name another file with --out")


def _begins(out: Path, begins: bytes) -> bool:
    with writing(out), out.open("rb") as file:
        return file.read(len(begins)) == begins


def _is_utf_8(path: Path) -> bool:
    try:
        return bool(str(path.absolute()).encode())
    except UnicodeEncodeError:
        return False


@contextmanager
def writing(out: Path) -> Iterator[None]:
    """Say in one sentence why ``out`` cannot be written.

    Raises:
        WrongUse: It cannot; nothing was replaced.
    """
    if not _is_utf_8(out):
        # The tools behind the web edition and the guide speak UTF-8 only.
        raise WrongUse(f"{out} cannot be written: a name in its path is not UTF-8; name another place")
    for above in out.parents:
        if above.is_file():
            raise WrongUse(f"{out} cannot be written: {above} is a file and no folder; name another place")
    try:
        yield
    except OSError as fault:
        why = (fault.strerror or str(fault)).lower()
        raise WrongUse(f"{out} cannot be written: {why}; nothing was replaced, name another place") from fault
