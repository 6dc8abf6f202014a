"""Which signatures a change breaks."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from kbgen.compute.circuit.study import Study
from kbgen.compute.figures import figures_differ
from kbgen.link.base import KnowledgeBase
from kbgen.model.head import Head, State
from kbgen.ref import Ref
from kbgen.review.change import Broken, Change
from kbgen.store import Store


def broken(
    before: KnowledgeBase, after: KnowledgeBase, changes: Iterable[Change], store: Store
) -> Iterator[Broken]:
    """Yield the approved entries whose signature says nothing of what they say now, or of what they rest on."""
    study = Study(after, store)
    found = {each.ref for each in changes if each.ref is not None and not each.quiet and not each.rule}
    for ref in sorted(found):
        old, new = before.entries.get(ref), after.entries.get(ref)
        if new is None:
            # What is gone, or cannot be read now, is not what was signed either.
            if old is not None and old.head.status == "approved":
                yield Broken(ref, "content")
        elif by := _broken_by(old.head if old else None, new.head, study, ref):
            yield Broken(ref, by)


def _broken_by(old: Head | None, new: Head, study: Study, ref: Ref) -> str:
    match new.standing.state:
        case State.SIGNED:
            return "figures" if figures_differ(study, ref) else ""
        case State.CHANGED | State.PARTLY:
            return "content"
        case State.DRAFT if new.status == "approved" and old is not None and old.status == "approved":
            # Approved without a mark: whoever vouches for it anew says so himself.
            return "content" if old.review == new.review else ""
    return ""
