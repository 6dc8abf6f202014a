"""Words that mean something only together: quantities, denials, flash counts, codes read aloud.

Each gets a term of its own, in the index and in the query alike: ``24 volts`` is ``24v``, "won't light"
is ``!light``, "three flashes then one" is ``3_1``.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from .language import Language
from .normalise import Atom, number
from .stem import stem

CODE = re.compile(r"[a-z]{1,3}[0-9]+[a-z]?")
_ZERO_AS_O = re.compile(r"([a-z]{1,2}?)(?=[o0-9]*[0-9])([o0-9]+)")
_LONGEST_COUNT = 20
_LONGEST_RUN = 4


class Compound(NamedTuple):
    """A term made of the atoms from ``start`` up to ``end``."""

    start: int
    end: int
    term: str


def compounds(atoms: Sequence[Atom], language: Language) -> Iterator[Compound]:
    """Yield the quantities, denials and flash counts of a text, in order."""
    counted = 0
    for at in range(len(atoms)):
        word = atoms[at].text
        if at >= counted and (word[0] <= "9" or word in language.numbers or word in language.misheard):
            count = _flash_count(atoms, at, language)
            if count:
                counted = count.end
                yield count
        if at + 1 == len(atoms):
            return
        following = atoms[at + 1].text
        if word[0] <= "9":
            if following in language.units:
                yield Compound(at, at + 2, word + language.units[following])
        elif word in language.denials:
            yield Compound(at, at + 2, "!" + stem(following, language))


def runs(atoms: Sequence[Atom], language: Language) -> set[str]:
    """Return every term that a short run of atoms may be: joined as a code, or a compound."""
    found = {compound.term for compound in compounds(atoms, language)}
    for start in range(len(atoms)):
        joined = ""
        for atom in atoms[start : start + _LONGEST_RUN]:
            joined += atom.text
            found.add(joined)
    return found


def shown(atoms: Sequence[Atom], language: Language) -> Iterator[Compound]:
    """Yield the word that somebody says is shown, and the letter it may be: "shows a small b", "it says sea".

    What is a word in any sentence, such as "see", is a letter only where the sentence ends with it or the
    word before says that a letter comes.
    """
    said = spelt = False
    for at, atom in enumerate(atoms):
        word, last = atom.text, at + 1 == len(atoms)
        filler = word in language.fillers
        if spelt or (said and (last or not filler)):
            yield Compound(at, at + 1, word)
            letter = language.letters.get(word)
            if letter is None and (last or spelt):
                letter = language.last_letters.get(word)
            if letter:
                yield Compound(at, at + 1, letter)
        spelt = word in language.spells
        said = spelt or word in language.codes or (said and filler)


def spoken(atoms: Sequence[Atom], language: Language) -> Iterator[Compound]:
    """Yield the codes a person may have read aloud: "echo dash thirty one" is ``e31``."""
    for start, atom in enumerate(atoms):
        letters = language.letters.get(atom.text, atom.text)
        if len(letters) > 2 or letters[0] <= "9":
            continue
        end = start + 1
        digits = ""
        tens = False
        while end < len(atoms) and len(digits) < 4:
            word = atoms[end].text
            value = _value(word, language)
            if value is None and not (word in language.dashes and not digits):
                break
            if value is not None:
                adds = tens and 0 < value < 10
                digits = str(int(digits) + value) if adds else digits + str(value)
                tens = word in language.numbers and value >= 20
            end += 1
        if digits:
            yield Compound(start, end, letters + number(digits))


def without_o(term: str) -> str:
    """Return a code with zeros where somebody wrote the letter O.

    >>> without_o("eo5"), without_o("e1o0"), without_o("door")
    ('e5', 'e100', 'door')
    """
    code = _ZERO_AS_O.fullmatch(term)
    return code[1] + number(code[2].replace("o", "0")) if code else term


def _value(word: str, language: Language) -> int | None:
    if word in language.numbers:
        return language.numbers[word]
    return int(word) if len(word) <= 2 and word.isdecimal() else None


def _flash_count(atoms: Sequence[Atom], start: int, language: Language) -> Compound | None:
    """Read a flash count that begins with the number at ``start``.

    Short flashes are counted first, however it is said: "1 long 3 short" is "3 short 1 long".
    """
    values: list[int] = []
    before = atoms[start - 1].text if start else ""
    seen = len(before) > 1 and before in language.flashes
    touching = True
    lengths = ""
    at = end = start
    while at < len(atoms):
        word = atoms[at].text
        value = _value(word, language)
        if value is None and at + 1 < len(atoms) and atoms[at + 1].text in language.flashes:
            value = language.misheard.get(word)
        if value is not None:
            if value >= _LONGEST_COUNT or len(values) == 4:
                break
            touching = touching and (at == start or atoms[at].touches)
            values.append(value)
            end = at + 1
        elif word in language.flashes and (len(word) > 1 or atoms[at].touches):
            lengths += language.flashes[word]
            seen = seen or len(word) > 1 or len(set(lengths)) > 1
            end = at + 1
        elif word not in language.between:
            break
        at += 1
    plain = touching or before in language.codes or (start == 0 and end == len(atoms))
    if not values or not (seen or (plain and len(values) > 1)):
        return None
    if len(values) == 1 and atoms[start].text in language.misheard:
        return None
    if lengths == "ls" and len(values) == 2:
        values.reverse()
    return Compound(start, end, "_".join(map(str, values)) + ("_" if len(values) == 1 else ""))
