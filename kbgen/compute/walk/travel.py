"""Walk all pages of a knowledge base together: what one leaves behind, the next may find.

Facts travel over every end, ``next``, ``after`` and hand-over until nothing new arrives anywhere. A page is walked
over the arriving facts that its steps or rules read or write, once more for every time that these grow; the others
pass beside it.
"""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from kbgen.compute.walk.arriving import returns_to_service, touched
from kbgen.compute.walk.explore import Exit, Explored, explore
from kbgen.compute.walk.graph import Graph, make_graph
from kbgen.compute.walk.plant import Plant
from kbgen.compute.walk.state import LEFT_LOCKED, LEFT_OFF, LEFT_SHUT, NOTHING, State, without
from kbgen.link.base import KnowledgeBase
from kbgen.model.procedure import Procedure


@dataclass(slots=True)
class Page:
    """A page on the way.

    Attributes:
        finds: What earlier pages may have left.
        walked_with: The part of it that the page was last walked over.
    """

    plant: Plant
    graph: Graph
    finds: State = NOTHING
    walked_with: State = NOTHING
    explored: Explored = field(default_factory=lambda: Explored((), (), (), complete=False))

    def leaves(self, out: Exit) -> State:
        """Return what stays outstanding at an exit, with what passes beside the page."""
        return out.left if out.end == "returned-to-service" else out.left | (self.finds - self.walked_with)


def travel(base: KnowledgeBase) -> Mapping[str, Page]:
    """Walk every page with what may arrive at it; pages by id."""
    pages = {
        entry.ref.id: Page(Plant(base, procedure, entry.ref.id), make_graph(procedure, entry.ref.id))
        for entry, procedure in base.of(Procedure)
    }
    routes = _Routes(pages)
    waiting = deque(pages)
    while waiting:
        name = waiting.popleft()
        page = pages[name]
        now = touched(page.plant.procedure, page.finds)
        if not page.explored.states or now != page.walked_with:
            page.walked_with = now
            page.explored = explore(page.plant, page.graph, found=now)
        for target, facts in routes.out_of(name):
            if not facts <= pages[target].finds:
                pages[target].finds |= facts
                if target not in waiting:
                    waiting.append(target)
    return pages


class _Routes:
    """Where the ways out of the pages lead."""

    def __init__(self, pages: Mapping[str, Page]) -> None:
        self._pages = pages
        self._after: defaultdict[str, list[str]] = defaultdict(list)
        self._in_service: defaultdict[str, list[str]] = defaultdict(list)
        for name, page in pages.items():
            self._after[page.plant.procedure.after].append(name)
            if returns_to_service(page.plant.procedure):
                for family in page.plant.procedure.equipment:
                    self._in_service[family].append(name)

    def out_of(self, name: str) -> Iterator[tuple[str, State]]:
        """Yield the pages that may come after a page, with what is left to them."""
        page = self._pages[name]
        for out in page.explored.exits:
            facts = page.leaves(out)
            if out.next not in self._pages:
                # Whoever comes some day sees what is off; what is altered, open or owed does not show itself.
                facts = without(facts, LEFT_OFF, LEFT_LOCKED, LEFT_SHUT)
            for target in self._following(name, out) if facts else ():
                yield target, facts

    def _following(self, name: str, out: Exit) -> list[str]:
        """Return who comes next: where nobody is named, whoever brings the plant back to service some day."""
        families = self._pages[name].plant.procedure.equipment
        named = [out.next] if out.next in self._pages else []
        anybody = [target for family in families for target in self._in_service[family]]
        # Who broke off does that page again; the pages done after it are reached by the ends that go on.
        after = [] if out.end in ("left-safe", "evacuated") else self._after[name]
        return [*(named or anybody), *after]
