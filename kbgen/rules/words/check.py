"""Every text of a knowledge base that may tell somebody to do something, and what does not go with its action."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cache, partial
from typing import Any

from kbgen.link.base import KnowledgeBase
from kbgen.link.kept import kept_all, remembered
from kbgen.model import action as act
from kbgen.model.entry import Entry
from kbgen.model.equipment import Equipment
from kbgen.model.procedure import Procedure, ProcedureStep
from kbgen.position import Route, Spot
from kbgen.problems import Problem, shown
from kbgen.rules.material import Check, Material
from kbgen.rules.words.beside import WORDS_TELL_MORE, alteration, standing
from kbgen.rules.words.deeds import deeds_of
from kbgen.rules.words.english import ENGLISH
from kbgen.rules.words.entry import against_entry
from kbgen.rules.words.found import WORDS, Found, Ground
from kbgen.rules.words.judge import judge
from kbgen.rules.words.names import names_of
from kbgen.rules.words.standing import stands
from kbgen.rules.words.subject import show, wants
from kbgen.rules.words.told import ALTER, Reader
from kbgen.text import read

TABLES = {"en": ENGLISH}
"""The table of each language; another language is not compared."""

DEED_NOT_SAID = WORDS.error(
    "deed-not-said",
    "Every page that names the routine shows these words, and the check counts on a deed that they do not ask for.",
    "words: {switch_off: {do: Look at the stop valve.}}",
    "words: {switch_off: {do: Shut the stop valve.}}",
    rests_on="The table of words of the shop's language; other words go unread.",
    safety=True,
)

_STEP = ("do", "expect", "why", "ask", "note_down")
# Elsewhere: what orders, and what only describes.
_ORDERS = frozenset(("look", "do", "remedy", "avoid", "close_up", "normal_when", "purpose"))
_DESCRIBES = frozenset(
    (
        "tells",
        "look_for",
        "means",
        "proves",
        "hazard",
        "consequence",
        "stop_and_call",
        "note",
        "isolate",
        "lock",
        "prove",
        "cause",
        "with",
        "real",
        "false",
        "remembers",
        "reset_by",
        "also_stops",
        "erased_by",
    )
)
_DANGEROUS = frozenset(("reset", "start", "open-gas", "unlock"))
_LOOKS = frozenset(("look", "close_up"))


@cache
def reader_of(language: str) -> Reader | None:
    """Return the reader of a language, or ``None`` where it has no table."""
    table = TABLES.get(language.partition("-")[0])
    return Reader(table) if table else None


def _against(material: Material) -> Iterator[Problem]:
    base = material.base
    language = base.shop.language
    if reader_of(language) is None:
        return
    makers = [
        (("words", language, str(ref)), partial(_in, base, entry, language))
        for ref, entry in base.entries.items()
    ]
    for found in kept_all(material.store, base, makers):
        yield from found


def _in(base: KnowledgeBase, entry: Entry, language: str) -> tuple[Problem, ...]:
    reader = reader_of(language)
    return tuple(
        found.rule.at(Spot(entry.path, found.route), found.message, found.hint)
        for found in (in_entry(base, reader, entry) if reader else ())
    )


CHECKS: tuple[Check, ...] = (_against,)


def not_compared(base: KnowledgeBase) -> tuple[str, ...]:
    """Return, in the reader's words, what a language without a table leaves unchecked."""
    language = base.shop.language
    return (
        ()
        if reader_of(language)
        else (f"words against actions (there is no table of words for `{language}`)",)
    )


def in_entry(base: KnowledgeBase, reader: Reader, entry: Entry) -> Iterator[Found]:
    """Yield what does not go together in one entry."""
    if isinstance(entry.record, Procedure):
        yield from _procedure(base, reader, entry, entry.record)
        yield from _standing(reader, entry.record, entry.data)
    if isinstance(entry.record, Equipment):
        yield from _plant(base, reader, entry, entry.record)
    yield from _elsewhere(reader, entry)


_BESIDE_STEPS = ("close_up", "purpose", "permission", "tools", "meter")
"""The texts of a page beside its steps."""
_BESIDE_DOING = ("expect", "why", "note_down", "in_short")
"""The texts of a step beside its instruction."""


