"""What a page says and does, as a value that two versions of it can be held against each other by.

All of it is taken from the steps as they are written out and from the walk; nothing names a line or a step's number.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

from kbgen.compute.cautions import place_cautions
from kbgen.compute.walk import Arrival
from kbgen.compute.walk import state as s
from kbgen.compute.walk.arriving import touched
from kbgen.compute.walk.contract import BROUGHT
from kbgen.compute.walk.contract import words as in_words
from kbgen.compute.walk.explore import Explored, explore
from kbgen.compute.walk.graph import Graph, make_graph
from kbgen.compute.walk.plant import Plant
from kbgen.link.base import KnowledgeBase
from kbgen.model import action as act
from kbgen.model.answers import Answer, answers, question, words_for
from kbgen.model.procedure import Procedure, ProcedureStep
from kbgen.ref import Ref
from kbgen.review.deeds import DEEDS, Key, beside, keys, says
from kbgen.review.facts import FACTS, TARGETS, described
from kbgen.text import words

_ONLY_DONE = (
    act.Wait,
    act.Inspect,
    act.Measure,
    act.Watch,
    act.Observe,
    act.CheckReal,
    act.FindCause,
    act.Record,
    act.TryStart,
)
"""What no fact of the walk tells on every way; whether it is done before something is asked of the ways alone."""
_DANGEROUS = (
    act.OpenCover,
    act.WorkIn,
    act.Replace,
    act.Clip,
    act.Fit,
    act.OpenGasTrain,
    act.Unlock,
    act.Restore,
    act.OpenValve,
)
_AHEAD = (*_DANGEROUS, act.StartDemand, act.Reset, act.Adjust)
_OFF = (act.StopDemand, act.Isolate, act.ShutValve)
_ON = (act.Unlock, act.Restore, act.OpenValve, act.StartDemand)


@dataclass(slots=True)
class DeedSaid:
    """One deed: its words, what is compared beside it, and the steps that do it."""

    says: str
    beside: dict[str, set[str]] = field(default_factory=dict)
    steps: list[int] = field(default_factory=list)


@dataclass(slots=True)
class Target:
    """What is so for certain before a deed or an end, what may be so, and what was surely done."""

    sure: frozenset[s.Fact]
    maybe: frozenset[s.Fact]
    done: frozenset[Key]


@dataclass(frozen=True, slots=True)
class Way:
    """One answer: what follows at once, what it can lead to, and what is said of the plant by it.

    Attributes:
        fails: Whether it says that something was not proved, or takes doubt.
        passes: Whether it says that something was.
    """

    next: str
    ahead: frozenset[Key]
    fails: bool
    passes: bool
    at_most: int
    claims: tuple[str, ...]
    danger: bool
    shown: str
    step: int


@dataclass(frozen=True, slots=True)
class Line:
    """The words of a step, by field."""

    texts: Mapping[str, str]
    id: str
    acts: bool
    step: int


@dataclass(slots=True)
class PageSaid:
    """Everything that is compared of a page."""

    deeds: dict[Key, DeedSaid]
    targets: dict[Key, Target]
    facts: dict[s.Fact, str]
    ways: dict[tuple[str, str], Way]
    asked: dict[str, str]
    pairs: dict[str, frozenset[str]]
    named: dict[str, frozenset[str]]
    cautions: dict[str, dict[str, int]]
    off: tuple[Key, ...]
    on: tuple[Key, ...]
    fuel: frozenset[Key]
    lines: dict[str, list[Line]]
    needs: dict[s.Fact, str]
    brought: dict[s.Fact, str]
    finds: dict[s.Fact, str]
    leaves: dict[s.Fact, str]
    whole: bool


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
        needs={("start", each): each.replace("-", " ") for each in procedure.starts},
        brought=_crossing(plant, own.brings, words_of_brought),
        finds=_crossing(plant, own.finds, words_of_left),
        leaves=_crossing(plant, frozenset().union(*(out.left for out in explored.exits)), words_of_left),
        whole=explored.complete,
    )
    _targets(said, plant, graph, explored)
    for where, way in _ways(plant, graph, labels):
        said.ways[where] = way
    said.asked = {labels[i]: question(step) for i, step in enumerate(procedure.steps) if answers(step)}
    return said


def _crossing(
    plant: Plant, facts: s.State, say: Callable[[Plant, s.State], tuple[str, ...]]
) -> dict[s.Fact, str]:
    """Return what crosses the border of a page, by names that mean the same in both versions, in the words of a tag."""
    found: dict[s.Fact, str] = {}
    for kind, name in sorted(facts):
        said = say(plant, frozenset({(kind, name)}))
        if said:
            kind = kind.removeprefix(s.PERHAPS)
            found[(kind, said[0]) if kind in (s.FITTED, s.CLIPPED) else (kind, name)] = said[0]
    return found


def words_of_left(plant: Plant, facts: s.State) -> tuple[str, ...]:
    """Say what may be left behind, in the words of a tag."""
    return in_words(plant, facts)


def words_of_brought(plant: Plant, facts: s.State) -> tuple[str, ...]:
    """Say what the page before brings about."""
    return in_words(plant, facts, says=BROUGHT)


def label(plant: Plant, step: ProcedureStep) -> str:
    """Name a step by what it does, or by its words where it does nothing that can be followed."""
    if step.action is None:
        return f"“{words(step.do)}”"
    return "; ".join(says(plant, step.action, key) for key in keys(plant, step.action)) or step.id


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
        key for step in procedure.steps if isinstance(step.action, of) for key in keys(plant, step.action)
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


def _targets(said: PageSaid, plant: Plant, graph: Graph, explored: Explored) -> None:
    done = _done(plant, graph, explored)
    for index, step in enumerate(plant.procedure.steps):
        states = explored.states[index]
        if step.action is None or not states or type(step.action) not in TARGETS:
            continue
        kind = type(step.action)
        sure = {
            named
            for fact in frozenset.intersection(*(s.at_least(each) for each in states))
            if (named := _named(said, plant, fact, kind, keeps=True))
        }
        maybe = {
            named
            for fact in frozenset.union(*(s.at_most(each) for each in states))
            if (named := _named(said, plant, fact, kind, keeps=False))
        }
        for key in keys(plant, step.action):
            here = Target(frozenset(sure), frozenset(maybe), done[index])
            known = said.targets.get(key)
            said.targets[key] = (
                Target(known.sure & here.sure, known.maybe | here.maybe, known.done & here.done)
                if known
                else here
            )


def _named(said: PageSaid, plant: Plant, fact: s.Fact, kind: type, *, keeps: bool) -> s.Fact | None:
    """Return a fact that is compared before an action, by a name that means the same in both versions."""
    row = FACTS.get(fact[0])
    if row is None or row.keeps is not keeps or kind not in row.at:
        return None
    text = described(plant, fact)
    named = (fact[0], text) if fact[0] in (s.FITTED, s.CLIPPED) else fact
    said.facts[named] = text
    return named


def _done(plant: Plant, graph: Graph, explored: Explored) -> list[frozenset[Key]]:
    """Return for each step what was done on every way to it, of what no fact tells."""
    steps = plant.procedure.steps
    own = [
        frozenset(keys(plant, step.action)) if isinstance(step.action, _ONLY_DONE) else frozenset()
        for step in steps
    ]
    every = frozenset().union(*own)
    found: list[frozenset[Key]] = [every if index else frozenset() for index in range(len(steps))]
    changed = True
    while changed:
        changed = False
        for index, step in enumerate(steps):
            if not explored.states[index]:
                continue
            asked = plant.answers[index]
            for edge in graph.edges[index]:
                answer = asked[edge.answer] if edge.answer is not None else None
                behind = found[index] | (own[index] if _counts(step, answer) else frozenset())
                both = found[edge.target] & behind
                if edge.target and both != found[edge.target]:
                    found[edge.target], changed = both, True
    return found


def _counts(step: ProcedureStep, answer: Answer | None) -> bool:
    """Return whether a step is done once it is answered so: what was not seen, found or tried was not done."""
    if answer is None or not answer.verdict or isinstance(step.action, act.Measure | act.Watch):
        return True
    verdicts = words_for(step)
    return verdicts is None or answer.verdict == verdicts.passing or isinstance(step.action, act.CheckReal)


def _ways(plant: Plant, graph: Graph, labels: list[str]) -> Iterator[tuple[tuple[str, str], Way]]:
    steps = plant.procedure.steps
    index_of = {step.id: index for index, step in enumerate(steps) if step.id}
    for index, step in enumerate(steps):
        verdicts = words_for(step)
        for edge in graph.edges[index]:
            if edge.answer is None:
                continue
            answer = plant.answers[index][edge.answer]
            failing = verdicts is not None and bool(answer.verdict) and answer.verdict != verdicts.passing
            yield (
                (labels[index], answer.verdict or answer.when.casefold()),
                Way(
                    next=labels[index_of[answer.go]],
                    ahead=frozenset(_ahead(plant, graph, index, edge.target)),
                    fails=failing or answer.doubt,
                    passes=bool(answer.verdict) and not failing,
                    at_most=answer.at_most,
                    claims=tuple(sorted(answer.claims)),
                    danger=answer.danger,
                    shown=answer.when,
                    step=index,
                ),
            )


def _ahead(plant: Plant, graph: Graph, without: int, start: int) -> Iterator[Key]:
    """Yield the deeds and ends that a way can lead to before it asks the same once more."""
    found, waiting = {without, start}, [start]
    while waiting:
        at = waiting.pop()
        action = plant.procedure.steps[at].action
        ends = isinstance(action, act.End | act.HandOver)
        if isinstance(action, _AHEAD) or ends:
            yield from keys(plant, action) if action else ()
        for edge in graph.edges[at]:
            if edge.target not in found:
                found.add(edge.target)
                waiting.append(edge.target)


def ahead_is_danger(key: Key) -> bool:
    """Return whether what a way leads to exposes somebody, brings energy back or calls the plant ready."""
    names = {row.__name__ for row in _AHEAD}
    heads = {act.TABLE[each].name for each in DEEDS if each.__name__ in names}
    return key[0] in heads or (
        key[0] == "end" and key[1] in ("returned-to-service", "found", "not-reproduced")
    )
