"""What was to be dead and is not: nobody goes away from it while the cover over it stands open."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.walk.finding import Finding, Moment
from kbgen.compute.walk.hazard import LEAVING, LOTO
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.state import COVER, DANGER, GUARDED, LIVE, names
from kbgen.model import action as act
from kbgen.model.equipment import Source

LIVE_LEFT_OPEN = LEAVING.on(LOTO).hazard(
    "live-left-open",
    "The isolator is off, its lock is on, the box stands open and is live: the next one takes the lock for a proof.",
    "prove_dead: control\ndead: work\nlive: leave  # the door is open, and the page ends",
    "prove_dead: control\ndead: work\nlive: shut-it\n# ...\n- id: shut-it\n  do: Close the door.\n"
    "  close_cover: panel-door\n- do: Call the electrician and stay.\n  hand_over: Electrician",
    rests_on="`live` of `prove_dead` and `try_start`, `still-there` of `prove_gone`, and the covers open at an `end` on that way; who is told by a "
    "`hand_over` stands before it.",
)


def findings(moment: Moment) -> Iterator[Finding]:
    """Yield an end that leaves an open cover before what was found live."""
    state, action = moment.state, moment.step.action
    if not isinstance(action, act.End) or (action.end == "evacuated" and (DANGER, "") in state):
        return
    for name in names(state, LIVE):
        opened = [] if (GUARDED, name) in state else _before(moment.plant, names(state, COVER), name)
        if opened:
            source, cover = moment.plant.sources.get(name), moment.plant.covers.get(opened[0])
            yield LIVE_LEFT_OPEN.finding(
                (name, opened[0]),
                "end",
                f"{source.title if source else 'the plant'} was found {_found(source)}, and "
                f"{cover.title if cover else opened[0]} is left open before it",
                f"Put a step with `close_cover: {opened[0]}` on this way, or hand it over to who can make it dead "
                "(`hand_over`). Leaving at once is for gas, smoke and alarm.",
            )


def _found(source: Source | None) -> str:
    return "able to start" if source is None else "live" if source.electric else "not gone"


def _before(plant: Plant, opened: list[str], source: str) -> list[str]:
    """Return the open covers that a source may lie behind: any where nobody knows which."""
    if source in plant.sources and not plant.sources[source].electric:
        return [name for name in opened if plant.reaches_behind(source, name)]
    behind = plant.behind_which(source) if source in plant.sources else frozenset()
    return [name for name in opened if name in behind] if behind else opened
