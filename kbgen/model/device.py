"""An interlock device."""

from __future__ import annotations

from dataclasses import dataclass

from kbgen.model.build import Long, Time
from kbgen.model.handling import Deed
from kbgen.model.head import Head
from kbgen.model.proof import Proof
from kbgen.position import Route


@dataclass(frozen=True, slots=True)
class MayJump:
    """The one purpose a temporary jumper over the device is permitted for."""

    reason: str


@dataclass(frozen=True, slots=True)
class DeviceContact:
    """One contact of a device that has several."""

    id: str
    made_when: str
    title: str = ""
    made_energised: bool = True
    route: Route = ()


@dataclass(frozen=True, slots=True)
class SensorPair:
    """A quantity and the reading that belongs to it, both as typed."""

    at: str
    is_: str
    route: Route = ()


@dataclass(frozen=True, slots=True)
class Sensor:
    """What a sensor reads, and how far two of them may differ."""

    reads: tuple[SensorPair, ...] = ()
    permitted_difference: str = ""


@dataclass(frozen=True, slots=True)
class IndependentCheck:
    """How a real trip is told from a false one without the device itself."""

    with_: str
    do: Long
    real: str
    false: str
    real_in_short: str = ""
    false_in_short: str = ""


@dataclass(frozen=True, slots=True)
class Cause:
    """Why it opens, or sticks."""

    cause: str
    look_for: str
    own_job: bool = False
    appears: tuple[str, ...] = ()
    remedy: str = ""
    route: Route = ()


_NEVER_JUMPED = frozenset(
    {"water-level", "steam-pressure", "gas-pressure", "combustion-air", "air-flow", "valve-closure", "flame"}
)
"""What a device guards when a jumper over it may kill."""


_MADE_BY_RUNNING = frozenset(
    {
        "air-flow",
        "combustion-air",
        "damper",
        "demand",
        "firing-position",
        "motion",
        "motor",
        "ventilation",
        "water-flow",
    }
)
"""What a device guards when only running plant makes its contact."""


@dataclass(frozen=True, slots=True)
class Device:
    """A contact, sensor, relay, timer, fuse or switch."""

    head: Head
    mark: str = ""
    equipment: tuple[str, ...] = ()
    sizes: tuple[str, ...] = ()
    place: str = ""
    reached_by: tuple[str, ...] = ()
    type: str = "contact"
    guards: str = ""
    role: str = ""
    proves: Long = ()
    opens_when: str = ""
    found_open: str = ""
    reset: str = ""
    remembers: str = ""
    dead_state: str = "unknown"
    needs_power: bool = False
    low_impedance: bool = False
    may_jump: MayJump | None = None
    never_because: str = ""
    delay: Time | None = None
    hold_at_most: Time | None = None
    latching: bool = False
    contacts: tuple[DeviceContact, ...] = ()
    sensor: Sensor | None = None
    independent_check: IndependentCheck | None = None
    opening_causes: tuple[Cause, ...] = ()
    sticking_causes: tuple[Cause, ...] = ()
    tested_by: tuple[str, ...] = ()
    proofs: tuple[Proof, ...] = ()
    trip: Deed | None = None
    reset_by: str = ""
    backs_up: str = ""
    part: str = ""
    weight: float = 1

    def open_at_rest(self, which: str = "") -> bool:
        """Return whether a contact is open as long as the plant stands: a fan, a flow or a drive makes it."""
        resting = any(each.id == which and not each.made_energised for each in self.contacts)
        return self.dead_state == "open" and self.guards in _MADE_BY_RUNNING and not resting

    @property
    def never_jumped(self) -> bool:
        """Whether no reason in the world permits a jumper over it."""
        operating = self.guards == "steam-pressure" and self.role == "operating"
        return (
            (self.guards in _NEVER_JUMPED and not operating)
            or self.type == "fuse"
            or self.reset == "one-shot"
        )
