"""Walk all pages of a knowledge base together: what one leaves behind, the next may find.

Facts travel over every end, ``next``, ``after`` and hand-over until nothing new arrives anywhere. A page is walked
over the arriving facts that its steps or rules read or write, once more for every time that these grow; the others
pass beside it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from kbgen.compute.walk.arriving import returns_to_service, touched
from kbgen.compute.walk.result import Exit, Walk
from kbgen.compute.walk.state import LEFT_LOCKED, LEFT_OFF, LEFT_SHUT, NOTHING, State, without
from kbgen.link.base import KnowledgeBase
from kbgen.model.action import End, HandOver
from kbgen.model.entry import Entry
from kbgen.model.procedure import Procedure

Walker = Callable[[Entry, State], Walk]
"""Walks a page with what it may find."""


@dataclass(slots=True)
class _Page:
    entry: Entry
    procedure: Procedure
    finds: State = NOTHING
    walked_with: State = NOTHING
    exits: tuple[Exit, ...] | None = None


def travel(base: KnowledgeBase, family: str, walker: Walker) -> dict[str, State]:
    """Walk every page of a plant with what may arrive at it.

    Returns:
        For each page what it may find, by its id.
    """
    pages = {entry.ref.id: _Page(entry, procedure) for entry, procedure in base.of(Procedure, plant=family)}
    routes = _Routes(pages)
    order = _order(pages)
    waiting = set(pages)
    while waiting:
        for name in [each for each in order if each in waiting]:
            waiting.discard(name)
            _walked(pages, routes, name, walker, waiting)
    return {name: page.finds for name, page in pages.items()}


def _walked(
    pages: Mapping[str, _Page], routes: _Routes, name: str, walker: Walker, waiting: set[str]
) -> None:
    """Walk a page with what it may find by now, and note who finds more by it."""
    page = pages[name]
    now = touched(page.procedure, page.finds)
    if page.exits is None or now != page.walked_with:
        page.walked_with = now
        page.exits = walker(page.entry, now).exits
    for target, facts in routes.out_of(page, name):
        if not facts <= pages[target].finds:
            pages[target].finds |= facts
            waiting.add(target)


def _order(pages: Mapping[str, _Page]) -> list[str]:
    """Return the pages, each before those it leads to as far as no circle is closed."""
    follows: defaultdict[str, list[str]] = defaultdict(list)
    for name, page in pages.items():
        follows[page.procedure.after].append(name)
        actions = (step.action for step in page.procedure.steps)
        follows[name] += [each.next for each in actions if isinstance(each, End | HandOver)]
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


class _Routes:
    """Where the ways out of the pages lead."""

    def __init__(self, pages: Mapping[str, _Page]) -> None:
        self._pages = pages
        self._after: defaultdict[str, list[str]] = defaultdict(list)
        for name, page in pages.items():
            self._after[page.procedure.after].append(name)
        self._anybody = [name for name, page in pages.items() if returns_to_service(page.procedure)]

    def out_of(self, page: _Page, name: str) -> Iterator[tuple[str, State]]:
        """Yield the pages that may come after a page, with what is left to them."""
        for out in page.exits or ():
            facts = out.leaves(page.finds - page.walked_with)
            if out.next not in self._pages:
                # Whoever comes some day sees what is off; what is altered, open or owed does not show itself.
                facts = without(facts, LEFT_OFF, LEFT_LOCKED, LEFT_SHUT)
            for target in self._following(name, out) if facts else ():
                yield target, facts

    def _following(self, name: str, out: Exit) -> list[str]:
        """Return who comes next: where nobody is named, whoever brings the plant back to service some day."""
        named = [out.next] if out.next in self._pages else self._anybody
        # Who broke off does that page again; the pages done after it are reached by the ends that go on.
        after = [] if out.end in ("left-safe", "unsafe-left-off", "evacuated") else self._after[name]
        return [*named, *after]
