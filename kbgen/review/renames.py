"""Entries that go by another name now: found, and written into the version before, so that only real changes remain."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from difflib import SequenceMatcher
from pathlib import Path

from kbgen.load import load
from kbgen.migrate.layout import CannotEdit
from kbgen.model.entry import Entry
from kbgen.ref import FOLDERS, Ref
from kbgen.rewrite.names import with_names
from kbgen.schemas import Schemas

_ALIKE = 0.6
_MOST = 40
"""How many entries that came and went are held against each other; more is another knowledge base."""


@dataclass(frozen=True, slots=True)
class Rename:
    """An entry and its name before.

    Attributes:
        declared: Whether the entry says so itself, so that its old address still leads to it.
    """

    old: Ref
    new: Ref
    declared: bool


def find(before: Path, after: Path, entries: Sequence[Entry]) -> list[Rename]:
    """Find entries that were renamed.

    Args:
        before: The folder of the version before.
        after: The folder as it is.
        entries: The entries as they are.
    """
    old, new = _files(before), _files(after)
    gone, come = old.keys() - new.keys(), new.keys() - old.keys()
    found = [
        Rename(Ref(entry.ref.kind, name), entry.ref, declared=True)
        for entry in entries
        if entry.ref in come
        for name in entry.head.former_ids
        if Ref(entry.ref.kind, name) in gone
    ][:_MOST]
    gone -= {each.old for each in found}
    come -= {each.new for each in found}
    if len(gone) <= _MOST and len(come) <= _MOST:
        taken: set[Ref] = set()
        for ref in sorted(gone):
            like = max(
                ((_alike(old[ref], new[other]), other) for other in come - taken if other.kind is ref.kind),
                default=(0.0, ref),
            )
            if like[0] >= _ALIKE:
                taken.add(like[1])
                found.append(Rename(ref, like[1], declared=False))
    return found


def _files(root: Path) -> dict[Ref, Path]:
    return {
        Ref(kind, path.stem): path
        for kind, folder in FOLDERS.items()
        for path in sorted((root / folder).glob("*.y*ml"))
        if path.is_file()
    }


def _alike(one: Path, other: Path) -> float:
    try:
        first, second = (
            each.read_text(encoding="utf-8", errors="replace").splitlines() for each in (one, other)
        )
    except OSError:
        return 0.0
    # The name may stand in every second line, so what is told apart is kept short.
    matcher = SequenceMatcher(None, first, second, autojunk=False)
    return 0.0 if matcher.quick_ratio() < _ALIKE else matcher.ratio()


def write_into(before: Path, renames: Sequence[Rename], schemas: Schemas) -> None:
    """Write the new names into the version before, each at its place, so that lines stay what they are."""
    names = {each.old: each.new for each in renames}
    for document in load(before).documents if names else ():
        path = before / document.path
        # What cannot be read is told as that.
        with suppress(CannotEdit):
            data, number = with_names(path.read_bytes(), document.kind, schemas, names)
            if number:
                path.write_bytes(data)
    for each in renames:
        path = before / each.old.kind.folder / f"{each.old.id}.yaml"
        if path.is_file():
            path.rename(path.with_name(f"{each.new.id}.yaml"))
