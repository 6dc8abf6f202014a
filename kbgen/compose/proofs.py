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
        prove_trip(sheet, name, name, line.fails, "prove_trips")


def prove_trip(sheet: Sheet, name: str, deed: str, fails: str, field: str) -> None:
    """Make one device trip."""
    device = sheet.base.device(name)
    if device is None or sheet.plant_id not in device.equipment:
        raise sheet.unknown(field, "device", name, sheet.devices())
    words = device.trip
    if words is None:
        example = "`trip: {do: …, expect: …}`, by its own quantity"
        raise sheet.missing_in(f"devices/{name}.yaml", "how it is made to trip", example)
    ways = {"tripped": ON, "not-tripped": fails}
    sheet.write(deed, words, prove_trip=name, minutes=words.minutes or "3 min", ways=ways)


def check_leaks(sheet: Sheet, line: CheckLeaks) -> None:
    """Prove points of the train tight with gas."""
    points = _meant(sheet, line.check_leaks, OPENED, JOINT, "check_leaks")
    leak_check(sheet, points, line.leaks, "check_leaks")


def leak_check(sheet: Sheet, points: list[str], leaks: str, field: str) -> None:
    """Look for gas at points of the train."""
    known = [each.id for each in sheet.plant.fuel_points]
    for name in points:
        if name not in known:
            raise sheet.unknown(field, "fuel point", name, known)
    words = sheet.plant.leak_check
    if words is None:
        raise sheet.missing("the top", "how a leak is looked for", "`leak_check: {do: Brush every point …}`")
    ways = {"tight": ON, "leaks": leaks}
    sheet.write("tight", words, leak_check=points, minutes=words.minutes or TURN, ways=ways)


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
