"""Kinds of change: what is done wrongly, in which of the ways of a hazard analysis, and who gets hurt how."""

from __future__ import annotations

import hashlib
import random
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from tests.bench.control.draft import Data, Draft, Step
from tests.bench.control.plant import Page, Shop

SEED = 20261129


@dataclass(frozen=True)
class Change:
    """One change of one knowledge base: the files it makes anew."""

    kind: Kind
    shop: Shop
    page: str
    step: str
    what: str
    files: Mapping[str, Data]

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


def drawn(changes: list[Change], most: int) -> list[Change]:
    """Draw at most so many, the kinds in turn, the same ones on every machine."""
    lots: dict[str, list[Change]] = {}
    for change in changes:
        lots.setdefault(f"{change.kind.act} {change.kind.name}", []).append(change)
    for name, lot in lots.items():
        random.Random(int(hashlib.sha256(f"{SEED} {name}".encode()).hexdigest(), 16)).shuffle(lot)
    found: list[Change] = []
    while len(found) < most and any(lots.values()):
        for lot in lots.values():
            if lot and len(found) < most:
                found.append(lot.pop())
    return found
