"""What must be so when another page, or a colleague, goes on with the job."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

from kbgen.compute.walk.finding import Finding, Moment
from kbgen.compute.walk.hazard import BYPASS, LEAVING, LOTO
from kbgen.compute.walk.in_service import LIMIT_LEFT_CHANGED
from kbgen.compute.walk.result import because
from kbgen.compute.walk.state import (
    DEMAND,
    LOCKED,
    MOVED,
    OFF,
    PROVED,
    RECORDED,
    RUNNING,
    has,
    holds,
    names,
)
from kbgen.model import action as act
from kbgen.ref import Kind, Ref

HAND_OVER_LOSES_ALTERATION = LEAVING.on(BYPASS).hazard(
    "hand-over-loses-alteration",
    "The colleague does not know of the jumper.",
    "hand_over: Next technician",
    "hand_over: Next technician\nnext_step: take-out",
    rests_on="The alterations that are in at a `hand_over`, and what it names.",
)


def handed_over(moment: Moment, action: act.HandOver) -> Iterator[Finding]:
    """Yield what a colleague is not told, or finds otherwise than the page they are sent to says."""
    plant = moment.plant
    fitted = plant.fitted(moment.state)
    undone: Collection[str] = plant.procedure.undoes
    if fitted and action.next:
        undone = plant.base.page_says(action.next, "undoes") or ()
    for where, fit in fitted:
        if not (action.next or action.next_step) or fit.name not in undone:
            yield HAND_OVER_LOSES_ALTERATION.finding(
                where,
                "hand_over",
                f"`{fit.name}` is handed over and nothing tells the colleague to take it out",
                f"Name the page or the step the colleague goes on with (`next`, `next_step`), where `undo: {fit.name}` follows.",
                because(where, f"`{fit.name}` is fitted here"),
            )
    for name in names(moment.state, MOVED) if not action.next_step else ():
        setting = plant.settings[name]
        yield LIMIT_LEFT_CHANGED.finding(
            name,
            "hand_over",
            f"{setting.title} is not back at {setting.value}, and nothing tells the colleague to set it back",
            f"Adjust it back to {setting.value} first, or name the step that does (`next_step`).",
        )
    yield from next_begins(moment, action.next)


NEXT_NOT_READY = LEAVING.on(LOTO).hazard(
    "next-not-ready",
    "The next page takes it for granted that the plant is dead, and it is not.",
    "- do: Switch Q2 off.\n  isolate: control\n- end: found\n  next: test-dead  # starts: [proved-dead]",
    "- do: Prove it dead.\n  prove_dead: control\n- end: found\n  next: test-dead",
    rests_on="`starts` of the next page, and the state at the end that leads to it.",
)


def next_begins(moment: Moment, following: str) -> Iterator[Finding]:
    """Yield what the next procedure takes for granted and this way does not bring about."""
    base, plant = moment.plant.base, moment.plant
    if not following or (following == plant.name and base.procedure(following) is plant.procedure):
        return
    for start in _unmet(moment, base.page_says(following, "starts") or ()):
        yield NEXT_NOT_READY.finding(
            (following, start),
            "next",
            f"{base.title(Ref(Kind.PROCEDURE, following))} begins with the plant {start.replace('-', ' ')}, and it is not on this way",
            "Bring it about before this end, or lead to a procedure that takes nothing for granted.",
        )


CALL_NOT_READY = LEAVING.on(LOTO).hazard(
    "call-not-ready",
    "The page that is done on the way takes it for granted that the plant is dead, and it is not.",
    "- lock_off: [control]\n- do_page: test-dead  # starts: [proved-dead]",
    "- lock_off: [control]\n- prove: [control]\n- do_page: test-dead",
    rests_on="`starts` of a page that another does, and the state at the line that does it.",
)


def call_begins(moment: Moment) -> Iterator[Finding]:
    """Yield what a page that is done here takes for granted and this way does not bring about."""
    origin = moment.step.origin
    for name in origin.begins if origin else ():
        for start in _unmet(moment, moment.plant.base.page_says(name, "starts") or ()):
            yield CALL_NOT_READY.finding(
                (name, start),
                moment.field,
                f"`{name}` is done here and begins with the plant {start.replace('-', ' ')}, and it is not on this way",
                "Bring it about above the line that does it, or do that page by itself.",
            )


def _unmet(moment: Moment, starts: Iterable[str]) -> Iterator[str]:
    """Yield what a page takes for granted, in the words of `starts`, and is not so here."""
    plant, state = moment.plant, moment.state
    electric = [name for name, source in plant.sources.items() if source.electric]
    dead = {(OFF, name) for name in electric} | {(LOCKED, name) for name in electric}
    for start in starts:
        if plant.alone and start != "proved-dead":
            continue
        match start:
            case "evidence-recorded":
                true = (RECORDED, "display") in state
            case "fuel-shut":
                true = not plant.burns or plant.fuel_shut(state)
            case "made-safe":
                true = holds(state, *dead) and (not plant.fuel_sources or plant.fuel_locked(state))
            case "proved-dead":
                whole = electric if "made-safe" in starts else plant.control
                true = all((PROVED, name) in state for name in (*whole, *plant.charged()))
            case "plant-running":
                true = has(state, DEMAND) or has(state, RUNNING)
            case _:
                continue
        if not true:
            yield start
