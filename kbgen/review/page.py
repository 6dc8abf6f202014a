"""What a page says and does, as a value that two versions of it can be held against each other by.

All of it is taken from the steps as they are written out and from the walk; nothing names a line or a step's number.
"""

from __future__ import annotations

from collections.abc import Callable

from kbgen.compute.cautions import place_cautions
from kbgen.compute.walk import Arrival
from kbgen.compute.walk import state as s
from kbgen.compute.walk.arriving import touched
from kbgen.compute.walk.contract import BROUGHT
from kbgen.compute.walk.contract import words as in_words
from kbgen.compute.walk.explore import explore
from kbgen.compute.walk.graph import make_graph
from kbgen.compute.walk.plant import Plant
from kbgen.link.base import KnowledgeBase
from kbgen.model import action as act
from kbgen.model.answers import answers, question
from kbgen.model.procedure import Procedure, ProcedureStep
from kbgen.ref import Ref
from kbgen.review.deeds import Key
from kbgen.review.naming import beside, keys, says
from kbgen.review.onways import hunt, targets, ways
from kbgen.review.said import DeedSaid, Line, PageSaid
from kbgen.text import words

_OFF = (act.StopDemand, act.Isolate, act.ShutValve)
_ON = (act.Unlock, act.Restore, act.OpenValve, act.StartDemand)


def read_page(base: KnowledgeBase, ref: Ref, arrival: Arrival) -> PageSaid:
    """Read everything that is compared of a page.

    Args:
        arrival: What the pages before it leave; see ``Walk.arrival``.

    Raises:
        TypeError: The entry is no procedure.
    """
    procedure = base.procedure(ref.id)
    if procedure is None:
        raise TypeError(f"{ref} is no procedure")
    plant = Plant(base, procedure, ref.id)
    graph = make_graph(procedure, ref.id)
    own = touched(procedure, arrival)
    explored = explore(plant, graph, arrival=own)
    labels = [label(plant, step) for step in procedure.steps]
    deeds = _deeds(plant, procedure)
    said = PageSaid(
        deeds=deeds,
        targets={},
        facts={},
        ways={},
        asked={},
        pairs=_pairs(plant, procedure),
        named=_named_pairs(procedure),
        cautions=_cautions(base, plant, procedure),
        off=_order(plant, procedure, _OFF),
        on=_order(plant, procedure, _ON),
        fuel=frozenset(key for key in deeds if _is_fuel(plant, key)),
        lines=_lines(procedure, labels),
        shown={name: _shown(plant, step) for name, step in zip(labels, procedure.steps, strict=True)},
        needs={("start", each): each.replace("-", " ") for each in procedure.starts},
        brought=_crossing(plant, own.brings, words_of_brought),
        finds=_crossing(plant, own.finds, words_of_left),
        leaves=_crossing(plant, frozenset().union(*(out.left for out in explored.exits)), words_of_left),
        whole=explored.complete,
    )
    targets(said, plant, graph, explored)
    for where, way in ways(plant, graph, labels):
        said.ways[where] = way
    said.asked = {
        hunt(step) or labels[i]: question(step) for i, step in enumerate(procedure.steps) if answers(step)
    }
    return said


def _crossing(
    plant: Plant, facts: s.State, say: Callable[[Plant, s.State], tuple[str, ...]]
) -> dict[s.Fact, str]:
    """Return what crosses the border of a page, by names that mean the same in both versions, in the words of a tag."""
    found: dict[s.Fact, str] = {}
    for kind, name in sorted(facts):
        said = say(plant, frozenset({(kind, name)}))
        if said:
            plain = kind.removeprefix(s.PERHAPS)
            found[(plain, said[0]) if plain in (s.FITTED, s.CLIPPED) else (plain, name)] = said[0]
    return found


def words_of_left(plant: Plant, facts: s.State) -> tuple[str, ...]:
    """Say what may be left behind, in the words of a tag."""
    return in_words(plant, facts)


