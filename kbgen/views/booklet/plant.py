"""The leaves that follow from the plant's entry: energies, places, one run, resets, settings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from string import ascii_uppercase

from kbgen.link.base import KnowledgeBase
from kbgen.model.circuit import Circuit, reach
from kbgen.model.device import Device
from kbgen.model.equipment import Equipment, Setting, Source
from kbgen.model.handling import Arrival
from kbgen.model.people import NOBODY, WHO
from kbgen.model.shop import ShopSettings
from kbgen.ref import Kind, Ref
from kbgen.text import read
from kbgen.views.blocks import Goto, Line, Mark, Plain
from kbgen.views.booklet.leaf import (
    LEAVE,
    MAKE_SAFE,
    Grid,
    Part,
    Tick,
    Ticks,
    Warn,
    Words,
    ending_label,
    energy_label,
)
from kbgen.views.booklet.say import only_on, printed, said
from kbgen.views.compose import joined, line_of, sentences

WHEN_IT_FAILS = (
    "Stop where you are. Touch nothing more.",
    "Leave every lock and every tag on.",
    "Take everything as live, hot and under pressure.",
    "Open list in your head: jumpers, lifted wires, leads, covers. Write it down now.",
    "Go on only from the first line of a page here.",
)
"""What holds when a tablet goes dark in the middle of a job."""


def before_anything(plant: Equipment, asked: Sequence[str], later: Sequence[str] = ()) -> Iterator[Ticks]:
    """Yield the questions at the door in the order of working, and then what brings the plant to rest.

    Smell comes first, and whose locks are there before the number plates.

    Args:
        asked: Ids of the questions that making safe asks at the door.
        later: Ids of those that it asks only once the fire is stopped: before, a flame is what belongs there.
    """
    smell = next((each for each in plant.arrive if each.danger), None)
    gates = [e for e in plant.arrive if (e is smell or e.id in asked) and e.id not in later]
    plates = next((at for at, each in enumerate(gates) if each.identify), len(gates))
    locks = [each for each in plant.arrive if each.sees_locks]
    gates = [each for each in gates if each not in locks]
    gates[plates:plates] = locks
    yield Ticks("Before anything", tuple(_gate(plant, each) for each in gates))
    told, stop = plant.telling.before_off, plant.firing.stop
    rest = tuple(Tick(line_of(read(deed.do)), answer=deed.expect) for deed in (told, stop) if deed)
    looked = tuple(_gate(plant, each) for each in plant.arrive if each.id in later)
    if rest or looked:
        yield Ticks("Then stop it", (*rest, *looked))


def _gate(plant: Equipment, asked: Arrival) -> Tick:
    short = {ending.id: ending.short or ending.means for ending in plant.endings}
    there = LEAVE if asked.otherwise == "leave-now" else ending_label(asked.otherwise)
    ask = asked.ask or "All the same?"
    return Tick(
        line_of(read(asked.do)),
        answer=asked.expect,
        gate=f"{ask} {asked.good}: go on.",
        otherwise=(Plain("Else, not sure → "), Goto(short.get(asked.otherwise, "Stop"), there)),
        role="gate",
    )


def in_order(plant: Equipment) -> list[Source]:
    """Return every energy in the order of working: fuel first, then as the plant says, then what it leaves out."""
    at = {name: k for k, name in enumerate(plant.off_order)}
    return sorted(plant.sources, key=lambda s: (s.energy != "fuel", at.get(s.id, len(at))))


def energies(plant: Equipment, proved: frozenset[str]) -> Iterator[Part]:
    """Say of every energy where it goes off, what locks it, and what shows that it is gone.

    Behind the fuel stands the wait until nothing runs any more: what runs on carries heat away.

    Args:
        proved: Ids of the sources whose proof stands on the next pages, pair by pair.
    """
    still = plant.firing.still
    for number, source in enumerate(in_order(plant), start=1):
        if still and source.energy != "fuel":
            yield Ticks("", (Tick(line_of(read(still.do)), answer=still.expect),))
            still = None
        only = only_on(plant, source.sizes)
        lock = f"Lock: {source.lock} " if source.lock else ""
        rows = [said(f"Off: {source.isolate}")]
        if source.id in proved:
            rows.append((Plain(f"{lock}Gone: live, dead, live, pair by pair"), Goto("", MAKE_SAFE)))
        elif lock or source.prove:
            rows.append(said(lock + (f"Gone: {source.prove}" if source.prove else "")))
        title = f"{number} {source.title}" + (f", {only}" if only else "")
        yield Words(title, tuple(rows), label=energy_label(source.id))


def padlocks(plant: Equipment) -> str:
    """Say how many padlocks it takes at least."""
    count = sum(source.lockable for source in plant.sources)
    return (
        f"{len(plant.sources)} energies, {count} places to lock. Padlocks and tags for all of them. "
        "Too few: lock fuel and supply first, have the rest guarded, open nothing."
    )


def where(base: KnowledgeBase, plant_id: str, plant: Equipment) -> Iterator[Words]:
    """Say of every place how far it is, what it asks for, and what is there."""
    devices = [(e, d) for e, d in base.of(Device, plant=plant_id) if printed(e)]
    points: dict[str, dict[str, list[str]]] = {}
    for _, circuit in base.of(Circuit, plant=plant_id):
        for point, (at, behind) in reach(circuit.path).items():
            marks = points.setdefault(at, {}).setdefault(behind, [])
            marks += [point.point] if point.point not in marks else []
    for place in plant.places:
        head = place.title + (f", {place.travel.text}" if place.travel else "")
        lines: list[Line] = [said(place.needs)] if place.needs else []
        for cover in [each for each in plant.covers if each.place == place.id]:
            marks = points.get(place.id, {}).get(cover.id, [])
            opens = [base.title(Ref(Kind.DEVICE, each)) for each in cover.opens]
            lines.append(
                (
                    Plain(cover.title + (f" ({cover.minutes.text})" if cover.minutes else "")),
                    *((Plain(": "), *joined([Mark(each) for each in marks], " ")) if marks else ()),
                    *said(f". Open, it opens {', '.join(opens)}" if opens else ""),
                )
            )
        free = points.get(place.id, {}).get("", [])
        if free:
            lines.append(joined([Mark(each) for each in free], " "))
        valves = [v.title for v in plant.fuel_valves if v.place == place.id]
        if valves:
            lines.append(said("Valves: " + "; ".join(valves)))
        gas = [
            point.title.partition(",")[0]
            for point in plant.fuel_points
            if point.place == place.id and point.section
        ]
        if gas:
            lines.append(said("Gas points, for the licensed gas technician: " + "; ".join(gas)))
        here = [(e, d) for e, d in devices if d.place == place.id]
        if here:
            spans: list[Plain | Mark | Goto] = [Plain("Devices: ")]
            for count, (entry, device) in enumerate(here):
                spans += [Plain("; ")] if count else []
                spans += [Mark(device.mark), Plain(" ")] if device.mark else []
                spans.append(Goto(entry.title, entry.ref))
            lines.append(tuple(spans))
        yield Words(head, tuple(lines))


def run(plant: Equipment) -> Iterator[Part]:
    """Tell one normal cycle, and the displays that pass by themselves."""
    if not plant.sequence:
        return
    rows = tuple(
        (
            said(", ".join(filter(None, (stage.title, only_on(plant, stage.sizes))))),
            joined([Mark(each) for each in stage.displays[:3]], " "),
            said(stage.lasts.text if stage.lasts else "–"),
        )
        for stage in plant.sequence
    )
    yield Grid("Stages in order", ("Stage", "Panel shows", "Lasts"), (36, 40, 24), rows)
    passing = tuple(
        (
            (Mark(each.shows),),
            said(sentences(stage.title, each.how_often)),
            said(each.lasts.text),
        )
        for stage in plant.sequence
        for each in stage.passes
    )
    if passing:
        yield Grid("Normal, passes by itself", ("Panel shows", "In", "Passes after"), (32, 46, 22), passing)


def also_stops(plant: Equipment) -> Iterator[Words]:
    """Say what stops with the plant."""
    if plant.also_stops:
        yield Words("When it stops, this stops too", tuple(said(each) for each in plant.also_stops))


def resets(shop: ShopSettings, plant: Equipment) -> Iterator[Part]:
    """Say what remembers a fault, how it goes, and what a press costs."""
    yield Warn(said("Cause first. A press without it hides a fault that kills."))
    starts, once = shop.most_starts, shop.most_resets
    yield Words(
        "On the whole visit, all pages together",
        (
            said(f"Without its cause: {_times(once, 'press', 'presses')} of a lockout, and no second."),
            said(
                f"Without a flame seen: {_times(starts, 'start', 'starts')}. Each sends unburnt gas and needs its purge."
            ),
            said("Low water, steam limit, one-shot: none before the cause is found and corrected."),
            said("Supply off and on, where that clears a fault, counts as a press."),
        ),
    )
    rows = tuple(
        (
            said(each.what),
            (*(line_of(read(each.press.do)) if each.press else said(each.erased_by)),),
            said(
                {
                    "mechanically": "stays out",
                    "stored": "stored",
                    "lost-at-power-off": "goes with the supply",
                }.get(each.kept, "")
            ),
        )
        for each in plant.memory
    )
    if rows:
        yield Grid("What remembers, what clears it", ("What", "Clears by", "Kept"), (38, 40, 22), rows)


def _times(count: int, one: str, more: str) -> str:
    return f"{count} {one if count == 1 else more}"


def settings(plant: Equipment) -> Iterator[Part]:
    """Say what the plant is set to, and who may change it."""
    if not plant.settings:
        return
    who = [each for each in (*WHO, NOBODY) if any(s.changed_by == each for s in plant.settings)]
    letter = dict(zip(who, ascii_uppercase, strict=False))
    legend = [f"{letter[each]}: {WHO[each].lower() if each in WHO else 'nobody on site'}" for each in who]
    yield Words("", (said("Who may change it. " + "; ".join(legend) + "; –: nothing is said, so ask."),))
    rows = tuple(
        (
            said(", ".join(filter(None, (each.title, only_on(plant, each.sizes))))),
            said(each.with_tolerance),
            said(letter.get(each.changed_by, "–")),
        )
        for each in plant.settings
    )
    yield Grid("", ("Setting", "Value", "Who"), (56, 34, 10), rows)


def trips_at(plant: Equipment, device_id: str) -> str:
    """Say what a device is set to."""
    found: list[Setting] = [each for each in plant.settings if each.device == device_id]
    return "; ".join(
        each.with_tolerance + (f" ({only_on(plant, each.sizes)})" if each.sizes else "") for each in found
    )
