"""How many unsafe changes of the demonstration procedures the check refuses, and how many harmless ones."""

from __future__ import annotations

import time
from collections.abc import Sequence

from tests.mutants import dangers, harmless
from tests.mutants.ground import demonstration
from tests.mutants.run import Tally, tally


def run() -> list[str]:
    """Make every change on every plant, judge it, and return the figures as Markdown."""
    start = time.perf_counter()
    ground = demonstration()
    bad = tally(ground, dangers.KINDS, unsafe=True)
    good = tally(ground, harmless.KINDS, unsafe=False)
    seconds = time.perf_counter() - start
    caught, made = sum(each.refused for each in bad), sum(each.made for each in bad)
    alarms, kept = sum(each.refused for each in good), sum(each.made for each in good)
    return [
        f"{len(ground.drafts)} procedures of `kb_source`, {seconds:.0f} s.",
        "",
        f"- **Unsafe**: {made} mutants of {len(bad)} kinds, {caught} refused "
        f"({100 * caught / made:.1f} %), {made - caught} missed.",
        f"- **Harmless**: {kept} changes of {len(good)} kinds, {alarms} refused (false alarms).",
        "",
        "A mutant counts as refused when the check finds any error in the changed procedure, or in one that",
        "leads to it. 63 kinds were written by the author of the rules, the others by somebody who wrote them",
        "down before reading the rules; what nobody thought of is not among them.",
        "",
        *_table("Unsafe change", "Refused", bad),
        "",
        *_table("Harmless change", "Refused", good),
        "",
        *_odd("Missed", bad),
        *_odd("False alarms", good),
    ]


def _table(what: str, refused: str, tallies: Sequence[Tally]) -> list[str]:
    rows = [f"| {each.kind} | {each.refused} of {each.made} | {each.why} |" for each in tallies]
    return [f"| {what} | {refused} | Why |", "|---|---|---|", *rows]


def _odd(title: str, tallies: Sequence[Tally]) -> list[str]:
    odd = [f"- {each.kind}: {what}" for each in tallies for what in each.odd]
    return [f"{title}: {'none.' if not odd else ''}", *odd, ""]
