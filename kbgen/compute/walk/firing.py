"""Letting the burner light, and seeing it run."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.walk.finding import Finding, Moment
from kbgen.compute.walk.hazard import ALTERATIONS, RESETS, RETURN
from kbgen.compute.walk.state import OFF, SHUT, UNPURGED, facts, has
from kbgen.model import action as act

TRIP_PROVED_OFF = ALTERATIONS.hazard(
    "trip-proved-off",
    "With the supply off nothing runs, and nothing can be seen to stop.",
    "- do: Switch Q2 off.\n  isolate: control\n- do: Prove it.\n  prove_trip: first-low-water",
    "- do: Prove it.\n  prove_trip: first-low-water",
)
CANNOT_FIRE = RESETS.on(RETURN).hazard(
    "cannot-fire",
    "What is said to be seen cannot happen: supply or fuel is off on this way.",
    "- do: Shut the cock.\n  shut_valve: burner-cock\n- do: See a full cycle.\n  observe: full-cycle",
    "- do: Open the cock.\n  open_valve: burner-cock\n- do: See a full cycle.\n  observe: full-cycle",
)


def findings(moment: Moment) -> Iterator[Finding]:
    """Yield what is wrong with a step that fires, or says it saw the burner fire or stop."""
    plant, state = moment.plant, moment.state
    match moment.step.action:
        case act.Observe(observe="firing" | "full-cycle" as what):
            if plant.burns and not plant.can_fire(state):
                why = "its fuel is shut" if plant.fuel_shut(state) else "its supply is off"
                yield CANNOT_FIRE.finding(
                    moment.index,
                    "observe",
                    f"the burner cannot be seen firing while {why}",
                    "Bring fuel and supply back first, in the order of the release.",
                    clears=facts(SHUT, plant.valves) | facts(OFF, plant.sources),
                )
            for title, device in plant.opened_by(state) if plant.can_fire(state) else ():
                yield CANNOT_FIRE.finding(
                    (moment.index, device),
                    "observe",
                    f"the burner cannot be seen firing while {title} opens {plant.title(device)}",
                    "Close it first; only a jumper or a taped switch would let it run now.",
                )
            if what == "firing" and has(state, UNPURGED):
                yield _unpurged(moment, "observe")
        case act.Watch(watch="flame") if has(state, UNPURGED):
            yield _unpurged(moment, "watch")
        case act.ProveTrip(prove_trip=name) if plant.off(state):
            yield TRIP_PROVED_OFF.finding(
                moment.index,
                "prove_trip",
                f"{plant.title(name)} is proved to trip while the supply is off; nothing can be seen to stop",
                "Prove it with the supply on, by its own quantity.",
            )


FIRING_WITHOUT_PURGE = RESETS.hazard(
    "firing-without-purge",
    "Gas of the last try lights all at once.",
    "- do: Start.\n  start_demand: Burner on\n- do: Watch the flame.\n  observe: firing",
    "- do: Start.\n  start_demand: Burner on\n- do: See the full purge.\n  observe: purge\n"
    "- do: Watch the flame.\n  observe: firing",
)


def _unpurged(moment: Moment, field: str) -> Finding:
    return FIRING_WITHOUT_PURGE.finding(
        moment.index,
        field,
        "the burner fires after a start whose purge nobody saw through",
        "Put a step with `observe: purge` between the start and the flame.",
        clears=frozenset({(UNPURGED, "")}),
    )
