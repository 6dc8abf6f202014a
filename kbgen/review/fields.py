"""The table of fields: what it means when one is gone, new or another.

A row is found by kind and route, then by the field's own name for every kind, then by what its schema says it holds. So
a field nobody thought of is told all the same, as what cannot be decided.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from kbgen.model.people import WHO
from kbgen.review import texts
from kbgen.review.change import Weight
from kbgen.review.deeds import (
    Weigh,
    by_words,
    figure,
    longer_is_worse,
    shorter_is_worse,
    span,
    wider_is_worse,
)
from kbgen.review.due import by_licence, rarer_is_worse, shorter_log_is_worse

LESS, SAFER, OPEN, FIGURE, WORDS = (
    Weight.LESS_SAFE,
    Weight.SAFER,
    Weight.UNDECIDED,
    Weight.FIGURE,
    Weight.WORDS,
)


@dataclass(frozen=True, slots=True)
class Field:
    """One row.

    Attributes:
        gone: The weight when it is gone; a text is weighed by what it says.
        new: The weight when it is new.
        changed: Weighs another value.
        order: The weight when a list stands in another order.
        quiet: Whether no signature hangs on it.
    """

    gone: Weight | Callable[[str], Weight]
    new: Weight | Callable[[str], Weight]
    changed: Weigh
    order: Weight = WORDS
    quiet: bool = False


def _always(weight: Weight) -> Weigh:
    return lambda _before, _after: weight


def _prose_gone(text: str) -> Weight:
    return OPEN if texts.binds(text) else WORDS


def _ranked(*safest_first: str) -> Weigh:
    def weigh(before: str, after: str) -> Weight:
        one, other = (
            safest_first.index(each) if each in safest_first else len(safest_first)
            for each in (before, after)
        )
        return LESS if other > one else SAFER if other < one else OPEN

    return weigh


def _more_is_worse(before: str, after: str) -> Weight:
    try:
        one, other = float(before), float(after)
    except ValueError:
        return OPEN
    return LESS if other > one else SAFER


def _yes_is(yes: Weight, no: Weight) -> Weigh:
    return lambda _, after: yes if after == "yes" else no


def _meter(before: str, after: str) -> Weight:
    one, other = texts.category(before), texts.category(after)
    if one == other:
        return texts.compared(before, after)
    return LESS if other < one else SAFER


def _who(before: str, after: str) -> Weight:
    """Weigh who may do it: a licence is no rank, so one for another cannot be decided."""
    rank = {"operator": 0, "technician": 1}
    one, other = rank.get(before, 2), rank.get(after, 2)
    return LESS if other < one else SAFER if other > one else OPEN


def _sooner_is_safer(before: str, after: str) -> Weight:
    """Weigh until when somebody may sign; a day is typed so that its letters sort like days."""
    return SAFER if after < before else OPEN


def _less_is_safer(before: str, after: str) -> Weight:
    """Weigh up to which voltage somebody may sign: whether more is right, no file can show."""
    one, other = span(before), span(after)
    return SAFER if one and other and other[1] < one[1] else OPEN


def _pairs(before: str, after: str) -> Weight:
    """Weigh the words of a proof: with a pair fewer, less is proved."""
    one, other = (set(_PAIR.findall(text)) for text in (before, after))
    return LESS if other < one else SAFER if one < other else by_words(before, after)


_PAIR = re.compile(r"\b(\w+) to (\w+)")
_KEEPS = Field(LESS, SAFER, by_words)
"""What protects by being there."""
_RISKS = Field(SAFER, LESS, _always(OPEN))
_EITHER = Field(OPEN, OPEN, _always(OPEN), OPEN)
_WORDS = Field(WORDS, WORDS, _always(WORDS), quiet=True)
_PROSE = Field(_prose_gone, WORDS, texts.compared)
_FIGURE = Field(OPEN, OPEN, figure)
_HELPS = Field(OPEN, WORDS, texts.compared)
"""What helps to find the fault; less of it is looked at."""

ANYWHERE: Mapping[str, Field] = {
    "title": _WORDS,
    "aliases": _WORDS,
    "asked": _WORDS,
    "status": Field(OPEN, OPEN, _always(OPEN)),
    "review": _WORDS,
    "walked": _WORDS,
    "withdrawn": Field(OPEN, OPEN, texts.compared),
    "former_ids": Field(OPEN, WORDS, _always(OPEN)),
    "photos": _WORDS,
    "accept": Field(SAFER, OPEN, _always(OPEN)),
    "cautions": _KEEPS,
    "claims": _RISKS,
    "are_on": _RISKS,
    "minutes": _WORDS,
    "travel": _WORDS,
    "note": _PROSE,
}
"""Rows for fields of one meaning in every kind."""

BY_ROUTE: Mapping[str, Field] = {
    "equipment.sources": _KEEPS,
    "equipment.sources.conductors": _KEEPS,
    "equipment.sources.also_dead": _KEEPS,
    "equipment.sources.off_after": _KEEPS,
    "equipment.sources.lock": _KEEPS,
    "equipment.sources.prove": Field(LESS, SAFER, _pairs),
    "equipment.sources.isolate": _KEEPS,
    "equipment.sources.runs_on": Field(LESS, SAFER, shorter_is_worse),
    "equipment.sources.wait": Field(LESS, SAFER, shorter_is_worse),
    "equipment.covers": _KEEPS,
    "equipment.covers.reached_by": _KEEPS,
    "equipment.covers.opens": _KEEPS,
    "equipment.fuel_valves": _KEEPS,
    "equipment.fuel_valves.opens": _KEEPS,
    "equipment.fuel_points": _KEEPS,
    "equipment.zones": _KEEPS,
    "equipment.zones.reached_by": _KEEPS,
    "equipment.zones.beside": _KEEPS,
    "equipment.zones.behind": _KEEPS,
    "equipment.settings": Field(LESS, WORDS, texts.compared),
    "equipment.settings.value": _FIGURE,
    "equipment.settings.tolerance": _FIGURE,
    "equipment.settings.changed_by": Field(
        LESS,
        SAFER,
        _ranked("nobody", "lead-technician", "licensed-gas", "licensed-electric", "technician", "operator"),
    ),
    "equipment.places.needs": _KEEPS,
    "equipment.displays": _HELPS,
    "equipment.also_stops": _KEEPS,
    "equipment.arrive": Field(LESS, SAFER, by_words, OPEN),
    "equipment.arrive.danger": Field(LESS, SAFER, _yes_is(SAFER, LESS)),
    "equipment.off_order": Field(LESS, SAFER, _always(OPEN), OPEN),
    "equipment.known_source": _KEEPS,
    "equipment.leak_check": _KEEPS,
    "equipment.telling": _KEEPS,
    "equipment.firing": _KEEPS,
    # Only of a grounded circuit is it taken for certain which side is live.
    "circuit.supply.earthing": Field(LESS, SAFER, _ranked("reversible", "ungrounded", "grounded")),
    "circuit.supply.voltage": Field(OPEN, OPEN, wider_is_worse),
    "device.reached_by": _KEEPS,
    "device.guards": Field(LESS, SAFER, _always(OPEN)),
    "device.may_jump": Field(SAFER, LESS, texts.compared),
    "device.never_because": _KEEPS,
    "device.hold_at_most": Field(LESS, SAFER, longer_is_worse),
    "device.independent_check": _KEEPS,
    "device.tested_by": _KEEPS,
    "device.trip": _KEEPS,
    **{
        f"{kind}.proofs{field}": row
        for kind in ("device", "equipment")
        for field, row in (
            ("", Field(LESS, SAFER, by_words)),
            (".every", Field(LESS, SAFER, rarer_is_worse)),
            (".who", Field(by_licence(LESS, SAFER), by_licence(SAFER, LESS), _always(OPEN))),
            (".by", Field(LESS, SAFER, _always(OPEN))),
            (".settings", Field(LESS, SAFER, _always(OPEN))),
            (".sizes", Field(SAFER, LESS, _always(OPEN))),
            (".keep", Field(LESS, SAFER, shorter_log_is_worse)),
        )
    },
    "device.opening_causes": _HELPS,
    "device.sticking_causes": _HELPS,
    "device.part": _WORDS,
    "device.weight": Field(WORDS, WORDS, _always(WORDS), quiet=True),
    "symptom.make_safe": Field(LESS, SAFER, _always(OPEN)),
    "symptom.stop_and_call": _KEEPS,
    "symptom.record": _KEEPS,
    "symptom.normal_when": Field(_prose_gone, OPEN, texts.compared),
    "symptom.look_first": _HELPS,
    "symptom.suspects": _HELPS,
    "symptom.procedures": _HELPS,
    "symptom.look_alikes": _HELPS,
    "symptom.displays": _HELPS,
    "symptom.behaviours": _HELPS,
    "procedure.who": Field(SAFER, LESS, _who),
    "procedure.taken_over": Field(LESS, WORDS, _yes_is(WORDS, LESS)),
    "procedure.second_person": Field(LESS, SAFER, _yes_is(SAFER, LESS)),
    "procedure.permission": _KEEPS,
    "procedure.meter": Field(LESS, SAFER, _meter),
    "procedure.tools": _HELPS,
    "procedure.tests": _KEEPS,
    "procedure.close_up": _KEEPS,
    "caution.signal": Field(LESS, SAFER, _ranked("DANGER", "WARNING", "CAUTION", "NOTICE")),
    "caution.applies_to": _KEEPS,
    "caution.hazard": _KEEPS,
    "caution.consequence": _KEEPS,
    "caution.avoid": _KEEPS,
    "term": _PROSE,
    "plant": _EITHER,
    "plant.as_of": _WORDS,
    "plant.number": Field(LESS, OPEN, _always(OPEN)),
    "plant.settings": Field(OPEN, WORDS, texts.compared),
    "plant.settings.value": _FIGURE,
    "plant.outstanding": Field(OPEN, SAFER, _always(OPEN)),
    "plant.proofs": Field(OPEN, SAFER, _always(OPEN)),
    "field-note": _WORDS,
    "field-note.plant": _EITHER,
    "field-note.remarks": Field(OPEN, WORDS, _always(OPEN)),
    "field-note.remarks.answer": Field(OPEN, OPEN, _always(OPEN)),
    "kb.most_starts": Field(OPEN, OPEN, _more_is_worse),
    "kb.most_resets": Field(OPEN, OPEN, _more_is_worse),
    "kb.review_months": Field(OPEN, OPEN, _more_is_worse),
    "kb.compare_days": Field(OPEN, OPEN, _more_is_worse),
    "kb.walk_months": Field(LESS, SAFER, _more_is_worse),
    "kb.regions": Field(LESS, SAFER, _always(OPEN)),
    "kb.people": Field(SAFER, OPEN, _always(OPEN)),
    "kb.people.may": Field(SAFER, OPEN, _always(OPEN)),
    "kb.people.until": Field(OPEN, SAFER, _sooner_is_safer),
    "kb.people.up_to": Field(SAFER, OPEN, _less_is_safer),
    "kb.after_gas_work": _KEEPS,
    "kb.emergency": _KEEPS,
    "kb.call": _KEEPS,
    "kb.sites": _KEEPS,
    "kb.notice": _KEEPS,
    "kb.scheme": _WORDS,
    "kb.house_words": _WORDS,
    "kb.shop": _WORDS,
    "kb.paper": _WORDS,
    "kb.language": _WORDS,
}
"""Rows by kind and route; a route within another takes its parts' own row, or that of what they hold."""

