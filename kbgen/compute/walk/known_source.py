"""What the meter is checked on before and after a proof: it has to be live at that moment."""

from __future__ import annotations

import re
from collections.abc import Iterator

from kbgen.compute.walk.finding import Finding, Moment
from kbgen.compute.walk.hazard import LIVE_WORK, MAKING_SAFE
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.state import OFF
from kbgen.model import action as act
from kbgen.model.circuit import Point, parts

_PARTLY = re.compile(r"\b(?:only|before|after|once|none|nothing|not|no)\b", re.IGNORECASE)
"""Words in the name of a known source that take half of the proof away."""
_ITSELF = re.compile(
    r"\b(?:same|this|these) (?:pairs?|terminals?|points?|conductors?|wires?|circuit|supply|panel)\b|\b(?:itself|themselves)\b",
    re.IGNORECASE,
)
"""Words that point back at what is proved."""
_EVERYWHERE = re.compile(r"(?:L\d?|N|PE)$")
"""Marks that every board in the house has: they name no terminal of this plant."""
_CODE = re.compile(r"\b[A-Z]{1,3}\d+[A-Z]?\b")
"""What an isolator is marked with."""
_STAYS_LIVE = re.compile(
    r"\b(?:upper|line|incoming|supply|mains|upstream|live)[ -](?:side|terminals?|end|contacts?)\b",
    re.IGNORECASE,
)
"""The side of an isolator that its own handle does not switch off."""

METER_NOT_PROVED = MAKING_SAFE.on(LIVE_WORK).hazard(
    "meter-not-proved",
    "A meter that died between two readings, or was checked on what is off, reads zero on live terminals.",
    "prove_dead: control\nknown_source: Socket, before only",
    "prove_dead: control\nknown_source: Socket beside the panel  # the page asks for it before and after",
    rests_on="`known_source` of the step, and what of the plant that it names is off by then; that the meter read on it "
    "both times is the reader's word.",
)
_HINT = "Name the thing alone, such as `Proving unit`; the page asks for both times."


def checked(moment: Moment, action: act.ProveDead) -> Iterator[Finding]:
    """Yield a meter that is checked half, or on what this very page has switched off."""
    says = action.known_source
    both = all(re.search(rf"\b{word}\b", says, re.IGNORECASE) for word in ("before", "after"))
    if _PARTLY.search(says) and not both:
        yield METER_NOT_PROVED.finding(
            moment.index,
            "known_source",
            f"`{says}` is no source that the meter is proved on before and after",
            _HINT,
        )
        return
    off = _off(moment, says)
    if off:
        yield METER_NOT_PROVED.finding(
            moment.index,
            "known_source",
            f"the meter is checked on {off}, and that is off by then; a meter with a flat battery reads nothing there too",
            "Name something that is live at that moment and stays live, such as `Proving unit`.",
        )


def _off(moment: Moment, says: str) -> str:
    """Return what a known source names that is off, in its words; empty where it names no such thing."""
    plant, state = moment.plant, moment.state
    named = _ITSELF.search(says)
    if named:
        return f"`{named.group()}`"
    for mark, feeds in _marks(plant).items():
        if _names(says, mark) and not _EVERYWHERE.match(mark) and all((OFF, name) in state for name in feeds):
            return f"`{mark}`"
    for name, source in plant.sources.items():
        codes = [code for code in _CODE.findall(source.isolate.partition(".")[0]) if _names(says, code)]
        called = [*codes, *([source.title] if source.title.casefold() in says.casefold() else [])]
        if called and (OFF, name) in state and not _STAYS_LIVE.search(says):
            return f"`{called[0]}`"
    return ""


def _names(says: str, mark: str) -> bool:
    return re.search(rf"(?<![\w:.-]){re.escape(mark)}(?![\w:])", says) is not None


def _marks(plant: Plant) -> dict[str, frozenset[str]]:
    """Return the terminals of the plant, each with the sources that feed it."""
    found: dict[str, frozenset[str]] = {}
    for name, string in plant.circuits.items():
        for part in parts(string.circuit.path):
            if isinstance(part, Point):
                found[part.point] = found.get(part.point, frozenset()) | plant.feeds(name)
    for name, source in plant.sources.items():
        for mark in source.conductors if source.electric else ():
            found[mark] = found.get(mark, frozenset()) | {name}
    return {mark: feeds for mark, feeds in found.items() if feeds}
