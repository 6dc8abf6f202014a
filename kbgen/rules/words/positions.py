"""Positions in capitals, and how often: what a switch is put to, held against the words of the action's own field."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

from kbgen.model import action as act
from kbgen.problems import shown
from kbgen.rules.words.clauses import Clause, plain, telling
from kbgen.rules.words.found import Ground
from kbgen.rules.words.names import words_of
from kbgen.rules.words.table import Table

_LABEL = re.compile(r"\b[A-Z]{2,}(?: [A-Z]{2,})*\b")


def other_positions(ground: Ground, action: act.AnyAction, text: str) -> Iterator[str]:
    """Yield that a switch is put elsewhere than the field says, or not back where it says."""
    field = _field(action)
    wanted = _LABEL.findall(plain(field))
    if not wanted:
        return
    table = ground.reader.table
    lower = " ".join(words_of(plain(text)))
    for label in () if isinstance(action, act.TryStart) else dict.fromkeys(wanted):
        if label not in table.common_labels and label.lower() not in lower:
            yield f"these words do not put it to {label}, and the action says `{shown(field)}`"
            return
    # "The heat switch has been at OFF since before" works nothing.
    stands = table.stays | table.was
    moved = [each for each in telling(text, table) if stands.isdisjoint(each.tokens)]
    for clause in moved:
        for label in _put_to(clause, table):
            if label not in wanted and not (
                isinstance(action, act.TryStart) and label in table.common_labels
            ):
                yield f"these words put it to {label}, and the action says `{shown(field)}`"
                return
    if isinstance(action, act.TryStart):
        yield from _not_back(table, field, wanted, text)
    else:
        yield from _another(table, field, moved)
        yield from _other_switch(table, field, moved)


def _field(action: act.AnyAction) -> str:
    match action:
        case act.StartDemand(start_demand=field) | act.StopDemand(stop_demand=field):
            return field
        case act.TryStart(try_start=field):
            return field
        case act.Fit(fit="changed-setting", at=field):
            return field
    return ""


def put_to(text: str) -> tuple[str, ...]:
    """Return the positions that a text names, in capitals."""
    return tuple(_LABEL.findall(plain(text)))


def _put_to(clause: Clause, table: Table) -> Iterator[str]:
    """Yield the labels that something is put to: behind "to", "at", or the verb of a choice."""
    said = " ".join(clause.words)
    for match in _LABEL.finditer(said):
        before = words_of(said[: match.start()])[-1:]
        if not (table.put_to | table.chooses).isdisjoint(before):
            yield match.group()


def _not_back(table: Table, field: str, wanted: list[str], text: str) -> Iterator[str]:
    """Yield that what is tried is not put back: the last position of the field is not named after the first."""
    named = _LABEL.findall(plain(text))
    stays = any(
        not table.stays.isdisjoint(each.tokens) and not table.as_it_is.isdisjoint(each.tokens)
        for each in telling(text, table)
    )
    back = table.back.isdisjoint(words_of(text)) and bool(named) and wanted[-1] != named[-1]
    if back or (stays and named[-1:] != wanted[-1:]):
        yield f"these words do not put it back, and the action says `{shown(field)}`"


def _another(table: Table, field: str, clauses: list[Clause]) -> Iterator[str]:
    """Yield that a switch of the field is put to the position of another one: "fan switch and heat switch to ON"."""
    own = dict(_pairs(table, plain(field)))
    for clause in clauses:
        for thing, label in _pairs(table, " ".join(clause.words)):
            if own.get(thing, label) != label:
                yield f"these words put `{thing}` to {label}, and the action says `{shown(field)}`"
                return


def _other_switch(table: Table, field: str, clauses: list[Clause]) -> Iterator[str]:
    """Yield that a switch of another name is worked than the field's: "flick the fan switch to OFF, the heat dies with it"."""
    own = words_of(plain(field))
    for clause in (each for each in clauses if table.being.isdisjoint(each.tokens)):
        for one, other in pairwise(clause.tokens):
            worked = other in table.switches & set(own) and one in table.nouns_first and one not in own
            if worked and set(own).isdisjoint(set(clause.tokens) & table.nouns_first - table.switches):
                yield f"these words work the {one} {other}, and the action says `{shown(field)}`"
                return


def _pairs(table: Table, text: str) -> Iterator[tuple[str, str]]:
    """Yield each word for a thing with the position named next behind it."""
    start = 0
    for match in _LABEL.finditer(text):
        before = words_of(text[start : match.start()])
        if not table.begins.isdisjoint(before[-1:]):
            continue  # "from AUTO": where it was
        for word in before:
            if word not in table.switches | table.toward | table.articles | table.leads | table.stays:
                yield word, match.group()
        start = match.end()


def repeated(ground: Ground, action: act.AnyAction, text: str) -> Iterator[str]:
    """Yield that what an action does once is told oftener: "each time", "three times", "then once more"."""
    if not isinstance(action, act.Reset):
        return
    table = ground.reader.table
    for clause in telling(text, table):
        tokens = clause.tokens
        often = table.again & set(tokens)
        times = any(
            other in table.times
            and (
                one in table.repeats or table.numbers.get(one, "1") != "1" or (one.isdecimal() and one != "1")
            )
            for one, other in pairwise(tokens)
        )
        if often or times:
            yield f"`{shown(' '.join(clause.words))}` tells it oftener than once, and nothing allows a second time"
            return
