"""How people handle a family of plant: the words and the order that routines of procedures take from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from kbgen.position import Route


@dataclass(frozen=True, slots=True)
class Deed:
    """One instruction as the plant's entry words it; fields as of a step."""

    do: str
    expect: str = ""
    why: str = ""
    minutes: str = ""
    note_down: str = ""
    cautions: tuple[str, ...] = ()
    route: Route = ()


@dataclass(frozen=True, slots=True)
class SourceWords:
    """The words for handling a source, where the usual ones do not fit it."""

    switch_off: Deed | None = None
    lock: Deed | None = None
    unlock: Deed | None = None
    switch_on: Deed | None = None
    prove: Deed | None = None


@dataclass(frozen=True, slots=True)
class ValveWords:
    """The words for turning a fuel valve, where the usual ones do not fit it."""

    shut: Deed | None = None
    open: Deed | None = None


@dataclass(frozen=True, slots=True)
class CoverWords:
    """The words for a cover, where the usual ones do not fit it.

    Attributes:
        live: What live readings behind it need: who may, what is worn, which meter, whether alone.
    """

    open: Deed | None = None
    close: Deed | None = None
    live: Deed | None = None


@dataclass(frozen=True, slots=True)
class Arrival:
    """One question at the door.

    Attributes:
        identify: What must carry the same mark, where it is the question whether it is the right plant.
        good: The answer with which one goes on, ``Yes`` or ``No``.
        otherwise: The ending that every other answer leads to.
        danger: Whether every other answer says that somebody is in danger.
        claims: What the good answer says of the plant.
        sees_locks: Whether the good answer says that every lock and tag was looked at and none forbids to go on.
    """

    id: str
    do: str
    otherwise: str
    ask: str = ""
    good: str = "Yes"
    identify: str = ""
    inspect: str = ""
    expect: str = ""
    minutes: str = ""
    note_down: str = ""
    cautions: tuple[str, ...] = ()
    danger: bool = False
    claims: tuple[str, ...] = ()
    sees_locks: bool = False
    route: Route = ()


@dataclass(frozen=True, slots=True)
class Firing:
    """How the plant is let fire and stopped.

    Attributes:
        stop_by: What is switched when the demand goes off, for the check.
        start_by: What is switched when it comes on.
        cold_by: What is switched so that it runs without fire.
        stop: The words for the first.
        start: The words for the second.
        cold: The words for letting it run without fire.
        still: Waiting until it stands still.
        cycle: Watching a full cycle.
    """

    stop_by: str = ""
    start_by: str = ""
    cold_by: str = ""
    stop: Deed | None = None
    start: Deed | None = None
    cold: Deed | None = None
    still: Deed | None = None
    cycle: Deed | None = None
    route: Route = ()


@dataclass(frozen=True, slots=True)
class Telling:
    """Who is told, and in which words, before the plant goes off and before it comes on.

    Attributes:
        tags: What a tag may say that forbids it to come on.
    """

    who_off: str = ""
    who_on: str = ""
    before_off: Deed | None = None
    before_on: Deed | None = None
    tags: str = ""
    route: Route = ()


@dataclass(frozen=True, slots=True)
class Ending:
    """A way in which a job at this plant ends: lines as of a procedure, in plain data.

    Attributes:
        means: What has come about, as the heading of its lines.
        short: What to do in two words, where an answer leads there.
    """

    id: str
    steps: tuple[Mapping[str, Any], ...]
    means: str = ""
    short: str = ""
    route: Route = ()


@dataclass(frozen=True, slots=True)
class TrainTests:
    """How a section of the fuel train is emptied, and how it is tested with air.

    Attributes:
        hose: Putting hose and manometer on, and where the hose leads.
        let_out: Letting the gas out.
        empty: What is read while no gas comes after.
        empty_for: For how long that is watched.
        pump: Pumping air in.
        holds: What is read while it holds.
        hold_for: For how long that is watched.
        close: How a test point is closed.
    """

    hose: Deed
    let_out: Deed
    empty: str
    empty_for: str
    pump: Deed
    holds: str
    hold_for: str
    close: str
    route: Route = ()


@dataclass(frozen=True, slots=True)
class OwnRoutine:
    """What several pages of this plant do alike, written once: lines as of a procedure, in plain data.

    Attributes:
        title: What its card is called.
    """

    id: str
    title: str
    steps: tuple[Mapping[str, Any], ...]
    route: Route = ()


AS_USUAL = SourceWords()
TURNED_AS_USUAL = ValveWords()
OPENED_AS_USUAL = CoverWords()
NOT_SAID = Firing()
NOBODY_TOLD = Telling()
"""What stands where the entry says nothing."""
