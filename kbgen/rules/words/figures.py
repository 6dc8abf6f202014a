"""Figures of an instruction held against those of its action, each kind of quantity by itself.

A figure of the words lies within what the field gives, or in a clause that tells nothing: under a condition, denied, or
of what stays as it is. A kind of quantity that the fields do not give is not compared.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from kbgen.model import action as act
from kbgen.problems import shown
from kbgen.quantity import DIMENSIONS
from kbgen.rules.words.clauses import Clause, clauses, is_time, plain, sentences, telling
from kbgen.rules.words.found import Ground
from kbgen.rules.words.names import words_of
from kbgen.rules.words.table import Table

# A spelling that is a word or a mark as well says no unit behind a figure: "3 in", "2 x".
_NO_UNITS = frozenset(("in", "m", "d", "k", "R", "x", "×", "times", "'", '"', "hp"))
_TIME = "time"
_NEAR = 3
_PART = 0.005


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of a text.

    Attributes:
        kind: Its dimension: ``pressure``.
        value: In the base unit of that dimension.
        shown: As typed.
        before: The words of its clause before it, in lower case.
    """

    kind: str
    value: float
    shown: str
    before: tuple[str, ...]


@cache
def _pattern() -> re.Pattern[str]:
    spellings = (each for kind in DIMENSIONS.values() for each in kind.units if each not in _NO_UNITS)
    units = "|".join(sorted(map(re.escape, spellings), key=len, reverse=True))
    return re.compile(rf"(?<![\w.])(-?\d+(?:[.,]\d+)?)\s*°?\s*({units})(?![\w/])")


def figures(text: str, table: Table) -> Iterator[Figure]:
    """Yield the figures of a text that stand with a unit; a length of time also in words."""
    said = " ".join(in_figures(tuple(plain(text).split()), table))
    for match in _pattern().finditer(said):
        number, unit = match.groups()
        for name, kind in DIMENSIONS.items():
            if unit in kind.units:
                value = float(number.replace(",", ".")) * kind.units[unit] + kind.offsets.get(unit, 0.0)
                yield Figure(name, value, f"{number} {unit}", words_of(said[: match.start()]))
                break


def spans(text: str, table: Table) -> dict[str, tuple[float, float]]:
    """Return least and greatest value that a field leaves, for each kind of quantity in it."""
    found: dict[str, tuple[float, float]] = {}
    last: Figure | None = None
    for figure in figures(text, table):
        lo = hi = figure.value
        if "±" in text and last is not None and last.kind == figure.kind:
            lo, hi = last.value - figure.value, last.value + figure.value
        elif not table.more.isdisjoint(figure.before[-_NEAR:]):
            hi = math.inf
        elif not table.less.isdisjoint(figure.before[-_NEAR:]):
            lo = -math.inf
        known = found.get(figure.kind, (lo, hi))
        found[figure.kind] = min(lo, known[0]), max(hi, known[1])
        last = figure
    return found


def other_figures(ground: Ground, action: act.AnyAction, text: str) -> Iterator[str]:
    """Yield that a figure in the words is none that the fields of the action give."""
    table = ground.reader.table
    match action:
        case act.ProveGone(by=field):
            hot = next(row["still-there"] for row in table.verdicts if "still-there" in row)
            yield from _outside(table, field, text, hot)
        case act.Measure(reads=field) | act.Watch(reads=field):
            yield from _outside(table, field, text)
        case act.Wait(for_=field):
            yield from _outside(table, field, text)
        case _:
            pass
    match action:
        case act.Wait(wait=length) | act.Hold(for_=length) | act.Watch(for_=length) if length is not None:
            yield from _other_length(table, length.lo, length.hi, length.text, text)
        case act.Reset(reset=name):
            field = ground.names.presses.get(name, "")
            for figure in figures(field, table):
                if figure.kind == _TIME:
                    yield from _other_length(table, figure.value, figure.value, figure.shown, text)
                    return
        case _:
            pass


