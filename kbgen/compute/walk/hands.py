"""Hands in the plant: leads clipped on, work inside a zone, devices changed, a start tried."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.compute.walk.energies import how_gone, not_tried
from kbgen.compute.walk.finding import Finding, Moment
from kbgen.compute.walk.hazard import LEAVING, LIVE_WORK, MAKING_SAFE, RESETS
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.result import because
from kbgen.compute.walk.state import (
    CAUSE,
    COVER,
    FAULTY,
    GUARDED,
    INFORMED,
    LOCKED,
    OFF,
    PROVED,
    SHUT_IN,
    WARNED,
    facts,
    holds,
)
from kbgen.model import action as act

CLIPPED_LIVE = MAKING_SAFE.on(LIVE_WORK).hazard(
    "clipped-live",
    "Who puts a clip on a live terminal holds a bare jaw beside it, and one slip makes an arc.",
    "- do: Clip the leads on.\n  clip: meter-1\n  at: X3:5\n  to: N",
    "- do: Prove it dead.\n  prove_dead: control\n  dead: clip-on\n  live: safe\n"
    "- id: clip-on\n  do: Clip the leads on.\n  clip: meter-1\n  at: X3:5\n  to: N",
    rests_on="`reached_by` of the cover or the supply of the circuit, and what was proved dead when the clip goes on.",
)
WORK_NOT_ISOLATED = MAKING_SAFE.hazard(
    "work-not-isolated",
    "Whatever reaches the place where hands are is gone before they go in: electricity, fuel, steam, heat, motion.",
    "- do: Reach into the fan housing.\n  work_in: fan-housing",
    "- do: Prove the fan dead.\n  prove_dead: fan\n  dead: reach-in\n  live: safe\n"
    "- id: reach-in\n  do: Reach into the fan housing.\n  work_in: fan-housing",
    rests_on="`reached_by` of the zone or cover, and what was isolated, locked and proved of those sources on every way.",
)
REPLACED_LIVE = MAKING_SAFE.on(LIVE_WORK).hazard(
    "replaced-live",
    "The wires of a device come off in somebody's hand.",
    "- do: Take the old switch out.\n  replace: dirty-filter",
    "- do: Prove it dead.\n  prove_dead: control\n  dead: take-out\n  live: safe\n"
    "- id: take-out\n  do: Take the old switch out.\n  replace: dirty-filter",
    rests_on="The circuits the device stands in and their `source`, its `reached_by`, and what was proved gone before.",
)
RENEWED_WITHOUT_CAUSE = RESETS.hazard(
    "renewed-without-cause",
    "Flame blows past the seal of the burner door and melts the fuse; with a new one it blows past it again.",
    "- do: Clip a new fuse on.\n  replace: thermal-fuse",
    "- do: Find why it got so hot.\n  find_cause: thermal-fuse\n  cause-mended: new-fuse\n  not-found: stays-off\n"
    "- id: new-fuse\n  do: Clip a new fuse on.\n  replace: thermal-fuse",
    rests_on="`reset: one-shot` of the device, and `find_cause` or `check_real` of it with the verdict on every way.",
)
TRIED_NOT_LOCKED = MAKING_SAFE.hazard(
    "tried-not-locked",
    "Trying to start is a proof only with everything locked; otherwise it is a start.",
    "- do: Work the burner switch.\n  try_start: Burner switch",
    "- do: Lock Q2.\n  lock: control\n- do: Tell everybody to stand clear.\n  inform: Everybody at the boiler\n"
    "- do: Work the burner switch and put it back to off.\n  try_start: Burner switch",
    rests_on="What was isolated and locked when `try_start` comes.",
)
STARTED_HELD = MAKING_SAFE.hazard(
    "started-held",
    "The wedge is still in the wheel when the motor starts; it flies, or the belt tears.",
    "- do: Put the wedge in.\n  isolate: motion\n- do: Hang your tag on it.\n  lock: motion\n"
    "- do: Turn the fan switch to ON.\n  start_demand: Fan switch to ON",
    "- do: Take your tag off the wedge.\n  unlock: motion\n- do: Take the wedge out.\n  restore: motion\n"
    "- do: Turn the fan switch to ON.\n  start_demand: Fan switch to ON",
    rests_on="`lock` of a source of motion, over pages too, and the supplies that reach the same zone.",
)
LEADS_LEFT_ON = LEAVING.hazard(
    "leads-left-on",
    "The next one finds leads on terminals and does not know whether they are a jumper.",
    "- do: Clip the leads on.\n  clip: meter-1\n  at: X3:5\n  to: N\n- do: Go.\n  end: left-safe",
    "- do: Take the leads off.\n  unclip: [meter-1]\n- do: Go.\n  end: left-safe",
    rests_on="The clips that are on at an end.",
)


def findings(moment: Moment) -> Iterator[Finding]:
    """Yield what is wrong with a step that puts hands somewhere, or leaves leads behind."""
    match moment.step.action:
        case act.Clip() as clip:
            yield from _clip(moment, clip)
        case act.Restore(restore=name):
            yield from _unblocked(moment, name)
        case act.StartDemand():
            yield from _started(moment)
        case act.Unclip(unclip=meters):
            for where, clip in moment.plant.clipped(moment.state):
                if clip.clip in meters:
                    yield from _unclip(moment, where, clip)
        case act.WorkIn(work_in=zone):
            yield from _work_in(moment, zone)
        case act.Replace(replace=device):
            yield from _replace(moment, device)
        case act.TryStart():
            yield from _try(moment)
        case act.End(end=end) if end != "evacuated":
            yield from _left(moment, "end", ())
        case act.HandOver(still_on=told):
            yield from _left(moment, "hand_over", told)


def _clip(moment: Moment, clip: act.Clip) -> Iterator[Finding]:
    feeds = moment.plant.at_terminals(moment.plant.circuit_of(clip))
    live = sorted(name for name in feeds if (PROVED, name) not in moment.state)
    if live:
        yield CLIPPED_LIVE.finding(
            moment.index,
            "clip",
            f"the leads of `{clip.clip}` are clipped on a circuit that is not proved dead",
            how_gone(moment.plant.sources[live[0]]),
            grants=facts(PROVED, feeds),
        )


def _unclip(moment: Moment, where: str, clip: act.Clip) -> Iterator[Finding]:
    """Yield leads that come off terminals that may be live.

    Who still stands before the open terminals takes them off by their insulation, with the supply off and locked. Who
    opens the door again that was closed over them, here or on a page before, proves dead anew, as before any hand.
    """
    plant, state = moment.plant, moment.state
    shut_in = not where.isdigit() or (SHUT_IN, where) in state
    closed = [cover for cover in plant.cover_of(clip) if shut_in or (COVER, cover.id) not in state]
    for name in sorted(plant.feeds(plant.circuit_of(clip))):
        if (PROVED, name) in state:
            continue
        lacking = plant.unheld(state, name)
        if not lacking and closed:
            lacking = [f"proved dead since {closed[0].title} was closed over them"]
        if lacking:
            yield CLIPPED_LIVE.finding(
                moment.index,
                "unclip",
                f"the leads of `{clip.clip}` are taken off and {plant.sources[name].title} is not "
                f"{' and '.join(lacking)}",
                f"Isolate and lock it, open the cover, and prove it dead (`prove_dead: {name}`). Where the proof fails they "
                "stay on, and the colleague is told (`still_on`)."
                if closed
                else "Isolate and lock it first, and take the clips off by their insulation.",
                grants=facts(OFF, [name]) | facts(LOCKED, [name]) | facts(PROVED, [name]),
            )


def _unblocked(moment: Moment, name: str) -> Iterator[Finding]:
    """Yield a wedge or pin that hands take out of a part whose supply this page brought back before."""
    plant, state = moment.plant, moment.state
    source = plant.sources.get(name)
    if source is None or source.energy != "motion" or not source.lockable:
        return
    before = [plant.procedure.steps[index].action for index in plant.graph.leading_to([moment.index])]
    back = {each.restore for each in before if isinstance(each, act.Restore)}
    driven = {by: None for zone in plant.zones.values() if name in zone.reached_by for by in zone.reached_by}
    for drive in driven:
        lacking = plant.unheld(state, drive) if drive in back and plant.sources[drive].electric else []
        if lacking:
            yield WORK_NOT_ISOLATED.finding(
                (moment.index, drive),
                "restore",
                f"hands free {source.title}, and {plant.sources[drive].title} is not {' and '.join(lacking)}",
                f"Free it (`restore: {name}`) before `{drive}` comes back.",
            )


def _started(moment: Moment) -> Iterator[Finding]:
    """Yield a part that is held by a wedge or pin while a motor that is not off may turn it."""
    plant, state = moment.plant, moment.state
    for zone in plant.zones.values():
        reached = [plant.sources[each] for each in zone.reached_by if each in plant.sources]
        drives = [each.id for each in reached if each.electric and each.moves]
        drives = drives or [each.id for each in reached if each.electric]
        held = [
            each
            for each in reached
            if each.energy == "motion" and each.lockable and (LOCKED, each.id) in state
        ]
        if held and drives and not any((OFF, each) in state for each in drives):
            yield STARTED_HELD.finding(
                (moment.index, held[0].id),
                "start_demand",
                f"{held[0].title} is still held and locked, and {plant.sources[drives[0]].title} may turn it",
                f"Free it first (`unlock: {held[0].id}`, `restore: {held[0].id}`).",
                clears=facts(LOCKED, [held[0].id]) | facts(OFF, [held[0].id]),
            )
            return


def _work_in(moment: Moment, name: str) -> Iterator[Finding]:
    plant, state = moment.plant, moment.state
    zone = plant.zones.get(name)
    if zone is None:
        return
    reached = zone.reached_by or tuple(name for name in plant.sources if name not in zone.beside)
    yield from not_tried(moment, reached, "work_in", lambda: f"hands go into {zone.title}")
    for source in (*reached, *zone.beside):
        # A shroud keeps fingers off what lies beside the work; it stops nothing that reaches into it.
        guarded = source in zone.beside and source not in reached and (GUARDED, source) in state
        if guarded or source not in plant.sources:
            continue
        lacking = plant.unheld(state, source)
        if (PROVED, source) not in state:
            lacking.append("proved gone")
        if lacking:
            title = plant.sources[source].title
            yield WORK_NOT_ISOLATED.finding(
                (moment.index, source),
                "work_in",
                f"hands go into {zone.title} and {title} reaches there; it is not {' and '.join(lacking)}",
                how_gone(plant.sources[source]),
            )


_IN_THE_PIPE = frozenset({"gas-pressure", "steam-pressure", "water-flow", "water-level", "water-pressure"})
"""What a device guards that sits in what it watches: whoever takes it out opens a pipe or a vessel."""


def _replace(moment: Moment, device: str) -> Iterator[Finding]:
    plant, state = moment.plant, moment.state
    circuits = [name for name, string in plant.circuits.items() if string.has(device)]
    feeds = frozenset[str]().union(*(plant.feeds(name) for name in circuits)) or plant.control
    feeds |= plant.charged()
    about = plant.device(device)
    if about is not None and about.guards == "motor":
        # Its main terminals carry another supply than its coil and contacts; no shroud stays on it now.
        feeds |= {name for name, source in plant.sources.items() if source.electric}
    reached = tuple(name for name in about.reached_by if name in plant.sources) if about is not None else ()
    feeds |= (
        _beside(plant, about.place) - {name for name in plant.sources if (GUARDED, name) in state}
        if about
        else set()
    )
    if about is not None and about.guards in _IN_THE_PIPE and not about.reached_by:
        yield REPLACED_LIVE.finding(
            (moment.index, "unknown"),
            "replace",
            f"{plant.title(device)} is taken out, and its entry does not say what stands behind it",
            f"Write `reached_by` in the entry of `{device}`: the sources that come out or burn there, such as gas, steam or "
            "heat.",
        )
    sought = (CAUSE, device) in state or (FAULTY, device) in state
    if about is not None and about.reset == "one-shot" and not sought:
        yield RENEWED_WITHOUT_CAUSE.finding(
            (moment.index, "cause"),
            "replace",
            f"{plant.title(device)} melts once and for a reason, and is renewed with the reason not found",
            f"Put a step with `find_cause: {device}` before it, and leave the plant off where it is not found.",
            grants=frozenset({(CAUSE, device)}),
        )
    yield from not_tried(moment, reached, "replace", lambda: f"{plant.title(device)} is taken out")
    live = sorted(name for name in feeds.union(reached) if (PROVED, name) not in state)
    if live:
        yield REPLACED_LIVE.finding(
            moment.index,
            "replace",
            f"{plant.title(device)} is taken out and {plant.sources[live[0]].title} is not proved "
            + ("dead" if plant.sources[live[0]].electric else "gone"),
            how_gone(plant.sources[live[0]]),
            grants=facts(PROVED, live),
        )


def _beside(plant: Plant, place: str) -> frozenset[str]:
    """Return the electricity that hands at a part of a place are beside.

    It reaches into every zone of the place; where the plant names none there, it comes in behind a cover of it.
    """
    zones = [frozenset(zone.reached_by) for zone in plant.zones.values() if place and zone.place == place]
    if zones:
        return frozenset.intersection(*zones) & plant.electric
    covers = {name for name, cover in plant.covers.items() if place and cover.place == place}
    # What another panel feeds comes in there as well.
    feeding = (name for name, source in plant.sources.items() if source.electric)
    return frozenset(name for name in feeding if not covers.isdisjoint(plant.behind_which(name)))


def _try(moment: Moment) -> Iterator[Finding]:
    plant, state = moment.plant, moment.state
    lockable = {
        name for name, source in plant.sources.items() if source.lock or source.energy in ("electric", "fuel")
    }
    # Without its control supply no burner opens its valves; where there is none, the fuel is off and locked.
    needed = lockable & (plant.control or plant.fuel_sources)
    loose = sorted(name for name in needed if not _held(moment, name))
    if loose:
        yield TRIED_NOT_LOCKED.finding(
            moment.index,
            "try_start",
            f"a start is tried while {plant.sources[loose[0]].title} is not off and locked",
            "Isolate and lock it first.",
        )
    elif not (holds(state, (INFORMED, "")) or holds(state, (WARNED, ""))):
        yield TRIED_NOT_LOCKED.finding(
            moment.index,
            "try_start",
            "a start is tried and nobody was told to stand clear",
            "Put a step with `inform:` before it.",
            grants=frozenset({(INFORMED, "")}),
        )


def _held(moment: Moment, source: str) -> bool:
    return holds(moment.state, (OFF, source), (LOCKED, source))


def _left(moment: Moment, field: str, told: tuple[str, ...]) -> Iterator[Finding]:
    for where, clip in moment.plant.clipped(moment.state):
        if clip.clip in told:
            continue
        tell = f", or tell the colleague (`still_on: [{clip.clip}]`)" if field == "hand_over" else ""
        yield LEADS_LEFT_ON.finding(
            where,
            field,
            f"the leads of `{clip.clip}` are still on" + (" and the colleague is not told" if tell else ""),
            f"Lead this way through a step with `unclip: [{clip.clip}]` before it ends{tell}.",
            because(where, "they are clipped on here"),
        )
