"""The words of the interface about actions: the questions a page asks by itself, and its answers.

One module, so that another language or region is one more set of these tables.
"""

from __future__ import annotations

import re
from functools import cache

NOT_SURE = "Not sure"
OR_NOT_SURE = "{}, or not sure"

QUESTIONS: dict[str, str] = {
    "identify": "Are they all the same?",
    "prove_dead": "Is every pair dead, and did the meter read on the known source before and after?",
    "prove_gone": "Is it gone, as its proof says?",
    "try_start": "Did anything start or turn?",
    "leak_check": "Is every point tight?",
    "prove_trip": "Did it trip, as it must?",
    "check_real": "Is the device doing its job?",
    "find_cause": "Is the cause found and corrected?",
    "observe": "Was all of it as it should be?",
    "volts": "What does the meter read?",
    "pressure": "Is the pressure gone?",
    "within": "Is it within what is right?",
}
"""Asked where the author asks nothing, by head key or by the quantity that is read."""

ANSWERS: dict[str, str] = {
    "same": "All the same",
    "different": "Not all the same",
    "dead": "Dead, and the meter read both times",
    "live": "Not dead, or the meter did not read",
    "gone": "Gone",
    "still-there": "Still there",
    "tight": "Tight",
    "leaks": "Not tight",
    "tripped": "Tripped",
    "not-tripped": "Did not trip",
    "cause-mended": "Found and corrected",
    "cause-left": "Found, not yet corrected",
    "not-found": "Not found",
    "seen": "All of it seen",
    "not-seen": "Not all of it",
    "real": "Real: it was right to open",
    "faulty": "Faulty: it had no reason to open",
    "full": "Full",
    "none": "Nothing",
    "some": "In between",
    "no-pressure": "No pressure",
    "pressure-left": "Pressure left",
    "within": "Within",
    "outside": "Outside",
}
"""What a verdict word reads as on the page."""

OWN_ANSWERS: dict[str, dict[str, str]] = {"try_start": {"dead": "Nothing", "live": "Something did"}}
"""The same where a question of the head key above is not what the others ask."""

NORTH_AMERICA, BRITISH_ISLES = "north-america", "british-isles"
REGIONS: dict[str, str] = {NORTH_AMERICA: "North America", BRITISH_ISLES: "British Isles"}
"""Regions whose words this module has, and how a page says it. What is ours is typed in British words."""

SAID: dict[str, dict[str, str]] = {
    NORTH_AMERICA: {
        "cock": "valve",
        "cocks": "valves",
        "draught": "draft",
        "earth": "ground",
        "earthed": "grounded",
        "earthing": "grounding",
        "isolator": "disconnect",
        "isolators": "disconnects",
        "lamp": "light",
        "lamps": "lights",
    },
    BRITISH_ISLES: {},
}
"""What a region says for a word of ours."""

SPELT: tuple[tuple[str, str], ...] = (
    ("aluminum", "aluminium"),
    ("analyzer", "analyser"),
    ("center", "centre"),
    ("color", "colour"),
    ("cutoff", "cut-out"),
    ("draft", "draught"),
    ("gray", "grey"),
    ("ground", "earth"),
    ("grounded", "earthed"),
    ("grounding", "earthing"),
    ("license", "licence"),
    ("liter", "litre"),
    ("louver", "louvre"),
    ("mold", "mould"),
    ("neighbor", "neighbour"),
    ("odor", "odour"),
    ("program", "programme"),
    ("shutoff", "shut-off"),
    ("vapor", "vapour"),
)
"""One word as in North America and as in the British Isles: spelling, and what has one word for one thing in both."""


BRITISH_TOO = frozenset({"draft", "ground", "license", "program"})
"""Of North America, and words of their own in the British Isles: a draft of a page, the ground floor, to license."""


def in_region(text: str, region: str) -> str:
    """Return a text of ours in the words of a region; never a text that somebody typed.

    >>> in_region("Every conductor to earth. Earth fault behind the isolator", "north-america")
    'Every conductor to ground. Ground fault behind the disconnect'
    >>> in_region("Every conductor to earth", "")
    'Every conductor to earth'
    """
    words = SAID.get(region, {})
    return _any_of(region).sub(lambda found: _as(found[0], words[found[0].lower()]), text) if words else text


def of_circuit(text: str, region: str, earthing: str) -> str:
    """Return a text of ours about a circuit: tied to earth, its return is called neutral in some regions.

    >>> of_circuit("Repeat it to the return", "north-america", "grounded")
    'Repeat it to the neutral'
    >>> of_circuit("Repeat it to the return", "north-america", "ungrounded")
    'Repeat it to the return'
    """
    said = in_region(text, region)
    if region == NORTH_AMERICA and earthing == "grounded":
        return _RETURN.sub(lambda found: _as(found[0], "neutral"), said)
    return said


_RETURN = re.compile(r"\breturn\b", re.IGNORECASE)


def spoken(name: str) -> str:
    """Return a name of a page as people write it on a tag.

    >>> spoken("black-lead"), spoken("meter-1"), spoken("W-3")
    ('black lead', 'meter-1', 'W-3')
    """
    return _JOINED.sub(" ", name)


_JOINED = re.compile(r"(?<=[a-z])-(?=[a-z])")


@cache
def _any_of(region: str) -> re.Pattern[str]:
    return re.compile(rf"\b(?:{'|'.join(SAID[region])})\b", re.IGNORECASE)


def _as(typed: str, word: str) -> str:
    return word[:1].upper() + word[1:] if typed[:1].isupper() else word
