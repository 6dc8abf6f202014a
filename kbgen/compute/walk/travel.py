"""Walk all pages of a knowledge base together: what one leaves behind, the next may find.

Facts travel over every end, ``next``, ``after`` and hand-over until nothing new arrives anywhere. A page is walked
over the arriving facts that its steps or rules read or write, once more for every time that these grow; the others
pass beside it. What every way that leads to a page brings about, the page begins with.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

from kbgen.compute.walk.arriving import returns_to_service, touched
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.result import AS_FOUND, Arrival, Exit
from kbgen.compute.walk.state import (
    ANOTHERS,
    LEFT_LOCKED,
    LEFT_OFF,
    LEFT_SHUT,
    NOTHING,
    State,
    facts,
    without,
)
from kbgen.link.base import KnowledgeBase
from kbgen.model.action import End, HandOver
from kbgen.model.entry import Entry
from kbgen.model.procedure import Procedure

Walker = Callable[[Entry, Arrival], tuple[Exit, ...]]
"""Walks a page with what the pages before it leave, to its ways out."""
_BREAKS_OFF = ("left-safe", "unsafe-left-off", "evacuated", ANOTHERS)


@dataclass(slots=True)
class _Page:
    entry: Entry
    procedure: Procedure
    finds: State = NOTHING
    brought: dict[str, State] = field(default_factory=dict)
    walked_with: Arrival = AS_FOUND
    exits: tuple[Exit, ...] | None = None

    @property
    def arrival(self) -> Arrival:
        """What the page begins with; where it is the first of a job, nothing is brought about."""
        every = self.brought.values() if self.procedure.after else ()
        return Arrival(self.finds, frozenset.intersection(*every) if every else NOTHING)


def travel(base: KnowledgeBase, family: str, walker: Walker) -> dict[str, Arrival]:
    """Walk every page of a plant with what arrives at it.

    Returns:
        For each page what it begins with, by its id.
    """
    # A page that nobody has written or walked leads nowhere, and nothing is taken to come from it.
    pages = {
        entry.ref.id: _Page(entry, procedure, _after_the_summer(base, procedure, entry.ref.id))
        for entry, procedure in base.of(Procedure, plant=family)
        if not procedure.derived
    }
    routes = _Routes(pages)
    order = _order(pages)
    waiting = set(pages)
    while waiting:
        for name in [each for each in order if each in waiting]:
            waiting.discard(name)
            _walked(pages, routes, name, walker, waiting)
    return {name: page.arrival for name, page in pages.items()}


def _after_the_summer(base: KnowledgeBase, procedure: Procedure, name: str) -> State:
    """Return what a page may find that starts a season and ends in service: anything off, locked or shut since the last one."""
    if procedure.occasion != "season-start" or not returns_to_service(procedure):
        return NOTHING
    plant = Plant(base, procedure, name)
    sources = [each for each in plant.sources if not plant.leaves_by_itself(each)]
    return facts(LEFT_OFF, sources) | facts(LEFT_LOCKED, sources) | facts(LEFT_SHUT, plant.valves)


def _walked(
    pages: Mapping[str, _Page], routes: _Routes, name: str, walker: Walker, waiting: set[str]
) -> None:
    """Walk a page with what it begins with by now, and note who begins with something else by it."""
    page = pages[name]
    now = touched(page.procedure, page.arrival)
    if page.exits is None or now != page.walked_with:
        page.walked_with = now
        page.exits = walker(page.entry, now)
    brought: dict[str, State] = {}
    for target, left, brings in routes.out_of(page, name):
        if not left <= pages[target].finds:
            pages[target].finds |= left
            waiting.add(target)
        if brings is not None:
            brought[target] = brought.get(target, brings) & brings
    for target, brings in brought.items():
        # It only ever shrinks, so that pages that lead to each other come to rest.
        before = pages[target].arrival
        pages[target].brought[name] = pages[target].brought.get(name, brings) & brings
        if pages[target].arrival != before:
            waiting.add(target)


def _order(pages: Mapping[str, _Page]) -> list[str]:
    """Return the pages, each before those it leads to as far as no circle is closed."""
    follows: defaultdict[str, list[str]] = defaultdict(list)
    for name, page in pages.items():
        follows[page.procedure.after].append(name)
        follows[name] += [each.next for each in _ways_out(page.procedure)]
    done: dict[str, None] = {}
    seen = set()
    stack: list[tuple[str, bool]] = [(name, False) for name in reversed(list(pages))]
    while stack:
        name, left = stack.pop()
        if left:
            done[name] = None
        elif name in pages and name not in seen:
            seen.add(name)
            stack.append((name, True))
            stack += [(each, False) for each in follows[name]]
    return list(reversed(done))


def _ways_out(procedure: Procedure) -> list[End | HandOver]:
    return [step.action for step in procedure.steps if isinstance(step.action, End | HandOver)]


class _Routes:
    """Where the ways out of the pages lead."""

    def __init__(self, pages: Mapping[str, _Page]) -> None:
        self._pages = pages
        # A page that names the one after it is left for that one by the ends that name it, and by no other.
        self._chained: dict[str, str] = {}
        self._after: defaultdict[str, list[str]] = defaultdict(list)
        for name, page in pages.items():
            before = page.procedure.after
            if before in pages and name in {each.next for each in _ways_out(pages[before].procedure)}:
                self._chained[name] = before
            else:
                self._after[before].append(name)
        back = [name for name, page in pages.items() if returns_to_service(page.procedure)]
        self._anybody = list(dict.fromkeys(self._first_of(name) for name in back))

    def _first_of(self, name: str) -> str:
        """Return the first page of the chain that a page belongs to; that one where the chain has no beginning."""
        first, seen = name, {name}
        while before := self._chained.get(first):
            if before in seen:
                return name
            seen.add(before)
            first = before
        return first

    def out_of(self, page: _Page, name: str) -> Iterator[tuple[str, State, State | None]]:
        """Yield the pages that may come after a page, what is left to them, and what is brought about for them.

        The last is none where nobody knows who comes.
        """
        for out in page.exits or ():
            left = out.leaves(page.finds - page.walked_with.finds)
            brings = out.brings | (page.arrival.brings - page.walked_with.brings)
            if out.next in self._pages:
                yield out.next, left, brings
            else:
                # Whoever comes some day sees what is off; what is altered, open or owed does not show itself.
                left = without(left, LEFT_OFF, LEFT_LOCKED, LEFT_SHUT)
                for target in self._anybody:
                    yield target, left, None
            # Who broke off does that page again; the pages done after it are reached by the ends that go on.
            for target in self._after[name] if out.end not in _BREAKS_OFF else ():
                yield target, left, brings
