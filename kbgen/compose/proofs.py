"""Routines that prove what this page has touched: trips of devices, joints of the gas train."""

from __future__ import annotations

from kbgen.compose.ledger import JOINT, OWED
from kbgen.compose.rules import ROUTINE_MISUSED
from kbgen.compose.sheet import ON, Sheet, Unfit
from kbgen.compose.usual import TURN
from kbgen.model.routine import ALTERED, OPENED, CheckLeaks, ProveTrips


def prove_trips(sheet: Sheet, line: ProveTrips) -> None:
    """Make every device trip by its own quantity."""
    for name in _meant(sheet, line.prove_trips, ALTERED, OWED, "prove_trips"):
        device = sheet.base.device(name)
        if device is None or sheet.plant_id not in device.equipment:
            raise sheet.unknown("prove_trips", "device", name, sheet.devices())
        if device.trip is None:
            raise sheet.missing_in(
                f"devices/{name}.yaml",
                "how it is made to trip",
                "`trip: {do: …, expect: …}`, by its own quantity",
            )
        words = device.trip
        sheet.write(
            name,
            words,
            prove_trip=name,
            minutes=words.minutes or "3 min",
            ways={"tripped": ON, "not-tripped": line.fails},
        )


def check_leaks(sheet: Sheet, line: CheckLeaks) -> None:
    """Prove points of the train tight with gas."""
    points = _meant(sheet, line.check_leaks, OPENED, JOINT, "check_leaks")
    known = [each.id for each in sheet.plant.fuel_points]
    for name in points:
        if name not in known:
            raise sheet.unknown("check_leaks", "fuel point", name, known)
    words = sheet.plant.leak_check
    if words is None:
        raise sheet.missing("the top", "how a leak is looked for", "`leak_check: {do: Brush every point …}`")
    sheet.write(
        "tight",
        words,
        leak_check=points,
        minutes=words.minutes or TURN,
        ways={"tight": ON, "leaks": line.leaks},
    )


def _meant(sheet: Sheet, names: tuple[str, ...], word: str, kind: str, field: str) -> list[str]:
    """Return the names of a line; what this page has touched in place of the word that stands for it."""
    touched = sorted(thing.name for thing in sheet.before if thing.kind == kind)
    found = [each for name in names for each in (touched if name == word else [name])]
    if not found:
        raise Unfit(
            ROUTINE_MISUSED,
            field,
            f"nothing was {word} on any way to this line",
            "Name what is proved, or take it out.",
        )
    return list(dict.fromkeys(found))
