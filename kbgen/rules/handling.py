"""Rules about what the plant's entry says of handling it: every page with a routine rests on that."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.link.base import KnowledgeBase
from kbgen.model.circuit import Circuit, Point, parts, reach, return_mark
from kbgen.model.equipment import Equipment, Source
from kbgen.position import Route, Spot
from kbgen.problems import Problem
from kbgen.rule import Family
from kbgen.rules.material import Check, Material

HANDLING = Family(
    "Handling the plant",
    "Lockout practice: every energy is named, goes off in a safe order, is locked and proved gone, and comes back in reverse.",
    "What the plant's entry says; no rule can see the plant.",
    follows_names=True,
)

OFF_ORDER_INCOMPLETE = HANDLING.error(
    "off-order-incomplete",
    "A source that the order leaves out is left on by every page that makes safe.",
    "off_order: [fan, control]  # and there is a source gas",
    "off_order: [gas, fan, control]",
    safety=True,
)
OFF_ORDER_UNSAFE = HANDLING.error(
    "off-order-unsafe",
    "With the control off first, nothing shuts the fuel in time and the fan no longer clears the furnace.",
    "off_order: [control, fan, gas]",
    "off_order: [gas, fan, control]",
    safety=True,
)
SOURCE_NOT_PROVABLE = HANDLING.error(
    "source-not-provable",
    "A source without its conductors is never proved dead, or on the wrong terminals.",
    "- {id: alarm, title: Alarm feed, energy: foreign-fed, isolate: Alarm panel}",
    "- {id: alarm, title: Alarm feed, energy: foreign-fed, isolate: Alarm panel, conductors: [C7, C8], behind: float-cap}",
    safety=True,
)
SUPPLY_POINT_NOT_PROVED = HANDLING.error(
    "supply-point-not-proved",
    "Its proof reads nothing and the circuit is live: another feed, or a wire on the wrong side of the isolator.",
    "conductors: [X1, N]  # the circuit begins at T19",
    "conductors: [X1, N]\nalso_dead: [T19]",
    safety=True,
)
STORED_ENERGY_STAYS = HANDLING.error(
    "stored-energy-stays",
    "Off and locked is not gone: what is stored stays until it was waited for and seen gone.",
    "- {id: charge, title: Capacitors, energy: charge, isolate: Q2 off}",
    "- {id: charge, title: Capacitors, energy: charge, isolate: Q2 off, wait: 5 min, words: {prove: {do: …, expect: …}}}",
    safety=True,
)
NO_WORDS_FOR_IT = HANDLING.error(
    "no-words-for-it",
    "A routine that has no words for a thing cannot tell anybody what to do with it.",
    "- {id: steam, title: Steam, energy: pressure, isolate: Stop valve}",
    "- {id: steam, title: Steam, energy: pressure, isolate: Stop valve, words: {switch_off: {do: Shut the stop valve.}, …}}",
    safety=True,
)
HANDLE_NO_SWITCH = HANDLING.error(
    "handle-no-switch",
    "`Switch the boiler vent on.` tells nobody whether it is opened or shut.",
    "- {id: heat, title: Heat, energy: heat, isolate: Fire out, handle: boiler vent}",
    "- {id: heat, title: Heat, energy: heat, isolate: Fire out, words: {switch_on: {do: Shut the boiler vent.}}}",
    safety=True,
)
HANDLE_OF_TWO = HANDLING.error(
    "handle-of-two",
    "Two sources by one handle: one of them is not switched off by it.",
    "- {id: fan, handle: Q2, …}\n- {id: control, handle: Q2, …}",
    "- {id: fan, handle: Q1, …}\n- {id: control, handle: Q2, …}",
    safety=True,
)
FUEL_WITHOUT_VALVE = HANDLING.error(
    "fuel-without-valve",
    "A fuel that no valve stops whole is locked off by words alone.",
    "fuel_valves:\n  - {id: burner-cock, title: Burner cock, stops: burner-fuel}",
    "fuel_valves:\n  - {id: plant-cock, title: Plant cock, stops: all-fuel, fuel: gas}",
    safety=True,
)
DOOR_QUESTION_OPEN = HANDLING.error(
    "door-question-open",
    "A question at the door that asks nothing, or a smell of gas that does not lead out, sends people in.",
    "- {id: smell, do: Smell., danger: true, ask: Smell of gas?, good: No, otherwise: stop-here}",
    "- {id: smell, do: Smell., danger: true, ask: Smell of gas?, good: No, otherwise: leave-now}",
    safety=True,
)
ENDING_UNSAFE = HANDLING.error(
    "ending-unsafe",
    "Whoever stops because something is wrong brings nothing back and lets nothing start.",
    "- id: stop-here\n  steps:\n    - {restore: gas, do: …}",
    "- id: stop-here\n  steps:\n    - lock_off: [gas]\n    - {do: Hang the tag., end: left-safe}",
    safety=True,
)
NOBODY_IS_TOLD = HANDLING.error(
    "nobody-is-told",
    "Words that tell people, and nobody who is told, are no telling: the check counts on it and nobody knows.",
    "telling:\n  before_on: {do: Tell them.}",
    "telling:\n  who_on: Everybody at the boiler\n  before_on: {do: Tell them.}",
    safety=True,
)
STOP_IS_START = HANDLING.error(
    "stop-is-start",
    "The same turn of the same switch cannot stop and start the burner.",
    "firing:\n  stop_by: Burner switch to ON\n  start_by: Burner switch to ON",
    "firing:\n  stop_by: Burner switch to OFF\n  start_by: Burner switch to ON",
    safety=True,
)

_ELECTRIC = ("switch_off", "lock", "unlock", "switch_on")
_BRINGS_BACK = ("restore", "unlock", "open_valve", "start_demand", "try_start", "reset", "open_cover")
_ROUTINES_BACK = ("bring_back", "burner_on", "open", "reset_once", "full_cycle", "hunt")
_WAITED_FOR = ("pressure", "heat", "charge")


def _plants(material: Material) -> Iterator[Problem]:
    for entry, plant in material.base.of(Equipment):
        if plant.off_order:
            yield from _order(entry.path, plant)
            yield from _sources(material.base, entry.ref.id, entry.path, plant)
        yield from _valves(entry.path, plant)
        yield from _door(entry.path, plant)
        yield from _endings(entry.path, plant)
        yield from _people(entry.path, plant)


CHECKS: tuple[Check, ...] = (_plants,)


def _order(path: str, plant: Equipment) -> Iterator[Problem]:
    spot = Spot(path, ("off_order",))
    left = [each.id for each in plant.sources if plant.off_order.count(each.id) != 1]
    if left:
        yield OFF_ORDER_INCOMPLETE.at(
            spot,
            f"`off_order` must name every source once, and does not: {', '.join(left)}",
            "Name each once.",
        )
        return
    place = {name: index for index, name in enumerate(plant.off_order)}
    rows = (
        ([each for each in plant.sources if each.energy == "fuel"], [each for each in plant.sources if each.energy != "fuel"]),
        ([each for each in plant.sources if _fan(each)], [each for each in plant.sources if each.energy == "electric" and not _fan(each)]),
    )  # fmt: skip
    for first, after in rows:
        for one in first:
            for other in after:
                if place.get(one.id, -1) > place.get(other.id, len(place)):
                    yield OFF_ORDER_UNSAFE.at(
                        spot,
                        f"{other.title} goes off before {one.title}",
                        f"Put `{one.id}` before `{other.id}`: fuel, then what moves, then the control supply.",
                    )


def _fan(source: Source) -> bool:
    return source.electric and (source.moves or source.needed_to_fire)


def _sources(base: KnowledgeBase, plant_id: str, path: str, plant: Equipment) -> Iterator[Problem]:
    handles: dict[str, Source] = {}
    for source in plant.sources:
        if source.handle and handles.setdefault(source.handle.casefold(), source) is not source:
            other = handles[source.handle.casefold()]
            yield HANDLE_OF_TWO.at(
                Spot(path, (*source.route, "handle")),
                f"{source.title} and {other.title} have one handle: {source.handle}",
                "Write at each what switches it.",
            )
        if source.handle and not source.electric:
            yield HANDLE_NO_SWITCH.at(
                Spot(path, (*source.route, "handle")),
                f"{source.title} is no electricity: it is not switched on and off, so the usual words do not fit",
                "Write `words` with `switch_off`, `lock`, `unlock` and `switch_on` in its place.",
            )
        yield from _spoken(path, source)
        if source.electric:
            yield from _provable(base, plant_id, path, plant, source)
        elif source.energy != "fuel":
            yield from _stored(path, plant, source)


def _spoken(path: str, source: Source) -> Iterator[Problem]:
    needed = [name for name in _ELECTRIC if source.lockable or name not in ("lock", "unlock")]
    if source.energy not in ("electric", "foreign-fed", "fuel") and not source.lockable:
        # Where nobody switches it, nothing of it is said; where somebody does, it comes back too.
        needed = ["switch_on"] if source.words.switch_off else []
    usual = source.electric and bool(source.handle)
    missing = [name for name in needed if getattr(source.words, name) is None and not usual]
    if missing:
        yield NO_WORDS_FOR_IT.at(
            Spot(path, source.route),
            f"nothing says how {source.title} is handled: {', '.join(missing)}",
            ("Write its `handle`, or `words`" if source.electric else "Write `words`")
            + f" with {', '.join(missing)}.",
        )


def _provable(
    base: KnowledgeBase, plant_id: str, path: str, plant: Equipment, source: Source
) -> Iterator[Problem]:
    spot = Spot(path, source.route)
    least = 3 if source.phases == 3 else 2
    if len(set(source.conductors)) < least:
        yield SOURCE_NOT_PROVABLE.at(
            spot,
            f"{source.title} has {len(set(source.conductors))} of {least} conductors, so that nobody can prove it dead",
            "List every conductor, neutral included, under `conductors`, by its mark.",
        )
        return
    if not source.behind:
        yield SOURCE_NOT_PROVABLE.at(
            spot,
            f"nothing says behind which cover {source.title} is proved dead",
            "Write `behind: panel-door`.",
        )
    if not plant.known_source:
        yield SOURCE_NOT_PROVABLE.at(
            Spot(path, ("off_order",)),
            "nothing says what the meter is checked on before and after a proof",
            "Write `known_source: Proving unit` at the top.",
        )
    proved = {*source.conductors, *source.also_dead}
    for entry, circuit in base.of(Circuit, plant=plant_id):
        if circuit.supply.source != source.id:
            continue
        yield from _supply_points(path, source, entry.ref.id, circuit, proved)


def _supply_points(
    path: str, source: Source, name: str, circuit: Circuit, proved: set[str]
) -> Iterator[Problem]:
    first = next((part.point for part in circuit.path if isinstance(part, Point)), "")
    back = return_mark(circuit.path)
    for mark, what in ((first, "begins at"), (back, "returns to")):
        if mark and mark not in proved:
            yield SUPPLY_POINT_NOT_PROVED.at(
                Spot(path, (*source.route, "conductors")),
                f"{name} {what} {mark}, and the proof of {source.title} does not touch it",
                f"Add {mark} to `conductors` or `also_dead`.",
            )
    covers = {point.point: cover for point, (_, cover) in reach(circuit.path).items()}
    for mark in sorted(proved & covers.keys()):
        if covers[mark] and source.behind and covers[mark] != source.behind:
            yield SUPPLY_POINT_NOT_PROVED.at(
                Spot(path, (*source.route, "behind")),
                f"{mark} lies behind {covers[mark]} in {name}, and {source.title} is proved behind {source.behind}",
                "Name the cover behind which its conductors lie.",
            )
    every = {part.point for part in parts(circuit.path) if isinstance(part, Point)}
    if not every & proved:
        yield SUPPLY_POINT_NOT_PROVED.at(
            Spot(path, (*source.route, "conductors")),
            f"no point of {name}, which {source.title} feeds, is among what is proved",
            "Add a point of it to `also_dead`.",
        )


def _stored(path: str, plant: Equipment, source: Source) -> Iterator[Problem]:
    spot = Spot(path, source.route)
    prove = source.words.prove
    if prove is None or not prove.expect:
        yield STORED_ENERGY_STAYS.at(
            spot,
            f"nothing says how {source.title} is seen gone",
            "Write `words: {prove: {do: …, expect: …}}`, where `expect` is what shows it.",
        )
    if source.energy in _WAITED_FOR and not source.wait and not _waits_before(plant, source):
        yield STORED_ENERGY_STAYS.at(
            spot, f"nothing says how long {source.title} takes to go", "Write `wait: 5 min`, with `wait_for`."
        )


def _waits_before(plant: Equipment, source: Source) -> bool:
    """Whether the wait for an energy that is proved before it covers it; a charge is waited for by itself."""
    if source.energy == "charge" or source.id not in plant.off_order:
        return False
    earlier = plant.off_order[: plant.off_order.index(source.id)]
    return any(
        each.wait and each.energy in ("pressure", "heat") for each in plant.sources if each.id in earlier
    )


def _valves(path: str, plant: Equipment) -> Iterator[Problem]:
    if not plant.off_order:
        return
    for source in plant.sources:
        if source.energy == "fuel" and not any(
            each.stops == "all-fuel" and each.fuel == source.id for each in plant.fuel_valves
        ):
            yield FUEL_WITHOUT_VALVE.at(
                Spot(path, source.route),
                f"no fuel valve stops all of {source.title}",
                f"Write `stops: all-fuel` and `fuel: {source.id}` at the valve that does.",
            )
    for valve in plant.fuel_valves:
        if not valve.handle and (valve.words.shut is None or valve.words.open is None):
            yield NO_WORDS_FOR_IT.at(
                Spot(path, valve.route),
                f"nothing says how {valve.title} is turned",
                "Write its `handle`, as it stands in a sentence, or `words` with `shut` and `open`.",
            )


def _door(path: str, plant: Equipment) -> Iterator[Problem]:
    out = {each.id for each in plant.endings if any(step.get("end") == "evacuated" for step in each.steps)}
    for asked in plant.arrive:
        spot = Spot(path, asked.route)
        if bool(asked.ask) == bool(asked.identify):
            message = "asks twice" if asked.ask else "asks nothing"
            yield DOOR_QUESTION_OPEN.at(
                spot, f"`{asked.id}` {message}", "Write `ask` or `identify`, one of them."
            )
        if asked.danger and asked.otherwise not in out:
            yield DOOR_QUESTION_OPEN.at(
                Spot(path, (*asked.route, "otherwise")),
                f"`{asked.id}` says that somebody is in danger, and `{asked.otherwise}` does not lead out",
                "Lead to an ending with `end: evacuated`.",
            )
        if not asked.danger and asked.otherwise in out:
            yield DOOR_QUESTION_OPEN.at(
                spot,
                f"`{asked.id}` leads out and does not say that somebody is in danger",
                "Write `danger: yes`.",
            )


def _endings(path: str, plant: Equipment) -> Iterator[Problem]:
    names = {each.id for each in plant.endings}
    for ending in plant.endings:
        for index, step in enumerate(ending.steps):
            route: Route = (*ending.route, "steps", index)
            back = [name for name in (*_BRINGS_BACK, *_ROUTINES_BACK) if name in step]
            if back:
                yield ENDING_UNSAFE.at(
                    Spot(path, route),
                    f"the ending `{ending.id}` has `{back[0]}`: an ending brings nothing back and lets nothing start",
                    "Take it out; what comes back has a page of its own.",
                )
        last = ending.steps[-1]
        if not {"end", "hand_over", "hand_to"} & last.keys() and last.get("go") not in names:
            yield ENDING_UNSAFE.at(
                Spot(path, (*ending.route, "steps", len(ending.steps) - 1)),
                f"the last line of `{ending.id}` does not end the job",
                "Write `end:` or `hand_over:`, or `go:` another ending.",
            )


def _people(path: str, plant: Equipment) -> Iterator[Problem]:
    telling, firing = plant.telling, plant.firing
    for words, who, name in (
        (telling.before_off, telling.who_off, "who_off"),
        (telling.before_on, telling.who_on, "who_on"),
    ):
        if words is not None and not who:
            yield NOBODY_IS_TOLD.at(
                Spot(path, ("telling",)),
                f"`telling` has words and nobody who is told: `{name}` is missing",
                f"Write `{name}:`.",
            )
    stop, starts = firing.stop_by.casefold(), (firing.start_by.casefold(), firing.cold_by.casefold())
    said = [each.do for each in (firing.start, firing.cold) if each]
    if (stop and stop in starts) or (firing.stop and firing.stop.do in said):
        yield STOP_IS_START.at(
            Spot(path, ("firing",)),
            "the burner is stopped and started by the same words",
            "Write how it is stopped.",
        )
