"""Rules about where a page begins and how it ends: what it claims, somebody must have brought about."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.walk.hazard import LEAVING, MAKING_SAFE
from kbgen.link.base import KnowledgeBase
from kbgen.model.action import (
    AnyAction,
    End,
    HandOver,
    Inform,
    Isolate,
    Lock,
    ProveDead,
    ShutValve,
    StopDemand,
)
from kbgen.model.procedure import Procedure
from kbgen.position import Spot
from kbgen.problems import Problem
from kbgen.rules.material import Check, Material

SAFE_STARTS = ("made-safe", "proved-dead", "fuel-shut")
"""What keeps hands whole when step 1 begins."""
_ON_THE_WAY_OUT = (StopDemand, ShutValve, Isolate, Inform)


START_ONLY_CLAIMED = MAKING_SAFE.on(
    "Control of hazardous energy: nobody relies on an isolation that nobody made."
).hazard(
    "start-only-claimed",
    "Whoever opens this page stands before plant as it was left. That it is dead is a claim until a "
    "page brings it about.",
    "starts: [made-safe]",
    "after: make-safe  # isolates, locks and proves\nstarts: [made-safe]",
    rests_on="`starts` of the page, held against every page that leads to it; what nobody leads to is taken from `starts`.",
)


def _claimed(material: Material) -> Iterator[Problem]:
    for entry, procedure in material.pages():
        before = list(_pages_before(material.base, procedure))
        if before and any(_leads_to(step.action, entry.ref.id) for step in before[0].steps):
            # The walk of that page says whether it is so when it leads here.
            continue
        done = {action for page in before for step in page.steps if (action := step.action)}
        for index, start in enumerate(procedure.starts):
            if start not in SAFE_STARTS or _brought_about(material.base, procedure, start, done):
                continue
            lacks = (
                f"the pages before it (`after: {procedure.after}`) do not bring that about"
                if procedure.after
                else "no page is named that brings it about"
            )
            yield START_ONLY_CLAIMED.at(
                Spot(entry.path, ("starts", index)),
                f"the procedure begins with the plant {start.replace('-', ' ')}, and {lacks}",
                "Name under `after` the procedure that isolates, locks and proves, or do it here in steps.",
            )


def _brought_about(base: KnowledgeBase, procedure: Procedure, start: str, done: set[AnyAction]) -> bool:
    """Return whether some actions can bring a state about on every plant of a procedure."""
    plants = [plant for name in procedure.equipment if (plant := base.equipment(name))]
    sources = [source for plant in plants for source in plant.sources]
    if start == "fuel-shut":
        fuels = {source.id for source in sources if source.energy == "fuel"}
        off = {action.isolate for action in done if isinstance(action, Isolate)}
        return fuels <= off or any(isinstance(action, ShutValve) for action in done)
    if start == "proved-dead":
        return any(isinstance(action, ProveDead) for action in done)
    needed = {source.id for source in sources if source.electric or source.energy == "fuel"}
    off = {action.isolate for action in done if isinstance(action, Isolate)}
    locked = {action.lock for action in done if isinstance(action, Lock)}
    return needed <= off & locked and bool(off & locked)


def _leads_to(action: AnyAction | None, name: str) -> bool:
    return isinstance(action, End | HandOver) and action.next == name


def _pages_before(base: KnowledgeBase, procedure: Procedure) -> Iterator[Procedure]:
    """Yield the pages that must have been done before, the nearest first."""
    seen = set()
    name = procedure.after
    while name and name not in seen:
        seen.add(name)
        earlier = base.procedure(name)
        if earlier is None:
            return
        yield earlier
        name = earlier.after


EVACUATION_AS_END = LEAVING.on(
    "Emergency practice: leave at once and touch nothing; all other ways out are put in order first."
).hazard(
    "evacuation-as-end",
    "An evacuation is right in any state, so it asks nothing. As a common end it hides what is "
    "still altered.",
    "- do: Take the reading.\n  measure: volts\n- do: Go home.\n  end: evacuated",
    "- do: Take the reading.\n  measure: volts\n- do: Lock the fuel and hang the tag.\n  end: left-safe",
    rests_on="`end: evacuated` and the verdicts of the outcomes that lead there.",
)


def _evacuations(material: Material) -> Iterator[Problem]:
    for entry, procedure in material.pages():
        if procedure.occasion == "emergency":
            continue
        graph = material.graph(entry, procedure)
        actions = [step.action for step in procedure.steps]
        proper = {i for i in graph.ends if isinstance(actions[i], HandOver) or not _evacuated(actions[i])}
        can_finish = graph.leading_to(proper)
        can_leave = graph.leading_to(graph.ends - proper)
        for index in sorted((graph.reachable & can_leave) - can_finish - graph.ends):
            step = procedure.steps[index]
            if isinstance(step.action, _ON_THE_WAY_OUT) and not step.outcomes:
                continue
            yield EVACUATION_AS_END.at(
                Spot(entry.path, (*step.route, "do")),
                f"step {index + 1} leads to nothing but an evacuation, and it is no step of leaving at once",
                "Let the question lead to the evacuation itself; before it comes only what stops plant or warns people. "
                "Any other end says how the job ends: returned to service, left safe, found.",
            )
            break


def _evacuated(action: AnyAction | None) -> bool:
    return isinstance(action, End) and action.end == "evacuated"


PAGE_CHECKS: tuple[Check, ...] = (_claimed, _evacuations)
