"""What a field of an action may hold, said once: schema, names, editor and documentation read it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Any


class Names(StrEnum):
    """What a name in an action stands for, and so where it is looked up."""

    SOURCE = "source"
    ELECTRIC = "electric source"
    COVER = "cover"
    VALVE = "fuel valve"
    FUEL_POINT = "fuel point"
    ZONE = "zone"
    SETTING = "setting"
    DEVICE = "device"
    TRIPPED = "device, memory or fuse"
    PART = "device or part"
    CIRCUIT = "circuit"
    POINT = "test point"
    PAIR = "pair of points"
    FITTED = "alteration"
    CLIPPED = "meter"
    PROCEDURE = "procedure"
    STEP = "step"


SCOPES: dict[Names, str] = {
    Names.SOURCE: "the plant",
    Names.ELECTRIC: "the plant",
    Names.COVER: "the plant",
    Names.VALVE: "the plant",
    Names.FUEL_POINT: "the plant",
    Names.ZONE: "the plant",
    Names.SETTING: "the plant",
    Names.DEVICE: "the plant",
    Names.TRIPPED: "the plant",
    Names.PART: "the plant",
    Names.CIRCUIT: "the plant",
    Names.POINT: "the circuit",
    Names.PAIR: "the source and its circuits",
    Names.FITTED: "this page",
    Names.CLIPPED: "this page",
    Names.PROCEDURE: "the knowledge base",
    Names.STEP: "the page that is named, or this one",
}
"""Where each kind of name is valid."""


@dataclass(frozen=True, slots=True)
class Takes:
    """What one field holds.

    Attributes:
        says: Its description in the schema.
        example: A value for the schema's example.
        names: What its text names; ``None`` for words, new names and times.
        words: The words it may be, where there is a fixed list.
        kind: ``line``, ``id`` (a new name), ``code``, ``time`` or ``words``; ``name`` for names.
        besides: A word that may stand in place of a name.
    """

    says: str
    example: Any
    names: Names | None = None
    words: tuple[str, ...] = ()
    kind: str = "line"
    besides: str = ""


def named(names: Names, says: str, example: Any, besides: str = "") -> Takes:
    """Return what a field takes that names something, or is a word besides."""
    return Takes(says, example, names, kind="name", besides=besides)


def line(says: str, example: Any) -> Takes:
    """Return what a field takes that is one line for the person."""
    return Takes(says, example)


def new_name(says: str, example: str | list[str]) -> Takes:
    """Return what a field takes that is one id, or a list of them: a new name, or one that its own code looks up."""
    return Takes(says, example, kind="id")


def time(says: str, example: str) -> Takes:
    """Return what a field takes that is a time."""
    return Takes(says, example, kind="time")


def one_of(says: str, *words: str, example: Any = None) -> Takes:
    """Return what a field takes that is one of a fixed list of words."""
    return Takes(says, example or words[0], words=words, kind="words")
