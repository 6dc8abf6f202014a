"""A test procedure: steps for a person, each with an action the check can follow."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Literal, get_args

from kbgen.model.action import Action, Identify, LeakCheck, ProveTrip, Undo
from kbgen.model.build import Long, Time
from kbgen.model.head import Head, Photo
from kbgen.model.verdicts import WORDS
from kbgen.position import Route


def _ways(data: Mapping[str, Any], _: Route) -> tuple[tuple[str, str], ...]:
    return tuple((word, data[word]) for word in WORDS if word in data)


Ways = Annotated[tuple[tuple[str, str], ...], _ways]
"""Verdict words and the steps they lead to, read from the map they stand in."""


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a step comes from that its author did not write.

    Attributes:
        routine: The routine, as its line names it; empty for an own step of an ending.
        deed: What the step does, as its id names it.
        line: Index of the author's line in ``Procedure.written`` that wrote it, or that first named the ending.
        ending: The ending of the plant it belongs to.
        at: Index of its line in the ending, or in the page that is done here; together with ``line`` it tells one card
            from the next.
        page: Another page that is done here, whose step it is.
        begins: Pages that are done here and begin with this step.
        sees_locks: Whether its good answer says that locks and tags were looked at.
        circuit: The circuit that is hunted along.
        own: The plant's own routine that it belongs to.
        because: Whether its author gave the reason that it says (`live_because`).
    """

    routine: str = ""
    deed: str = ""
    line: int = 0
    ending: str = ""
    at: int = 0
    page: str = ""
    begins: tuple[str, ...] = ()
    sees_locks: bool = False
    circuit: str = ""
    own: str = ""
    because: bool = False


@dataclass(frozen=True, slots=True)
class Outcome:
    """One outcome of a step's question and the step it leads to, by ``go`` or by a verdict word.

    Attributes:
        claims: What the reader says of the plant by it, in the words of ``kbgen/model/claims.py``.
        are_on: Sources that are on by it, open and without a lock.
        danger: Whether it leads to leaving at once.
    """

    when: str
    go: str = ""
    ways: Ways = ()
    at_most: int = 0
    claims: tuple[str, ...] = ()
    are_on: tuple[str, ...] = ()
    danger: bool = False
    route: Route = ()


@dataclass(frozen=True, slots=True)
class ProcedureStep:
    """One instruction."""

    do: Long = ()
    action: Action = None
    id: str = ""
    why: str = ""
    in_short: str = ""
    expect: str = ""
    minutes: Time | None = None
    cautions: tuple[str, ...] = ()
    photos: tuple[Photo, ...] = ()
    note_down: str = ""
    ask: str = ""
    outcomes: tuple[Outcome, ...] = ()
    ways: Ways = ()
    go: str = ""
    origin: Origin | None = None
    route: Route = ()


@dataclass(frozen=True, slots=True)
class Procedure:
    """Steps, and who may do them with what.

    Attributes:
        derived: Whether it follows from the plant's data alone: nobody has written it, and nobody has walked it.
        taken_over: Whether its lines followed from the plant's data: it is walked, and signed by two, as long as it says so.
        written: The lines as the author wrote them, as plain data, where routines or endings are among them; the
            steps are what they stand for.
    """

    head: Head
    steps: tuple[ProcedureStep, ...]
    equipment: tuple[str, ...] = ()
    sizes: tuple[str, ...] = ()
    purpose: Long = ()
    who: str = "technician"
    second_person: bool = False
    permission: str = ""
    occasion: str = "fault"
    tests: tuple[str, ...] = ()
    circuit: str = ""
    meter: str = ""
    tools: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    starts: tuple[str, ...] = ()
    after: str = ""
    close_up: tuple[str, ...] = ()
    taken_over: bool = False
    written: tuple[Mapping[str, Any], ...] = ()
    derived: bool = False

    @property
    def undoes(self) -> tuple[str, ...]:
        """The alterations that it takes out."""
        return tuple(step.action.undo for step in self.steps if isinstance(step.action, Undo))

    @property
    def checks_tight(self) -> tuple[str, ...]:
        """The points of the fuel train that it proves tight."""
        checks = (step.action.leak_check for step in self.steps if isinstance(step.action, LeakCheck))
        return tuple(point for each in checks for point in each)

    @property
    def proves_trips(self) -> tuple[str, ...]:
        """The devices that it proves to trip."""
        return tuple(step.action.prove_trip for step in self.steps if isinstance(step.action, ProveTrip))

    @property
    def identifies(self) -> bool:
        """Whether it makes sure that this is the right plant."""
        return any(isinstance(step.action, Identify) for step in self.steps)


PageSays = Literal["starts", "after", "undoes", "checks_tight", "proves_trips", "identifies"]
"""What a page is asked for by those that lead to it: attributes of a procedure."""


def said_by(page: Procedure) -> dict[str, Any]:
    """Return what a page is asked for by those that lead to it, by name."""
    return {name: getattr(page, name) for name in get_args(PageSays)}


def places_of(procedure: Procedure) -> tuple[str, ...]:
    """Return the place of every step: its id, so that a step put in before it moves none.

    A step without an id counts from the last one that has one; no id holds the underscore before its count.
    """
    places = []
    last, after = "", 0
    for step in procedure.steps:
        last, after = (step.id, 0) if step.id else (last, after + 1)
        places.append(last if last and not after else f"{last}_{after}")
    return tuple(places)