def words_of_brought(plant: Plant, facts: s.State) -> tuple[str, ...]:
    """Say what the page before brings about."""
    return in_words(plant, facts, says=BROUGHT)


def label(plant: Plant, step: ProcedureStep) -> str:
    """Name a step by what it does, in ids that hold in both versions; by its words where nothing can be followed."""
    if step.action is None:
        return f"“{words(step.do)}”"
    return "; ".join("/".join(key) for key in keys(plant, step.action)) or step.id


def _shown(plant: Plant, step: ProcedureStep) -> str:
    if step.action is None:
        return f"“{words(step.do)}”"
    return "; ".join(says(plant, step.action, key) for key in keys(plant, step.action))


def _deeds(plant: Plant, procedure: Procedure) -> dict[Key, DeedSaid]:
    found: dict[Key, DeedSaid] = {}
    for index, step in enumerate(procedure.steps):
        if step.action is None:
            continue
        for key in keys(plant, step.action):
            deed = found.setdefault(key, DeedSaid(says(plant, step.action, key)))
            deed.steps.append(index)
            for name, value in beside(step.action).items():
                deed.beside.setdefault(name, set()).add(value)
    return found


def _is_fuel(plant: Plant, key: Key) -> bool:
    names = set(key[1:])
    return bool(names & (plant.fuel_sources | plant.valves.keys()))


def _order(plant: Plant, procedure: Procedure, of: tuple[type, ...]) -> tuple[Key, ...]:
    found = (
        key
        for step in procedure.steps
        if step.action is not None and isinstance(step.action, of)
        for key in keys(plant, step.action)
    )
    return tuple(dict.fromkeys(found))


def _pairs(plant: Plant, procedure: Procedure) -> dict[str, frozenset[str]]:
    """Return what every proof of a source measures: each conductor to each other and to earth, and what is added."""
    found: dict[str, frozenset[str]] = {}
    for step in procedure.steps:
        if isinstance(step.action, act.ProveDead):
            name = step.action.prove_dead
            source = plant.sources.get(name)
            own = {f"{one} to {other}" for one, other in source.pairs} if source else set()
            measured = frozenset(map(_either_way, own | set(step.action.between)))
            found[name] = found[name] & measured if name in found else measured
    return found


def _named_pairs(procedure: Procedure) -> dict[str, frozenset[str]]:
    """Return the pairs that the proofs of a source name themselves, whatever the plant's entry says."""
    found: dict[str, frozenset[str]] = {}
    for step in procedure.steps:
        if isinstance(step.action, act.ProveDead):
            name = step.action.prove_dead
            found[name] = found.get(name, frozenset()) | frozenset(map(_either_way, step.action.between))
    return found


def _either_way(pair: str) -> str:
    """Return a pair the same whichever of its ends is named first; earth stands last."""
    one, between, other = pair.partition(" to ")
    turned = between and other != "earth" and other < one
    return f"{other} to {one}" if turned else pair


def _cautions(base: KnowledgeBase, plant: Plant, procedure: Procedure) -> dict[str, dict[str, int]]:
    """Return the messages of a page, each with what it stands before, and at which step."""
    found: dict[str, dict[str, int]] = {}
    for name in procedure.cautions:
        found.setdefault(name, {})[""] = 0
    for index, placed in enumerate(place_cautions(base, procedure)):
        for each in placed:
            found.setdefault(each.ref.id, {}).setdefault(label(plant, procedure.steps[index]), index)
    return found


def _lines(procedure: Procedure, labels: list[str]) -> dict[str, list[Line]]:
    found: dict[str, list[Line]] = {}
    for index, step in enumerate(procedure.steps):
        texts = {
            "do": words(step.do),
            "expect": step.expect,
            "why": step.why,
            "note_down": step.note_down,
            "minutes": step.minutes.text if step.minutes else "",
            "photos": ", ".join(photo.file for photo in step.photos),
        }
        found.setdefault(labels[index], []).append(Line(texts, step.id, step.action is not None, index))
    return found
