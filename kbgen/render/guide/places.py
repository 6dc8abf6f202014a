"""Where a link inside the guide can lead."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from kbgen.ref import Ref
from kbgen.views.blocks import Block, Steps, Table
from kbgen.views.card import Called, Card
from kbgen.views.page import Page


def targets(pages: Iterable[Page]) -> dict[str, str]:
    """Label of every place in the guide: entries, their former ids, sections and steps."""
    found: dict[str, str] = {}
    former: dict[str, str] = {}
    for page in pages:
        own = str(page.ref)
        found[own] = own
        if isinstance(page.ref, Ref):
            former |= {str(Ref(page.ref.kind, name)): own for name in page.former_ids}
        for section in page.sections:
            if section.web_only:
                continue
            found.setdefault(f"{own}#{section.anchor}", f"{own}#{section.anchor}")
            for anchor in (anchor for block in section.blocks for anchor in anchors_of(block)):
                found.setdefault(f"{own}#{anchor}", f"{own}#{anchor}")
    return former | found


def anchors_of(block: Block) -> Iterator[str]:
    """Yield every place in a block that a link can lead to."""
    match block:
        case Steps(steps):
            yield from (step.anchor for step in steps if step.anchor)
        case Called(anchor=anchor, cards=cards):
            yield anchor
            for card in cards:
                yield from anchors_of(card)
        case Card():
            yield block.anchor
            yield from (step.anchor for step in (*block.steps, *block.every))
            yield from (anchor for each in block.blocks if isinstance(each, Table) for anchor in each.anchors)
