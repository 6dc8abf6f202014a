"""Join entries into one knowledge base and say which names lead nowhere."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from functools import partial
from typing import Any, NamedTuple

from kbgen.link.base import KnowledgeBase
from kbgen.link.kept import blocks, kept_all
from kbgen.link.names import names_in
from kbgen.link.references import (
    REFERENCES,
    Reference,
    former_names,
    references,
    unknown_link_kinds,
    unknown_references,
)
from kbgen.model.entry import Entry, KeptEntry
from kbgen.model.shop import ShopSettings
from kbgen.nearest import nearest
from kbgen.position import Spot
from kbgen.problems import Problem
from kbgen.program import make_key
from kbgen.ref import Kind, Ref
from kbgen.schemas import Schemas
from kbgen.store import Store


class Linked(NamedTuple):
    """Entries joined into one knowledge base, and what they name."""

    base: KnowledgeBase
    references: tuple[Reference, ...]


def join(
    shop: ShopSettings,
    entries: Sequence[Entry],
    photos: frozenset[str],
    schemas: Schemas,
    store: Store,
    settings: Mapping[str, Any] | None = None,
) -> Linked:
    """Join entries into one knowledge base.

    Args:
        shop: The shop's settings.
        entries: Entries that their schema accepted.
        photos: Names of the files in ``photos/``.
        schemas: Say which fields are references.
        settings: The shop's settings as plain data.
    """
    order = list(Kind)
    ordered = sorted(entries, key=lambda entry: (order.index(entry.ref.kind), entry.ref.id))
    found = _references(ordered, schemas, store)
    base = KnowledgeBase(shop, {entry.ref: entry for entry in ordered}, _backlinks(found), photos, settings)
    return Linked(base, found)


def _references(entries: Sequence[Entry], schemas: Schemas, store: Store) -> tuple[Reference, ...]:
    """Return the references of some entries; they hang on nothing but what these say."""
    found: list[Reference] = []
    for block in blocks(entries, lambda entry: str(entry.ref)):
        digests = [entry.card.digests.whole for entry in block if isinstance(entry, KeptEntry)]
        make = partial(_references_of, block, schemas)
        found += store.value(make_key("references", *digests), make) if len(digests) == len(block) else make()
    return tuple(found)


def _references_of(entries: Sequence[Entry], schemas: Schemas) -> tuple[Reference, ...]:
    return tuple(reference for entry in entries for reference in references(entry, schemas))


def link_problems(linked: Linked, known: frozenset[Ref], schemas: Schemas, store: Store) -> list[Problem]:
    """Return what is wrong with the names in entries.

    Args:
        known: Every entry that has a file; a broken file must not make others' references wrong.
    """
    base = linked.base
    former, problems = former_names(tuple(base.entries.values()))
    problems += unknown_references(linked.references, known, former, base.entries, schemas)
    broken = known - base.entries.keys()
    makers = [
        (("names", str(ref), *map(str, sorted(broken))), partial(_names, base, ref, schemas, broken))
        for ref in base.entries
    ]
    for found in kept_all(store, base, makers):
        problems += found
    return problems


def _names(base: KnowledgeBase, ref: Ref, schemas: Schemas, broken: frozenset[Ref]) -> tuple[Problem, ...]:
    """Return what is wrong with the names in one entry, other entries' ids aside."""
    entry = base.entries[ref]
    return (
        *unknown_link_kinds(entry, schemas),
        *_missing_photos(entry, base.photos),
        *names_in(base, entry, broken),
    )


def link(
    shop: ShopSettings,
    entries: Sequence[Entry],
    known: frozenset[Ref],
    photos: frozenset[str],
    schemas: Schemas,
) -> tuple[KnowledgeBase, list[Problem]]:
    """Join entries and return the knowledge base with its problems; nothing is kept."""
    linked = join(shop, entries, photos, schemas, Store())
    return linked.base, link_problems(linked, known, schemas, Store())


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
    for photo in entry.head.photos:
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
