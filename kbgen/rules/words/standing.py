"""Alterations that a text beside the steps says to be in the plant: nobody fits them, and nobody takes them out."""

from __future__ import annotations

import re
from functools import cache

from kbgen.rules.words.clauses import plain
from kbgen.rules.words.found import Ground
from kbgen.rules.words.names import words_of
from kbgen.rules.words.table import Table

_LIES = r"hangs?|lies?|sits?|stays?|stands?|rests?|remains?|is|are|goes|go|belongs?"
_HOLDS = r"holds?|keeps?|bridges?|blocks?|pins?|wedges?|ties?|covers?|presses|props?|shorts?|joins?|links?"
_ON = r"on|over|across|under|at|in|into|behind|against|between|to|before|round|around|through|beneath"
_PART = (
    r"(?:vane|arm|switch|contact|limit|button|flap|lever|float|plunger|sensor|relay|probe|cut-?out|cutoff|damper|latch|"
    r"thermostat|control|inlet|outlet|intake|flue|vent|duct|eye|detector|alarm|rod|bulb|terminal|paddle|spindle|stem|spring)(?:e?s)?"
)
_KEPT = (
    r"(?:kept|held|wedged|tied|jammed|propped|taped|pinned|pressed|fixed|strapped)\s+(?:(?:in|out|down|up|shut|closed|open|back|on|off)\s+)?"
    r"(?:by|with)\s+(?!(?:its|the|a)\s+(?:own\s+)?(?:springs?|drives?|motors?|magnets?|coils?|latch|weights?|pressure|air|draught|draft)\b)"
)
_DENIED = re.compile(
    r"\b(?:no|not|never|none|nothing|nobody|without|neither|nor|free of|clear of|any)\b[^.;,]*$",
    re.IGNORECASE,
)
_AWAY = re.compile(r"\b(?:off|out|removed|gone|back|away|bag|pocket|box|hook|record|list)\b", re.IGNORECASE)
_DISABLES = re.compile(
    r"\b(?:so (?:that )?|to make sure (?:that )?)(?:it|they|this|(?:the|its) (?!lock|tag|padlock|wedge)[\w -]{2,30}?)\s+"
    r"(?:no longer|never|cannot|can['’]t|does(?: not|n['’]t)|do(?: not|n['’]t)|will not|won['’]t|stays?|keeps?|(?:is|are) held|"
    r"always)\s+\w+",
    re.IGNORECASE,
)
"""A purpose that keeps something of the plant from doing its work; who locks keeps people from it, not it."""


@cache
def _lying(alters: frozenset[str], own_wires: frozenset[str]) -> re.Pattern[str]:
    things = "|".join(sorted(map(re.escape, alters - own_wires), key=len, reverse=True))
    wires = "|".join(sorted(map(re.escape, own_wires)))
    part = rf"(?:[\w-]+\s+){{0,5}}?{_PART}\b"
    return re.compile(
        rf"\b(?:{things})\b(?:\s+[\w'’-]+){{0,7}}?\s+(?:(?:{_LIES})\s+(?:[\w-]+\s+){{0,3}}?(?:{_ON})\s+{part}|(?:{_HOLDS})\s+{part})|"
        rf"\b(?:{wires})\b(?:\s+[\w'’-]+){{0,4}}?\s+(?:(?:{_LIES})\s+(?:across|between|over)|bridges?|joins?|shorts?|links?)\b|"
        rf"\b{_PART}\b(?:\s+(?:is|are|was|still))?\s+{_KEPT}",
        re.IGNORECASE,
    )


def stands(table: Table, text: str, *, purposes: bool) -> str:
    """Return the words by which a text says that an alteration is in, or what one is for; empty for none.

    Args:
        purposes: Whether a purpose alone tells: in a list of what is looked at before somebody goes.
    """
    lying = _lying(table.things | table.fasteners, table.own_wires)
    for sentence in re.split(r"(?<=[.;!?])\s+", plain(text)):
        for found in lying.finditer(sentence):
            if not _DENIED.search(sentence[: found.start()]) and not _AWAY.search(found.group()):
                return found.group()
        purpose = _DISABLES.search(sentence) if purposes else None
        if purpose:
            return purpose.group()
    return ""


@cache
def _with(driven: frozenset[str]) -> re.Pattern[str]:
    how = "|".join(sorted(driven))
    return re.compile(
        rf"(?:\bwith|,)\s+(?:a|an|some|your|the|one)\s+((?:[\w-]+\s+){{1,4}}?)(?:{how})\s+([\w-]+)",
        re.IGNORECASE,
    )


def held_there(ground: Ground, text: str) -> str:
    """Return the words by which an instruction has something held in the plant beside its deed; empty for none.

    "Watch the flame with a beer mat jammed behind the plunger": the deed stands in a participle.
    """
    table = ground.reader.table
    own = table.locks | table.beside_lock | table.leads_of_meter | table.holds
    for fit in ground.fits.values():
        # What a step of the page fitted may be named.
        own |= frozenset(words_of(f"{fit.name} {fit.fit} {fit.at}".replace("-", " ")))
    for found in _with(table.driven).finditer(plain(text)):
        thing, where = (each.casefold() for each in found.groups())
        # A check valve that is "stuck open" was found so.
        if where not in table.states and own.isdisjoint(thing.split()):
            return found.group().lstrip(", ")
    return ""
