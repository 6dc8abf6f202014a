"""Which signatures a change breaks."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from kbgen.link.base import KnowledgeBase
from kbgen.ref import Ref
from kbgen.review.change import Broken, Change, Weight


def approved(base: KnowledgeBase) -> frozenset[Ref]:
    """Return the entries somebody vouches for."""
    return frozenset(ref for ref, entry in base.entries.items() if not entry.head.draft)


def signed_anew(before: KnowledgeBase, after: KnowledgeBase, ref: Ref) -> bool:
    """Return whether an entry was signed after it was changed: somebody vouches for it who did not before."""
    old, new = before.entries.get(ref), after.entries.get(ref)
    if new is None or new.head.draft:
        return False
    return old is None or old.head.draft or old.head.review != new.head.review


def broken(before: KnowledgeBase, after: KnowledgeBase, changes: Iterable[Change]) -> Iterator[Broken]:
    """Yield the entries whose signature says nothing of what they say now."""
    by_entry: dict[Ref, list[Change]] = {}
    for each in changes:
        if each.ref is not None and not each.quiet and not each.rule:
            by_entry.setdefault(each.ref, []).append(each)
    was, still = approved(before), approved(after)
    for ref, found in sorted(by_entry.items()):
        # What is gone, or cannot be read now, is not what was signed either.
        vouched = ref in still or (ref in was and ref not in after.entries)
        if vouched and not signed_anew(before, after, ref):
            figures = all(each.weight is Weight.FIGURE and each.derived for each in found)
            yield Broken(ref, "figures" if figures else "content")
