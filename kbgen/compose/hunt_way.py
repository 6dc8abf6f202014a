"""A hunt under way, what is worn for it, and why it cannot go on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kbgen.compose.rules import ROUTINE_MISUSED
from kbgen.compose.sheet import Sheet, Unfit
from kbgen.compose.string import String
from kbgen.compose.usual import TURN
from kbgen.compose.words import lower
from kbgen.model.circuit import Contact
from kbgen.model.routine import Hunt

_ASKS_FOR_MORE = 400.0
"""Volts from which a plant's entry must say what live work behind a cover needs."""


@dataclass(frozen=True, slots=True)
class Leaf:
    """What a hunt ends with: what is said, where it leads, and the two points that are read once more."""

    words: str
    go: str
    across: tuple[str, str] | None = None


@dataclass(slots=True)
class Way:
    """A hunt under way.

    Attributes:
        leaves: What is written once for all ways to it, by its deed.
        held: Whether the black lead was clipped on before, with the circuit dead; nobody moves it live.
    """

    sheet: Sheet
    line: Hunt
    string: String
    leaves: dict[str, Leaf]
    held: bool = False


def first_cover(way: Way, mark: str) -> Unfit:
    """Refuse a hunt whose first point no probe reaches."""
    cover = way.string.lies.get(mark, ("", ""))[1]
    return Unfit(
        ROUTINE_MISUSED,
        "hunt",
        f"the first point of {way.line.hunt}, {mark or 'none'}, is not open to a probe on every way to this line",
        f"Write `- open: [{cover}]` above it." if cover else "Give its points a `place` and a `cover`.",
    )


def unread(way: Way, mark: str, full: str | None) -> Unfit:
    """Refuse a hunt whose next point no probe reaches: what lies behind the last full one would be called made."""
    cover = way.string.lies.get(mark, ("", ""))[1]
    return Unfit(
        ROUTINE_MISUSED,
        "hunt",
        f"behind {full} of {way.line.hunt} the next point, {mark}, is not open to a probe on every way to this line",
        f"Write `- open: [{cover}]` above it, or read the circuit in steps of your own."
        if cover
        else "Read the circuit in steps of your own.",
    )


def gear(way: Way) -> None:
    """Say why it is read live, and what stands behind the open covers and asks of whoever reads there."""
    why = _why_live(way)
    for cover in way.sheet.plant.covers:
        if cover.id not in way.string.open or not any(
            where == cover.id for _, where in way.string.lies.values()
        ):
            continue
        highest = max((volts for volts in _volts_behind(way, cover.id)), default=0.0)
        words = cover.words.live
        if words is None and highest >= _ASKS_FOR_MORE:
            raise way.sheet.missing(
                f"cover `{cover.id}`",
                f"what live readings behind it need, where {highest:g} V stand",
                "`words: {live: {do: who may, what is worn, which meter, whether alone}}`",
            )
        if words is not None:
            way.sheet.write(f"{cover.id}.live", words, why=why, minutes=words.minutes or TURN)
            why = ""
    if why:
        current = way.string.circuit.supply.current
        way.sheet.write("live", f"Meter on volts {current}, whole leads, one hand.", why=why)


def _why_live(way: Way) -> str:
    """Return why dead plant does not do; where it does, the author has to say."""
    if way.line.live_because:
        return way.line.live_because
    devices = [way.sheet.base.device(part.contact) for part in way.string.path if isinstance(part, Contact)]
    silent = [lower(each.head.title) for each in devices if each is not None and each.dead_state != "closed"]
    if not silent:
        raise Unfit(
            ROUTINE_MISUSED,
            "hunt",
            f"every contact of {way.line.hunt} can be told with ohms on dead plant, which is the safer way",
            "Hunt it dead, or say with `live_because` why that does not do.",
        )
    return f"Dead plant does not show the {' and the '.join(dict.fromkeys(silent))}"


def _volts_behind(way: Way, cover: str) -> Iterator[float]:
    for source in way.sheet.plant.sources:
        if source.electric and source.voltage is not None and source.behind == cover:
            yield source.voltage.hi
    yield way.string.circuit.supply.voltage.hi
