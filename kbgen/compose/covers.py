"""Routines about covers and fuel valves: opening, closing, putting back."""

from __future__ import annotations

from kbgen.compose.burner import demand_off
from kbgen.compose.fittings import close_cover, cover_of, open_cover, open_valve, shut
from kbgen.compose.ledger import BLACK_LEAD, COVER, DEMAND, FITTED, LEAD, Thing
from kbgen.compose.rules import PLANT_DATA_MISSING, ROUTINE_MISUSED, ROUTINE_UNKNOWN_NAME
from kbgen.compose.sheet import Sheet, Unfit
from kbgen.compose.usual import TURN, usual
from kbgen.compose.words import if_so
from kbgen.model.handling import Deed
from kbgen.model.routine import ALL, Close, Open, PutBack
from kbgen.nearest import nearest

_BACK = (COVER, FITTED, LEAD, DEMAND)
_SOME = {
    FITTED: "If it is still altered",
    LEAD: "If the leads are on",
    DEMAND: "If it is on",
}


def open_(sheet: Sheet, line: Open) -> None:
    """Open covers and valves."""
    valves = {each.id: each for each in sheet.plant.fuel_valves}
    for name in line.open:
        if name in valves:
            open_valve(sheet, valves[name])
        else:
            open_cover(sheet, name, "open")


def close(sheet: Sheet, line: Close) -> None:
    """Close covers, shut valves."""
    valves = {each.id: each for each in sheet.plant.fuel_valves}
    names = tuple(each.id for each in sheet.plant.covers) if line.close == (ALL,) else line.close
    for name in names:
        if name in valves:
            shut(sheet, valves[name])
        else:
            close_cover(sheet, cover_of(sheet, name, "close"), sure=True)


def put_back(sheet: Sheet, line: PutBack) -> None:
    """Put back what was done, the last thing first."""
    there = sorted(
        (thing for thing in sheet.before if thing.kind in _BACK), key=lambda thing: -sheet.order.get(thing, 0)
    )
    if line.put_back != (ALL,):
        names = {thing.name: thing for thing in there}
        for name in line.put_back:
            if name not in names:
                near = nearest(name, names)
                # A true name that only was not opened may follow from a line above that misspells it.
                is_one = name in sheet.fits or any(each.id == name for each in sheet.plant.covers)
                raise Unfit(
                    ROUTINE_MISUSED if is_one else ROUTINE_UNKNOWN_NAME,
                    "put_back",
                    f"nothing called `{name}` was opened, fitted or clipped on before this line",
                    f"Did you mean `{near}`?" if near else f"Known: {', '.join(names) or 'none'}.",
                )
        there = [thing for thing in there if thing.name in line.put_back]
    # The demand goes off before hands go near.
    for thing in sorted(there, key=lambda thing: thing.kind != DEMAND):
        _back(sheet, thing, sure=sheet.before[thing])


def _back(sheet: Sheet, thing: Thing, *, sure: bool) -> None:
    if thing.kind == DEMAND:
        demand_off(sheet)
    elif thing.kind == COVER:
        close_cover(sheet, cover_of(sheet, thing.name), sure=sure)
    elif thing == BLACK_LEAD:
        sheet.write(BLACK_LEAD.name, "Take the leads off." if sure else "Take the leads off, if they are on.")
    elif thing.kind == LEAD:
        # Of two meters each is named.
        words = Deed(f"Take the leads off, by their insulation ({thing.name.replace('-', ' ')}).")
        sheet.write(
            thing.name, words if sure else if_so(_SOME[LEAD], words), unclip=[thing.name], minutes=TURN
        )
    else:
        undo(sheet, thing.name, sure=sure)


def undo(sheet: Sheet, name: str, *, sure: bool) -> None:
    """Take an alteration out again."""
    fitted = sheet.fits.get(name, {})
    words = fitted.get("back", "")
    if not words:
        raise Unfit(
            PLANT_DATA_MISSING,
            "",
            f"the step that fits {name} does not say how it comes out again",
            "Write `back: Take …` beside its `fit`.",
        )
    said = Deed(words, fitted.get("back_expect", ""))
    sheet.write(
        name,
        said if sure else if_so(_SOME[FITTED], said),
        undo=name,
        minutes=fitted.get("minutes") or usual(fitted) or TURN,
    )
