"""Plant that is called returned to service over what only earlier pages may have left: told once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace

from kbgen.compute.walk import state as s
from kbgen.compute.walk.arriving import claims_against
from kbgen.compute.walk.finding import Finding
from kbgen.compute.walk.hazard import LEAVING
from kbgen.compute.walk.judge import judge
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.state import Fact, State
from kbgen.model.action import HandOver

LEFT_BY_OTHERS = LEAVING.hazard(
    "left-by-others",
    "The page before left a trip unproved or a jumper in, and this one calls the plant ready without having asked.",
    "- do: Write it down.\n  end: returned-to-service",
    "- do: Read the record and the tags.\n  ask: Is every trip proved?\n  outcomes:\n"
    "    - {when: 'Yes', go: done, claims: [trips-proved]}\n    - {when: No or not sure, go: leave-safe}\n"
    "- id: done\n  do: Write it down.\n  end: returned-to-service",
    rests_on="What earlier pages may leave, walked over all of them, and the `claims` of this page's answers.",
)
_CALLED = {
    s.FITTED: "alterations in",
    s.CLIPPED: "leads on",
    s.OPENING: "gas train open",
    s.UNTESTED: "joints not proved tight",
    s.OWED: "trips not proved",
    s.MOVED: "limits moved",
    s.CYCLE_OWED: "no full cycle seen",
    s.ANALYSER_OWED: "flue gas not read",
    s.UNNOTED: "settings not written down",
    s.UNSEEN: "covers open",
    s.STOPPED: "people not told",
    s.LEFT_OFF: "sources off",
    s.LEFT_LOCKED: "locks on",
    s.LEFT_SHUT: "valves shut",
}


def at_the_end(plant: Plant, index: int, low: State, high: State) -> Iterator[Finding]:
    """Yield, in one sentence, all that only earlier pages may have left in disorder at an end."""
    found = list(_by_others(plant, index, low, high))
    if not found:
        return
    facts = _guilty(plant, index, low, high, found)
    counted = Counter(_CALLED.get(kind, kind.replace("-", " ")) for kind, _ in facts)
    said = ", ".join(what if times == 1 else f"{what} ({times})" for what, times in counted.items())
    action = plant.procedure.steps[index].action
    yield LEFT_BY_OTHERS.finding(
        tuple(claims_against(facts)),
        "hand_over" if isinstance(action, HandOver) else "end",
        f"earlier pages may have left {said}, and nothing on this way finds out",
        _ask(facts),
    )


def on_the_way(plant: Plant, index: int, low: State, high: State) -> Iterator[Finding]:
    """Yield what a step breaks only where earlier pages left it so, each with the claim that denies it."""
    for finding in _by_others(plant, index, low, high):
        asked = _ask(_guilty(plant, index, low, high, [finding]))
        yield replace(
            finding,
            message=f"{finding.message}, as an earlier page may have left it",
            hint=f"{asked} Where the work is this page's own: {finding.hint[:1].lower()}{finding.hint[1:]}",
        )


def _by_others(plant: Plant, index: int, low: State, high: State) -> Iterator[Finding]:
    if low == high:
        return
    found = list(judge(plant, high, index))
    if found:
        own = {(each.rule, each.about) for each in judge(plant, low, index)}
        yield from (each for each in found if (each.rule, each.about) not in own)


def _guilty(plant: Plant, index: int, low: State, high: State, found: list[Finding]) -> list[Fact]:
    """Return the facts any of which alone breaks what was found; all that may be so where none does alone."""
    wanted = {(each.rule, each.about) for each in found}
    alone = [
        fact
        for fact in sorted(high - low)
        if any((each.rule, each.about) in wanted for each in judge(plant, low | {fact}, index))
    ]
    return alone or sorted(high - low)


def _ask(facts: list[Fact]) -> str:
    words = ", ".join(claims_against(facts))
    return (
        "Let a step before it read the record and the tags and ask; the answer that all is well carries "
        f"`claims: [{words}]`, and the other leads to leaving it safe."
    )
