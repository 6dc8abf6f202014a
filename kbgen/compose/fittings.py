"""Covers and fuel valves: the one place that words how they are opened and shut."""

from __future__ import annotations

from kbgen.compose.sheet import Sheet
from kbgen.compose.usual import TURN
from kbgen.compose.words import if_so, the
from kbgen.model.equipment import Cover, FuelValve
from kbgen.model.handling import Deed


def open_cover(sheet: Sheet, name: str, field: str = "") -> None:
    """Open one cover."""
    cover = cover_of(sheet, name, field)
    words = cover.words.open or Deed(f"Open {the(cover.title)}.")
    sheet.write(
        cover.id, words, open_cover=cover.id, minutes=words.minutes or TURN, cautions=list(cover.cautions)
    )


def close_cover(sheet: Sheet, cover: Cover, *, sure: bool) -> None:
    """Close one cover."""
    words = cover.words.close or Deed(f"Close {the(cover.title)}.")
    said = words if sure else if_so("If it is open", words)
    sheet.write(cover.id, said, close_cover=cover.id, minutes=words.minutes or TURN)


def shut(sheet: Sheet, valve: FuelValve, deed: str = "") -> None:
    """Shut a fuel valve, under its own id where no deed is named."""
    if valve.id in sheet.deeds and not deed:
        return
    words = said_shut(sheet, valve)
    sheet.write(deed or valve.id, words, shut_valve=valve.id, minutes=words.minutes or TURN)


def open_valve(sheet: Sheet, valve: FuelValve, deed: str = "") -> None:
    """Open a fuel valve, under its own id where no deed is named."""
    words = said_open(sheet, valve)
    sheet.write(
        deed or valve.id,
        words,
        open_valve=valve.id,
        minutes=words.minutes or TURN,
        cautions=list(valve.cautions),
    )


def said_shut(sheet: Sheet, valve: FuelValve) -> Deed:
    """Return how a fuel valve is shut."""
    return valve.words.shut or Deed(f"Shut {the(_turned(sheet, valve))}. Handle across the pipe.")


def said_open(sheet: Sheet, valve: FuelValve) -> Deed:
    """Return how a fuel valve is opened."""
    return valve.words.open or Deed(f"Open {the(_turned(sheet, valve))} slowly. Handle along the pipe.")


def _turned(sheet: Sheet, valve: FuelValve) -> str:
    if not valve.handle:
        raise sheet.missing(
            f"fuel valve `{valve.id}`",
            "how it is turned",
            "`handle: burner cock`, or `words` with `shut` and `open`",
        )
    return valve.handle


def cover_of(sheet: Sheet, name: str, field: str = "") -> Cover:
    """Return a cover of the plant."""
    known = {each.id: each for each in sheet.plant.covers}
    if name not in known:
        names = [*known, *(each.id for each in sheet.plant.fuel_valves)] if field else known
        raise sheet.unknown(field, "cover or fuel valve" if field else "cover", name, names)
    return known[name]
