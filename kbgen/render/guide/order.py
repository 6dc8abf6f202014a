"""Which entries are printed, in which order, and where the indexes send a reader."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass

from kbgen.ref import Kind, Ref
from kbgen.views.page import Book, Page

LEAVE_NOW = "leave-now"

CHAPTERS: tuple[tuple[str, tuple[Kind, ...]], ...] = (
    ("Symptoms", (Kind.SYMPTOM,)),
    ("Procedures", (Kind.PROCEDURE,)),
    ("Devices", (Kind.DEVICE,)),
    ("Equipment and circuits", (Kind.EQUIPMENT, Kind.CIRCUIT)),
    ("Cautions", (Kind.CAUTION,)),
    ("Terms", (Kind.TERM,)),
)
ANY_PLANT = "Any plant"
BY_PLANT = frozenset({Kind.SYMPTOM, Kind.PROCEDURE})
"""Kinds whose titles are alike from plant to plant: listed, and headed on their sheets, by plant."""


@dataclass(frozen=True, slots=True)
class Group:
    """Entries under one heading, e.g. the symptoms of one plant."""

    title: str
    pages: tuple[Page, ...]


@dataclass(frozen=True, slots=True)
class Chapter:
    """Entries of one kind, or of two that belong together."""

    title: str
    groups: tuple[Group, ...]

    @property
    def pages(self) -> tuple[Page, ...]:
        """The chapter's entries in the order of their sheets."""
        return tuple(page for group in self.groups for page in group.pages)


@dataclass(frozen=True, slots=True)
class Pointer:
    """One line of an index: what a reader looks up and the entries it stands in."""

    words: str
    refs: tuple[Ref, ...]


def sort_key(text: str) -> tuple[object, ...]:
    """Order in which people look: no case, no accents, numbers by value, letters after digits.

    >>> sorted(["F22", "f3", "É2", "A-17"], key=sort_key)
    ['A-17', 'É2', 'f3', 'F22']
    """
    plain = unicodedata.normalize("NFKD", text.casefold())
    plain = "".join(sign for sign in plain if not unicodedata.combining(sign))
    runs = re.findall(r"\d+|[^\W\d_]+", plain)
    return (*((0, int(run), "") if run.isdecimal() else (1, 0, run) for run in runs), (-1, 0, text))


def printed(book: Book) -> tuple[Page, ...]:
    """Entries that stand in the guide: approved, and not marked as minor; field notes never."""
    kinds = {kind for _, members in CHAPTERS for kind in members}
    return tuple(page for page in book.pages if page.kind in kinds and not page.draft and not page.minor)


def chapters(book: Book) -> tuple[Chapter, ...]:
    """Sort the printed entries into chapters; empty chapters are left out."""
    entries = printed(book)
    plant = {
        page.ref.id: page.title
        for page in book.pages
        if isinstance(page.ref, Ref) and page.kind is Kind.EQUIPMENT
    }
    result = []
    for title, kinds in CHAPTERS:
        members = sorted(
            (page for page in entries if page.kind in kinds),
            key=lambda page: (sort_key(page.title), str(page.ref)),
        )
        if members:
            groups = _by_plant(members, plant) if BY_PLANT.issuperset(kinds) else (Group("", tuple(members)),)
            result.append(Chapter(title, groups))
    return tuple(result)


def _by_plant(pages: list[Page], plant: dict[str, str]) -> tuple[Group, ...]:
    """Group entries by the first plant they name; those of every plant come first."""
    groups: dict[str, list[Page]] = {}
    for page in pages:
        groups.setdefault(page.equipment[0] if page.equipment else "", []).append(page)
    names = {key: plant.get(key, key) if key else ANY_PLANT if len(groups) > 1 else "" for key in groups}
    order = sorted(groups, key=lambda key: (key != "", sort_key(names[key]), key))
    return tuple(Group(names[key], tuple(groups[key])) for key in order)


def display_index(pages: tuple[Page, ...]) -> tuple[Pointer, ...]:
    """Every display, code and lamp, with the entries it leads to."""
    return _pointers((mark, page) for page in pages for mark in page.marks)


def title_index(pages: tuple[Page, ...]) -> tuple[Pointer, ...]:
    """Every title and other name, with the entries that bear it."""
    return _pointers((words, page) for page in pages for words in (page.title, *page.aliases))


def _pointers(found: Iterable[tuple[str, Page]]) -> tuple[Pointer, ...]:
    refs: dict[str, list[Ref]] = {}
    for words, page in found:
        known = refs.setdefault(words, [])
        if isinstance(page.ref, Ref) and page.ref not in known:
            known.append(page.ref)
    return tuple(Pointer(words, tuple(refs[words])) for words in sorted(refs, key=sort_key))
