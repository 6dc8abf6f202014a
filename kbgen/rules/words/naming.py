"""Whether an instruction names what its action is about: who reads it has only the words."""

from __future__ import annotations

from itertools import pairwise

from kbgen.model import action as act
from kbgen.rules.words.clauses import Clause, folded, is_mark, plain
from kbgen.rules.words.found import Ground
from kbgen.rules.words.names import words_of
from kbgen.rules.words.subject import show, target
from kbgen.rules.words.table import Table
from kbgen.rules.words.telling import tells, ways_of, words_of_ways

_SWITCHED_OFF = frozenset(("electric", "foreign-fed", "fuel", "pressure", "water", "air"))
"""Energies that something with a name turns off; heat and motion go by themselves, and words say what is waited for."""


def not_named(ground: Ground, action: act.AnyAction, text: str, ask: str) -> tuple[str, str] | None:
    """Return that an instruction leaves open what its action is about, and what to write; ``None`` where it says so.

    Args:
        ask: The question of the step, which may name a terminal in place of the instruction.
    """
    lack = _lacking(ground, action, text, ask)
    if not lack:
        return None
    return (
        f"these words do not name `{lack}`, and the action is `{show(action)}`",
        "Call it by its mark or its title.",
    )


def _lacking(ground: Ground, action: act.AnyAction, text: str, ask: str) -> str:
    tokens = ground.reader.affirmed(text)
    named = True
    match action:
        case act.Measure() | act.Clip():
            return _terminal(ground, action, f"{text} {ask}")
        case _ if _named_before(ground.reader.table, tokens, words_of(text)):
            return ""
        case act.ShutValve() | act.OpenValve() | act.OpenCover() | act.CloseCover():
            named = _part(ground, action, tokens)
        case act.Isolate() | act.Restore() | act.Lock() | act.Unlock():
            named = _source(ground, action, tokens)
        case act.Reset() | act.Hold() | act.Replace():
            labels = ground.names.button_labels.get(target(action), frozenset())
            named = _device(ground, action, tokens) or not labels.isdisjoint(words_of(text, fold=False))
        case act.OpenGasTrain() | act.Cap() | act.LeakCheck():
            return _point(ground, action, tokens)
        case act.StartDemand() | act.StopDemand():
            named = _switch(ground, action, tokens)
    table = ground.reader.table
    # A plant has several switches, and "heat" tells another one; beside a valve it tells none.
    telling = (
        table.nouns_first - table.switches - words_of_ways(table, action)
        if isinstance(action, act.StartDemand | act.StopDemand)
        else frozenset()
    )
    silent = telling.isdisjoint(tokens) and _says_nothing_else(table, action, tokens)
    return "" if named or silent else target(action)


def tells_whole(ground: Ground, action: act.AnyAction | None, clause: Clause, ends: tuple[str, ...]) -> bool:
    """Return whether one clause tells an action and names what it is about, so that its verb does not matter."""
    match action:
        case act.ShutValve() | act.OpenValve() | act.OpenCover() | act.CloseCover():
            named = _part
        case act.StartDemand() | act.StopDemand():
            named = _switch
        case act.Reset():
            named = _device
        case _:
            return False
    reader = ground.reader
    return named(ground, action, folded(clause.tokens, reader.table)) and tells(
        reader, " ".join((*clause.words, *ends)), ways_of(ground, action)
    )


def _says_nothing_else(table: Table, action: act.AnyAction, tokens: tuple[str, ...]) -> bool:
    """Return whether no word of an instruction describes a thing: "take your padlock off" can mean no other one."""
    small = words_of_ways(table, action)
    known = (
        token in table.no_things
        or token in small
        or token in table.forms
        or token.endswith(table.adverb)
        or not (token.isalpha() or is_mark(token.upper()))
        for token in tokens
    )
    return all(known)


def _named_before(table: Table, tokens: tuple[str, ...], words: tuple[str, ...]) -> bool:
    """Return whether words go back to what was named before: "it", "that switch", "every joint", "the old one"."""
    if not (table.objects_named_before | table.every).isdisjoint((*tokens, *words)):
        return True
    return any(one in table.pointing and other in table.pointed_at for one, other in pairwise(words))


def _part(ground: Ground, action: act.AnyAction, tokens: tuple[str, ...]) -> bool:
    like, own = ground.like(action), target(action)
    if like is None or own not in like.phrases:
        return True
    return (
        len(like.phrases) == 1
        or own in like.named(tokens)
        or any(set(phrase) <= set(tokens) for phrase in like.phrases[own])
        or not ground.names.part_words.get(own, frozenset()).isdisjoint(tokens)
    )


def _source(ground: Ground, action: act.AnyAction, tokens: tuple[str, ...]) -> bool:
    names, own = ground.names, target(action)
    source = ground.sources.get(own)
    if source is None or source.energy not in _SWITCHED_OFF:
        return True
    return (
        len(ground.sources) == 1
        or ground.own(action, tokens)
        or ground.own_thing(action, tokens)
        or not names.source_words.get(own, frozenset()).isdisjoint(tokens)
        or not names.source_valves.get(own, frozenset()).isdisjoint(names.valves.named(tokens))
    )


def _device(ground: Ground, action: act.AnyAction, tokens: tuple[str, ...]) -> bool:
    names, own = ground.names, target(action)
    device = names.buttons.get(own, own)
    return (
        bool({own, device} & names.devices.named(tokens))
        or not (
            names.device_calls.get(device, frozenset()) - words_of_ways(ground.reader.table, action)
        ).isdisjoint(tokens)
        or not names.button_words.get(own, frozenset()).isdisjoint(tokens)
    )


def _point(
    ground: Ground, action: act.OpenGasTrain | act.Cap | act.LeakCheck, tokens: tuple[str, ...]
) -> str:
    names = ground.names
    own = action.leak_check if isinstance(action, act.LeakCheck) else (target(action),)
    if names.fuel_points.isdisjoint(tokens) and _says_nothing_else(ground.reader.table, action, tokens):
        return ""
    marked = (each for each in own if each in names.fuel_points)
    return next((each for each in marked if names.point_words[each].isdisjoint(tokens)), "")


def _switch(ground: Ground, action: act.AnyAction, tokens: tuple[str, ...]) -> bool:
    table = ground.reader.table
    own = set(folded(words_of(target(action)), table))
    # "The knob of the new switch": the one that was just changed.
    if any(one in table.renewed and other in table.switches for one, other in pairwise(tokens)):
        return True
    # "Switch" and OFF are of every switch; what only this one is called tells which.
    small = table.switches | table.unspecific | table.particles | table.joins | table.toward | table.leads
    return not ((own - small) or own).isdisjoint(tokens)


def _terminal(ground: Ground, action: act.Measure | act.Clip, text: str) -> str:
    """Return the terminal that is not named where others are."""
    wanted = (action.at, action.to) if isinstance(action, act.Clip) else (action.at,)
    words = words_of(plain(text), fold=False)
    if not any(word in ground.names.terminals for word in words):
        return ""
    return next((mark for mark in wanted if is_mark(mark) and mark not in words), "")
