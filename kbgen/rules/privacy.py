"""Rules about what must not stand in a published book: whose plant it is, and how to get in.

Telephone numbers, addresses and keys are looked for in free text only: a fault code or a terminal
mark may look like a number to call. What was found is never repeated, because the log is public.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import partial
from typing import NamedTuple

from kbgen.link.kept import kept
from kbgen.model.entry import Entry
from kbgen.position import Spot
from kbgen.problems import Problem
from kbgen.rule import Family, Rule
from kbgen.rules.material import Check, Material
from kbgen.schemas import Schemas

PRIVACY = Family("Privacy", "Privacy: no data of customers; no means of access in print.")

_STREETS = "street|road|avenue|lane|drive|boulevard|court|terrace|square|crescent|highway|st|rd|ave|blvd"
_UNITS = r"(?!\s*(?:°|V\b|A\b|W\b|Hz|k?Pa|m?bar|psi|Ω|min\b|s\b|h\b|in\b|ft\b|mm\b|kW|[µm]A))"


class _Look(NamedTuple):
    rule: Rule
    what: str
    hint: str
    pattern: re.Pattern[str]


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

_LOOKS = (
    _Look(
        PRIVATE_MAIL,
        "a mail address",
        "Take it out; the shop's own numbers stand in kb.yaml.",
        re.compile(r"[\w.+-]+@[\w-]+(?:\.[\w-]+)+"),
    ),
    _Look(
        PRIVATE_TELEPHONE,
        "a telephone number",
        "Take it out; who to call stands under `call` in kb.yaml.",
        re.compile(
            rf"""
            \+\d{{1,3}}[\s./-]?\(?\d{{1,4}}\)?(?:[\s./-]?\d{{2,4}}){{2,4}}\b   # with country
            | \(\d{{3,5}}\)\s?\d{{3}}[\s.-]?\d{{3,4}}\b                         # area in brackets
            | (?<![\d.,-])\d{{3}}([.\s-])\d{{3}}\1\d{{4}}(?![\d.-]){_UNITS}     # three, three, four
            | (?<![\d.,-])0\d{{2,4}}[\s/-]\d{{3,4}}[\s-]?\d{{2,4}}(?![\d.-]){_UNITS}
            | \b(?:tel|telephone|phone|mobile|cell|call|ring)\b[\s.:]*(?:no|number)?[\s.:]*\d[\d\s/-]{{4,}}\d\b{_UNITS}
            """,
            re.IGNORECASE | re.VERBOSE,
        ),
    ),
    _Look(
        PRIVATE_ADDRESS,
        "a street address",
        "Take it out; the plant is known by its family and size.",
        re.compile(
            rf"""
            \b\d{{1,5}}[a-z]?\s+(?:[A-Z][\w'’]+\s+){{1,3}}(?i:{_STREETS})\b
            | \b[A-ZÄÖÜ]\w+(?:straße|strasse|gasse|allee)\s+\d{{1,4}}\b
            """,
            re.VERBOSE,
        ),
    ),
    _Look(
        PRIVATE_KEY,
        "a password or an access code",
        "Take it out; keys are handed over in person.",
        re.compile(
            r"""
            \b(?:password|passcode|passphrase|pin|login|(?:door|gate|alarm|access|key|entry|safe)[\s-]?code)
              (?:\s+(?:is|for[\w\s]{1,20}is)|\s*[:=])\s*(?=\S*[\d@\#$%])\S{3,}
            | -----BEGIN\ [A-Z\ ]*PRIVATE\ KEY
            """,
            re.IGNORECASE | re.VERBOSE,
        ),
    ),
    _Look(
        PRIVATE_PERSON,
        "a person's name",
        "Name the office: shift lead, caretaker, operator.",
        re.compile(r"\b(?:Mr|Mrs|Ms|Miss|Herr|Frau)\.?\s+[A-ZÄÖÜ][a-zäöüß]{2,}"),
    ),
)


def _private(material: Material) -> Iterator[Problem]:
    for ref, entry in material.base.entries.items():
        name = ("private", str(ref))
        yield from kept(material.store, material.base, name, partial(_in, entry, material.schemas))


def _in(entry: Entry, schemas: Schemas) -> tuple[Problem, ...]:
    return tuple(
        look.rule.at(Spot(entry.path, route, find=match.group()), f"this looks like {look.what}", look.hint)
        for route, kind, text in schemas.texts(entry.ref.kind, entry.data)
        if kind != "code"
        for look in _LOOKS
        if (match := look.pattern.search(text))
    )


CHECKS: tuple[Check, ...] = (_private,)
