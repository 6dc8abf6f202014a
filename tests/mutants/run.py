"""Run all unsafe and all harmless changes and count."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from tests.mutants.ground import Ground


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


def tally(ground: Ground, kinds: Iterable, *, unsafe: bool) -> list[Tally]:
    """Make every change of some kinds and judge it."""
    drafts = ground.drafts()
    found = []
    for kind in kinds:
        made = refused = 0
        odd: list[str] = []
        for draft in drafts:
            for number, changed in enumerate(kind.make(ground.site(draft), draft), start=1):
                broken = ground.rules_broken(changed)
                made += 1
                refused += bool(broken)
                if bool(broken) is not unsafe:
                    odd.append(
                        f"{draft.name} #{number}" + (f": {', '.join(sorted(broken))}" if broken else "")
                    )
        found.append(Tally(kind.name, kind.why, made, refused, tuple(odd)))
    return found
