"""A family of plant: sizes, sources to isolate, places, covers, valves, settings and its sequence."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

from kbgen.model.build import Long, Time, Voltage
from kbgen.model.energies import ENERGIES, Energy
from kbgen.model.handling import (
    AS_USUAL,
    NOBODY_TOLD,
    NOT_SAID,
    OPENED_AS_USUAL,
    TURNED_AS_USUAL,
    Arrival,
    CoverWords,
    Deed,
    Ending,
    Firing,
    OwnRoutine,
    SourceWords,
    Telling,
    TrainTests,
    ValveWords,
)
from kbgen.model.head import Head
from kbgen.model.proof import Proof
from kbgen.position import Route


@dataclass(frozen=True, slots=True)
class Variant:
    """A size of the family, or an option that only some plant of it has."""

    id: str
    title: str
    note: str = ""
    route: Route = ()


@dataclass(frozen=True, slots=True)
class Source:
    """An energy source to isolate before work.

    Attributes:
        off_after: Sources that are off before this one is: water that is shut into a hot coil boils.
        runs_on: How long it stays on after the fire is out, and carries the heat away.
        handle: What is turned or switched, as a sentence names it.
        also_dead: Points behind its conductors that are proved dead beside them.
        behind: Id of the cover behind which it is proved.
        wait: How long it takes to go after it is off, as typed.
        wait_for: What is waited for.
        words: The words for handling it, where the usual ones do not fit.
        cautions: Cautions that come with handling it.
    """

    id: str
    title: str
    energy: str
    isolate: str
    lock: str = ""
    prove: str = ""
    sizes: tuple[str, ...] = ()
    voltage: Voltage | None = None
    phases: int = 1
    conductors: tuple[str, ...] = ()
    needed_to_fire: bool = False
    off_after: tuple[str, ...] = ()
    runs_on: Time | None = None
    handle: str = ""
    also_dead: tuple[str, ...] = ()
    behind: str = ""
    wait: str = ""
    wait_for: str = ""
    words: SourceWords = AS_USUAL
    cautions: tuple[str, ...] = ()
    route: Route = ()

    @property
    def kind(self) -> Energy:
        """Its row in the table of energies."""
        return ENERGIES[self.energy]

    @property
    def electric(self) -> bool:
        """Whether it is electricity, this plant's own or fed from elsewhere."""
        return self.kind.dead

    @property
    def lockable(self) -> bool:
        """Whether it has a lock of its own: electricity and fuel always, the others where the entry says how."""
        return self.electric or self.energy == "fuel" or bool(self.lock)

    @property
    def moves(self) -> bool:
        """Whether a part moves by it; three phases feed a motor."""
        return self.kind.moves or self.phases == 3

    @property
    def pairs(self) -> tuple[tuple[str, str], ...]:
        """What a proof measures: every conductor to every other, and each to earth."""
        return (*combinations(self.conductors, 2), *((mark, "earth") for mark in self.conductors))


@dataclass(frozen=True, slots=True)
class PlaceOnPlant:
    """Somewhere one has to go."""

    id: str
    title: str
    travel: Time | None = None
    needs: str = ""
    route: Route = ()


@dataclass(frozen=True, slots=True)
class Cover:
    """A door or cover, the devices whose contact opens with it, and the sources that must be gone first."""

    id: str
    title: str
    place: str
    minutes: Time | None = None
    opens: tuple[str, ...] = ()
    reached_by: tuple[str, ...] = ()
    words: CoverWords = OPENED_AS_USUAL
    cautions: tuple[str, ...] = ()
    route: Route = ()


@dataclass(frozen=True, slots=True)
class FuelValve:
    """A named fuel valve, the fuel it stops, and the devices whose contact opens when it is shut."""

    id: str
    title: str
    place: str = ""
    stops: str = ""
    fuel: str = ""
    opens: tuple[str, ...] = ()
    note: str = ""
    handle: str = ""
    words: ValveWords = TURNED_AS_USUAL
    cautions: tuple[str, ...] = ()
    route: Route = ()


