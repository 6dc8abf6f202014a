"""The one normaliser: any writing of a word, code or quantity becomes the same atoms.

An atom is a run of letters or one number. ``E-31``, ``e31``, ``E 31`` and ``E-031`` are all the atoms
``e``, ``31``; whether two atoms touched in the text is kept, because what touches is written as one.
`search-engine.js` does the same with the same `SIGNS`, held to it by ``tests/data/search/normalise.json``.
"""

from __future__ import annotations

import re
import unicodedata
from typing import NamedTuple

# The micro and the ohm sign each exist twice: as a sign of their own and as a Greek letter.
SIGNS = {
    **dict.fromkeys("'’‘ʼ`´′", ""),
    **dict.fromkeys("°º", " "),
    **dict.fromkeys("\u00b5\u03bc", "u"),
    **dict.fromkeys("\u2126\u03a9", "ohm"),
    "ß": "ss",
    "æ": "ae",
    "Æ": "ae",
    "œ": "oe",
    "Œ": "oe",
    "ø": "o",
    "Ø": "o",
    "ł": "l",
    "Ł": "l",
}
"""Signs that folding would lose or turn into something else, and letters that have no decomposition."""

_SIGNS = str.maketrans(SIGNS)
_ACCENTS = re.compile("[\u0300-\u036f]")
# Group 1 is what stands between two atoms that are written as one: nothing, or one joining sign.
_ATOM = re.compile(r"([-‐–−_.:]?)([0-9]+(?:[.,][0-9]+)*|[^\W\d_]+)")


class Atom(NamedTuple):
    """A run of letters or a number.

    Attributes:
        text: Folded to lower case without accents; numbers without leading zeros.
        touches: True when nothing but one joining sign stands between it and the atom before.
    """

    text: str
    touches: bool


def fold(text: str) -> str:
    """Return the text in lower case without accents and apostrophes; µ is ``u``, Ω is ``ohm``.

    >>> fold("Válvula: 4.7 µA")
    'valvula: 4.7 ua'
    """
    text = text.translate(_SIGNS)
    if not text.isascii():
        text = _ACCENTS.sub("", unicodedata.normalize("NFKD", text))
    return text.lower()


def atoms(text: str) -> list[Atom]:
    """Split any text into atoms.

    >>> [atom.text for atom in atoms("E-031 at 24V")]
    ['e', '31', 'at', '24', 'v']
    """
    found = []
    end = -1
    for match in _ATOM.finditer(fold(text)):
        word = match[2]
        if word[0] <= "9":
            word = number(word)
        found.append(Atom(word, match.start() == end))
        end = match.end()
    return found


def number(digits: str) -> str:
    """Return a number as it is indexed: a decimal point, no leading zeros.

    >>> number("031"), number("0,5"), number("000")
    ('31', '0.5', '0')
    """
    digits = digits.replace(",", ".")
    return digits if "." in digits else digits.lstrip("0") or "0"


def key(text: str) -> str:
    """Return the atoms of a text written as one word: the name under which spellings meet.

    >>> key("Low-water cut off")
    'lowwatercutoff'
    """
    return "".join(atom.text for atom in atoms(text))
