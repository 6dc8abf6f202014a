"""What a step does to the plant: the actions the check follows.

Names in fields are ids of the equipment entry (sources, covers, valves, settings), of devices, or
terminal marks of the circuit, as the schema of procedures says.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from kbgen.model.build import Time, variants


@dataclass(frozen=True, slots=True)
class Identify:
    """Make sure panel, isolator and valve belong to the same plant."""

    identify: str


@dataclass(frozen=True, slots=True)
class Record:
    """Note evidence before it is lost."""

    record: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Isolate:
    """Switch or shut off a source."""

    isolate: str


@dataclass(frozen=True, slots=True)
class Lock:
    """Lock and tag an isolated source."""

    lock: str


@dataclass(frozen=True, slots=True)
class ProveDead:
    """Live, dead, live: prove a source gone."""

    prove_dead: str
    known_source: str = ""
    between: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Unlock:
    """Take the lock off a source."""

    unlock: str


@dataclass(frozen=True, slots=True)
class Restore:
    """Switch a source on again."""

    restore: str


@dataclass(frozen=True, slots=True)
class OpenCover:
    """Open a door or cover."""

    open_cover: str


@dataclass(frozen=True, slots=True)
class CloseCover:
    """Close a door or cover."""

    close_cover: str


@dataclass(frozen=True, slots=True)
class ShutValve:
    """Shut a fuel valve."""

    shut_valve: str


@dataclass(frozen=True, slots=True)
class OpenValve:
    """Open a fuel valve."""

    open_valve: str


@dataclass(frozen=True, slots=True)
class Measure:
    """Take one reading, between two points or across a device."""

    measure: str
    circuit: str = ""
    at: str = ""
    to: str = ""
    across: str = ""
    place: str = ""
    meter: str = "high-impedance"
    leads: str = "held"
    reads: str = ""


@dataclass(frozen=True, slots=True)
class Watch:
    """Watch a reading over a time."""

    watch: str
    circuit: str = ""
    at: str = ""
    to: str = ""
    across: str = ""
    leads: str = "clipped-dead"
    for_: Time | None = None
    reads: str = ""


@dataclass(frozen=True, slots=True)
class Fit:
    """Make a temporary alteration."""

    fit: str
    name: str
    over: str = ""
    from_: str = ""
    to: str = ""
    circuit: str = ""
    at: str = ""


@dataclass(frozen=True, slots=True)
class Undo:
    """Take a temporary alteration out again."""

    undo: str


@dataclass(frozen=True, slots=True)
class Hold:
    """Hold a built-in spring-return test button."""

    hold: str


@dataclass(frozen=True, slots=True)
class ProveTrip:
    """Make a device trip and see the burner stop."""

    prove_trip: str


@dataclass(frozen=True, slots=True)
class CheckReal:
    """The independent check: is the open contact doing its job?"""

    check_real: str


@dataclass(frozen=True, slots=True)
class OpenGasTrain:
    """Break a joint or plug of the gas train."""

    open_gas_train: str


@dataclass(frozen=True, slots=True)
class Cap:
    """Close an opening of the gas train."""

    cap: str


@dataclass(frozen=True, slots=True)
class LeakCheck:
    """Prove the gas train tight."""

    leak_check: str


@dataclass(frozen=True, slots=True)
class Reset:
    """Reset a device or the controller."""

    reset: str


@dataclass(frozen=True, slots=True)
class FindCause:
    """Look for the cause of a trip and mend it."""

    find_cause: str


@dataclass(frozen=True, slots=True)
class Observe:
    """Watch the plant itself."""

    observe: str


@dataclass(frozen=True, slots=True)
class StartDemand:
    """Let the plant start."""

    start_demand: str


@dataclass(frozen=True, slots=True)
class StopDemand:
    """Let the plant stop."""

    stop_demand: str


@dataclass(frozen=True, slots=True)
class Adjust:
    """Change a setting."""

    adjust: str
    from_: str
    to: str


@dataclass(frozen=True, slots=True)
class Inspect:
    """Look at a device or part."""

    inspect: str


@dataclass(frozen=True, slots=True)
class Wait:
    """Let time pass."""

    wait: Time
    for_: str = ""


@dataclass(frozen=True, slots=True)
class Inform:
    """Tell the people concerned."""

    inform: str


@dataclass(frozen=True, slots=True)
class HandOver:
    """Hand the job to a colleague with everything that is still altered."""

    hand_over: str
    next: str = ""
    next_step: str = ""


@dataclass(frozen=True, slots=True)
class End:
    """The procedure ends here."""

    end: str
    next: str = ""


AnyAction = (
    Identify
    | Record
    | Isolate
    | Lock
    | ProveDead
    | Unlock
    | Restore
    | OpenCover
    | CloseCover
    | ShutValve
    | OpenValve
    | Measure
    | Watch
    | Fit
    | Undo
    | Hold
    | ProveTrip
    | CheckReal
    | OpenGasTrain
    | Cap
    | LeakCheck
    | Reset
    | FindCause
    | Observe
    | StartDemand
    | StopDemand
    | Adjust
    | Inspect
    | Wait
    | Inform
    | HandOver
    | End
)
Action = Annotated[AnyAction | None, variants(*AnyAction.__args__)]