@dataclass(frozen=True, slots=True)
class FuelPoint:
    """A joint, plug, test point or gauge of the fuel train, and the stretch between two valves it lies in."""

    id: str
    title: str
    place: str = ""
    section: str = ""
    route: Route = ()


@dataclass(frozen=True, slots=True)
class Zone:
    """Where hands or head go in, the sources that reach there, what stays live beside it, and the covers before it.

    Without any, all sources of the plant reach there.
    """

    id: str
    title: str
    place: str = ""
    reached_by: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()
    behind: tuple[str, ...] = ()
    route: Route = ()


_SIGNS = ("±", "+", "-", "−")


@dataclass(frozen=True, slots=True)
class Setting:
    """What the plant is set to."""

    title: str
    value: str
    id: str = ""
    device: str = ""
    sizes: tuple[str, ...] = ()
    quantity: str = "other"
    tolerance: str = ""
    changed_by: str = ""
    note: str = ""
    trips_on: str = ""
    route: Route = ()

    @property
    def with_tolerance(self) -> str:
        """What the entry says it is set to; a tolerance in words is set apart from the value."""
        between = " " if self.tolerance.startswith(_SIGNS) else ", "
        return between.join(filter(None, (self.value, self.tolerance)))


@dataclass(frozen=True, slots=True)
class Display:
    """Something the panel can show."""

    shows: str
    means: str
    form: str = "words"
    normal: bool = False
    route: Route = ()


@dataclass(frozen=True, slots=True)
class Memory:
    """What remembers a fault, and what erases it."""

    id: str
    what: str
    kept: str
    erased_by: str = ""
    power_resets: bool = False
    device: str = ""
    press: Deed | None = None
    route: Route = ()

    @property
    def resets(self) -> str:
        """What pressing it resets, as a step names it: the device it belongs to, else itself."""
        return self.device or self.id


@dataclass(frozen=True, slots=True)
class Passing:
    """A display that is normal in its stage and passes by itself."""

    shows: str
    lasts: Time
    why: str
    how_often: str = ""
    route: Route = ()


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage of a run."""

    id: str
    title: str
    means: str = ""
    lasts: Time | None = None
    sizes: tuple[str, ...] = ()
    firing: bool = False
    displays: tuple[str, ...] = ()
    strings_made: tuple[str, ...] = ()
    made: tuple[str, ...] = ()
    open: tuple[str, ...] = ()
    ignored: tuple[str, ...] = ()
    passes: tuple[Passing, ...] = ()
    route: Route = ()


@dataclass(frozen=True, slots=True)
class Equipment:
    """A family of plant the shop services; ``region`` says in whose words its pages speak."""

    head: Head
    region: str = ""
    means: Long = ()
    sizes: tuple[Variant, ...] = ()
    options: tuple[Variant, ...] = ()
    sources: tuple[Source, ...] = ()
    places: tuple[PlaceOnPlant, ...] = ()
    covers: tuple[Cover, ...] = ()
    fuel_valves: tuple[FuelValve, ...] = ()
    fuel_points: tuple[FuelPoint, ...] = ()
    zones: tuple[Zone, ...] = ()
    settings: tuple[Setting, ...] = ()
    proofs: tuple[Proof, ...] = ()
    displays: tuple[Display, ...] = ()
    memory: tuple[Memory, ...] = ()
    sequence: tuple[Stage, ...] = ()
    also_stops: tuple[str, ...] = ()
    arrive: tuple[Arrival, ...] = ()
    off_order: tuple[str, ...] = ()
    known_source: str = ""
    leak_check: Deed | None = None
    train_tests: TrainTests | None = None
    firing: Firing = NOT_SAID
    telling: Telling = NOBODY_TOLD
    endings: tuple[Ending, ...] = ()
    routines: tuple[OwnRoutine, ...] = ()
