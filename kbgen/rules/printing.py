"""What the web edition shows and the pocket guide cannot print."""

from __future__ import annotations

from collections.abc import Iterator

from kbgen.load.discover import SETTINGS
from kbgen.model.entry import Entry
from kbgen.position import Spot
from kbgen.printable import not_printable
from kbgen.problems import Problem
from kbgen.ref import Kind
from kbgen.rule import Family
from kbgen.rules.language import LANGUAGE
from kbgen.rules.material import Check, EntryCheck, Material

NO_SIGN_IN_PRINT = LANGUAGE.warning(
    "no-sign-in-print",
    "The guide is not made as long as a printed entry holds a sign that none of its fonts has.",
    "aliases: [hot 🔥]",
    "aliases: [hot]",
)

# The typesetter finds these; the guide's output says where they stand.
PRINTING = Family(
    "Pocket guide",
    "Print practice: every sign has a font, every picture is sharp enough to be read.",
    "The signs of the fonts that come with the program, and the pictures as they are printed.",
)
SIGN_NOT_PRINTABLE = PRINTING.error(
    "sign-not-printable",
    "An empty box stands where the sign should be, and the guide is not made.",
    "aliases: [hot 🔥]",
    "aliases: [hot]",
)
PICTURE_COARSE = PRINTING.warning(
    "picture-coarse",
    "Nobody can read a terminal mark in a picture of a few dots.",
    "photos/panel.png (300 dots wide, printed over the whole page)",
    "photos/panel.png (1,600 dots wide)",
)
PICTURE_UNUSABLE = PRINTING.warning(
    "picture-unusable",
    "The guide shows the words of a picture that it cannot print.",
    "photos/panel.webp (damaged)",
    "photos/panel.png (saved anew)",
)


def _settings(material: Material) -> Iterator[Problem]:
    for route, _, text in material.schemas.texts(None, material.settings):
        yield from _found(Spot(SETTINGS, route), text)


def _in(material: Material, entry: Entry) -> Iterator[Problem]:
    # Field notes and machines are never printed.
    if entry.ref.kind not in (Kind.FIELD_NOTE, Kind.PLANT):
        for route, _, text in material.texts(entry):
            yield from _found(Spot(entry.path, route), text)


def _found(spot: Spot, text: str) -> Iterator[Problem]:
    if missing := not_printable(text):
        first = missing[0]
        more = f" and {len(missing) - 1} more" if len(missing) > 1 else ""
        message = f"no font of the pocket guide has the sign `{first}` (U+{ord(first):04X}){more}"
        hint = "Write it in words, or use another sign; pages show it, the guide is not made with it."
        yield NO_SIGN_IN_PRINT.at(Spot(spot.path, spot.route, find=first), message, hint)


CHECKS: tuple[Check, ...] = (_settings,)
ENTRY_CHECKS: tuple[EntryCheck, ...] = (_in,)
