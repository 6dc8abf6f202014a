"""The state of the plant as a set of facts; only what can hurt somebody is kept.

What a page may find of earlier ones is a fact of the kind ``perhaps ...``. A state so stands for two: the plant on
which nothing of it is so, and the plant on which all of it is. Every step is taken, and judged, on both.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from collections.abc import Set as AbstractSet
from typing import Any, Self

Fact = tuple[str, str]
"""What is the case, and of what: ``("off", "control")``."""
State = frozenset[Fact]

# Sources.
OFF = "off"
LOCKED = "locked"
PROVED = "proved dead"
TRIED = "tried"  # a start was tried with it off and locked
LIVE = "found live"  # a proof of it failed, or a start was tried and came; no name for a start
STILL_THERE = "not found gone"  # what is no electricity, by the last `prove_gone` of it
GUARDED = "guarded"  # shrouded where it stays live
# Plant.
SHUT = "shut"  # a fuel valve
COVER = "cover open"
UNSEEN = "cover unseen"  # an earlier procedure may have left it open
LEFT_OPEN = "cover left open"  # by every way that leads to this page
TRIP_SEEN = "trip seen"  # a device was proved to trip on this way; noted where a control is raised after it
LEFT_OFF = "left off"  # a source that an earlier page may have left off
LEFT_LOCKED = "left locked"
LEFT_SHUT = "left shut"  # a valve
RUNNING = "running"
SPINS = "not at rest"  # fan, drum or wheel was started, and nobody saw it stand still since
HOT = "heat not carried off"  # it may have fired, and what runs on after it has not run long enough since
MOVING = "moving"  # fan or pump was seen to run, with or without fire
FLAME = "flame seen"  # since the burner was last started
DEMAND = "demand"  # a start was asked for
WITHOUT_FIRE = "without fire"  # the last start was the plant's own one for air or water alone
IDLE = "demand off"  # somebody stopped it, and nobody started it since
UNPURGED = "unpurged"  # a start was asked for and no purge was seen since
HANDS = "hands in"  # a zone somebody works in; its covers were not closed since
STANDS = "somebody stands there"  # a zone: whoever handed over had hands in, and its cover is open
STOPPED = "stopped"  # the plant was taken out of service on this way
# The person.
DANGER_ASKED = "danger asked"  # somebody asked for gas, smoke, alarm, and nobody had to leave
IDENTIFIED = "identified"
ANOTHERS = "of another plant"  # somebody compared the marks, and they differ
RECORDED = "recorded"
INFORMED = "informed"
WARNED = "people warned"  # somebody told them on this way, and no hands went in since
EVERYBODY = "everybody warned"  # who stands at the plant, and not an office alone
SENT = (
    "helper sent there"  # words send somebody to work inside of the plant, and nobody told them to come out
)
# Temporary alterations, by the index of the step that fits them.
FITTED = "fitted"
UNDER_LOCK = "went in under lock"  # ``"5 fan"``: the step that fits it, and what moves and was locked then
CLIPPED = "leads clipped on"  # by the index of the step that clips them
SHUT_IN = "leads shut in"  # of those leads, by the same index: a cover was closed over them
AT_OHMS = "meter at ohms"  # of those leads, by the same index
FAILED = "did not trip"  # a device that was seen not to stop the burner and is not mended since
OWED = "trip owed"  # a jumped device that was not proved to trip since
# Gas.
OPENING = "gas opening"
UNTESTED = "gas untested"
SEEN_GONE = "gas pressure seen gone"  # in a stretch of the train
LEAK_DUE = "leak check due"
LEAKS = "gas leaks"  # a leak check did not find the train tight
# Readings: of a point to a return, ``"T20 T90"``.
FULL = "read full"
MIDDLE = "read in between"
NOTHING_READ = "read nothing"  # whatever was read before it
ZERO = "read none"  # without a full reading upstream
# Resets and settings.
STALE = "evidence stale"  # it may have tripped again since it was noted
CAUSE = "cause found"
REAL = "trip was real"  # a device was right to stop the burner; why is not mended
BLAMED = "named as open"  # an answer named this limit; its job check is not made yet
FAULTY = "opened without a reason"  # its trip is owed for that alone; what made it open may yet be mended
TESTED = "tripped in a test"  # the test is the cause of this trip
RESET = "reset without cause"
CAUSED = "reset with its cause"  # the last reset of a device had its cause found
CLEARED = "lockout cleared by the supply"  # a memory that forgets with the supply, and the supply came back
CYCLE_OWED = "cycle owed"
MOVED = "setting moved"
ANALYSER_OWED = "analyser owed"
GAS_OWED = "owed after gas work"  # air-supply, gas-rate; also where it was looked at and found bad
SHORT = "not seen open"  # the air supply, by the last look at it on this page
# How often, over following pages too; see ``count``.
TRIES = "tried to start"  # since the burner was last seen firing
TAKEN = "way taken"  # a way back of this page that has a limit
UNNOTED = "setting not noted"

DANGER = "danger"  # somebody is in danger, and leaves at once

# What earlier pages may have left, so called while nothing says whether they did.
PERHAPS = "perhaps "
ENERGISED = "energised"  # this page brought energy back while something of earlier pages may be outstanding

NOTHING: State = frozenset()


ANYTHING: Fact = ("*", "*")
"""Noted where a state was asked for something else than one fact or one kind of them."""


class Noted(frozenset[Fact]):
    """A state that notes which facts are asked for; ``(kind, "*")`` where all of a kind are.

    What a state can be asked beside `in` and the functions of this module is noted as all of it.
    """

    __slots__ = ("plain", "seen")
    plain: State
    seen: set[Fact]

    def __new__(cls, facts: State, seen: set[Fact]) -> Self:
        """Make one of a state; what is asked goes into ``seen``."""
        made = super().__new__(cls, facts)
        made.plain = facts
        made.seen = seen
        return made

    def __contains__(self, fact: object) -> bool:
        self.seen.add(fact)  # type: ignore[arg-type]
        return fact in self.plain

    def __or__(self, other: AbstractSet[Fact]) -> Noted:  # type: ignore[override]
        return Noted(self.plain | other, self.seen)

    def __sub__(self, other: AbstractSet[object]) -> Noted:
        return Noted(self.plain - other, self.seen)


class Changing(Noted):
    """A state that a step changes: it notes as well of which kinds facts are put in or taken out.

    What becomes of it hangs on nothing else than the facts of the kinds that are noted, and changes no others.
    """

    __slots__ = ()

    def __or__(self, other: AbstractSet[Fact]) -> Changing:  # type: ignore[override]
        self.seen.update((kind, "*") for kind, _ in other)
        return Changing(self.plain | other, self.seen)

    def __sub__(self, other: AbstractSet[object]) -> Changing:
        self.seen.update((fact[0], "*") for fact in other)  # type: ignore[index]
        return Changing(self.plain - other, self.seen)

    def but(self, facts: State) -> Changing:
        """Return the state with some of its facts, all others are of kinds that are noted."""
        return Changing(facts, self.seen)


def _noting_all(operation: str) -> Callable[..., Any]:
    asks = getattr(frozenset, operation)

    def noting(state: Noted, *others: object) -> Any:
        state.seen.add(ANYTHING)
        return asks(state.plain, *others)

    return noting


for _operation in dir(frozenset):
    if _operation not in (*vars(Noted), *dir(object), "__class_getitem__"):
        setattr(Noted, _operation, _noting_all(_operation))
for _operation in ("__eq__", "__ne__", "__le__", "__lt__", "__ge__", "__gt__", "__hash__", "__reduce__"):
    setattr(Noted, _operation, _noting_all(_operation))


def _of_kind(state: State, what: str) -> State:
    """Return a state to look through for one kind of fact; that is noted."""
    if not isinstance(state, Noted):
        return state
    state.seen.add((what, "*"))
    return state.plain


def holds(state: State, *wanted: Fact) -> bool:
    """Return whether all of some facts are so; set operations of a plain set would not be noted."""
    return all(fact in state for fact in wanted)


def names(state: State, what: str) -> list[str]:
    """Return what a kind of fact is true of, sorted."""
    return sorted([name for kind, name in _of_kind(state, what) if kind == what])


def open_covers(state: State) -> list[str]:
    """Return the covers that are open, here or since a page before that left them so on every way, sorted."""
    return sorted({*names(state, COVER), *names(state, LEFT_OPEN)})


def has(state: State, what: str) -> bool:
    """Return whether a kind of fact is true of anything."""
    for kind, _ in _of_kind(state, what):  # noqa: SIM110 - `any` costs three times as much, and this is asked most
        if kind == what:
            return True
    return False


def may_run(state: State) -> bool:
    """Return whether the plant may run by its own demand where it can: nobody stopped it, or it was started since."""
    return (IDLE, "") not in state


def count(state: State, what: str, name: str) -> int:
    """Return how often a kind of fact came about: once ``(what, "a")``, the second time ``(what, "a 2")``."""
    return sum(kind == what and each.partition(" ")[0] == name for kind, each in _of_kind(state, what))


def once_more(state: State, what: str, name: str, most: int) -> State:
    """Return the fact that a thing came about once more; beyond the most there may be nobody counts."""
    times = count(state, what, name)
    if times >= most:
        return NOTHING
    return frozenset({(what, f"{name} {times + 1}" if times else name)})


def never(state: State, what: str, name: str) -> State:
    """Return the state in which a thing never came about."""
    facts = [fact for fact in _of_kind(state, what) if fact[0] != what or fact[1].partition(" ")[0] != name]
    return state.but(frozenset(facts)) if isinstance(state, Changing) else frozenset(facts)


def without(state: State, *whats: str) -> State:
    """Return the state without all facts of some kinds."""
    if isinstance(state, Changing):
        state.seen.update((what, "*") for what in whats)
        return state.but(without(state.plain, *whats))
    gone = [fact for fact in state if fact[0] in whats]
    # What is left keeps its hashes.
    return state.difference(gone) if gone else state


def facts(what: str, names_: Iterable[str]) -> State:
    """Return one fact of a kind for each name."""
    return frozenset((what, name) for name in names_)


def perhaps(certain: State) -> State:
    """Return facts as what may be so."""
    return frozenset((PERHAPS + kind, name) for kind, name in certain)


def at_least(state: State) -> State:
    """Return what is so on the plant on which nothing of the perhaps is."""
    return frozenset([fact for fact in state if not fact[0].startswith(PERHAPS)])


def at_most(state: State) -> State:
    """Return what is so on the plant on which all of the perhaps is."""
    return frozenset([(kind.removeprefix(PERHAPS), name) for kind, name in state])


def between(low: State, high: State) -> State:
    """Return the state that stands for both."""
    return low | perhaps(high - low)