ELSEWHERE: Mapping[str, str] = {
    "procedure.steps": "the steps are walked, and what they do and say is compared",
    "procedure.starts": "what a page takes for granted is compared as the walk sees it",
    "procedure.cautions": "where a caution comes is compared step by step",
}
"""Fields that are compared by other means, and by which."""


def row_of(kind: str, path: tuple[str, ...], leaf: Mapping[str, Any]) -> Field:
    """Return the row of a field.

    Args:
        kind: The entry's, or ``kb``.
        path: Names of the fields that lead to it.
        leaf: Its schema.
    """
    found = BY_ROUTE.get(".".join((kind, *path)))
    if found is None and kind in BY_ROUTE and path[-1] not in ANYWHERE:
        found = BY_ROUTE[kind]
    if found is None and path[0] in ("photos", "review", "walked"):
        found = ANYWHERE[path[0]]
    return found or ANYWHERE.get(path[-1]) or _held(leaf)


def _held(leaf: Mapping[str, Any]) -> Field:
    """Return the row of what a schema says a field holds."""
    leaf = leaf.get("items", leaf) if leaf.get("type") == "array" else leaf
    if "x-quantity" in leaf or "x-quantities" in leaf:
        return _FIGURE
    if "x-date" in leaf:
        return _WORDS
    coded = any(each in leaf for each in ("x-reference", "x-names", "enum"))
    if leaf.get("type") == "string" and not coded:
        return _PROSE if leaf.get("x-text") != "code" else _EITHER
    return _EITHER


def called(who: str) -> str:
    """Return how a page says who may do it."""
    return WHO.get(who, who)
