"""Letters, digits and signs that pass for others: no eye tells them apart, and no search finds them."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator

from kbgen.load.fault import FILES, Fault

ODD_LETTER = FILES.error(
    "odd-letter",
    "A letter of another script looks right, and neither the search nor a link finds the word.",
    "title: \u0421utoff  # with a Cyrillic C",
    "title: Cutoff",
)
# Letters of other scripts, each with the Latin letter it passes for.
_CYRILLIC = dict(zip("аеорсухѕіјԁһԛԝӏАВЕКМНОРСТУХЅІЈԌԚԜ", "aeopcyxsijdhqwlABEKMHOPCTYXSIJGQW", strict=True))
_GREEK = dict(zip("ΑΒΕΖΗΙΚΜΝΟΡΤΥΧονικ", "ABEZHIKMNOPTYXovik", strict=True))
_OTHERS = dict(zip("օսոհցԼՕՍɡɑı", "ounhgLOUgai", strict=True))
_PASSES = {**_CYRILLIC, **_GREEK, **_OTHERS}
# Scripts that share no word with Latin letters; Greek ones do, as in kΩ, µA and Δp.
_NEVER_MIXED = re.compile("[\u0400-\u052f\u0530-\u058f\u13a0-\u13ff\u2c80-\u2cff\ua640-\ua69f\uab70-\uabbf]")
_LATIN = re.compile("[A-Za-z]")
# Beside these, in one line, an i without a dot is a letter of its language.
_WITHOUT_DOT, _BESIDE_IT = "\u0131", re.compile("[\u011e\u011f\u0130\u015e\u015f]")
# Wide forms, letters and digits of formulas, Roman numerals, joined letters of print, other digits.
_FORM = re.compile(
    "[\uff01-\uff19\uff1b-\uff5e\U0001d400-\U0001d7ff\u212a\u2160-\u217f\ufb00-\ufb06]|(?![0-9])\\d"
)
# What a keyboard or a word processor gives for the sign of degrees.
_DEGREE = re.compile(r"(?<=\d)(\s?)([\u00ba\u02da\u2070])(?=\s?[CFK]\b)")
_WORD = re.compile(r"[^\W_]+")
_MOST = 20


def odd_letters(text: str) -> Iterator[Fault]:
    """Report letters that pass for others, one for each word."""
    if text.isascii():
        return
    found = sorted((*_mixed(text), *_forms(text), *_degrees(text)), key=lambda fault: fault.offset)
    yield from found[:_MOST]


def _mixed(text: str) -> Iterator[Fault]:
    for match in _WORD.finditer(text):
        word = match.group()
        if word.isascii():
            continue
        letters = [sign for sign in word if sign.isalpha()]
        if _WITHOUT_DOT in word and _BESIDE_IT.search(_line_around(text, match.start())):
            letters = [sign for sign in letters if sign != _WITHOUT_DOT]
        passing = [sign for sign in letters if sign in _PASSES]
        if _LATIN.search(word):
            odd = next((sign for sign in letters if sign in _PASSES or _NEVER_MIXED.match(sign)), None)
        else:
            odd = passing[0] if passing and len(passing) == len(letters) else None
        if odd is not None:
            right = _PASSES.get(odd)
            meant = "".join(_PASSES.get(sign, sign) for sign in word)
            yield Fault(
                ODD_LETTER,
                match.start() + word.index(odd),
                f"the {right or odd} of `{word}` is {_script(odd)} (U+{ord(odd):04X})",
                f"Type the word anew: `{meant}`."
                if right
                else "Type the word anew, in letters of one script.",
            )


def _line_around(text: str, at: int) -> str:
    end = text.find("\n", at)
    return text[text.rfind("\n", 0, at) + 1 : end if end >= 0 else len(text)]


def _forms(text: str) -> Iterator[Fault]:
    for match in _FORM.finditer(text):
        sign = match.group()
        plain = unicodedata.normalize("NFKC", sign)
        if sign.isdecimal():
            plain = str(unicodedata.digit(sign))
        name = unicodedata.name(sign, "a sign without a name").lower()
        yield Fault(ODD_LETTER, match.start(), f"`{sign}` is {name} (U+{ord(sign):04X})", f"Type `{plain}`.")


def _degrees(text: str) -> Iterator[Fault]:
    for match in _DEGREE.finditer(text):
        name = unicodedata.name(match[2]).lower()
        message = f"`{match[2]}` is {name} (U+{ord(match[2]):04X}) and no sign of degrees"
        yield Fault(ODD_LETTER, match.start(2), message, "Type `°`.")


def _script(sign: str) -> str:
    return unicodedata.name(sign, "no letter").split()[0].capitalize()
