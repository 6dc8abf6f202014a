"""Old fields and words of a knowledge base into the new ones, in place.

Every change of a field adds a step to ``STEPS``; a step is told what it finds, edits by position and
leaves to a person what it cannot decide. It reads plain data before the schema check, because the new
schema refuses the old fields.
"""

from __future__ import annotations

import codecs
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from kbgen.load import Loaded, load
from kbgen.migrate import changed_by, conductors, fuel_points, review, verdict_keys
from kbgen.migrate.layout import CannotEdit
from kbgen.migrate.page import Page
from kbgen.migrate.step import Shop, Step, texts
from kbgen.position import Exact
from kbgen.ref import Kind
from kbgen.replace import replace_file

__all__ = ["STEPS", "Change", "Left", "Migrated", "Page", "Shop", "migrate", "migrate_page"]

STEPS: tuple[Step, ...] = (
    *(verdict_keys.STEP, fuel_points.STEP, conductors.STEP, changed_by.STEP),
    *review.STEPS,
)
"""Every step of migration, the oldest first."""


class Change(NamedTuple):
    """One change: file, line before it, kind, and what became of it."""

    path: str
    line: int
    kind: str
    says: str


class Left(NamedTuple):
    """What a person must decide: file, line, and what to write."""

    path: str
    line: int
    says: str


@dataclass(frozen=True, slots=True)
class Migrated:
    """What became of a knowledge base, or of one page of it.

    Attributes:
        changes: What was changed; lines are those of the files before.
        left: What needs a person; lines are those of the files as they now stand.
        files: Paths of the files that changed.
    """

    changes: tuple[Change, ...]
    left: tuple[Left, ...]
    files: tuple[str, ...] = ()


def migrate(root: Path, *, dry_run: bool = False) -> Migrated:
    """Migrate the knowledge base in ``root``.

    Args:
        root: Its folder.
        dry_run: Whether nothing is written; all lines are then those of the files as they are.

    Raises:
        OSError: A file cannot be written; those before it are.
    """
    loaded = load(root)
    shop = _shop(loaded)
    unread = {place.path: place for place in (each.place for each in reversed(loaded.problems))}
    changes: list[Change] = []
    left: list[Left] = []
    files = []
    for document in loaded.documents:
        ours = [step for step in STEPS if step.kind is document.kind]
        if not ours:
            continue
        if document.path in unread:
            place = unread[document.path]
            line = place.position.line if isinstance(place, Exact) else 1
            left.append(
                Left(document.path, line, "this file cannot be read: mend what `kbgen check` says first")
            )
            continue
        data = (root / document.path).read_bytes()
        mark = codecs.BOM_UTF8 if data.startswith(codecs.BOM_UTF8) else b""
        text = data.removeprefix(mark).decode("utf-8")
        plants = texts(document.data.get("equipment")) if document.kind is Kind.PROCEDURE else [document.id]
        page, done = migrate_page(Page(text, plants=plants), shop, ours, document.path, dry_run=dry_run)
        changes += done.changes
        left += done.left
        if page.text != text:
            files.append(document.path)
            if not dry_run:
                replace_file(root / document.path, mark + page.text.encode("utf-8"))
    return Migrated(tuple(changes), tuple(left), tuple(files))


def migrate_page(
    page: Page, shop: Shop, ours: Sequence[Step], path: str, *, dry_run: bool = False
) -> tuple[Page, Migrated]:
    """Migrate one page and return it as it then stands, with what was changed and left.

    Args:
        page: The page as it is.
        shop: The knowledge base it stands in.
        ours: The steps of migration that concern it.
        path: Told with every line.
        dry_run: Whether lines of what is left are those of the page before.
    """
    changes: list[Change] = []
    left: list[Left] = []
    earlier: list[Page] = []
    for step in ours:
        step.run(page, shop)
        try:
            after = page.after()
        except CannotEdit:
            # Rather nothing than half of it: the text was not understood.
            left.append(Left(path, 1, f"this file could not be changed safely: {step.says}"))
            page = Page(page.text, page.steps, page.plants)
            continue
        changes += [
            Change(path, _line_before(earlier, page, each.at), each.kind, each.says) for each in page.changes
        ]
        earlier.append(page)
        page = after
    page = Page(page.text, page.steps, page.plants)
    for step in ours:
        step.run(page, shop)
    for each in page.left:
        line = _line_before(earlier, page, each.at) if dry_run else page.layout.line(each.at)
        left.append(Left(path, line, each.says))
    changes.sort(key=lambda each: each.line)
    left.sort(key=lambda each: each.line)
    return page, Migrated(tuple(changes), tuple(left))


def _line_before(earlier: Sequence[Page], page: Page, offset: int) -> int:
    """Return the line of an offset of a page in the first of the pages it came from."""
    for each in reversed(earlier):
        offset = each.before(offset)
        page = each
    return page.layout.line(offset)


def _shop(loaded: Loaded) -> Shop:
    of = {
        kind: {each.id: each.data for each in loaded.documents if each.kind is kind}
        for kind in (Kind.EQUIPMENT, Kind.PROCEDURE)
    }
    return Shop(of[Kind.EQUIPMENT], of[Kind.PROCEDURE])
