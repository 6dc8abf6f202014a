"""How a page stands between the others, in words: what it needs, what it may find, what it leaves."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable

from kbgen.compute.walk import state as s
from kbgen.compute.walk.arriving import arrived, touched
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.result import Contract, Exit, Leaving
from kbgen.compute.walk.state import State
from kbgen.model.action import Clip, Fit


def contract(plant: Plant, exits: Iterable[Exit], finds: State) -> Contract:
    """Say it for one page.

    Args:
        exits: Its ways out.
        finds: What earlier pages may have left.
    """
    beside = finds - touched(plant.procedure, finds)
    behind: dict[int, set[s.Fact]] = {}
    for out in exits:
        behind.setdefault(out.step, set()).update(out.leaves(beside))
    left = [
        Leaving(step, words(plant, facts), _hidden(plant, facts)) for step, facts in sorted(behind.items())
    ]
    return Contract(
        needs=tuple(start.replace("-", " ") for start in plant.procedure.starts),
        finds=words(plant, finds),
        leaves=tuple(each for each in left if each.lines),
        hidden=_hidden(plant, finds),
    )


_SHOWS_ITSELF = (s.LEFT_OFF, s.LEFT_LOCKED, s.LEFT_SHUT, s.UNSEEN, s.STOPPED)
"""What everybody sees who looks at the plant, or is told by the pages that bring it back."""


def _hidden(plant: Plant, facts: Collection[s.Fact]) -> tuple[str, ...]:
    return words(plant, s.without(frozenset(facts), *_SHOWS_ITSELF))


def _alteration(plant: Plant, where: str) -> str:
    action = plant.action_at(where)
    return action.name if isinstance(action, Fit) else action.clip if isinstance(action, Clip) else where


def _cover(plant: Plant, name: str) -> str:
    return plant.covers[name].title if name in plant.covers else name


def _setting(plant: Plant, name: str) -> str:
    return plant.settings[name].title if name in plant.settings else name


def _point(plant: Plant, name: str) -> str:
    return plant.fuel_points[name].title if name in plant.fuel_points else name


def _reset(plant: Plant, name: str) -> str:
    return plant.memory[name].what if name in plant.memory else plant.title(name)


def _source(plant: Plant, name: str) -> str:
    return plant.sources[name].title if name in plant.sources else name


def _valve(plant: Plant, name: str) -> str:
    return plant.valves[name].title if name in plant.valves else name


_WORDS: dict[str, tuple[str, Callable[[Plant, str], str] | None]] = {
    s.FITTED: ("still in", _alteration),
    s.CLIPPED: ("leads still on", _alteration),
    s.OPENING: ("gas train open at", _point),
    s.UNTESTED: ("not proved tight with gas", _point),
    s.LEAKS: ("found leaking", _point),
    s.MOVED: ("not at its plant setting", _setting),
    s.OWED: ("must trip before the plant is in service", Plant.title),
    s.RESET: ("already reset once without its cause found", _reset),
    s.CYCLE_OWED: ("no full cycle seen since the work", None),
    s.ANALYSER_OWED: ("flue gas not read since the gas work", None),
    s.UNNOTED: ("changed and not written down", _setting),
    s.LEFT_OFF: ("off", _source),
    s.LEFT_LOCKED: ("locked", _source),
    s.LEFT_SHUT: ("shut", _valve),
    s.UNSEEN: ("cover perhaps open", _cover),
    s.STOPPED: ("people whose plant stopped are not told", None),
}


def words(plant: Plant, facts: Collection[s.Fact]) -> tuple[str, ...]:
    """Say facts in the words of a tag, one line for each kind."""
    lines = []
    own = s.at_most(arrived(frozenset(facts), plant.name))
    for kind, (says, name) in _WORDS.items():
        about = s.names(own, kind)
        if about:
            lines.append(
                f"{says}: {'; '.join(dict.fromkeys(name(plant, each) for each in about))}" if name else says
            )
    return tuple(lines)
