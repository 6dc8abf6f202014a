"""People near what starts: a helper sent into it, hands at what turns, a face at the burner."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.walk.finding import Finding, Moment
from kbgen.compute.walk.firing import MOVES_WITH_HANDS_IN
from kbgen.compute.walk.hazard import BURNER, LOTO, MAKING_SAFE, RESETS
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.said import face_at_burner, hands_at_what_turns, relies_on_no_fuel
from kbgen.compute.walk.state import DEMAND, SENT, SHUT, SPINS, WITHOUT_FIRE, State
from kbgen.model import action as act
from kbgen.problems import shown

HANDS_AT_WHAT_TURNS = MAKING_SAFE.on(LOTO).hazard(
    "hands-at-what-turns",
    "The gauge is held at the disc while the drum runs; belt or disc takes the blade, and the fingers with it.",
    "- do: Start it.\n  start_demand: Burner on\n- do: Hold the gauge at the disc.",
    "- do: Stop it.\n  stop_demand: Burner off\n- do: See it stand.\n  observe: standstill\n# locked, proved\n"
    "- do: Hold the gauge at the disc.\n  work_in: drum",
    rests_on="Words that put hands, or what they hold, to a belt, disc, wheel, shaft, drum or fan, and whether it was started and "
    "seen at rest since; other words go unread.",
)
FACE_AT_BURNER = RESETS.on(BURNER).hazard(
    "face-at-burner",
    "The firing valve is shut and the pilot's is not: it lights, or bangs, into an eye at the open flap.",
    "- do: Start.\n  start_demand: Burner on\n- do: Go close with the eye and see the spark.",
    "- do: Start.\n  start_demand: Burner on\n- do: Look through the sight glass from the side.",
    rests_on="Words that put a face to the burner or rely on no flame, and whether fuel and supply let it light on this way; other "
    "words go unread.",
)


_SEES_IT_STOP = act.ProveGone | act.StopDemand | act.TryStart | act.WorkIn | act.Fit | act.Undo
"""What looks at rest, or is judged with hands in it anyway."""
_BRINGS_ON = act.Unlock | act.Restore | act.OpenValve | act.StartDemand | act.TryStart


def findings(moment: Moment) -> Iterator[Finding]:
    """Yield a step that starts something near somebody, or sends somebody near what may start."""
    yield from _hands_there(moment)
    yield from _face_there(moment)
    if isinstance(moment.step.action, _BRINGS_ON):
        yield from _sent(moment)


def _sent(moment: Moment) -> Iterator[Finding]:
    """Yield a release or start while somebody was sent into the plant, and neither told nor seen out again."""
    if (SENT, "") not in moment.state:
        return
    action, plant = moment.step.action, moment.plant
    if isinstance(action, act.OpenValve) and not plant.can_fire(moment.state - {(SHUT, action.open_valve)}):
        return
    yield MOVES_WITH_HANDS_IN.finding(
        "helper",
        moment.field,
        "somebody was sent to work inside of the plant, or handed over with hands in it, and nobody told them that it comes on",
        "Call them out and tell everybody at the plant (`inform: Everybody at the plant`, the helper too) before the first lock "
        "comes off; the shift lead alone tells nobody there.",
        clears=frozenset({(SENT, "")}),
    )


def _hands_there(moment: Moment) -> Iterator[Finding]:
    """Yield words that send hands to what turns, while it was started and nobody saw it at rest since."""
    plant, state = moment.plant, moment.state
    action = moment.step.action
    stops = isinstance(action, _SEES_IT_STOP) or (
        isinstance(action, act.Observe) and action.observe in ("shutdown", "standstill")
    )
    if (SPINS, "") not in state or plant.off(state) or stops:
        return
    # What is felt in the end is asked for as well as what is done.
    said = hands_at_what_turns(f"{plant.says[moment.index]} {moment.step.expect}")
    if said:
        yield HANDS_AT_WHAT_TURNS.finding(
            moment.index,
            "do",
            f"`{shown(said)}` sends hands to what may be turning: it was started, and nobody saw it stand still since",
            "Stop it, see it stand still (`observe: standstill`), lock it and write `work_in`; or look from a distance with the "
            "covers closed.",
        )


def _face_there(moment: Moment) -> Iterator[Finding]:
    """Yield words that send a face to a burner that may light, or rely on no flame where one can come."""
    plant, state = moment.plant, moment.state
    if (DEMAND, "") not in state or (WITHOUT_FIRE, "") in state or not plant.can_fire(state):
        return
    step, says = moment.step, plant.says[moment.index]
    said = face_at_burner(says)
    if said:
        yield FACE_AT_BURNER.finding(
            (moment.index, "face"),
            "do",
            f"`{shown(said)}` sends a face to the burner while it may light",
            f"Look from the side, through the closed sight glass, or shut its fuel first{_pilot(plant, state)}.",
        )
    relied = relies_on_no_fuel(" ".join((says, step.why, step.expect)))
    if relied and not isinstance(step.action, act.Observe):
        yield FACE_AT_BURNER.finding(
            (moment.index, "no fuel"),
            "do",
            f"`{shown(relied)}` is relied on, and fuel can come: {_not_shut(plant, state)}",
            f"Shut all of its fuel on this way before{_pilot(plant, state)}, or take these words out.",
        )


def _pilot(plant: Plant, state: State) -> str:
    """Name the fuel valves that are open, the pilot's own among them."""
    open_ = [f"`shut_valve: {name}`" for name in plant.valves if (SHUT, name) not in state]
    return f" ({', '.join(open_)})" if open_ else ""


def _not_shut(plant: Plant, state: State) -> str:
    pilots = [
        valve.title
        for name, valve in plant.valves.items()
        if valve.stops == "pilot-fuel" and (SHUT, name) not in state
    ]
    return (
        f"{pilots[0]} is not shut"
        if pilots and plant.burner_shut(state)
        else "nothing on this way has shut all of it"
    )
