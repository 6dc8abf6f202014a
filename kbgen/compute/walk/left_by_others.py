"""Plant that is called returned to service over what only earlier pages may have left: told once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from kbgen.compute.walk import state as s
from kbgen.compute.walk.arriving import claims_against
from kbgen.compute.walk.finding import Finding
from kbgen.compute.walk.hazard import LEAVING
from kbgen.compute.walk.judge import judge
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.state import State

LEFT_BY_OTHERS = LEAVING.hazard(
    "left-by-others",
    "The page before left a trip unproved or a jumper in, and this one calls the plant ready without having asked.",
    "- do: Write it down.\n  end: returned-to-service",
    "- do: Read the record and the tags.\n  ask: Is every trip proved?\n  outcomes:\n"
    "    - {when: 'Yes', go: done, claims: [trips-proved]}\n    - {when: No or not sure, go: leave-safe}\n"
    "- id: done\n  do: Write it down.\n  end: returned-to-service",
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
    s.GAS_OWED: "air supply or gas rate not checked",
    s.UNNOTED: "settings not written down",
    s.UNSEEN: "covers open",
    s.STOPPED: "people not told",
    s.LEFT_OFF: "sources off",
    s.LEFT_LOCKED: "locks on",
    s.LEFT_SHUT: "valves shut",
}


def at_the_end(plant: Plant, index: int, low: State, high: State) -> Iterator[Finding]:
    """Yield what this page itself leaves in disorder, and in one sentence all that it only may have found."""
    own = list(judge(plant, low, index))
    yield from own
    known = {(finding.rule, finding.about) for finding in own}
    guilty = [
        fact
        for fact in sorted(high - low)
        if any((each.rule, each.about) not in known for each in judge(plant, low | {fact}, index))
    ]
    if not guilty:
        return
    counted = Counter(_CALLED[kind] for kind, _ in guilty)
    said = ", ".join(what if times == 1 else f"{what} ({times})" for what, times in counted.items())
    yield LEFT_BY_OTHERS.finding(
        "left",
        "end",
        f"earlier pages may have left {said}, and nothing on this way finds out",
        f"Ask for it on the way here, with an outcome that says so: `claims: [{', '.join(claims_against(guilty))}]`.",
    )
