"""What a state of the plant means, and what the terminals and devices of a step stand for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kbgen.compute.circuit.meter import loads_the_loop
from kbgen.compute.walk.described import Described
from kbgen.compute.walk.state import (
    CLIPPED,
    COVER,
    FITTED,
    FULL,
    HANDS,
    LEFT_SHUT,
    LOCKED,
    OFF,
    PROVED,
    SHUT,
    STANDS,
    State,
    facts,
    holds,
    names,
)
from kbgen.compute.walk.strings import devices
from kbgen.model.action import AnyAction, Clip, CloseCover, Fit, Measure, OpenValve, ShutValve, Watch
from kbgen.model.answers import Answer
from kbgen.model.circuit import AnyPart, Point, parts
from kbgen.model.energies import Back
from kbgen.model.equipment import Cover, FuelValve
from kbgen.quantity import Quantity, QuantityError, parse

BRIDGING = frozenset({"jumper", "taped-switch", "simulating-resistor"})
"""Alterations that make a contact look closed."""
WIRED = frozenset({"jumper", "lifted-wire", "simulating-resistor"})
"""Alterations made with hands at the terminals."""
AT_WHAT_TURNS = frozenset({"unplugged-tube", "damper-in-hand", "hand-drive", "prop", "belt-off"})
"""Alterations made with hands at a fan, its dampers, tubes and belts."""
SIGNALS = frozenset({"muted-alarm"})
"""Alterations of what only tells people: no flame needs it, and no cycle shows that it is out again."""
EVIDENCE = ("display", "first-out", "history", "resets", "gauges", "readings", "settings", "state")
ELECTRIC = frozenset({"volts", "amps", "microamps"})
DEAD = frozenset({"ohms", "insulation"})
LET_BY = 60.0
"""Seconds for which a shut cock is watched at least before it counts as tight; gas codes ask for minutes."""
_EXTRA_LOW = 50.0
"""Volts under which a reading on a switched-off circuit is a look for what should not be there."""


@dataclass(frozen=True)
class Plant(Described):
    """The plant a procedure is about: what a state means on it, and what its steps name."""

    # What the state means.

    def fuel_shut(self, state: State) -> bool:
        """Return whether no fuel can reach burner and pilot; of several each counts for itself."""
        return all(self._one_shut(state, fuel) for fuel in self.fuel_sources or {""})

    def _one_shut(self, state: State, fuel: str) -> bool:
        if fuel and (OFF, fuel) in state:
            return True
        # Where there are several fuels, a valve that does not say which it stops stops none for sure.
        alone = len(self.fuel_sources) < 2
        shut = {
            valve.stops
            for name, valve in self.valves.items()
            if (SHUT, name) in state and (alone or valve.fuel == fuel)
        }
        if "burner-fuel" not in shut:
            return not shut.isdisjoint({"", "all-fuel"})
        # Behind a shut burner valve the pilot still lights, where it has a valve of its own.
        pilots = [
            name
            for name, valve in self.valves.items()
            if valve.stops == "pilot-fuel" and (alone or valve.fuel == fuel)
        ]
        return not shut.isdisjoint({"", "all-fuel"}) or all((SHUT, name) in state for name in pilots)

    def burner_shut(self, state: State) -> bool:
        """Return whether no fuel can reach the main burner; a pilot may still light."""
        shut = any(
            (SHUT, name) in state and valve.stops != "pilot-fuel" for name, valve in self.valves.items()
        )
        return shut or any((OFF, name) in state for name in self.fuel_sources)

    def fuel_locked(self, state: State) -> bool:
        """Return whether the fuel is shut off and locked; of several each counts for itself."""
        return bool(self.fuel_sources) and all((LOCKED, name) in state for name in self.fuel_sources)

    def locked_cocks(self, state: State) -> list[str]:
        """Return the cocks that are shut under the lock of their fuel; a handle without a lock anybody opens."""
        fuels = {name for name in self.fuel_sources if holds(state, (OFF, name), (LOCKED, name))}
        return [
            name
            for name in names(state, SHUT)
            if self.first_cock(name)
            and ({self.valves[name].fuel} if self.valves[name].fuel else self.fuel_sources) <= fuels
        ]

    def opened_with(self, fuel: str) -> State:
        """Return the cocks that come back with their fuel: an earlier page shut them, and this one never names them."""
        named = {
            action.open_valve if isinstance(action, OpenValve) else action.shut_valve
            for action in (step.action for step in self.procedure.steps)
            if isinstance(action, OpenValve | ShutValve)
        }
        cocks = {
            name for name, valve in self.valves.items() if valve.fuel in ("", fuel) and self.first_cock(name)
        }
        return facts(SHUT, cocks - named)

    def gas_locked(self, state: State) -> bool:
        """Return whether what comes through the gas train is shut off and locked."""
        return bool(self.gas) and all((LOCKED, name) in state for name in self.gas)

    def feeds(self, circuit: str) -> frozenset[str]:
        """Return the sources that feed a circuit, or the control supply when none is named."""
        string = self.circuits.get(circuit)
        source = string.circuit.supply.source if string else ""
        return frozenset({source}) if source in self.sources else self.control

    def off(self, state: State, circuit: str = "") -> bool:
        """Return whether a circuit has no supply; of several supplies each counts for itself."""
        feeds = self.feeds(circuit)
        return bool(feeds) and all((OFF, name) in state for name in feeds)

    def proved(self, state: State, circuit: str = "") -> bool:
        """Return whether everything that feeds a circuit is proved dead, capacitors included."""
        return all((PROVED, name) in state for name in self.at_terminals(circuit))

    def can_fire(self, state: State) -> bool:
        """Return whether the burner may light: fuel there, control supply there."""
        return self.burns and not self.fuel_shut(state) and not self.off(state)

    def first_cock(self, valve: str) -> bool:
        """Return whether a valve is the one that shuts everything off."""
        found = self.valves.get(valve)
        return found is not None and found.stops in ("", "all-fuel")

    def open_in_fire(self) -> State:
        """Return what a flame shows of valves that others may have shut: with one fuel, those it comes through are open."""
        through = (
            name for name, valve in self.valves.items() if valve.stops in ("", "all-fuel", "burner-fuel")
        )
        return facts(LEFT_SHUT, through) if len(self.fuel_sources) < 2 else frozenset()

    def train_shut(self, state: State) -> bool:
        """Return whether the gas train has no gas: the cock before it shut, or the source off."""
        gas = self.gas
        valves = {name: valve for name, valve in self.valves.items() if not valve.fuel or valve.fuel in gas}
        cocks = [name for name, valve in valves.items() if valve.stops in ("", "all-fuel")]
        shut = any((SHUT, name) in state for name in cocks or valves)
        return shut or any((OFF, name) in state for name in gas)

    def unheld(self, state: State, source: str) -> list[str]:
        """Return what a source lacks before a proof counts: ``switched off``, ``locked`` where it can be.

        What has no lock of its own is held by the lock on what brings it back.
        """
        about = self.sources.get(source)
        if about is None or about.lockable:
            lacking = [] if (OFF, source) in state else ["switched off"]
            return lacking if (LOCKED, source) in state else [*lacking, "locked"]
        if about.kind.back is Back.FIRE:
            return ["kept from fire (fuel or control supply off)"] if self.can_fire(state) else []
        if about.kind.back is Back.SUPPLY:
            loose = [name for name in sorted(self.electric) if not holds(state, (OFF, name), (LOCKED, name))]
            return [f"kept from coming back ({self.sources[loose[0]].title} off and locked)"] if loose else []
        return []

    def locked_movers(self, state: State) -> list[str]:
        """Return the supplies of what can start to move that are off and locked; where none says that it drives, all."""
        supplies = {name for name, source in self.sources.items() if source.electric and source.moves}
        if not supplies and any(source.moves for source in self.sources.values()):
            supplies = set(self.electric)
        return [name for name in sorted(supplies) if holds(state, (OFF, name), (LOCKED, name))]

    def charged(self) -> frozenset[str]:
        """Return the capacitors of the plant: terminals are dead once their charge is proved gone too."""
        return frozenset(name for name, source in self.sources.items() if source.energy == "charge")

    def at_terminals(self, circuit: str) -> frozenset[str]:
        """Return what must be proved gone before hands go to the terminals of a circuit."""
        return self.feeds(circuit) | self.charged()

    def leaves_by_itself(self, source: str) -> bool:
        """Return whether a source has no lock and is not switched on again: what brings it back is."""
        about = self.sources[source]
        return not about.lockable and about.energy not in ("water", "pressure")

    def behind_valves(self, point: str) -> bool:
        """Return whether gas stands at a point of the train only while the burner fires."""
        return self.section(point) in ("between-valves", "burner-side")

    def hands_behind(self, cover: str) -> State:
        """Return the zones that nobody reaches into any more once a cover is closed."""
        zones = [name for name in self.zones if self.stands_before(cover, name)]
        return facts(HANDS, zones) | facts(STANDS, zones)

    def bares(self, cover: str) -> bool:
        """Return whether something that can hurt lies behind a cover; behind a panel door that is read live too, no more."""
        about = self.covers.get(cover)
        before = any(cover in zone.behind for zone in self.zones.values())
        return before or (about is not None and bool(about.reached_by))

    def behind_which(self, source: str) -> frozenset[str]:
        """Return the covers behind which a source comes in: where it is proved, or where its circuits begin."""
        found = {self.sources[source].behind}
        for string in self.circuits.values() if found == {""} else ():
            if string.circuit.supply.source == source:
                points = (part.cover for part in parts(string.circuit.path) if isinstance(part, Point))
                found |= {next(points, "")}
        return frozenset(found - {""})

    def reaches_behind(self, source: str, cover: str) -> bool:
        """Return whether a source is said to reach what lies behind a cover: the cover itself, or a zone of it."""
        about = self.covers.get(cover)
        return (about is not None and source in about.reached_by) or any(
            source in zone.reached_by and cover in zone.behind for zone in self.zones.values()
        )

    def bares_live(self, cover: str) -> bool:
        """Return whether electricity of the plant comes in behind a cover, or is said to reach there."""
        return any(
            cover in self.behind_which(name) or self.reaches_behind(name, cover) for name in self.electric
        )

    def reads_live(self, index: int, cover: str) -> bool:
        """Return whether a live reading comes after a step before a cover is closed."""
        seen, waiting = {index}, [index]
        while waiting:
            for edge in self.graph.edges[waiting.pop()]:
                action = self.procedure.steps[edge.target].action
                if isinstance(action, Measure | Watch) and _quantity(action) in ELECTRIC:
                    return True
                if edge.target not in seen and not (
                    isinstance(action, CloseCover) and action.close_cover == cover
                ):
                    seen.add(edge.target)
                    waiting.append(edge.target)
        return False

    def stands_before(self, cover: str, zone: str) -> bool:
        """Return whether a zone lies behind a cover; one that names none lies behind those at its place.

        A zone that nobody knows may lie behind any.
        """
        about, place = self.zones.get(zone), self.covers[cover].place if cover in self.covers else ""
        if about is None:
            return True
        return cover in about.behind if about.behind else about.place == place

    def action_at(self, where: str) -> AnyAction | None:
        """Return what the step of a fact does: ``5`` of this procedure, ``other-page#5`` of another."""
        page, _, number = where.rpartition("#")
        procedure = self.base.procedure(page) if page else self.procedure
        return procedure.steps[int(number)].action if procedure else None

    def fitted(self, state: State) -> list[tuple[str, Fit]]:
        """Return the alterations that are in, with the steps that fit them."""
        found = ((where, self.action_at(where)) for where in names(state, FITTED))
        return [(where, fit) for where, fit in found if isinstance(fit, Fit)]

    def clipped(self, state: State) -> list[tuple[str, Clip]]:
        """Return the leads that are clipped on, with the steps that clip them."""
        found = ((where, self.action_at(where)) for where in names(state, CLIPPED))
        return [(where, clip) for where, clip in found if isinstance(clip, Clip)]

    def lie_at(self, clip: Clip, action: Measure | Watch) -> bool:
        """Return whether clipped leads are those of a reading: at its terminals, or on both sides of its device."""
        here = {action.at, action.to} - {""}
        if here:
            return here <= {clip.at, clip.to}
        between = self.spanned(clip)
        return between is not None and devices(between) == {action.across}

    def bridges(self, state: State) -> list[tuple[str, Fit]]:
        """Return the alterations that are in and make a contact look closed."""
        return [(where, fit) for where, fit in self.fitted(state) if fit.fit in BRIDGING]

    def can_run(self, state: State) -> bool:
        """Return whether the plant can go through a cycle; where nothing is known of its fuel, with supply on."""
        return not self.off(state) and not (self.burns and self.fuel_shut(state))

    # What a step names.

    def section(self, point: str) -> str:
        """Return the stretch of the fuel train that a point lies in; empty where the train is not divided."""
        found = self.fuel_points.get(point)
        return found.section if found else ""

    def opened_point(self, action: Fit) -> str:
        """Return the point of the fuel train that an alteration opens, by its own name where none is said."""
        return action.point or action.name

    def circuit_of(self, action: Measure | Watch | Fit | Clip) -> str:
        """Return the circuit a step is about; one that has all its terminals where none is named."""
        named = action.circuit or self.procedure.circuit
        marks = [mark for mark in _marks(action) if mark]
        device = _device(action)
        if named in self.circuits and (not action.circuit and marks):
            # A step may leave the procedure's circuit for another that shares terminals with it.
            string = self.circuits[named]
            if any(string.point(mark) is None for mark in marks):
                named = ""
        if named:
            return named
        for name, string in self.circuits.items():
            if marks and all(string.point(mark) for mark in marks):
                return name
            if not marks and device and string.has(device):
                return name
        return ""

    def spanned(self, action: Measure | Watch | Fit | Clip) -> tuple[AnyPart, ...] | None:
        """Return the parts between a step's two terminals; ``None`` when it does not name two known ones."""
        one, other = _marks(action)
        string = self.circuits.get(self.circuit_of(action))
        return string.between(one, other) if string and one and other else None

    def bridged(self, action: Fit) -> frozenset[str]:
        """Return the devices that a jumper bridges, whatever its text names."""
        parts = self.spanned(action)
        named = frozenset({action.over}) if action.over else frozenset()
        return named | (devices(parts) if parts is not None else frozenset())

    def cover_of(self, action: Measure | Watch | Clip) -> Iterator[Cover]:
        """Yield the covers that a step's terminals lie behind."""
        string = self.circuits.get(self.circuit_of(action))
        for mark in _marks(action):
            point = string.point(mark) if string and mark else None
            if point and point.cover in self.covers:
                yield self.covers[point.cover]

    def opens_gas(self, action: Fit) -> bool:
        """Return whether an alteration opens a test point of the gas train."""
        if action.fit != "open-test-point" or not self.burns:
            return False
        if action.point:
            return True
        device = self.device(action.over) if action.over else None
        return device is None or device.guards == "gas-pressure"

    @property
    def runs_on(self) -> bool:
        """Return whether something runs on after the fire and carries its heat away."""
        return any(source.runs_on is not None for source in self.sources.values())

    def ran_on(self, time: Quantity) -> bool:
        """Return whether a wait is as long as everything runs on, of a range the longer end."""
        return all(source.runs_on is None or time.lo >= source.runs_on.hi for source in self.sources.values())

    def upstream(self, action: Measure | Watch) -> tuple[AnyPart, ...]:
        """Return the parts between the supply and a step's terminal or device."""
        string = self.circuits.get(self.circuit_of(action))
        if string is None:
            return ()
        return (string.before_device(action.across) or ()) if action.across else string.before(action.at)

    def read_full_before(self, state: State, action: Measure | Watch) -> bool:
        """Return whether a terminal on the way from the supply to this one was read full to its return."""
        before = {part.point for part in self.upstream(action) if isinstance(part, Point)}
        return any(
            mark in before and return_ == action.to
            for mark, return_ in (name.split(" ", 1) for name in names(state, FULL))
        )

    def readings_behind(self, state: State, kind: str, action: Measure | Watch) -> State:
        """Return the readings of a kind, to the same return, at terminals behind this one."""
        found = set()
        for circuit in self.circuits.values():
            for name in names(state, kind):
                mark, return_ = name.split(" ", 1)
                before = {part.point for part in circuit.before(mark) if isinstance(part, Point)}
                if return_ == action.to and action.at in before:
                    found.add((kind, name))
        return frozenset(found)

    def unsettled(self, action: Measure | Watch, answer: Answer) -> bool:
        """Return whether a middle reading decides nothing yet: high impedance where low tells more, or doubt."""
        if not isinstance(action, Measure):
            return False
        string = self.circuits.get(self.circuit_of(action))
        taken = string is not None and loads_the_loop(string.circuit.supply.current, string.circuit.path)
        return answer.doubt or not (taken or action.meter == "low-impedance")

    def opened_by(self, state: State) -> Iterator[tuple[str, str]]:
        """Yield the open covers and shut valves that open a contact of a circuit, with the first such device."""
        wired = frozenset[str]().union(
            *(devices(parts(each.circuit.path)) for each in self.circuits.values())
        )
        watched: list[Cover | FuelValve] = [
            self.covers[name] for name in names(state, COVER) if name in self.covers
        ]
        watched += [self.valves[name] for name in names(state, SHUT) if name in self.valves]
        for each in watched:
            for device in sorted(wired & set(each.opens))[:1]:
                yield each.title, device


def _device(action: Measure | Watch | Fit | Clip) -> str:
    match action:
        case Fit():
            return action.over
        case Clip():
            return ""
    return action.across


def _quantity(action: Measure | Watch) -> str:
    return action.measure if isinstance(action, Measure) else action.watch


def _marks(action: Measure | Watch | Fit | Clip) -> tuple[str, str]:
    return (action.from_ if isinstance(action, Fit) else action.at), action.to


def expects_nothing(reads: str) -> bool:
    """Return whether a reading is a look for what should not be there."""
    try:
        expected = parse(reads, "voltage")
    except QuantityError:
        return False
    return expected.lo <= 0 and expected.hi <= _EXTRA_LOW
