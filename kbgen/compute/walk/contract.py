"""How a page stands between the others, in words: what it needs, what it may find, what it leaves."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from typing import Protocol

from kbgen.compute.walk import state as s
from kbgen.compute.walk.arriving import arrived, touched
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.result import Arrival, Contract, Exit, Leaving
from kbgen.model.action import Clip, Fit, ProveTrip
from kbgen.model.wording import spoken


class Titled(Protocol):
    """Anything of a plant that people know by a title."""

    @property
    def title(self) -> str:
        """What it is called."""
        ...


def contract(plant: Plant, exits: Iterable[Exit], arrival: Arrival) -> Contract:
    """Say it for one page.

    Args:
        exits: Its ways out.
        arrival: What the pages before it leave.
    """
    finds = arrival.finds
    beside = finds - touched(plant.procedure, arrival).finds
    behind: dict[int, set[s.Fact]] = {}
    following: dict[int, str] = {}
    for out in exits:
        behind.setdefault(out.step, set()).update(out.leaves(beside))
        following[out.step] = out.next
    left = []
    for step, facts in sorted(behind.items()):
        beyond = _beyond(plant, following[step], facts)
        left.append(Leaving(step, words(plant, facts) + beyond, _hidden(plant, facts) + beyond))
    return Contract(
        needs=(
            *(start.replace("-", " ") for start in plant.procedure.starts),
            *words(plant, arrival.brings, says=BROUGHT),
        ),
        finds=words(plant, finds),
        leaves=tuple(each for each in left if each.lines),
        hidden=_hidden(plant, finds, most=_AT_A_GLANCE),
    )


_SHOWS_ITSELF = (s.LEFT_OFF, s.LEFT_LOCKED, s.LEFT_SHUT, s.UNSEEN, s.STOPPED)
"""What everybody sees who looks at the plant, or is told by the pages that bring it back."""


_AT_A_GLANCE = 3
"""How many names a page lists of what may have been left; more is read nowhere, and tags and record say it."""


def _hidden(plant: Plant, facts: Collection[s.Fact], most: int = 0) -> tuple[str, ...]:
    return words(plant, s.without(frozenset(facts), *_SHOWS_ITSELF), most)


def _beyond(plant: Plant, following: str, facts: Collection[s.Fact]) -> tuple[str, ...]:
    """Say which owed trips the next page does not prove: they travel on, until the plant is to be in service."""
    page = plant.base.procedure(following) if following else None
    if page is None:
        return ()
    proved = {step.action.prove_trip for step in page.steps if isinstance(step.action, ProveTrip)}
    owed = s.names(s.at_most(frozenset(facts)), s.OWED)
    rest = [plant.title(name) for name in owed if name not in proved]
    if not proved & set(owed) or not rest:
        return ()
    return (f"{page.head.title} proves some of these trips, and leaves owed: {'; '.join(rest)}",)


def _alteration(plant: Plant, where: str) -> str:
    action = plant.action_at(where)
    return spoken(
        action.name if isinstance(action, Fit) else action.clip if isinstance(action, Clip) else where
    )


def _reset(plant: Plant, name: str) -> str:
    name = name.partition(" ")[0]
    return plant.memory[name].what if name in plant.memory else plant.title(name)


def _gas_check(_: Plant, name: str) -> str:
    return {"gas-rate": "gas rate or working pressure", "air-supply": "air supply"}[name]


def _titled(things: Callable[[Plant], Mapping[str, Titled]]) -> Callable[[Plant, str], str]:
    """Return what finds the title of one of a plant's things, or the name itself where there is none."""

    def title(plant: Plant, name: str) -> str:
        thing = things(plant).get(name)
        return thing.title if thing else name

    return title


_COVERS = _titled(lambda plant: plant.covers)
_SETTINGS = _titled(lambda plant: plant.settings)
_POINTS = _titled(lambda plant: plant.fuel_points)
_SOURCES = _titled(lambda plant: plant.sources)
_VALVES = _titled(lambda plant: plant.valves)
_ZONES = _titled(lambda plant: plant.zones)

_WORDS: dict[str, tuple[str, Callable[[Plant, str], str] | None]] = {
    s.FITTED: ("still in", _alteration),
    s.CLIPPED: ("leads still on", _alteration),
    s.OPENING: ("gas train open at", _POINTS),
    s.UNTESTED: ("not proved tight with gas", _POINTS),
    s.LEAKS: ("found leaking", _POINTS),
    s.MOVED: ("not at its plant setting", _SETTINGS),
    s.OWED: ("must trip before the plant is in service", Plant.title),
    s.RESET: ("already reset once without its cause found", _reset),
    s.CYCLE_OWED: ("no full cycle seen since the work", None),
    s.ANALYSER_OWED: ("flue gas not read since the gas work", None),
    s.GAS_OWED: ("not checked since the gas train was opened", _gas_check),
    s.TRIES: ("tried to start and not seen firing since", None),
    s.UNNOTED: ("changed and not written down", _SETTINGS),
    s.LEFT_OFF: ("off", _SOURCES),
    s.LEFT_LOCKED: ("locked", _SOURCES),
    s.LEFT_SHUT: ("shut", _VALVES),
    s.UNSEEN: ("cover perhaps open", _COVERS),
    s.STOPPED: ("people whose plant stopped are not told", None),
    s.STANDS: ("somebody may still stand at", _ZONES),
}


BROUGHT: dict[str, tuple[str, Callable[[Plant, str], str] | None]] = {
    s.LOCKED: ("off and locked by the page before", _SOURCES),
    s.TRIED: ("a start tried with it locked", _SOURCES),
    s.PROVED: ("proved gone", _SOURCES),
}
"""What every way to a page brings about; what is noted and identified need not be listed."""


def words(
    plant: Plant,
    facts: Collection[s.Fact],
    most: int = 0,
    says: Mapping[str, tuple[str, Callable[[Plant, str], str] | None]] = _WORDS,
) -> tuple[str, ...]:
    """Say facts in the words of a tag, one line for each kind.

    Args:
        most: How many names a line may list; where there are more it gives their number. 0 for all.
        says: The words of each kind.
    """
    lines = []
    own = s.at_most(arrived(frozenset(facts), plant.name))
    for kind, (head, _) in says.items():
        if s.has(own, kind):
            named = titles(plant, own, kind, says)
            if most and len(named) > most:
                named = [f"any of {len(named)}, as tags and record say"]
            lines.append(f"{head}: {'; '.join(named)}" if named else head)
    return tuple(lines)


def titles(
    plant: Plant,
    own: s.State,
    kind: str,
    says: Mapping[str, tuple[str, Callable[[Plant, str], str] | None]] = _WORDS,
) -> list[str]:
    """Return what people call the things that facts of a kind are about; none where these have no names."""
    _, title = says.get(kind, ("", None))
    return list(dict.fromkeys(title(plant, each) for each in s.names(own, kind))) if title else []