def _standing(reader: Reader, procedure: Procedure, data: Mapping[str, Any]) -> Iterator[Found]:
    """Yield alterations that a page says to be in, in a text that no step fits by or takes out by."""
    for name in _BESIDE_STEPS:
        for route, text in _leaves(data.get(name, ()), (name,)):
            said = stands(reader.table, text, purposes=name == "close_up")
            if said:
                yield standing(said, route)
    if any(isinstance(step.action, act.Fit | act.Undo) for step in procedure.steps):
        return  # what its steps fit, its texts may speak of
    for index, step in enumerate(data["steps"]):
        for name in _BESIDE_DOING:
            said = stands(reader.table, step.get(name, ""), purposes=False)
            if said:
                yield standing(said, ("steps", index, name))


def _procedure(base: KnowledgeBase, reader: Reader, entry: Entry, procedure: Procedure) -> Iterator[Found]:
    fits = {step.action.name: step.action for step in procedure.steps if isinstance(step.action, act.Fit)}
    told: set[Found] = set()
    undone = {step.action.undo for step in procedure.steps if isinstance(step.action, act.Undo)} - fits.keys()
    for plant_id in procedure.equipment:
        plant = base.equipment(plant_id)
        if plant is None:
            continue
        # What another page altered is undone here.
        others = base.of(Procedure, plant=plant_id) if undone else ()
        before = [step.action for _, other in others for step in other.steps]
        fits |= {each.name: each for each in before if isinstance(each, act.Fit) and each.name in undone}
        gather = partial(names_of, base, plant_id, plant, reader.table)
        named = remembered(base, ("words of a plant", str(id(reader)), plant_id), gather)
        ground = Ground(reader, named, {source.id: source for source in plant.sources}, fits)
        for index, (step, data) in enumerate(zip(procedure.steps, entry.data["steps"], strict=True)):
            about = against_entry(base, plant_id, step, data["do"], reader)
            for found in (*judge(ground, step, _texts(data)), *about):
                here = replace(found, route=("steps", index, *found.route))
                if here not in told:
                    told.add(here)
                    yield here


def _plant(base: KnowledgeBase, reader: Reader, entry: Entry, plant: Equipment) -> Iterator[Found]:
    """Yield the words for handling the plant that tell another deed: routines put the action beside them."""
    named = names_of(base, entry.ref.id, plant, reader.table)
    ground = Ground(reader, named, {source.id: source for source in plant.sources}, {})
    for deed, action in deeds_of(plant):
        asked = wants(action)
        if asked and not any(told.kind in asked for told in reader.told(deed.do)):
            message = f"`{shown(deed.do)}` does not tell `{show(action)}`, which routines put beside it"
            yield Found(DEED_NOT_SAID, (*deed.route, "do"), message, "Say in plain words what is done to it.")
            continue
        step = ProcedureStep(read(deed.do), action)
        texts: list[tuple[Route, str]] = [(("do",), deed.do)]
        texts += [((name,), text) for name in ("expect", "why", "note_down") if (text := getattr(deed, name))]
        for found in judge(ground, step, texts):
            yield replace(found, route=(*deed.route, *found.route))


def _texts(step: Mapping[str, Any]) -> list[tuple[Route, str]]:
    found: list[tuple[Route, str]] = [((name,), step[name]) for name in _STEP if name in step]
    outcomes = enumerate(step.get("outcomes", ()))
    return found + [(("outcomes", index, "when"), outcome["when"]) for index, outcome in outcomes]


def _elsewhere(reader: Reader, entry: Entry) -> Iterator[Found]:
    for route, text in _leaves(entry.data, ()):
        name = next(part for part in reversed(route) if isinstance(part, str))
        if name not in _ORDERS and name not in _DESCRIBES:
            continue
        for told in reader.told(text):
            if told.kind == ALTER and not (told.shown and name in _DESCRIBES):
                yield alteration(told, route, "nothing here is a `fit`")
            elif told.kind in _DANGEROUS and name in _LOOKS:
                yield Found(
                    WORDS_TELL_MORE,
                    route,
                    f"`{shown(told.words)}` is told here, and no action does it",
                    "A look touches nothing; write it as a step of a procedure.",
                )


def _leaves(data: Any, route: Route) -> Iterator[tuple[Route, str]]:
    if isinstance(data, str):
        yield route, data
    elif isinstance(data, Mapping):
        for name, value in data.items():
            if name not in ("steps", "written", "accept", "may_jump"):
                yield from _leaves(value, (*route, name))
    elif isinstance(data, list | tuple):
        for index, value in enumerate(data):
            yield from _leaves(value, (*route, index))
