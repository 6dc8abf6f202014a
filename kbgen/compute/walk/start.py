"""The state of the plant when step 1 begins."""

from __future__ import annotations

from kbgen.compute.walk.arriving import returns_to_service
from kbgen.compute.walk.plant import EVIDENCE, Plant
from kbgen.compute.walk.state import (
    ANALYSER_OWED,
    DEMAND,
    GAS_OWED,
    HOT,
    IDENTIFIED,
    LOCKED,
    OFF,
    PROVED,
    RECORDED,
    RUNNING,
    SHUT,
    STOPPED,
    UNSEEN,
    State,
    facts,
)


def start(plant: Plant, brings: State = frozenset()) -> State:
    """Return the state the plant is in when step 1 begins.

    Args:
        brings: What every page that leads here has brought about.
    """
    state: set[tuple[str, str]] = set()
    starts = plant.procedure.starts
    if "plant-running" in starts:
        state |= {(RUNNING, ""), (DEMAND, "")}
    if "evidence-recorded" in starts:
        state |= {(RECORDED, name) for name in EVIDENCE}
        state |= {(IDENTIFIED, "")} if _identified_before(plant) else set()
    if "fuel-shut" in starts:
        state |= facts(SHUT, _burner_valves(plant)) or facts(OFF, plant.fuel_sources)
    if "proved-dead" in starts or "made-safe" in starts:
        every = frozenset(name for name, source in plant.sources.items() if source.electric)
        dead = every if "made-safe" in starts else plant.control
        state |= facts(OFF, dead) | facts(LOCKED, dead) | {(IDENTIFIED, ""), (STOPPED, "")}
        if "proved-dead" in starts:
            state |= facts(PROVED, dead | plant.charged())
    if "made-safe" in starts:
        state |= facts(OFF, plant.fuel_sources) | facts(LOCKED, plant.fuel_sources)
        state |= facts(UNSEEN, plant.covers)
    cold = any((PROVED, name) in brings for name, source in plant.sources.items() if source.energy == "heat")
    if plant.runs_on and not cold and not plant.fuel_locked(frozenset(state)):
        state |= {(HOT, "")}
    if plant.procedure.occasion == "season-start" and returns_to_service(plant.procedure):
        # After a summer birds nest in openings and mixtures have drifted: what gas work asks for is owed.
        asked = plant.base.shop.after_gas_work
        state |= facts(GAS_OWED, (name for name in ("air-supply", "gas-rate") if name in asked))
        state |= {(ANALYSER_OWED, "")} if "flue-gas" in asked else set()
    return frozenset(state) | brings


def _identified_before(plant: Plant) -> bool:
    """Return whether one of the procedures done before makes sure that it is the right plant."""
    seen = set()
    following = plant.procedure.after
    while following and following not in seen:
        seen.add(following)
        if plant.base.page_says(following, "identifies"):
            return True
        following = plant.base.page_says(following, "after") or ""
    return False


def _burner_valves(plant: Plant) -> list[str]:
    burner = [name for name, valve in plant.valves.items() if valve.stops in ("burner-fuel", "pilot-fuel")]
    return burner or [name for name, valve in plant.valves.items() if valve.stops != "pilot-fuel"]
