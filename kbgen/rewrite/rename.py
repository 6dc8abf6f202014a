"""Another id for an entry: every reference follows, ids inside text too, and the old address keeps working.

The whole is made in memory and tried in a copy first; what would make a new problem is not written.
"""

from __future__ import annotations

import codecs
import shutil
import tempfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from kbgen.compute.circuit.study import Study
from kbgen.compute.figures import figures_of
from kbgen.load import load
from kbgen.load.discover import PHOTOS
from kbgen.migrate.layout import CannotEdit, Layout
from kbgen.model.entry import KeptEntry
from kbgen.model.mark import read_mark
from kbgen.pipeline import Compiled, compile_folder
from kbgen.read import signed_path
from kbgen.ref import Kind, Ref
from kbgen.replace import replace_file
from kbgen.rewrite.head import set_fields, signatures_as_typed
from kbgen.rewrite.names import with_names
from kbgen.store import Store


class CannotRename(Exception):  # noqa: N818 - said to a person, not to a programmer
    """Nothing was written; the message says why."""


@dataclass(frozen=True, slots=True)
class Renamed:
    """What a renaming changed.

    Attributes:
        files: Paths of the files that changed, as they are called now, and how many names in each.
        signed: Entries whose signature went along: they read as they did.
    """

    files: Mapping[str, int]
    signed: tuple[Ref, ...]


def rename(root: Path, kind: Kind, old: str, new: str, store: Store | None = None) -> Renamed:
    """Rename an entry in place, with every reference to it.

    Raises:
        CannotRename: Nothing was written.
        OSError: A file could not be written; those before it are.
    """
    before = compile_folder(root, store=store)
    source, target = Ref(kind, old), Ref(kind, new)
    if source not in before.base.entries:
        raise CannotRename(f"there is no {kind} `{old}` that can be read")
    if (root / kind.folder / f"{new}.yaml").exists():
        raise CannotRename(f"there is a {kind} `{new}` already")
    former = {
        name: ref
        for ref, entry in before.base.entries.items()
        for name in entry.head.former_ids
        if ref.kind is kind
    }
    if former.get(new, source) != source:
        raise CannotRename(f"{former[new]} was called `{new}` before; its old address would lead elsewhere")
    files, counts = _changed(root, before, source, target)
    with tempfile.TemporaryDirectory() as made:
        trial = Path(made) / "kb"
        shutil.copytree(root, trial, ignore=shutil.ignore_patterns(".*", "signed"))
        _put(trial, files)
        after = compile_folder(trial, store=store)
        _refuse_new_problems(before, after, source, target)
        signed = tuple(_sign_along(before, after, files, source, target))
    _put(root, files)
    text = root / signed_path(source)
    if text.is_file():
        replace_file(root / signed_path(target), text.read_bytes())
        text.unlink()
    return Renamed(counts, signed)


Files = dict[str, bytes | None]
"""The bytes of files by path; ``None`` for one that goes."""


def _put(root: Path, files: Files) -> None:
    for path, content in files.items():
        if content is None:
            (root / path).unlink()
        else:
            replace_file(root / path, content)


def _changed(root: Path, compiled: Compiled, source: Ref, target: Ref) -> tuple[Files, dict[str, int]]:
    files: Files = {}
    counts: dict[str, int] = {}
    for document in load(root).documents:
        path = document.path
        data = (root / path).read_bytes()
        try:
            data, number = with_names(data, document.kind, compiled.schemas, {source: target})
        except CannotEdit:
            raise CannotRename(f"{path} cannot be read; mend what `kbgen check` says first") from None
        if (document.kind, document.id) == (source.kind, source.id):
            files[path] = None
            path = f"{target.kind.folder}/{target.id}.yaml"
            data = _with_former(data, source.id, target.id)
        elif not number:
            continue
        files[path] = data
        counts[path] = number
    return files, counts


def _with_former(data: bytes, old: str, new: str) -> bytes:
    head = Layout(data.removeprefix(codecs.BOM_UTF8).decode("utf-8")).data
    names = [name for name in (*head.get("former_ids", ()), old) if name != new]
    try:
        return set_fields(data, {"former_ids": (f"[{', '.join(names)}]", names)})
    except CannotEdit:
        raise CannotRename("a comment stands inside `former_ids`; move it to a line of its own") from None


def _refuse_new_problems(before: Compiled, after: Compiled, source: Ref, target: Ref) -> None:
    own = f"{source.kind.folder}/{source.id}.yaml", f"{target.kind.folder}/{target.id}.yaml"

    def told(compiled: Compiled) -> set[tuple[str, str]]:
        signatures = ("changed-since-signed", "figures-changed", "not-signed")
        return {
            (each.rule, each.place.path.replace(own[0], own[1]))
            for each in compiled.problems
            if each.rule not in signatures and not each.place.path.startswith(PHOTOS)
        }

    if new := told(after) - told(before):
        rule, path = min(new)
        raise CannotRename(f"it would bring a new problem: {path} [{rule}]; rename it there by hand first")


def _sign_along(before: Compiled, after: Compiled, files: Files, source: Ref, target: Ref) -> Iterator[Ref]:
    """Put new marks on signatures that held: nothing that is read has changed but an id."""
    earlier, later = Study(before.base, before.store), Study(after.base, after.store)
    for ref, entry in after.base.entries.items():
        was = source if ref == target else ref
        old = before.base.entries.get(was)
        if old is None or not old.head.standing.now or not isinstance(entry, KeptEntry):
            continue
        if not isinstance(old, KeptEntry):
            continue
        figures = figures_of(earlier, was), figures_of(later, ref)
        content = old.card.digests.content, entry.card.digests.content
        if content[0] == content[1] and figures[0] == figures[1]:
            continue
        review = []
        for each in old.head.review:
            mark = read_mark(each.mark)
            if mark is not None and mark.content == content[0]:
                same = mark.figures == figures[0]
                mark = mark._replace(content=content[1], figures=figures[1] if same else mark.figures)
                review.append(replace(each, mark=str(mark)))
        data = files.get(entry.path) or (before.root / old.path).read_bytes()
        try:
            files[entry.path] = set_fields(data, {"review": signatures_as_typed(review)})
        except CannotEdit:
            raise CannotRename(f"a comment stands inside `review` of {entry.path}; move it first") from None
        yield ref
