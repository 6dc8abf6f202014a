"""Rules about what must not stand in a published book: whose plant it is, and how to get in.

Telephone numbers, addresses and keys are looked for in free text only: a fault code or a terminal
mark may look like a number to call. What was found is never repeated, because the log is public.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache

from kbgen.load.discover import SETTINGS
from kbgen.model.entry import Entry
from kbgen.position import Exact, Spot
from kbgen.problems import Problem
from kbgen.rule import Family
from kbgen.rules.look import Look
from kbgen.rules.material import Check, EntryCheck, Material

PRIVACY = Family(
    "Privacy",
    "Privacy: no data of customers; no means of access in print.",
    "The forms that such names and numbers take in a text; one that looks like a plain word goes unseen.",
    mistakable=True,
)

# An error, and yet a false alarm can be accepted: what looks like a number to call may be the mark of a part.
_STREETS = "street|road|avenue|lane|drive|boulevard|court|terrace|square|crescent|highway|st|rd|ave|blvd"
_UNITS = r"(?!\s*(?:°|V\b|A\b|W\b|Hz|k?Pa|m?bar|psi|Ω|min\b|s\b|h\b|in\b|ft\b|mm\b|kW|[µm]A))"
_PARTS = "fuse|part|type|item|order|serial|drawing|model|article|size|plate|mark"
_NO_PART = "".join(rf"(?<!\b{word}\s)(?<!\b{word}\sno\.\s)" for word in _PARTS.split("|"))
"""The number behind one of these is that of a part."""
_PEOPLE = "customer|client|owner|tenant|caretaker|janitor|landlord|manager|porter|receptionist|foreman"
_WAYS_IN = (
    r"(?:gate|door|key[\s-]?box|key[\s-]?safe|lock[\s-]?box|entry|entrance|access|padlock|keypad|safe|intercom|barrier"
    r"|shutter|garage|building|site|(?:plant|boiler|meter)[\s-]?room|burglar\s+alarm|intruder\s+alarm)"
)
_SPELT = "(?:zero|one|two|three|four|five|six|seven|eight|nine)"
_SAID = "(?:oh|nought|zero|one|two|three|four|five|six|seven|eight|nine|double|treble|triple|hundred)"
"""A digit as it is said on the telephone; seven in a row and more are a number to call."""
_CODE = "(?:code|combination|pin|keycode|passcode)"


PRIVATE_MAIL = PRIVACY.error(
    "private-mail",
    "A book lies in vans and on shares; a mail address in it belongs to somebody.",
    "cause: Ask the caretaker, name@example.org",
    "cause: Ask the caretaker",
)
PRIVATE_TELEPHONE = PRIVACY.error(
    "private-telephone",
    "A number in a write-up is out of date when it is needed, and somebody's own until then.",
    "cause: Call 555 010 0199 before you go in",
    "cause: Call the caretaker before you go in",
)
PRIVATE_ADDRESS = PRIVACY.error(
    "private-address",
    "It tells whose plant it is.",
    "cause: Filter blocked at 12 Mill Street",
    "cause: Filter blocked",
)
PRIVATE_KEY = PRIVACY.error(
    "private-key",
    "Whoever finds the booklet can walk in.",
    "do: The gate code is 4711#.",
    "do: The shift lead opens the gate.",
)
PRIVATE_PERSON = PRIVACY.error(
    "private-person",
    "People do not belong into a book about plant.",
    "do: Ask Mr. Miller for the key.",
    "do: Ask the caretaker for the key.",
)

PRIVATE_VEHICLE = PRIVACY.error(
    "private-vehicle",
    "A number plate leads to whoever drives it.",
    "cause: The van AB12 CDE stood before the flue",
    "cause: A van stood before the flue",
)

_LOOKS = (
    Look(
        PRIVATE_MAIL,
        "a mail address",
        "Take it out; the shop's own numbers stand in kb.yaml.",
        re.compile(
            r"\b[\w.+-]+ at [\w-]+ dot (?:com|org|net|info|co|de|fr|uk|eu|es)\b|[\w.+-]+\s?(?:@|＠|\s?[(\[]\s?at\s?[)\]]\s?)\s?[\w-]+(?:\.[\w-]+|\s?[(\[]\s?dot\s?[)\]]\s?[\w-]+)+"
        ),
        re.compile(r"[@＠]|[(\[]\s?at| dot "),
    ),
    Look(
        PRIVATE_TELEPHONE,
        "a telephone number",
        "Take it out; who to call stands under `call` in kb.yaml.",
        re.compile(
            rf"""
            \+\d{{1,3}}[\s./-]?\(?\d{{1,4}}\)?(?:[\s./-]?\d{{2,4}}){{2,4}}\b   # with country
            | \(\d{{3,5}}\)\s?\d{{3}}[\s.-]?\d{{3,4}}\b                         # area in brackets
            | (?<![\d.,-])\d{{3}}([.\s-])\d{{3}}\1\d{{4}}(?![\d.-]){_UNITS}     # three, three, four
            | {_NO_PART}(?<![\d.,-])0\d{{2,4}}[\s/-]\d{{3,4}}[\s-]?\d{{2,4}}(?![\d.-]){_UNITS}
            | \b(?:tel|telephone|phone|mobile|cell|call|ring|text|fax|dial|whatsapp|sms)\b[\s.:]*(?:no|number|him|her|them)?
              [\s.:]*(?:on|at|under)?[\s.:]*\d[\d\s/-]{{4,}}\d\b{_UNITS}
            | \b(?:{_PEOPLE}|office|reception|contact|reach|reached|hotline)\b[^.;\n]{{0,30}}?(?<![\d-])
              \d{{3}}[\s.-]\d{{4}}\b(?!-){_UNITS}                              # a short one, with somebody before it
            | \b(?!one,?\stwo,?\sthree)(?:{_SAID}[\s,-]+){{6,}}{_SAID}\b       # in words
            """,
            re.IGNORECASE | re.VERBOSE,
        ),
        re.compile(rf"\d[\d\s./()-]{{3,}}\d|\b{_SAID}[\s,-]+{_SAID}", re.IGNORECASE),
    ),
    Look(
        PRIVATE_ADDRESS,
        "a street address",
        "Take it out; the plant is known by its family and size, the shop's own sites stand in kb.yaml.",
        re.compile(
            rf"""
            \b\d{{1,5}}[a-z]?\s+(?:[A-Z][\w'’]+\s+){{1,3}}(?i:{_STREETS})\b
            | \b\d{{1,5}}[a-z]?\s+(?:(?!m\b|from|the\b|of\b|on\b|to\b|in\b|at\b|by\b|along|across)[a-z'’]{{2,}}\s+){{1,2}}
              (?:street|avenue|boulevard|road)\b
            | \b[A-Z][\w'’]+\s+(?:Street|Road|Avenue|Lane|Drive|Boulevard|Terrace|Square|Crescent)\s+(?:[Nn]o\.?\s*)?\d{{1,5}}\b
            | \b[A-ZÄÖÜ]\w+(?:straße|strasse|gasse|allee|str\.)\s*\d{{1,4}}\b
            | \b(?:[Cc]alle|[Aa]venida|[Pp]laza|[Pp]aseo)\s+(?:de\s+(?:la\s+|los\s+)?)?[A-ZÁÉÍÓÚÑ]\w+(?:,?\s+n?\.?º?\s*)\d{{1,4}}\b
            | (?<![\d.])-?\d{{1,2}}\.\d{{4,}}\s?°?\s?[NS]?\s?[,;/]\s?-?\d{{1,3}}\.\d{{4,}}                        # where it lies
            | \b\d{{1,2}}\s?°\s?\d{{1,2}}\s?['′’]\s?(?:\d[\d.]*\s?["″”]?\s?)?[NS]\b
            | \b(?:Flat|Apartment|Apt\.?|Suite)\s+\d{{1,4}}[a-z]?,\s+[A-Z]
            | \b\d{{1,4}},?\s+(?:rue|avenue|place)\s+(?:de\s+(?:la\s+)?|du\s+)?[A-ZÉÈ]\w+
            """,
            re.VERBOSE,
        ),
        re.compile(r"\d"),
    ),
    Look(
        PRIVATE_KEY,
        "a password, a key or an access code",
        "Take it out; keys are handed over in person.",
        re.compile(
            rf"""
            \b{_WAYS_IN}\b[\w\s'’-]{{0,20}}?\b{_CODE}\b[\w\s:=,'’"“-]{{0,20}}?(?<![\w-])[\#*]?\d[\d\#*\s-]{{2,}}
            | \b(?:{_WAYS_IN}|alarm)\b[\w\s'’-]{{0,15}}?\b{_CODE}\b(?:\s+is|\s*:)?(?:[\s-]+{_SPELT}){{3,}}
            | \b(?:passwort|kennwort|contraseña|clave)\b(?:\s+(?:ist|es|del?\s+\w+))?[\s:=]+(?=\S*\d)\S{{3,}}
            | \balarm\b[\w\s'’-]{{0,15}}?\b{_CODE}\b[\w\s:=,'’"“-]{{0,15}}?(?<![\w-])[\#*]?\d{{4,}}
            | \b{_CODE}\b[\w\s'’-]{{0,25}}?\b(?:{_WAYS_IN}|alarm)\b[\w\s:=,'’"“-]{{0,15}}?(?<![\w-])[\#*]?\d{{3,}}
            | \b(?:key[\s-]?(?:box|safe)|lock[\s-]?box)\b[^.;\n]{{0,40}}?(?<![\w.,-])\d{{4,8}}\b{_UNITS}
            | \b(?:disarm|unlock|unset)\w*\b[^.;\n]{{0,25}}?(?<![\w.,-])\d{{4,8}}[\#*]?(?!\w){_UNITS}
            | \b{_WAYS_IN}\b[^.;\n]{{0,20}}?\b(?:opens?|unlocks?)\s+(?:with|by|on)\s+[\#*]?\d{{4,8}}\b(?!\s*N\b){_UNITS}
            | \b{_WAYS_IN}\b[^.;\n]{{0,40}}?(?<![\w.,-])(?:[\#*]\d{{3,8}}|\d{{3,8}}[\#*](?!\w))
            | (?<![\w.,-])(?:[\#*]\d{{4,8}}|\d{{4,8}}[\#*](?!\w))[^.;\n]{{0,30}}?\b{_WAYS_IN}\b
            | \b(?:enter|type|key\s+in|press|dial|punch\s+in)\s+[\#*]?\d{{3,8}}[\#*]?\s+(?:at|on|into|in|by)\s+the\s+{_WAYS_IN}
            | \b(?:password|passwd|passcode|passphrase|pwd|pin|login|(?:wi-?fi|wlan|network)\s+(?:key|code))\b
              (?:\s+for[\w\s]{{1,20}})?(?:\s+is|\s*[:=])\s*(?=\S*[\d@\#$%])\S{{3,}}
            | \b(?:password|passwd|passphrase|pwd|(?:wi-?fi|wlan)\s+key)\b(?:\s+for[\w\s]{{1,20}})?\s*[:=]\s*\S{{3,}}
            | \b(?:password|passphrase)\s+is\s+["'“‘]\S{{3,}}
            | \b(?:password|passphrase)\s+is\s+\w{{4,}}[.!]?\s*$
            | \bkeys?\b[^.;\n]{{0,30}}\b(?:under|behind|above|inside|beneath|on)\b[^.;\n]{{0,20}}
              \b(?:mat|doormat|flower\s?pot|pot|stone|brick|sill|lintel|gutter|ledge|dustbin)\b
            | -----BEGIN\ [A-Z\ ]*PRIVATE\ KEY
            | \b(?:AKIA|ghp_|xox[bp]-)[\w-]{{10,}}
            """,
            re.IGNORECASE | re.VERBOSE,
        ),
        re.compile(
            r"\d[\d#*\s-]{2}|code|combination|pin|pass|pwd|key|login|akia|ghp_|xox|kennwort|contraseña|clave",
            re.IGNORECASE,
        ),
    ),
    Look(
        PRIVATE_PERSON,
        "a person's name",
        "Name the office: shift lead, caretaker, operator.",
        re.compile(
            rf"\b(?:Mr|Mrs|Ms|Miss|Dr|Herr|Frau|Señora?|Sra?)\.?\s+[A-ZÄÖÜÁÉÍÓÚÑ][a-zäöüßáéíóúñ]{{2,}}"
            rf"|\b(?:{_PEOPLE}|[Ss]igned(?:\s+by)?|[Rr]egards),?:?\s+[A-ZÄÖÜ][a-zäöüß]+\s+[A-ZÄÖÜ][a-zäöüß]+\b"
        ),
    ),
    Look(
        PRIVATE_VEHICLE,
        "a number plate",
        "Take it out; say what stood where.",
        re.compile(
            r"\b(?i:vans?|trucks?|lorry|vehicle|car|parked|(?:licen[cs]e|number|registration)\s+plate|reg(?:istration)?\s+(?:no\.?|number))\b"
            r"[^.;\n]{0,25}?(?<![\w-])(?:[A-Z]{2}\d{2}\s?[A-Z]{3}|[A-Z]{1,3}[\s-][A-Z]{1,2}\s?\d{1,4}"
            r"|[A-Z]{1,3}[\s-]?\d{3,4}[\s-]?[A-Z]{0,3}|\d{4}\s?[A-Z]{3})(?![\w-])"
        ),
        re.compile(r"\d"),
    ),
)
_STREET_IN_ID = re.compile(r"(?:^|-)\d{1,5}-(?:[a-z]+-){1,3}(?:street|road|avenue|lane|boulevard)(?:-|$)")


def _settings(material: Material) -> Iterator[Problem]:
    for route, kind, text in material.schemas.texts(None, material.settings):
        # The shop's own sites have an address, and who to call a number; a code of the gate has no place there.
        yield from _found(Spot(SETTINGS, route), text, code=kind == "code", own=route[0] in ("sites", "call"))


# Whose number it is: in a list of offices only a person has a private one, or their name in a mail address.
_OWN_NUMBER = re.compile(
    r"\b(?:private(?:ly)?|personal|at home|home number|own (?:mobile|phone))\b", re.IGNORECASE
)
_MAIL_NAME = re.compile(r"([^\W\d_]{2,})[._-]([^\W\d_]{2,})@")


def _called(material: Material) -> Iterator[Problem]:
    """Report persons among the offices to call."""
    for index, call in enumerate(material.base.shop.call):
        words = {word.casefold() for word in re.findall(r"[^\W\d_]+", call.who)}
        name = _MAIL_NAME.search(call.reach)
        if name and {part.casefold() for part in name.groups()} <= words:
            hint = "Name the office or duty, and its own mail address."
            yield PRIVATE_PERSON.at(
                Spot(SETTINGS, ("call", index, "who")), "this looks like a person's name", hint
            )
        elif own := _OWN_NUMBER.search(call.reach):
            spot = Spot(SETTINGS, ("call", index, "reach"), find=own.group())
            hint = "Give the number of the office or duty; it stands in every booklet."
            yield PRIVATE_TELEPHONE.at(spot, "this looks like somebody's own number", hint)


def _in(material: Material, entry: Entry) -> Iterator[Problem]:
    """Yield what is private in one entry."""
    if _STREET_IN_ID.search(entry.ref.id):
        message = "the file's name looks like a street address"
        hint = "Rename the file; it is part of the address of a page."
        yield PRIVATE_ADDRESS.at(Spot(entry.path), message, hint)
    for route, kind, text in material.texts(entry):
        yield from _found(Spot(entry.path, route), text, code=kind == "code")


def _found(spot: Spot, text: str, *, code: bool, own: bool = False) -> Iterator[Problem]:
    for look, piece in _seen_in(text, code, own):
        yield look.rule.at(replace(spot, find=piece), f"this looks like {look.what}", look.hint)


# Pages that are written out say the same sentences many times.
@lru_cache(maxsize=2**15)
def _seen_in(text: str, code: bool, own: bool) -> tuple[tuple[Look, str], ...]:
    """Return what a text gives away, each with the piece that does."""
    found = []
    for look in _LOOKS:
        if (code or own) and look.rule in (PRIVATE_TELEPHONE, PRIVATE_ADDRESS, PRIVATE_VEHICLE):
            continue
        if own and look.rule is PRIVATE_MAIL:
            continue
        if match := look.search(text):
            found.append((look, match.group()))
    return tuple(found)


def private_in_drawing(place: Exact, texts: Sequence[str], *, several: bool = False) -> list[Problem]:
    """Report what the words of a drawing give away.

    Args:
        place: Where the words stand in the file of the drawing.
        texts: The words, in every way in which their pieces may be read together.
        several: Whether they are several texts: marks and figures beside each other look like a number to call
            or an address, and a way in is told only by its words.
    """
    looks = [
        look for look in _LOOKS if (not several or look.rule is PRIVATE_KEY) and any(map(look.search, texts))
    ]
    return [look.rule.at(place, f"the drawing says what looks like {look.what}", look.hint) for look in looks]


def private_in(text: str) -> list[str]:
    """Return what a text looks as if it gave away, such as ``a telephone number``."""
    return [look.what for look in _LOOKS if look.search(text)]


CHECKS: tuple[Check, ...] = (_settings, _called)
ENTRY_CHECKS: tuple[EntryCheck, ...] = (_in,)
