"""What the search has to know of a language. All of it is data; it is exported with the index.

`english` and `spanish` fill the record, with the small functions below that read words off a line.
"""

from __future__ import annotations

from dataclasses import dataclass

from .danger_table import Table

Round = tuple[tuple[str, str, int, bool], ...]


@dataclass(frozen=True, slots=True)
class Language:
    """Words and endings of one language, in folded spelling.

    Attributes:
        rounds: The stemmer. In each round the first rule (ending, replacement, letters that must
            remain, whether a vowel must be among them) that fits is applied.
        whole: Small words that are their own stem and nobody else's: ``note`` never becomes ``not``.
        denials: Words that deny the next one; "won't light" and "does not light" meet under them.
        faint: Words that are found but weigh little, because sentences are full of them.
        numbers: Number words to their value.
        units: Names of units to their sign.
        letters: Names of letters, as spelt out or as a phone hears them.
        last_letters: Words a phone writes for a letter; read so only where a sentence says what is shown and ends.
        misheard: Numbers a phone writes as other words; read so only before a flash word.
        flashes: Words of a flash count; of those that say how long, ``s`` or ``l``. A letter alone, as in
            ``3s 1l``, counts only where it touches its number.
        codes: Words after which comes what a panel shows, or two numbers that are a flash count.
        fillers: Words that may stand before what a panel shows: "a small b".
        spells: Words after which a letter comes, whatever a phone wrote for it: "capital see".
        between: Words that may stand inside a flash count.
        dashes: Words for the joining sign of a code that is read aloud.
        bypasses: Ways to ask whether a device may be jumped; all words of one must be there, in any form.
        tasks: Beginnings of a question that a procedure answers.
        meanings: Beginnings of a question that a term answers.
        heard: What a phone writes for what was said, and what was said.
        alike: Groups of words that no stemmer brings together: forms of one word, and words for one task.
        danger: What speaks of danger.
        everyday: Words that are right although no entry has them.
        places: Words before which a plant's name is a place's: boiler room.
        findings: Ways to say that a jumper was met, not asked for.
        messages: Why something was found, ``{0}`` typed and ``{1}`` found.
    """

    rounds: tuple[Round, ...]
    whole: frozenset[str]
    denials: frozenset[str]
    faint: frozenset[str]
    numbers: dict[str, int]
    units: dict[str, str]
    letters: dict[str, str]
    last_letters: dict[str, str]
    misheard: dict[str, int]
    flashes: dict[str, str]
    codes: frozenset[str]
    fillers: frozenset[str]
    spells: frozenset[str]
    between: frozenset[str]
    dashes: frozenset[str]
    bypasses: tuple[str, ...]
    tasks: tuple[str, ...]
    meanings: tuple[str, ...]
    heard: tuple[tuple[str, str], ...]
    alike: tuple[tuple[str, ...], ...]
    danger: Table
    everyday: tuple[str, ...]
    places: frozenset[str]
    findings: frozenset[str]
    messages: dict[str, str]


def keep(*endings: str) -> Round:
    """Rules that end a round without changing the word."""
    return tuple((ending, ending, 0, False) for ending in endings)


def words(text: str) -> frozenset[str]:
    """Return the words of a line."""
    return frozenset(text.split())


def groups(text: str) -> tuple[tuple[str, ...], ...]:
    """Return groups of words, a bar between two groups."""
    return tuple(tuple(group.split()) for group in text.split("|"))


def pairs(text: str) -> dict[str, str]:
    """Return what is meant under what is heard, from ``heard=meant`` pairs."""
    return {heard: meant for heard, _, meant in (pair.partition("=") for pair in text.split())}


def flashes(plain: str, short: str, long: str) -> dict[str, str]:
    """Return the words of a flash count with their sign."""
    return {word: sign for words, sign in ((plain, ""), (short, "s"), (long, "l")) for word in words.split()}


# Signs and names of units, in every language of the trade alike.
UNITS = {
    name: sign
    for sign, names in {
        "v": "v volt volts vac vdc voltio voltios",
        "a": "a amp amps ampere amperes amperio amperios",
        "ma": "ma milliamp milliamps",
        "ua": "ua microamp microamps",
        "ohm": "ohm ohms ohmio ohmios r",
        "kohm": "kohm kohms kiloohm kiloohms k",
        "hz": "hz hertz",
        "va": "va voltamp voltamps",
        "w": "w watt watts vatio vatios",
        "kw": "kw kilowatt kilowatts",
        "rpm": "rpm",
        "psi": "psi psig",
        "mbar": "mbar millibar",
        "kpa": "kpa",
        "bar": "bar bars bares",
        "c": "c degc celsius",
        "f": "f degf fahrenheit",
        "s": "s sec secs second seconds segundo segundos",
        "min": "min mins minute minutes minuto minutos",
        "mm": "mm millimetre millimetres milimetros",
    }.items()
    for name in names.split()
}

SPELT = {
    word: word[0]
    for word in (
        "alpha alfa bravo charlie delta echo foxtrot golf hotel india juliet kilo lima mike november oscar papa "
        "quebec romeo sierra tango uniform victor whiskey xray yankee zulu"
    ).split()
}
