"""Kinds of change: what is done wrongly, in which of the ways of a hazard analysis, and who gets hurt how."""

from __future__ import annotations

import hashlib
import random
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from tests.bench.control.draft import Data, Draft, Step, written
from tests.bench.control.plant import Page, Shop

SEED = 20261129


@dataclass(frozen=True)
class Change:
    """One change of one knowledge base."""

    kind: Kind
    shop: Shop
    page: str
    step: str
    what: str
    new: Draft | Mapping[str, Data]

    @property
    def files(self) -> Mapping[str, Data]:
        """The files it makes anew, by their paths."""
        path = self.shop.pages[self.page].path
        return {path: self.new.page()} if isinstance(self.new, Draft) else self.new

    @property
    def body(self) -> str:
        """Everything it makes anew, as one text."""
        return self.shop.name + "".join(path + written(data) for path, data in self.files.items())

    @property
    def name(self) -> str:
        """Where it is and what it is, in one line."""
        return f"{self.shop.name}/{self.page} [{self.step}] {self.what}"


Made = tuple[Draft | Mapping[str, Data], Step | str, str]
"""A changed page (or files), the step it is about, and what was done."""


@dataclass(frozen=True)
class Kind:
    """One kind of change.

    Attributes:
        act: The action of the table, or ``question`` or ``page``.
        way: Not done, done wrongly, too early or late, too short or long, over a border.
        harm: Who gets hurt how; for a harmless kind, why nobody does.
    """

    act: str
    way: str
    name: str
    harm: str
    make: Callable[[Page], Iterator[Made]]

    def changes(self, page: Page) -> Iterator[Change]:
        """Make every change of this kind on one page."""
        for new, step, what in self.make(page):
            files = {page.path: new.page()} if isinstance(new, Draft) else new
            yield Change(
                self, page.shop, page.id, step if isinstance(step, str) else _told(step), what, files
            )


def _told(step: Step) -> str:
    said = step.value
    return f"{step.key}: {step.act}={said if isinstance(said, str) else ', '.join(said)}"[:70]


NOT_DONE = "not done"
WRONG = "done wrongly"
EARLY = "too early"
LATE = "too late"
SHORT = "too short or too long"
BORDER = "over a border"
ADDED = "done when it should not be"
WAYS = (NOT_DONE, WRONG, ADDED, EARLY, LATE, SHORT, BORDER)

DANGERS: list[Kind] = []
HARMLESS: list[Kind] = []


def danger(act: str, way: str, harm: str) -> Callable[[Callable[[Page], Iterator[Made]]], None]:
    """Enter a kind of unsafe control; ``harm`` says who gets hurt how."""

    def enter(make: Callable[[Page], Iterator[Made]]) -> None:
        DANGERS.append(Kind(act, way, make.__name__.replace("_", " "), harm, make))

    return enter


def harmless(why: str) -> Callable[[Callable[[Page], Iterator[Made]]], None]:
    """Enter a kind of change that hurts nobody."""

    def enter(make: Callable[[Page], Iterator[Made]]) -> None:
        HARMLESS.append(Kind("", "", make.__name__.replace("_", " "), why, make))

    return enter


def drawn(changes: list[Change], most: int, seed: int = SEED) -> list[Change]:
    """Draw at most so many, the kinds in turn, each page once, the same ones of a seed on every machine."""
    lots: dict[str, list[Change]] = {}
    for change in changes:
        lots.setdefault(f"{change.kind.act} {change.kind.name}", []).append(change)
    for name, lot in lots.items():
        random.Random(int(hashlib.sha256(f"{seed} {name}".encode()).hexdigest(), 16)).shuffle(lot)
    found: dict[str, Change] = {}
    while len(found) < most and any(lots.values()):
        for lot in lots.values():
            if lot and len(found) < most:
                change = lot.pop()
                # Two ways to the same page count once.
                found.setdefault(change.body, change)
    return list(found.values())
