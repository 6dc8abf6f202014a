"""Routines about energy sources: locking off, proving gone, making safe, bringing back."""

from __future__ import annotations

import re
from itertools import combinations

from kbgen.compose.burner import demand_off, nearest_valves
from kbgen.compose.fittings import open_cover, open_valve, shut
from kbgen.compose.ledger import COVER, LOCKED, LOCKS_SEEN, OFF, Thing
from kbgen.compose.rules import ROUTINE_MISUSED
from kbgen.compose.sheet import NEXT, ON, Sheet, Unfit, question
from kbgen.compose.usual import TURN
from kbgen.compose.words import if_so, listed, the
from kbgen.model.circuit import Circuit, Point, parts, return_mark
from kbgen.model.equipment import FuelValve, Source
from kbgen.model.handling import Deed
from kbgen.model.routine import ALL, BringBack, LockOff, MakeSafe, Prove

_TRIED = "The handle cannot move."
_READS = (
    "The meter reads on the known source, nothing between the pairs, and reads on the known source again."
)


def lock_off(sheet: Sheet, line: LockOff) -> None:
    """Switch off, lock, wait."""
    for source in _in_order(sheet, "lock_off", line.lock_off):
        _lock(sheet, source)


def prove(sheet: Sheet, line: Prove) -> None:
    """Prove gone."""
    for source in _in_order(sheet, "prove", line.prove):
        _prove(sheet, source, source.id, line.live)


def make_safe(sheet: Sheet, line: MakeSafe) -> None:
    """Tell, stop, lock, prove."""
    sources = _in_order(sheet, "make_safe", line.make_safe)
    telling = sheet.plant.telling
    if telling.before_off is not None:
        sheet.write(
            "tell", telling.before_off, inform=telling.who_off, minutes=telling.before_off.minutes or TURN
        )
    demand_off(sheet)
    for valve in nearest_valves(sheet):
        shut(sheet, valve)
    fuels = [each for each in sources if each.energy == "fuel"]
    for source in fuels:
        _lock(sheet, source)
    still = sheet.plant.firing.still
    if still is not None:
        sheet.write("still", still, observe="standstill", minutes=still.minutes or TURN)
    for source in sources:
        # Heat goes with the fire, what turns goes with its supply: nobody switches them by themselves.
        if source not in fuels and (source.lockable or source.words.switch_off is not None):
            _lock(sheet, source)
    feeding = {each.supply.source for _, each in sheet.base.of(Circuit, plant=sheet.plant_id)}
    rest = [each for each in sources if each not in fuels]
    # Where leads of earlier pages may hang comes first.
    for source in sorted(rest, key=lambda each: each.id not in feeding):
        _prove(sheet, source, f"{source.id}.gone", line.live)


def bring_back(sheet: Sheet, line: BringBack) -> None:
    """Ask, tell, unlock, switch on."""
    sources = [source_of(sheet, "bring_back", name) for name in line.bring_back]
    things = [Thing(OFF, each.id) for each in sources]
    if line.when == "needed" and not any(sheet.before.get(thing) for thing in things):
        # Nobody sees whether heat or a wheel is off: what brings them back is looked at.
        seen = [each for each in sources if each.lockable or each.electric] or sources
        sheet.write(
            "off",
            f"Look at {_all_of(sheet, seen)} and at your lock list.",
            ask="Is any of them off, shut or locked?",
            outcomes=[
                {"when": "No", "go": NEXT, "are_on": [each.id for each in sources]},
                {"when": "Yes", "go": ON},
                {"when": "Not sure", "go": line.foreign},
            ],
        )
    if not sheet.before.get(LOCKS_SEEN):
        tags = sheet.plant.telling.tags
        forbidden = f"say {tags}" if tags else "forbid it"
        # Where it was not asked which is off, nothing is named yet.
        where = "them" if "off" in sheet.deeds else _all_of(sheet, sources)
        sheet.write(
            "tags",
            f"Read every tag and every padlock on {where}.",
            ask=f"Is every lock yours, and does no tag {forbidden}?",
            outcomes=question(("Yes", ON), ("No", line.foreign), unsure=line.foreign),
        )
    telling = sheet.plant.telling
    if telling.before_on is None:
        raise sheet.missing(
            "`telling`",
            "who is told before it comes on",
            "`before_on: {do: Tell everybody that it comes on.}`",
        )
    sheet.write(
        "tell", telling.before_on, inform=telling.who_on, minutes=telling.before_on.minutes or "2 min"
    )
    for source in sources:
        if source.lockable:
            unlock(sheet, source, f"{source.id}.unlock")
        restore(sheet, source, source.id)
        for valve in of_fuel(sheet, source):
            open_valve(sheet, valve)


