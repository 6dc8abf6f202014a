"""Letting the burner light, and seeing it run."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.walk.finding import Finding, Moment
from kbgen.compute.walk.hazard import ALTERATIONS, LOTO, MAKING_SAFE, RESETS, RETURN
from kbgen.compute.walk.in_service import real
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.state import (
    COVER,
    DEMAND,
    EVERYBODY,
    FAILED,
    FLAME,
    HANDS,
    INFORMED,
    LOCKED,
    OFF,
    SHORT,
    SHUT,
    STANDS,
    UNPURGED,
    UNSEEN,
    WARNED,
    WITHOUT_FIRE,
    State,
    facts,
    has,
    holds,
    may_run,
    names,
)
from kbgen.model import action as act
from kbgen.model.equipment import FuelValve, Source

TRIP_PROVED_OFF = ALTERATIONS.hazard(
    "trip-proved-off",
    "With the supply off nothing runs, and nothing can be seen to stop.",
    "- do: Switch Q2 off.\n  isolate: control\n- do: Prove it.\n  prove_trip: first-low-water",
    "- do: Prove it.\n  prove_trip: first-low-water",
    rests_on="The state of the supplies at `prove_trip`.",
)
CANNOT_FIRE = RESETS.on(RETURN).hazard(
    "cannot-fire",
    "What is said to be seen cannot happen: supply or fuel is off on this way.",
    "- do: Shut the cock.\n  shut_valve: burner-cock\n- do: See a full cycle.\n  observe: full-cycle",
    "- do: Open the cock.\n  open_valve: burner-cock\n- do: See a full cycle.\n  observe: full-cycle",
    rests_on="`needed_to_fire` of the sources and `stops` of the valves, and their state on every way.",
)


MOVES_WITH_HANDS_IN = MAKING_SAFE.on(LOTO).hazard(
    "moves-with-hands-in",
    "Somebody kneels at the belt, and the supply that turns it comes back.",
    "- do: Lay the belt on.\n  work_in: fan-housing\n- do: Switch on.\n  restore: fan",
    "- do: Lay the belt on.\n  work_in: fan-housing\n- do: Shut the door.\n  close_cover: fan-door\n"
    "- do: Switch on.\n  restore: fan",
    rests_on="`work_in` of the zones and the covers in front of them, when a source comes back or a start is tried; also "
    "those of whoever handed the job over (`hand_over`) with the cover open.",
)


TRIP_WITHOUT_FLAME = ALTERATIONS.on(RETURN).hazard(
    "trip-without-flame",
    "The burner stood still already; what was called a trip stopped nothing.",
    "- do: Start.\n  start_demand: Burner on\n- do: Lower the water.\n  prove_trip: first-low-water",
    "- do: Start.\n  start_demand: Burner on\n- do: See the purge.\n  observe: purge\n"
    "- do: See the flame.\n  observe: firing\n- do: Lower the water.\n  prove_trip: first-low-water",
    rests_on="`observe: firing` since the last start and the last trip, where fuel and supply are on; `guards` of the device.",
)
TRIP_PROVED_BY_ANOTHER = ALTERATIONS.hazard(
    "trip-proved-by-another",
    "The door stops the burner, and the vane that hangs is called proved.",
    "- do: Open the door.\n  open_cover: unit-door\n- do: See it stop.\n  prove_trip: air-vane",
    "- do: Shut the air off.\n  prove_trip: air-vane",
    rests_on="Covers, valves and alterations that hold another contact of the string open at `prove_trip`.",
)
FLUE_GAS_WITHOUT_FIRE = RESETS.hazard(
    "flue-gas-without-fire",
    "In the purge the analyser reads clean air, and a burner that makes carbon monoxide goes into service.",
    "- do: Read it in the purge.\n  measure: flue-gas\n- do: See the flame.\n  observe: firing",
    "- do: See the flame.\n  observe: firing\n- do: Read it.\n  measure: flue-gas",
    rests_on="What was seen to fire before the analyser is read.",
)


_STOPS_A_FLAME = ("water-level", "gas-pressure", "combustion-air", "air-flow", "water-flow", "water-pressure")
"""What a device guards that is believed only once it was seen to put a flame out, where one can burn."""
_TRIPS_BY_FIRE = frozenset({"temperature", "steam-pressure"})
"""What a device guards that trips only once it burned a while: who sees it trip saw a flame."""
_LIT_FOR = frozenset({"valve-closure", "flame"})
"""What a device guards that trips only once the control has tried to light."""


def _started(moment: Moment) -> Iterator[Finding]:
    """Yield a start before somebody's hands, whatever is thought to be locked.

    A start is tried on locked plant: there it will do that everybody was told to stand clear since the hands were in.
    """
    plant, state = moment.plant, moment.state
    tried = isinstance(moment.step.action, act.TryStart)
    for name in _at_work(state) if not (tried and (EVERYBODY, "") in state) else ():
        opened = _open_before(moment, name)
        if opened:
            yield MOVES_WITH_HANDS_IN.finding(
                (moment.index, name),
                moment.field,
                f"a start is tried while {plant.covers[opened[0]].title} is open before {_zone(plant, name)}",
                "Look that nobody stands there, and tell everybody at the plant to stand clear (`inform: Everybody at the "
                "plant`) after the last hands were in."
                if tried
                else f"Close it first (`close_cover: {opened[0]}`), and tell everybody to stand clear.",
                clears=frozenset({(HANDS, name), (STANDS, name)}),
            )


def _at_work(state: State) -> list[str]:
    """Return the zones that somebody may stand at: hands on this page, or of whoever handed it over."""
    return sorted({*names(state, HANDS), *names(state, STANDS)})


def _open_before(moment: Moment, zone: str) -> list[str]:
    """Return the covers before a zone that are open, by the page before too, or one of which whoever handed over left open."""
    plant, state = moment.plant, moment.state
    opened = [*names(state, COVER), *names(state, UNSEEN)]
    covers = list(plant.covers) if (STANDS, zone) in state else opened
    return [cover for cover in covers if plant.stands_before(cover, zone)]


def _zone(plant: Plant, name: str) -> str:
    return plant.zones[name].title if name in plant.zones else name


def _hands(moment: Moment, source: str) -> Iterator[Finding]:
    plant, state = moment.plant, moment.state
    for name in _at_work(state):
        zone = plant.zones.get(name)
        opened = _open_before(moment, name)
        # A zone that nobody knows may be reached by everything.
        beside = zone.beside if zone else ()
        reached = (zone.reached_by if zone else ()) or tuple(
            each for each in plant.sources if each not in beside
        )
        told = holds(state, (INFORMED, "")) or holds(state, (WARNED, ""))
        if told and _only_unblocked(moment, source, reached):
            continue
        if source in reached and (opened or not told):
            title = plant.sources[source].title
            yield MOVES_WITH_HANDS_IN.finding(
                (moment.index, name),
                "restore",
                f"{title} comes back while {plant.covers[opened[0]].title} is open before {_zone(plant, name)}"
                if opened
                else f"{title} comes back and nobody was told since hands went into {_zone(plant, name)}",
                f"Close it first (`close_cover: {opened[0]}`), and see that nobody is there."
                if opened
                else "Put a step with `inform:` after the work: everybody is out and clear, and knows what comes on.",
                clears=frozenset({(HANDS, name), (STANDS, name)}),
            )


def _only_unblocked(moment: Moment, source: str, reached: tuple[str, ...]) -> bool:
    """Return whether a wheel is freed that nothing drives: its wedge sits behind the very cover.

    A spring or a held load moves at once; for them this never holds.
    """
    plant, state = moment.plant, moment.state
    drives = [name for name in reached if name in plant.sources and plant.sources[name].electric]
    return (
        source in plant.sources
        and plant.sources[source].energy == "motion"
        and bool(drives)
        and all((OFF, name) in state and (LOCKED, name) in state for name in drives)
    )


def findings(moment: Moment) -> Iterator[Finding]:
    """Yield what is wrong with a step that fires, or says it saw the burner fire or stop."""
    plant, state = moment.plant, moment.state
    match moment.step.action:
        case act.Observe(observe="firing" | "full-cycle" as what):
            yield from _failed(moment, "")
            yield from _short_of_air(moment)
            if plant.burns and not plant.can_fire(state):
                why = "its fuel is shut" if plant.fuel_shut(state) else "its supply is off"
                yield CANNOT_FIRE.finding(
                    moment.index,
                    "observe",
                    f"the burner cannot be seen firing while {why}",
                    "Bring fuel and supply back first, in the order of the release.",
                    clears=facts(SHUT, plant.valves) | facts(OFF, plant.sources),
                )
            for title, device in plant.opened_by(state) if plant.can_fire(state) else ():
                yield CANNOT_FIRE.finding(
                    (moment.index, device),
                    "observe",
                    f"the burner cannot be seen firing while {title} opens {plant.title(device)}",
                    "Close it first; only a jumper or a taped switch would let it run now.",
                )
            if what == "firing" and has(state, UNPURGED):
                yield _unpurged(moment, "observe")
        case act.TryStart():
            yield from _started(moment)
        case act.StartDemand():
            yield from _started(moment)
            yield from _failed(moment, "")
            yield from _short_of_air(moment)
            yield from real(moment, "start_demand") if plant.can_fire(state) else ()
        case act.ProveTrip(prove_trip=name) if not plant.off(state):
            yield from _failed(moment, name)
            about = plant.device(name)
            if (
                plant.can_fire(state)
                and has(state, UNPURGED)
                and about
                and about.guards in _TRIPS_BY_FIRE | _LIT_FOR
            ):
                yield _unpurged(moment, "prove_trip")
            elif (
                plant.can_fire(state)
                and (FLAME, "") not in state
                and about
                and about.guards in _STOPS_A_FLAME
            ):
                yield TRIP_WITHOUT_FLAME.finding(
                    moment.index,
                    "prove_trip",
                    f"{plant.title(name)} is proved to stop a burner that nobody saw firing since it was started, or since the last trip",
                    "Put a step with `observe: firing` before it.",
                    grants=frozenset({(FLAME, "")}),
                )
            for title, device in plant.opened_by(state):
                if device != name:
                    yield TRIP_PROVED_BY_ANOTHER.finding(
                        (moment.index, device),
                        "prove_trip",
                        f"{plant.title(name)} is proved to trip while {title} opens {plant.title(device)}",
                        f"Close {title} first; then what stops the burner is the device that is proved.",
                    )
            yield from _starved(moment, name)
        case act.Measure(measure="flue-gas" | "gas-rate" as what) if plant.burns and (FLAME, "") not in state:
            yield FLUE_GAS_WITHOUT_FIRE.finding(
                moment.index,
                "measure",
                f"the {what.replace('-', ' ')} is read and nobody saw the burner fire since it was started",
                "See the burner fire first (`observe: firing`).",
            )
        case act.OpenValve(open_valve=name):
            if name in plant.valves:
                yield from _onto_flame(moment, "open_valve", plant.valves[name], [plant.valves[name]])
        case act.Restore(restore=source):
            yield from _hands(moment, source)
            if source in plant.fuel_sources and (OFF, source) in state:
                cocks = [valve for name, valve in plant.valves.items() if plant.first_cock(name)]
                yield from _onto_flame(moment, "restore", plant.sources[source], cocks)
        case act.Watch(watch="flame") if has(state, UNPURGED):
            yield _unpurged(moment, "watch")
        case act.ProveTrip(prove_trip=name) if plant.off(state):
            yield TRIP_PROVED_OFF.finding(
                moment.index,
                "prove_trip",
                f"{plant.title(name)} is proved to trip while the supply is off; nothing can be seen to stop",
                "Prove it with the supply on, by its own quantity.",
            )


FIRES_UNPROTECTED = ALTERATIONS.on(RETURN).hazard(
    "fires-unprotected",
    "The limit was seen not to stop the burner, and the burner goes on firing for the next test.",
    "prove_trip: first-low-water\ntripped: next-trip\nnot-tripped: next-trip",
    "prove_trip: first-low-water\ntripped: next-trip\nnot-tripped: leave-safe",
    rests_on="`not-tripped` of `prove_trip`, and whether that device was replaced, set or its cause found before it fires again.",
)


def _failed(moment: Moment, proving: str) -> Iterator[Finding]:
    """Yield a burner that fires, or is seen firing, behind a device that did not stop it."""
    for name in names(moment.state, FAILED) if moment.plant.can_fire(moment.state) else ():
        if name != proving:
            yield FIRES_UNPROTECTED.finding(
                name,
                moment.field,
                f"{moment.plant.title(name)} was seen not to stop the burner, and it fires on all the same",
                f"Lead `not-tripped` to stopping and locking it; it fires again once the cause is found and mended "
                f"(`find_cause: {name}`), or the device is replaced or set.",
                clears=frozenset({(FAILED, name)}),
            )


FIRES_SHORT_OF_AIR = RESETS.on(RETURN).hazard(
    "fires-short-of-air",
    "The louver is blocked, the page says to look at it, and the burner is lit all the same: carbon monoxide.",
    "observe: air-supply\nseen: light-it\nnot-seen: light-it",
    "observe: air-supply\nseen: light-it\nnot-seen: leave-safe",
    rests_on="`not-seen` of `observe: air-supply`, until the air supply is seen open before it fires.",
)


def _short_of_air(moment: Moment) -> Iterator[Finding]:
    """Yield a burner that is lit although its air supply was looked at and not found open."""
    if (SHORT, "air-supply") in moment.state and moment.plant.can_fire(moment.state):
        yield FIRES_SHORT_OF_AIR.finding(
            "air-supply",
            moment.field,
            "the air supply was not seen open, and the burner fires all the same",
            "Lead `not-seen` to leaving it safe, or open the air and look again (`observe: air-supply`) before it fires.",
            clears=frozenset({(SHORT, "air-supply")}),
        )


def left_firing(moment: Moment) -> Iterator[Finding]:
    """Yield a burner that goes on by its demand while everybody leaves it, behind a device that did not stop it."""
    plant, state = moment.plant, moment.state
    for name in names(state, FAILED) if plant.can_fire(state) and may_run(state) else ():
        yield FIRES_UNPROTECTED.finding(
            (name, "left"),
            "end",
            f"{plant.title(name)} was seen not to stop the burner, and everybody leaves while it fires on",
            "Lead `not-tripped` to stopping it, shutting its fuel and locking it (`end: left-safe` or `unsafe-left-off`). "
            "Leaving at once is for gas, smoke and alarm.",
        )


def _starved(moment: Moment, name: str) -> Iterator[Finding]:
    """Yield a device that a shut cock makes trip, proved with another cock shut: the flame goes out for want of fuel."""
    plant = moment.plant
    shut = [plant.valves[each] for each in names(moment.state, SHUT) if each in plant.valves]
    own = [valve for valve in plant.valves.values() if name in valve.opens]
    if own and shut and not any(valve in own for valve in shut):
        yield TRIP_PROVED_BY_ANOTHER.finding(
            (moment.index, shut[0].id),
            "prove_trip",
            f"{plant.title(name)} is proved to trip while {shut[0].title} is shut, which does not open it: "
            "the burner stops for want of fuel",
            f"Shut {own[0].title} slowly, which opens it, and leave {shut[0].title} open.",
        )


FUEL_ONTO_FLAME = RESETS.hazard(
    "fuel-onto-flame",
    "Gas that stood behind the shut valve rushes onto the pilot, and the flame meets whoever has the hand at the handle.",
    "- do: Start.\n  start_demand: Burner on\n- do: Watch the pilot.\n  watch: flame\n"
    "- do: Open the firing valve.\n  open_valve: burner-cock",
    "- do: Open the firing valve.\n  open_valve: burner-cock\n- do: Start.\n  start_demand: Burner on",
    rests_on="Whether the burner may run by its own demand, and the control supply, when a fuel valve is opened.",
)


def _onto_flame(
    moment: Moment, field: str, fuel: Source | FuelValve, valves: list[FuelValve]
) -> Iterator[Finding]:
    """Yield a fuel that comes back by hand while the control may be lighting, or has a pilot burning.

    Behind a valve that holds a contact of the string open while it is shut, the control starts anew and purges.
    """
    state = moment.state
    asked = may_run(state) and (DEMAND, "") in state and not moment.plant.off(state)
    asked = asked and (WITHOUT_FIRE, "") not in state
    if asked and not any(valve.opens for valve in valves):
        yield FUEL_ONTO_FLAME.finding(
            moment.index,
            field,
            f"{fuel.title} is opened while the control is on and may be lighting; its gas meets a flame or a hot furnace",
            "Stop the burner first (`stop_demand`), open it, then start the burner: the purge comes before the gas.",
            clears=frozenset({(SHUT, fuel.id), (OFF, fuel.id)}),
        )


FIRING_WITHOUT_PURGE = RESETS.hazard(
    "firing-without-purge",
    "Gas of the last try lights all at once.",
    "- do: Start.\n  start_demand: Burner on\n- do: Watch the flame.\n  observe: firing",
    "- do: Start.\n  start_demand: Burner on\n- do: See the full purge.\n  observe: purge\n"
    "- do: Watch the flame.\n  observe: firing",
    rests_on="`observe: purge` before the flame is seen, on every way with a start.",
)


def _unpurged(moment: Moment, field: str) -> Finding:
    return FIRING_WITHOUT_PURGE.finding(
        moment.index,
        field,
        "the burner fires after a start whose purge nobody saw through",
        "Put a step with `observe: purge` between the start and the flame.",
        clears=frozenset({(UNPURGED, "")}),
    )
