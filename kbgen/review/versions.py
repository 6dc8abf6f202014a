"""Both versions of a knowledge base, and what they call what."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from kbgen.link.base import KnowledgeBase
from kbgen.load import Document
from kbgen.pipeline import Compiled
from kbgen.ref import Kind, Ref
from kbgen.review import change as c
from kbgen.review.inner import renamed_inside
from kbgen.review.renames import Rename
from kbgen.review.where import Where


@dataclass(frozen=True)
class Versions:
    """Both versions, and what they call what.

    Attributes:
        files: The paths that have another name now, by the new one.
        old: The files before, by their entries; under ``None`` kb.yaml.
        new: The files now.
        changed: Entries whose files say something else; ``None`` among them where kb.yaml does.
        inside: For each plant the names within it that are others now, by the old one.
    """

    before: Compiled
    after: Compiled
    where: tuple[Where, Where]
    files: Mapping[str, str]
    old: Mapping[Ref | None, Document]
    new: Mapping[Ref | None, Document]
    changed: frozenset[Ref | None]
    inside: Mapping[str, Mapping[str, str]]

    @property
    def bases(self) -> tuple[KnowledgeBase, KnowledgeBase]:
        """Both knowledge bases."""
        return self.before.base, self.after.base

    def renamed(self, ref: Ref | None) -> Iterator[Mapping[str, str]]:
        """Yield the names within plant that an entry may use and that are others now."""
        if ref is None:
            return
        found = self.after.base.entries.get(ref)
        plants = found.plants if found is not None else ()
        for plant in plants:
            if self.inside.get(plant):
                yield self.inside[plant]

    @property
    def all_unread(self) -> tuple[frozenset[Ref], frozenset[Ref]]:
        """The entries that have a file in both versions and cannot be read in the one, and in the other."""
        both = [ref for ref in self.old.keys() & self.new.keys() if ref is not None]
        one, other = (frozenset(ref for ref in both if not self.read(ref)[side]) for side in (0, 1))
        return one, other

    def unread(self, asked: set[tuple[str, object]]) -> str:
        """Return what cannot be read in one of the versions of what was asked for; empty for nothing."""
        found = [
            ref
            for ref in self.old.keys() & self.new.keys()
            if ref is not None
            and self.read(ref) != (True, True)
            and any(of == ref or str(of) == str(ref) or self._among(ref, of) for _, of in asked)
        ]
        # A page that cannot be written out waits for the file that is broken; that one is named.
        broken = [each for each in found if not (self.old[each].sound and self.new[each].sound)]
        return c.listed(sorted(map(str, broken or found)), 3)

    def _among(self, ref: Ref, of: object) -> bool:
        """Return whether all entries of a kind, or those of one plant, were asked for, and an entry is among them."""
        # A question that was noted in an earlier run comes back as it was written.
        if isinstance(of, str) and of.startswith("["):
            of = tuple(json.loads(of))
        if not isinstance(of, tuple) or of[0] != ref.kind:
            return False
        found = (side.entries.get(ref) for side in self.bases)
        plants = {plant for entry in found if entry is not None for plant in entry.plants}
        return not of[1] or not plants or of[1] in plants

    def read(self, ref: Ref | None) -> tuple[bool, bool]:
        """Return whether an entry that has a file in both versions can be read in each."""
        one, other = (
            files[ref].sound if ref is None else ref in side.base.entries
            for side, files in ((self.before, self.old), (self.after, self.new))
        )
        return one, other


def versions_of(before: Compiled, after: Compiled, renames: Sequence[Rename]) -> Versions:
    """Put two compiled versions side by side."""
    old, new = ({_ref(each): each for each in side.documents} for side in (before, after))
    files = {
        new[each.new].path: f"{each.old.kind.folder}/{each.old.id}.yaml"
        for each in renames
        if each.new in new
    }
    inside = {
        ref.id: renamed_inside(old[ref].data, document.data)
        for ref, document in new.items()
        if ref is not None and ref.kind is Kind.EQUIPMENT and ref in old
    }
    changed = {
        ref
        for ref in old.keys() | new.keys()
        if ref not in old or ref not in new or _says(old[ref]) != _says(new[ref])
    }
    return Versions(
        before, after, (Where(before, files), Where(after)), files, old, new, frozenset(changed), inside
    )


def _ref(document: Document) -> Ref | None:
    return Ref(document.kind, document.id) if document.kind else None


def _says(document: Document) -> Any:
    return document.data if document.sound else document.source.text
