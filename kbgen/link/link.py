"""Join entries into one knowledge base and say which names lead nowhere."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from kbgen.link.base import KnowledgeBase
from kbgen.link.names import unknown_names
from kbgen.link.references import (
    REFERENCES,
    Reference,
    former_names,
    references,
    unknown_link_kinds,
    unknown_references,
)
from kbgen.model.entry import Entry
from kbgen.model.shop import ShopSettings
from kbgen.nearest import nearest
from kbgen.position import Spot
from kbgen.problems import Problem
from kbgen.ref import Kind, Ref
from kbgen.schemas import Schemas


def link(
    shop: ShopSettings,
    entries: Sequence[Entry],
    known: frozenset[Ref],
    photos: frozenset[str],
    schemas: Schemas,
) -> tuple[KnowledgeBase, list[Problem]]:
    """Link entries.

    Args:
        shop: The shop's settings.
        entries: Entries that their schema accepted.
        known: Every entry that has a file; a broken file must not make others' references wrong.
        photos: Names of the files in ``photos/``.
        schemas: Say which fields are references.

    Returns:
        The knowledge base, and the problems found.
    """
    order = list(Kind)
    ordered = sorted(entries, key=lambda entry: (order.index(entry.ref.kind), entry.ref.id))
    former, problems = former_names(ordered)
    found = [reference for entry in ordered for reference in references(entry, schemas)]
    base = KnowledgeBase(
        shop=shop,
        entries={entry.ref: entry for entry in ordered},
        backlinks=_backlinks(found),
        photos=photos,
    )
    problems += unknown_references(found, known, former, base.entries, schemas)
    for entry in ordered:
        problems += unknown_link_kinds(entry, schemas)
        problems += _missing_photos(entry, photos)
    problems += unknown_names(base)
    return base, problems


def _backlinks(found: Sequence[Reference]) -> dict[Ref, tuple[Ref, ...]]:
    named_by: defaultdict[Ref, set[Ref]] = defaultdict(set)
    for reference in found:
        if reference.source != reference.target:
            named_by[reference.target].add(reference.source)
    return {target: tuple(sorted(sources)) for target, sources in named_by.items()}


UNKNOWN_PHOTO = REFERENCES.error(
    "unknown-photo",
    "A picture that is not there leaves a hole in the page.",
    "file: panel.png  # not in photos/",
    "file: panel-sb.png",
)


def _missing_photos(entry: Entry, photos: frozenset[str]) -> list[Problem]:
    problems = []
    for photo in entry.record.head.photos:
        if photo.file not in photos:
            near = nearest(photo.file, sorted(photos))
            problems.append(
                UNKNOWN_PHOTO.at(
                    Spot(entry.path, (*photo.route, "file")),
                    f"photos/ has no file `{photo.file}`",
                    f"Did you mean `{near}`?" if near else "Put the picture into photos/ first.",
                )
            )
    return problems
