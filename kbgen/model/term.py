"""A trade term."""

from __future__ import annotations

from dataclasses import dataclass

from kbgen.model.build import Long
from kbgen.model.head import Head
from kbgen.position import Route


@dataclass(frozen=True, slots=True)
class Confusion:
    """A term that is easily taken for this one."""

    term: str
    differs: str
    route: Route = ()


@dataclass(frozen=True, slots=True)
class RegionalWord:
    """What a region calls it: the word for its pages, and others that are right there too."""

    region: str
    word: str
    also: tuple[str, ...] = ()
    route: Route = ()


@dataclass(frozen=True, slots=True)
class Term:
    """A word of the trade, its short forms and what it must not be confused with."""

    head: Head
    means: Long
    short: tuple[str, ...] = ()
    words: tuple[RegionalWord, ...] = ()
    not_to_confuse: tuple[Confusion, ...] = ()
