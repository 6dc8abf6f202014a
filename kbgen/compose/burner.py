"""Routines about the burner: off, on, a full cycle, one reset."""

from __future__ import annotations

from dataclasses import replace

from kbgen.compose.fittings import shut
from kbgen.compose.ledger import TOLD
from kbgen.compose.sheet import ON, Sheet
from kbgen.compose.usual import TURN
from kbgen.model.equipment import FuelValve, Memory
from kbgen.model.handling import Deed
from kbgen.model.routine import BurnerOff, BurnerOn, FullCycle, ResetOnce

_FOLLOWS_FLAME = ("burner-fuel", "pilot-fuel")


def burner_off(sheet: Sheet, line: BurnerOff) -> None:
    """Stop the burner."""
    demand_off(sheet)
    if line.burner_off == "valves":
        for valve in nearest_valves(sheet):
            shut(sheet, valve)
    if line.still == "yes":
        still = sheet.plant.firing.still
        if still is None:
            raise sheet.missing(
                "`firing`", "how one waits until it stands still", "`still: {do: Wait until …}`"
            )
        sheet.write("still", still, observe="standstill", minutes=still.minutes or TURN)


def burner_on(sheet: Sheet, line: BurnerOn) -> None:
    """Let the burner start, or the plant run without fire."""
    firing = sheet.plant.firing
    words, switched = firing.start, firing.start_by
    if cold := line.burner_on == "cold":
        words, switched = firing.cold, firing.cold_by
    if words is None or not switched:
        what, key = ("runs without fire", "cold") if cold else ("is let start", "start")
        example = f"`{key}_by: Burner switch to ON` and `{key}: {{do: …}}`"
        raise sheet.missing("`firing`", f"how it {what}", example)
    telling = sheet.plant.telling
    if telling.before_on is not None and not sheet.before.get(TOLD):
        sheet.write(
            "tell", telling.before_on, inform=telling.who_on, minutes=telling.before_on.minutes or "2 min"
        )
    sheet.write("demand", words, start_demand=switched)


def demand_off(sheet: Sheet) -> None:
    """Take the demand off."""
    firing = sheet.plant.firing
    if firing.stop is None or not firing.stop_by:
        raise sheet.missing(
            "`firing`", "how it is stopped", "`stop_by: Burner switch to OFF` and `stop: {do: …}`"
        )
    sheet.write("demand", firing.stop, stop_demand=firing.stop_by)


def nearest_valves(sheet: Sheet) -> list[FuelValve]:
    """Return the fuel valves nearest to the flame; on plant without any, those that stop all fuel."""
    valves = sheet.plant.fuel_valves
    near = [each for each in valves if each.stops in _FOLLOWS_FLAME]
    return near or [each for each in valves if each.stops == "all-fuel"]


def full_cycle(sheet: Sheet, line: FullCycle) -> None:
    """Watch a full cycle."""
    cycle = sheet.plant.firing.cycle
    if cycle is None:
        raise sheet.missing(
            "`firing`", "how a full cycle is watched", "`cycle: {do: Stay for a full cycle.}`"
        )
    sheet.write("seen", cycle, observe="full-cycle", ways={"seen": ON, "not-seen": line.full_cycle})


def reset_once(sheet: Sheet, line: ResetOnce) -> None:
    """Press a reset once."""
    known = {each.id: each for each in sheet.plant.memory}
    if line.reset_once not in known:
        raise sheet.unknown("reset_once", "memory", line.reset_once, known)
    memory = known[line.reset_once]
    sheet.write(
        "press",
        pressed(sheet, memory),
        reset=memory.resets,
        ask="Does it stay?" if memory.device else "Has it gone?",
        outcomes=[
            {"when": "Yes", "go": ON},
            {"when": "No", "go": line.stays},
            {"when": "Not sure", "go": line.stays},
        ],
    )


def pressed(sheet: Sheet, memory: Memory) -> Deed:
    """Return how a reset is pressed."""
    if memory.press is None:
        raise sheet.missing(f"memory `{memory.id}`", "how it is pressed", "`press: {do: Press …, once.}`")
    return replace(memory.press, minutes=memory.press.minutes or TURN)
