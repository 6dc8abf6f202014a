"""Own steps without words: what the plant's entries say about the deed is what the page says.

Nothing that is not typed can say something else than the action does.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from kbgen.compose.burner import pressed
from kbgen.compose.covers import undo
from kbgen.compose.fittings import (
    close_cover,
    cover_of,
    open_cover,
    open_valve,
    said_open,
    said_shut,
    shut,
)
from kbgen.compose.ledger import SHUT, Thing
from kbgen.compose.proofs import leak_check, prove_trip
from kbgen.compose.rules import ROUTINE_MISUSED
from kbgen.compose.sheet import NEXT, Sheet, Step, Unfit
from kbgen.compose.sources import isolate, lock, of_fuel, prove_dead, prove_gone, restore, source_of, unlock
from kbgen.model.equipment import FuelValve, Source

_TAKEN = ("do", "expect", "why", "minutes", "note_down", "known_source", "between", "by")
"""What the entries say of a step, where its author does not. Where it leads stays the author's."""


def worded(sheet: Sheet, step: Step) -> Step:
    """Return an own step with the words of the plant's entries.

    Args:
        step: Without an instruction; what it says itself is kept.

    Raises:
        Unfit: Where the entries have none.
    """
    head = sheet.routine
    try:
        _WRITERS[head](sheet, step[head])
    except Unfit as unfit:
        # A routine has many names on its line, a step one: that is where the fault stands.
        raise Unfit(unfit.rule, unfit.field or head, unfit.message, unfit.hint) from None
    made = sheet.steps[-1]
    found = {key: made[key] for key in _TAKEN if key in made} | step
    cautions = list(dict.fromkeys([*made.get("cautions", ()), *step.get("cautions", ())]))
    return found | ({"cautions": cautions} if cautions else {})


def head_of(step: Mapping[str, Any]) -> str:
    """Return what an own step without words does, by the name of its action."""
    return next(key for key in _WRITERS if key in step)


def _of_source(write: Callable[[Sheet, Source, str], None], head: str) -> Callable[[Sheet, str], None]:
    return lambda sheet, name: write(sheet, source_of(sheet, head, name), name)


def _of_valve(write: Callable[[Sheet, FuelValve], None], head: str) -> Callable[[Sheet, str], None]:
    def find(sheet: Sheet, name: str) -> None:
        known = {each.id: each for each in sheet.plant.fuel_valves}
        if name not in known:
            raise sheet.unknown(head, "fuel valve", name, known)
        write(sheet, known[name])

    return find


def _isolate(sheet: Sheet, name: str) -> None:
    source = source_of(sheet, "isolate", name)
    isolate(sheet, source, name)
    # What locks a fuel goes over a valve that is shut: a step above has shut it, or this one says so.
    shut_here = [said_shut(sheet, valve).do for valve in _valves(sheet, source)]
    sheet.steps[-1]["do"] = " ".join([*shut_here, sheet.steps[-1]["do"]])


def _restore(sheet: Sheet, name: str) -> None:
    source = source_of(sheet, "restore", name)
    restore(sheet, source, name)
    opened = _valves(sheet, source)
    step = sheet.steps[-1]
    step["do"] = " ".join([step["do"], *(said_open(sheet, valve).do for valve in opened)])
    step["cautions"] = [*step.get("cautions", ()), *(name for valve in opened for name in valve.cautions)]


def _valves(sheet: Sheet, source: Source) -> list[FuelValve]:
    """Return the valves of a fuel that no step above has shut; whoever shut one there opens it by a step as well."""
    return [each for each in of_fuel(sheet, source) if not sheet.before.get(Thing(SHUT, each.id))]


def _close(sheet: Sheet, name: str) -> None:
    close_cover(sheet, cover_of(sheet, name), sure=True)


def _undo(sheet: Sheet, name: str) -> None:
    undo(sheet, name, sure=True)


def _prove_dead(sheet: Sheet, name: str) -> None:
    prove_dead(sheet, source_of(sheet, "prove_dead", name), name, NEXT)


def _prove_gone(sheet: Sheet, name: str) -> None:
    source = source_of(sheet, "prove_gone", name)
    if source.energy == "fuel":
        hint = "Write `do:` with where its pressure is read, and what it reads."
        raise Unfit(
            ROUTINE_MISUSED,
            "prove_gone",
            f"{source.title} is a fuel, and its entry has no words for it",
            hint,
        )
    prove_gone(sheet, source, name, NEXT)


def _reset(sheet: Sheet, name: str) -> None:
    known = {each.resets: each for each in sheet.plant.memory}
    if name not in known:
        raise sheet.unknown("reset", "memory", name, known)
    sheet.write("press", pressed(sheet, known[name]))


def _leak_check(sheet: Sheet, points: list[str]) -> None:
    leak_check(sheet, points, NEXT, "leak_check")


def _prove_trip(sheet: Sheet, name: str) -> None:
    prove_trip(sheet, name, name, NEXT, "prove_trip")


def _wait(sheet: Sheet, _: str) -> None:
    sheet.write("wait", "Wait.")


_WRITERS: dict[str, Callable[[Sheet, Any], None]] = {
    "isolate": _isolate,
    "lock": _of_source(lock, "lock"),
    "unlock": _of_source(unlock, "unlock"),
    "restore": _restore,
    "prove_dead": _prove_dead,
    "prove_gone": _prove_gone,
    "open_cover": open_cover,
    "close_cover": _close,
    "shut_valve": _of_valve(shut, "shut_valve"),
    "open_valve": _of_valve(open_valve, "open_valve"),
    "undo": _undo,
    "reset": _reset,
    "leak_check": _leak_check,
    "prove_trip": _prove_trip,
    "wait": _wait,
}
HEADS = frozenset(_WRITERS)
"""What a step does that needs no words of its own; the same is `said_by` of the table of actions."""