def isolate(sheet: Sheet, source: Source, deed: str) -> None:
    """Switch one source off."""
    words = source.words.switch_off or _switched(sheet, source, "switch_off", "Switch {} off.")
    cautions = list(source.cautions)
    sheet.write(deed, words, isolate=source.id, minutes=words.minutes or TURN, cautions=cautions)


def lock(sheet: Sheet, source: Source, deed: str) -> None:
    """Lock one source."""
    usual = "Put padlock and tag on {}. Try the handle."
    words = source.words.lock or _switched(sheet, source, "lock", usual, _TRIED)
    sheet.write(deed, words, lock=source.id, minutes=words.minutes or TURN)


def unlock(sheet: Sheet, source: Source, deed: str) -> None:
    """Take one's own lock off."""
    words = _unlock(sheet, source)
    sheet.write(deed, words, unlock=source.id, minutes=words.minutes or TURN)


def restore(sheet: Sheet, source: Source, deed: str) -> None:
    """Switch one source on."""
    words = source.words.switch_on or _switched(sheet, source, "switch_on", "Switch {} on.")
    sheet.write(deed, words, restore=source.id, minutes=words.minutes or TURN)


def _lock(sheet: Sheet, source: Source) -> None:
    for valve in of_fuel(sheet, source):
        shut(sheet, valve)
    isolate(sheet, source, source.id)
    if source.lockable:
        lock(sheet, source, f"{source.id}.lock")
    if source.wait and source.electric:
        # What is stored is waited for where it is proved gone.
        sheet.write(f"{source.id}.wait", "Wait.", wait=source.wait, for_=source.wait_for)


def _prove(sheet: Sheet, source: Source, deed: str, live: str) -> None:
    if source.energy == "fuel":
        raise Unfit(
            ROUTINE_MISUSED,
            "",
            f"{source.title} is a fuel; no routine proves it gone",
            "The page of gas work proves it at the section that is opened: write that step yourself.",
        )
    if source.electric:
        if not source.behind:
            where = f"source `{source.id}`"
            raise sheet.missing(where, "behind which cover it is proved dead", "`behind: panel-door`")
        if not sheet.before.get(Thing(COVER, source.behind)) and source.behind not in sheet.deeds:
            open_cover(sheet, source.behind)
        prove_dead(sheet, source, deed, live)
        return
    if source.wait:
        sheet.write(
            f"{source.id}.wait",
            Deed(
                f"Wait until {source.wait_for[0].lower()}{source.wait_for[1:]}."
                if source.wait_for
                else "Wait."
            ),
            wait=source.wait,
            for_=source.wait_for,
        )
    prove_gone(sheet, source, deed, live)


def prove_gone(sheet: Sheet, source: Source, deed: str, live: str) -> None:
    """See that a source that is not electric is gone."""
    words = source.words.prove
    if words is None:
        raise sheet.missing(
            f"source `{source.id}`", "how it is seen gone", "`words: {prove: {do: …, expect: …}}`"
        )
    shown = source.prove or words.expect
    sheet.write(
        deed,
        Deed(words.do, "", words.why, "", words.note_down, words.cautions),
        prove_gone=source.id,
        by=(words.expect or shown).rstrip("."),
        minutes=words.minutes or "2 min",
        ways={"gone": ON, "still-there": live},
    )


