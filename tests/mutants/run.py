"""Run all unsafe and all harmless changes and count."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import islice

from tests.mutants.draft import Draft
from tests.mutants.ground import Ground
from tests.mutants.kinds import Kind


@dataclass(frozen=True)
class Tally:
    """How one kind of change fared.

    Attributes:
        made: Number of changed procedures.
        refused: How many of them the check refused.
        odd: The others for an unsafe kind, the refused for a harmless one, with the rules named.
    """

    kind: str
    why: str
    made: int
    refused: int
    odd: tuple[str, ...]


def tally(ground: Ground, kinds: Iterable[Kind], *, unsafe: bool, for_each_plant: int = 0) -> list[Tally]:
    """Make changes of some kinds and judge them.

    Args:
        unsafe: Whether they should be refused.
        for_each_plant: How many of a kind are made on each family of plant; 0 for all there are. Every
            kind begins at another procedure, so that few of them see many.
    """
    drafts = ground.drafts
    families = sorted({draft.data["equipment"][0] for draft in drafts})
    found = []
    for turn, kind in enumerate(kinds):
        made = refused = 0
        odd: list[str] = []
        for family in families:
            own = [draft for draft in drafts if draft.data["equipment"][0] == family]
            first = turn % len(own) if for_each_plant else 0
            changes = _changes(ground, kind, [*own[first:], *own[:first]])
            for name, changed in islice(changes, for_each_plant or None):
                wrong = ground.refused(changed)
                made += 1
                refused += wrong
                if wrong is not unsafe:
                    odd.append(
                        name + (f": {', '.join(sorted(ground.rules_broken(changed)))}" if wrong else "")
                    )
        found.append(Tally(kind.name, kind.why, made, refused, tuple(odd)))
    return found


def _changes(ground: Ground, kind: Kind, drafts: list[Draft]) -> Iterator[tuple[str, Draft]]:
    for draft in drafts:
        for number, changed in enumerate(kind.make(ground.site(draft), draft), start=1):
            yield f"{draft.name} #{number}", changed
