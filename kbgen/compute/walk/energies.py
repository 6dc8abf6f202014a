"""Energies beside control supply and fuel: what must stay on while it fires, what reaches an opened cover or drain."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from kbgen.compute.walk.finding import Finding, Moment
from kbgen.compute.walk.hazard import ALTERATIONS, BURNER, MAKING_SAFE, RESETS
from kbgen.compute.walk.state import (
    COVER,
    HOT,
    LEFT_OPEN,
    OFF,
    PROVED,
    SPINS,
    STILL_THERE,
    TRIED,
    facts,
    holds,
    may_run,
    names,
    open_covers,
)
from kbgen.compute.walk.supply import before
from kbgen.model import action as act
from kbgen.model.equipment import Cover, Source

OFF_WHILE_FIRING = RESETS.on(BURNER).hazard(
    "off-while-firing",
    "A boiler that fires without feed water runs dry; a burner without its fan fills the furnace with gas.",
    "- do: Shut the feed stop valve.\n  isolate: feed-water  # it fires",
    "- do: Stop the burner.\n  stop_demand: Burner switch off\n- do: Shut the feed stop valve.\n  isolate: feed-water",
    rests_on="`needed_to_fire` of the plant's sources and whether it may be firing.",
)
OFF_TOO_EARLY = MAKING_SAFE.hazard(
    "off-too-early",
    "Water is shut into a coil that is still hot; it boils, and the coil bursts.",
    "- do: Shut both water valves.\n  isolate: water  # off_after: [heat]",
    "- do: Leave the fire out and let the coil cool.\n  isolate: heat\n- do: Shut both water valves.\n  isolate: water",
    rests_on="`off_after` of the plant's sources, and what is off on every way; that it cooled is the reader's word.",
)
RUN_ON_CUT = MAKING_SAFE.hazard(
    "run-on-cut",
    "The pump is switched off while the coil is hot; what stands in it boils, and scalds whoever opens it.",
    "- do: Turn it to OFF.\n  stop_demand: Heat switch to OFF\n- do: Switch the pump off.\n  isolate: pump  # runs_on: 5 min",
    "- do: Turn it to OFF.\n  stop_demand: Heat switch to OFF\n- do: Let the pump run on.\n  wait: 5 min\n"
    "- do: Switch the pump off.\n  isolate: pump",
    rests_on="`runs_on` of the plant's sources, and a wait as long, or the plant seen at rest, on every way since it may have fired.",
)
COVER_ON_LIVE = MAKING_SAFE.hazard(
    "cover-on-live",
    "Behind the cover something turns, burns or is live, and the hand follows the cover.",
    "- do: Take the cover of the fan off.\n  open_cover: fan-cover  # reached_by: [fan]",
    "- do: Prove the fan dead.\n  prove_dead: fan\n  dead: open\n  live: safe\n"
    "- id: open\n  do: Take the cover of the fan off.\n  open_cover: fan-cover",
    rests_on="`reached_by` of the plant's `covers`, `behind` of its zones, and what of it is off or stopped on every way.",
)
START_NOT_TRIED = MAKING_SAFE.hazard(
    "start-not-tried",
    "The isolator that was locked was that of the other fan; the start that nobody tried comes by itself.",
    "- do: Prove the fan dead.\n  prove_dead: fan\n  dead: reach-in\n  live: safe\n"
    "- id: reach-in\n  do: Reach into the fan housing.\n  work_in: fan-housing",
    "- do: Tell everybody to stand clear.\n  inform: Everybody at the boiler\n"
    "- do: Work the burner switch and put it back to off.\n  try_start: Burner switch\n  dead: reach-in\n"
    "  live: safe\n- id: reach-in\n  do: Reach into the fan housing.\n  work_in: fan-housing",
    rests_on="`try_start` after the locks, before hands go in; that somebody worked the controls is the reader's word.",
)
OPENED_UNDER_PRESSURE = MAKING_SAFE.hazard(
    "opened-under-pressure",
    "A drain that is opened at 100 psi scalds whoever stands before it.",
    "- do: Open the drain.\n  fit: open-drain\n  name: drain-1",
    "- do: See the gauge at 0 psi and the vent open.\n  prove_gone: steam\n  gone: open\n  still-there: safe\n"
    "- id: open\n  do: Open the drain.\n  fit: open-drain\n  name: drain-1",
    rests_on="What feeds the part, and its proof (`prove_gone`, or a pressure with `no-pressure`) on every way.",
)
NEVER_GAGGED = ALTERATIONS.hazard(
    "never-gagged",
    "A safety valve that is gagged does not lift, and the vessel bursts instead.",
    "fit: gag\nname: gag-1",
    "# no gag; the licensed valve shop tests the valve on its bench",
    rests_on="The device's `type` and `guards`.",
)


def findings(moment: Moment) -> Iterator[Finding]:
    """Yield what is wrong with a step that takes an energy away too early, or lets one out."""
    match moment.step.action:
        case act.Isolate(isolate=name):
            yield from _taken(moment, name)
        case act.StartDemand() | act.Observe(observe="firing" | "full-cycle"):
            yield from _lacking(moment)
            if isinstance(moment.step.action, act.StartDemand):
                yield from _starts_behind(moment)
        case act.OpenCover(open_cover=name):
            yield from _reached(moment, name)
        case act.Restore(restore=name):
            yield from _comes_back(moment, name)
            yield from _bared(moment, name)
        case act.Fit(fit="open-drain" | "open-vent") as fit:
            yield from _drained(moment, fit)
        case act.Fit(fit="gag") as fit:
            yield NEVER_GAGGED.finding(
                moment.index,
                "fit",
                f"`{fit.name}` gags a valve that stands between plant and people",
                "Take the step out; nothing is gagged on site.",
            )


def _taken(moment: Moment, name: str) -> Iterator[Finding]:
    plant, state = moment.plant, moment.state
    source = plant.sources.get(name)
    early = (
        [each for each in source.off_after if not (holds(state, (OFF, each)) or holds(state, (PROVED, each)))]
        if source
        else []
    )
    if source and early:
        yield OFF_TOO_EARLY.finding(
            (moment.index, early[0]),
            "isolate",
            f"{source.title} is taken away before {plant.sources[early[0]].title} is off or proved gone",
            f"Put a step with `isolate: {early[0]}` before it, and what it waits for.",
            grants=facts(OFF, early),
        )
    if source and source.runs_on is not None and (HOT, "") in state:
        yield RUN_ON_CUT.finding(
            (moment.index, "runs on"),
            "isolate",
            f"{source.title} is switched off, and nothing says that it has run on since the fire went out",
            "Stop the burner, then put a step with `observe: standstill` before it, or a `wait` as long as its `runs_on`.",
            clears=frozenset({(HOT, "")}),
        )
    if source is None or not source.needed_to_fire or not plant.can_fire(state):
        return
    if may_run(state):
        yield OFF_WHILE_FIRING.finding(
            moment.index,
            "isolate",
            f"{source.title} is taken away while the burner fires or may start",
            "Stop the burner or shut its fuel first.",
        )


def _lacking(moment: Moment) -> Iterator[Finding]:
    plant, state = moment.plant, moment.state
    if not plant.can_fire(state):
        return
    for name, source in plant.sources.items():
        if source.needed_to_fire and (OFF, name) in state:
            yield OFF_WHILE_FIRING.finding(
                (moment.index, name),
                moment.field,
                f"the burner may light while {source.title} is off",
                f"Bring it back first (`restore: {name}`).",
                clears=facts(OFF, [name]),
            )


def _turning(moment: Moment, cover: Cover) -> Iterator[Finding]:
    """Yield a cover that is opened before something that nobody stopped, or that was started."""
    plant, state = moment.plant, moment.state
    for zone in plant.zones.values():
        reached = [plant.sources[name] for name in zone.reached_by if name in plant.sources]
        if cover.id not in zone.behind or not any(source.moves for source in reached):
            continue
        held = any((OFF, source.id) in state for source in reached if source.electric)
        stopped = held or not may_run(state)
        if not stopped or (SPINS, "") in state:
            yield COVER_ON_LIVE.finding(
                (moment.index, zone.id),
                "open_cover",
                f"{cover.title} is opened while {zone.title} may be turning behind it: nobody "
                + ("saw it stand still since it was started" if stopped else "stopped it"),
                "Put a step with `observe: standstill` before it."
                if stopped
                else "Stop it first (`stop_demand`), or switch its supply off and lock it (`isolate`, `lock`).",
            )
            return


def _reached(moment: Moment, name: str) -> Iterator[Finding]:
    plant, state = moment.plant, moment.state
    cover = plant.covers.get(name)
    if cover:
        yield from _turning(moment, cover)
        yield from not_tried(moment, cover.reached_by, "open_cover", lambda: f"{cover.title} is opened")
    for source in cover.reached_by if cover else ():
        lacking = plant.unheld(state, source)
        if (PROVED, source) not in state:
            lacking.append("proved gone")
        if lacking and cover and source in plant.sources:
            yield COVER_ON_LIVE.finding(
                (moment.index, source),
                "open_cover",
                f"{cover.title} is opened and {plant.sources[source].title} reaches there; it is not "
                f"{' and '.join(lacking)}",
                how_gone(plant.sources[source]),
            )
    # Electricity is proved again behind the very cover; what else did not go is looked for from outside.
    for source in names(state, STILL_THERE):
        about = plant.sources.get(source)
        if about and cover and source not in cover.reached_by and plant.reaches_behind(source, name):
            yield COVER_ON_LIVE.finding(
                (moment.index, source, "failed"),
                "open_cover",
                f"{cover.title} is opened on a way on which {about.title} was not found gone",
                "Lead `still-there` past this step, or prove it gone on this way before it.",
                clears=frozenset({(STILL_THERE, source)}),
            )


def _comes_back(moment: Moment, source: str) -> Iterator[Finding]:
    """Yield a cover that is open before what comes back; also one that every way here left open."""
    plant, state = moment.plant, moment.state
    for name in open_covers(state):
        cover = plant.covers.get(name)
        if cover and source in cover.reached_by and source in plant.sources:
            yield COVER_ON_LIVE.finding(
                (moment.index, name),
                "restore",
                f"{plant.sources[source].title} comes back, reaches behind {cover.title}, and that is open",
                f"Close it first (`close_cover: {name}`).",
                clears=facts(COVER, [name]) | facts(LEFT_OPEN, [name]),
            )
    turning = source in plant.sources and plant.sources[source].electric
    for zone in plant.zones.values() if turning else ():
        moves = any(plant.sources[each].moves for each in zone.reached_by if each in plant.sources)
        opened = [name for name in zone.behind if name in open_covers(state)]
        if moves and opened and source in zone.reached_by:
            yield COVER_ON_LIVE.finding(
                (moment.index, zone.id),
                "restore",
                f"{plant.sources[source].title} comes back, {zone.title} can turn by it, and "
                f"{plant.covers[opened[0]].title} is open before it",
                f"Close it first (`close_cover: {opened[0]}`).",
                clears=facts(COVER, opened) | facts(LEFT_OPEN, opened),
            )


def _starts_behind(moment: Moment) -> Iterator[Finding]:
    """Yield a start while a cover is open before what it turns."""
    plant, state = moment.plant, moment.state
    for zone in plant.zones.values():
        moves = [
            plant.sources[each]
            for each in zone.reached_by
            if each in plant.sources and plant.sources[each].moves
        ]
        opened = [name for name in zone.behind if name in open_covers(state)]
        supplies = [source.id for source in moves if source.electric]
        if opened and moves and not plant.off(state) and not any((OFF, name) in state for name in supplies):
            yield COVER_ON_LIVE.finding(
                (moment.index, zone.id),
                "start_demand",
                f"{zone.title} is started while {plant.covers[opened[0]].title} is open before it",
                f"Close it first (`close_cover: {opened[0]}`).",
                clears=facts(COVER, opened) | facts(LEFT_OPEN, opened),
            )


def _bared(moment: Moment, source: str) -> Iterator[Finding]:
    """Yield electricity that comes back to terminals behind an open cover where nobody is about to read there."""
    plant, state = moment.plant, moment.state
    about = plant.sources.get(source)
    if about is None or not about.electric:
        return
    for name in names(state, COVER):
        if name in plant.behind_which(source) and not plant.reads_live(moment.index, name):
            yield COVER_ON_LIVE.finding(
                (moment.index, name, "terminals"),
                "restore",
                f"{about.title} comes back to the terminals behind {plant.covers[name].title}, which is open, and nothing is "
                "read there",
                f"Close it first (`close_cover: {name}`).",
                clears=frozenset({(COVER, name)}),
            )


def how_gone(source: Source) -> str:
    """Say what to write before hands may come near a source."""
    first = f"`isolate: {source.id}`, `lock: {source.id}`, " if source.lockable else ""
    proof = (
        f"`prove_dead: {source.id}`"
        if source.electric
        else f"`prove_gone: {source.id}` with `by`, such as: {source.kind.gone}"
    )
    return f"Write {first}{proof} on every way here, in this order; a wait alone proves nothing."


def not_tried(
    moment: Moment, reached: tuple[str, ...], field: str, what: Callable[[], str]
) -> Iterator[Finding]:
    """Yield hands at something that can start to move, before a start was tried with its supplies locked."""
    plant = moment.plant
    known = [plant.sources[name] for name in reached if name in plant.sources]
    if not any(source.moves for source in known):
        return
    supplies = sorted(source.id for source in known if source.electric) or sorted(plant.electric)
    untried = [name for name in supplies if (TRIED, name) not in moment.state]
    if untried:
        yield START_NOT_TRIED.finding(
            (moment.index, "tried"),
            field,
            f"{what()}, something can start to move there, and no start was tried with "
            f"{plant.sources[untried[0]].title} locked off",
            "Lock every supply and the fuel, put a step with `inform:` (everybody stands clear) and then one with "
            "`try_start: WHAT IS WORKED` before it; `dead` leads here." + before(moment),
            grants=facts(TRIED, untried),
        )


def _drained(moment: Moment, fit: act.Fit) -> Iterator[Finding]:
    plant, state = moment.plant, moment.state
    vent = fit.fit == "open-vent"
    for name, source in plant.sources.items():
        if source.energy != "pressure" or (PROVED, name) in state:
            continue
        # A vent leads to a safe place: by it the pressure goes, once nothing feeds it. A drain lies before one's feet.
        lacking = plant.unheld(state, name) if vent else ["proved gone"]
        lacking += ["without fire under it"] if vent and plant.can_fire(state) else []
        if lacking:
            yield OPENED_UNDER_PRESSURE.finding(
                (moment.index, name),
                "fit",
                f"`{fit.name}` is opened and {source.title} is not {' and '.join(lacking)}",
                "Shut the fuel, isolate and lock what feeds it, before the pressure is let out by the vent."
                if vent
                else f"Isolate it and prove it gone (`prove_gone: {name}`) on every way here.",
                grants=facts(PROVED, [name]),
            )