def prove_dead(sheet: Sheet, source: Source, deed: str, live: str) -> None:
    """Prove an electric source dead, behind a cover that is open."""
    where = f"source `{source.id}`"
    if not source.conductors:
        raise sheet.missing(where, "on which conductors it is proved dead", "`conductors: [X3:1, N]`")
    if not sheet.plant.known_source:
        raise sheet.missing("the top", "what the meter is checked on", "`known_source: Proving unit`")
    words = source.words.prove or Deed(f"Prove {the(_short(source))} dead.")
    sheet.write(
        deed,
        words,
        prove_dead=source.id,
        known_source=sheet.plant.known_source,
        between=[f"{one} to {other}" for one, other in pairs(sheet, source)],
        expect=words.expect or _READS,
        minutes=words.minutes or "3 min",
        cautions=list(source.cautions),
        ways={"dead": ON, "live": live},
    )


def pairs(sheet: Sheet, source: Source) -> list[tuple[str, str]]:
    """Return what a proof measures: conductors to each other, points behind them to their return, each to earth."""
    marks = (*source.conductors, *source.also_dead)
    back = {mark: _return_of(sheet, mark) or source.conductors[-1] for mark in source.also_dead}
    behind = [(mark, end) for mark, end in back.items() if mark != end]
    return [*combinations(source.conductors, 2), *behind, *((mark, "earth") for mark in marks)]


def _return_of(sheet: Sheet, mark: str) -> str:
    """Return the return of the circuit that a point lies in; empty for none."""
    for _, circuit in sheet.base.of(Circuit, plant=sheet.plant_id):
        if any(isinstance(part, Point) and part.point == mark for part in parts(circuit.path)):
            return return_mark(circuit.path)
    return ""


def _short(source: Source) -> str:
    """Return what a source is called in a sentence: its title up to the first comma, without its figures."""
    return re.sub(r"\s+[0-9]+\s*V\b.*", "", source.title.partition(",")[0])


def _switched(sheet: Sheet, source: Source, deed: str, usual: str, expect: str = "") -> Deed:
    """Return the usual words of an isolator; those of anything else stand in the plant's entry."""
    if not source.electric or not source.handle:
        raise sheet.missing(
            f"source `{source.id}`",
            f"how it is done: {deed.replace('_', ' ')}",
            f"`words: {{{deed}: {{do: …}}}}`" + (", or `handle: isolator Q2`" if source.electric else ""),
        )
    return Deed(usual.format(the(source.handle)), expect)


def _unlock(sheet: Sheet, source: Source) -> Deed:
    sure = sheet.before.get(Thing(LOCKED, source.id), False)
    words = source.words.unlock or _switched(
        sheet, source, "unlock", "Take your own padlock off {}. Never anybody else's."
    )
    # Whoever feeds it from elsewhere has put their own lock on it.
    whose = "If it is locked" if source.energy == "foreign-fed" else "If your lock is on it"
    return words if sure else if_so(whose, words)


def of_fuel(sheet: Sheet, source: Source) -> list[FuelValve]:
    """Return the valves that stop all of a fuel."""
    return [each for each in sheet.plant.fuel_valves if each.stops == "all-fuel" and each.fuel == source.id]


def source_of(sheet: Sheet, field: str, name: str) -> Source:
    """Return a source of the plant."""
    known = {each.id: each for each in sheet.plant.sources}
    if name not in known:
        raise sheet.unknown(field, "source", name, known)
    return known[name]


def _in_order(sheet: Sheet, field: str, names: tuple[str, ...]) -> list[Source]:
    """Return sources in the order in which they go off."""
    order = sheet.plant.off_order
    if not order:
        raise sheet.missing(
            "the top", "in which order its sources go off", "`off_order: [gas, fan, control]`"
        )
    wanted = list(order) if names == (ALL,) else names
    found = [source_of(sheet, field, name) for name in wanted]
    for each in found:
        if each.id not in order:
            raise sheet.missing(
                "`off_order`", f"when {each.id} goes off", f"`off_order: [{', '.join((*order, each.id))}]`"
            )
    return sorted(found, key=lambda each: order.index(each.id))


def _all_of(sheet: Sheet, sources: list[Source]) -> str:
    named = []
    for each in sources:
        valves = [the(valve.handle) for valve in of_fuel(sheet, each) if valve.handle]
        named += valves or [called(each)]
    return listed(named)


def called(source: Source) -> str:
    """Return what stands for a source in a sentence: what switches it, else its title without its figures."""
    return the(source.handle or _short(source))