_FREE = (
    act.Adjust
    | act.Fit
    | act.Undo
    | act.ProveTrip
    | act.Measure
    | act.Watch
    | act.Replace
    | act.ProveGone
    | act.WorkIn
)


def sets_elsewhere(table: Table, action: act.AnyAction, text: str) -> Iterator[str]:
    """Yield that a setting is changed in a step that adjusts nothing: "crank it to 300 Pa"."""
    if isinstance(action, _FREE):
        return
    verbs = table.turns | table.raises | table.lowers
    for clause in telling(text, table):
        first = next((token for token in clause.tokens if token not in table.leads), "")
        for figure in figures(" ".join(clause.words), table) if first in verbs or first in table.sets else ():
            if figure.kind in ("pressure", "temperature") and not table.toward.isdisjoint(figure.before[-1:]):
                yield f"`{shown(' '.join(clause.words))}` changes a setting, and no action of this step does it"
                return


def _outside(table: Table, field: str, text: str, fails: frozenset[str] = frozenset()) -> Iterator[str]:
    allowed = spans(field, table)
    own = {figure.value for figure in figures(field, table)}
    for clause in telling(text, table) if allowed else ():
        # "Gun off at 105 °C" says where a trial is broken off.
        # "60 °C is hot" says what is not gone.
        if not (table.stays | table.broken_off | fails).isdisjoint(clause.tokens):
            continue
        for figure in figures(" ".join(clause.words), table):
            lo, hi = allowed.get(figure.kind, (-math.inf, math.inf))
            slack = abs(figure.value) * _PART
            # "From 100 psi down" says where it began.
            began = not table.begins.isdisjoint(figure.before[-1:])
            within = figure.value in own or lo - slack <= figure.value <= hi + slack
            if figure.kind != _TIME and not within and not began:
                yield f"these words say {figure.shown}, and the action says `{shown(field)}`"
                return


def _other_length(table: Table, lo: float, hi: float, field: str, text: str) -> Iterator[str]:
    """Yield that a length of time in the words is not the action's own: none of them is, or one is offered in its place."""
    wrong: list[Figure] = []
    right = False
    for clause in (each for sentence in sentences(text) for each in clauses(sentence, table)):
        for figure in _lengths(clause, table):
            before = figure.before[-1:]
            # "Let the run-on of 5 min finish" says how long that takes; who waits longer has seen the end of it.
            of_run_on = not table.owning.isdisjoint(before) or not table.run_on.isdisjoint(clause.tokens)
            within = of_run_on and figure.value <= hi
            if table.repeats.isdisjoint(before) and not within:
                if lo <= figure.value <= hi:
                    right = True
                elif figure.value < lo and not table.alternatives.isdisjoint(
                    (clause.joined, *clause.tokens[:1])
                ):
                    yield f"these words offer {figure.shown} as well, and the action says {field}"
                    return
                else:
                    wrong.append(figure)
    if len(wrong) == 1 and not right:
        yield f"these words say {wrong[0].shown}, and the action says {field}"


def _lengths(clause: Clause, table: Table) -> Iterator[Figure]:
    return (each for each in figures(" ".join(clause.words), table) if each.kind == _TIME)


def in_figures(words: tuple[str, ...], table: Table) -> tuple[str, ...]:
    """Return words with lengths of time in figures: "five minutes", "half an hour", "a minute or so"."""
    found: list[str] = []
    for at, typed in enumerate(words):
        word = typed.lower()
        if word in table.numbers and any(
            is_time(each.lower().rstrip(",.;:!?"), table) for each in words[at + 1 : at + 4]
        ):
            if found and found[-1] in table.numbers.values() and word not in table.articles:
                return ()  # "twenty-five", "one or two"
            found.append(table.numbers[word])
        elif not (word in table.articles | table.owning and found and found[-1] in table.numbers.values()):
            found.append(typed)
    return tuple(found)
