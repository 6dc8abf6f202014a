"""The words for handling a plant, each with the action that routines put beside it."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.model import action as act
from kbgen.model.equipment import Equipment
from kbgen.model.handling import Deed


def deeds_of(plant: Equipment) -> Iterator[tuple[Deed, act.AnyAction]]:
    """Yield every deed of a plant's entry with its action."""
    for deed, action in _all(plant):
        if deed is not None:
            yield deed, action


def _all(plant: Equipment) -> Iterator[tuple[Deed | None, act.AnyAction]]:
    for source in plant.sources:
        words, name = source.words, source.id
        yield words.switch_off, act.Isolate(name)
        yield words.lock, act.Lock(name)
        yield words.unlock, act.Unlock(name)
        yield words.switch_on, act.Restore(name)
        yield words.prove, act.ProveDead(name) if source.electric else act.ProveGone(name)
    for valve in plant.fuel_valves:
        yield valve.words.shut, act.ShutValve(valve.id)
        yield valve.words.open, act.OpenValve(valve.id)
    for cover in plant.covers:
        yield cover.words.open, act.OpenCover(cover.id)
        yield cover.words.close, act.CloseCover(cover.id)
    for memory in plant.memory:
        yield memory.press, act.Reset(memory.resets)
    firing, telling = plant.firing, plant.telling
    yield firing.stop, act.StopDemand(firing.stop_by)
    yield firing.start, act.StartDemand(firing.start_by)
    yield firing.cold, act.StartDemand(firing.cold_by)
    yield firing.still, act.Observe("standstill")
    yield firing.cycle, act.Observe("full-cycle")
    yield plant.leak_check, act.LeakCheck(())
    yield telling.before_off, act.Inform(telling.who_off)
    yield telling.before_on, act.Inform(telling.who_on)
