"""Pictures that cannot be shown, or that tell where a customer lives."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from kbgen.drawing import Words, redrawn
from kbgen.load.names import PHONE_ADVICE
from kbgen.photo import PhotoError, look
from kbgen.position import Exact
from kbgen.problems import Problem
from kbgen.rule import Family
from kbgen.rules.privacy import private_in_drawing

PHOTOS = Family(
    "Photos", "Privacy of the customer; nothing published runs code.", "The bytes of each picture."
)

PHOTO_UNREADABLE = PHOTOS.error(
    "photo-unreadable",
    "A picture that cannot be opened leaves a hole in the page.",
    "photos/panel.png (damaged)",
    "photos/panel.png (saved anew)",
)


def photo_problems(root: Path, photos: Sequence[str]) -> list[Problem]:
    """Report pictures that must not or cannot be published.

    Args:
        root: The knowledge base.
        photos: Paths of its pictures, relative to it.
    """
    problems = []
    for path in photos:
        try:
            content = (root / path).read_bytes()
        except OSError as fault:
            message = f"the picture cannot be read: {fault.strerror or 'the system refused'}"
            problems.append(PHOTO_UNREADABLE.at(Exact(path), message, "Check its permissions."))
            continue
        problems += _drawing(path, content) if path.endswith(".svg") else _photo(path, content)
    return problems


PHOTO_ACTIVE = PHOTOS.error(
    "photo-active", "A drawing with a script runs it on every tablet.", "<svg onload=...>", "(a plain SVG)"
)


def _drawing(path: str, content: bytes) -> list[Problem]:
    drawing = redrawn(content)
    if not drawing.fault:
        return _said(path, drawing.words)
    place = Exact(path, drawing.position)
    if drawing.active:
        hint = "Save it as a plain SVG: no scripts, links, pictures or foreign content."
        return [PHOTO_ACTIVE.at(place, drawing.fault, hint)]
    return [PHOTO_UNREADABLE.at(place, drawing.fault, "Save it anew as a plain SVG, or as PNG.")]


_TOGETHER = 3
"""Texts of a drawing that stand behind one another may be lines of one notice."""


def _said(path: str, words: Sequence[Words]) -> list[Problem]:
    """Report what the words of a drawing give away: every text by itself, and several that make one notice."""
    found = [
        problem for said in words for problem in private_in_drawing(Exact(path, said.position), said.readings)
    ]
    alone = {problem.place for problem in found}
    for at in range(len(words)):
        together = words[at : at + _TOGETHER]
        if alone.isdisjoint(Exact(path, said.position) for said in together):
            notice = " ".join(said.readings[0] for said in together)
            more = private_in_drawing(Exact(path, words[at].position), [notice], several=True)
            found += more
            alone |= {Exact(path, said.position) for said in together if more}
    return found


PHOTO_PRIVATE_DATA = PHOTOS.error(
    "photo-private-data",
    "A phone writes where and when a photo was taken into the file: where a customer lives.",
    "photos/panel.jpg (straight from the phone)",
    "photos/panel.png (written anew)",
)


def _photo(path: str, content: bytes) -> list[Problem]:
    try:
        found = look(content)
    except PhotoError as fault:
        hint = PHONE_ADVICE if fault.of_phone else "Save it anew as PNG, JPEG or WebP."
        return [PHOTO_UNREADABLE.at(Exact(path), str(fault), hint)]
    if not found.gives_away:
        return []
    # What was found is named and never repeated: the log is public.
    *most, last = found.gives_away
    message = f"the picture tells {', '.join(most)} and {last}" if most else f"the picture tells {last}"
    hint = f"Write it anew without them: kbgen new photo {path}"
    return [PHOTO_PRIVATE_DATA.at(Exact(path), message, hint)]
