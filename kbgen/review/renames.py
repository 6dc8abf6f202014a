"""Entries that go by another name now: found, and written into the version before, so that only real changes remain."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from pathlib import Path
from typing import Any

from kbgen.load import Document, load
from kbgen.model.entry import Entry
from kbgen.model.takes import Names
from kbgen.ref import FOLDERS, Kind, Ref
from kbgen.rewrite.rename import names_step
from kbgen.schemas import Schemas, leaves

_ALIKE = 0.6
_MOST = 40
"""How many entries that came and went are held against each other; more is another knowledge base."""
_FIELDS: Mapping[Kind, frozenset[str]] = {
    Kind.DEVICE: frozenset({Names.DEVICE, Names.TRIPPED, Names.PART}),
    Kind.CIRCUIT: frozenset({Names.CIRCUIT}),
    Kind.PROCEDURE: frozenset({Names.PROCEDURE}),
}


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
    if not renames:
        return
    for document in load(before).documents:
        edits = sorted(_edits(document, renames, schemas), reverse=True)
        text = document.source.text
        for start, end, new in edits:
            text = text[:start] + new + text[end:]
        for each in renames:
            text = re.sub(rf"\]\({re.escape(str(each.old))}\)", f"]({each.new})", text)
        if text != document.source.text:
            (before / document.path).write_text(text, encoding="utf-8")
    for each in renames:
        path = before / each.old.kind.folder / f"{each.old.id}.yaml"
        if path.is_file():
            path.rename(path.with_name(f"{each.new.id}.yaml"))


def _edits(document: Document, renames: Sequence[Rename], schemas: Schemas) -> Iterator[tuple[int, int, str]]:
    for route, leaf, value in leaves(schemas.of(document.kind), document.data):
        span = document.source.spans.get(route)
        # What people read is never touched; neither is what the entry was called before.
        if span is None or not isinstance(value, str) or " " in value or route[0] == "former_ids":
            continue
        for each in renames:
            if each.old.id in value and _may_name(leaf, each.old.kind):
                name = re.compile(rf"(?<![\w-]){re.escape(each.old.id)}(?![\w-])")
                for found in name.finditer(document.source.text, span.start, span.end):
                    yield found.start(), found.end(), each.new.id


def _may_name(leaf: Mapping[str, Any], kind: Kind) -> bool:
    """Return whether a field may name an entry of a kind.

    One that says nothing of it may name a device, as a routine's list does; an input may be called as its circuit is.
    """
    names, reference = leaf.get("x-names"), leaf.get("x-reference")
    if names is None and reference is None:
        return names_step(leaf) or (kind is Kind.DEVICE and "x-text" not in leaf and "enum" not in leaf)
    return reference == kind or names in _FIELDS.get(kind, ())
