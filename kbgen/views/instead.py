"""What stands in the place of a page that is being changed, or that nobody may use any more.

No page that makes safe, proves or leaves goes missing without a word: what was signed last stands in its place, as
text and never step by step. Where the text is itself the danger, its place says so.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace

from kbgen.link.base import KnowledgeBase
from kbgen.model.entry import Entry
from kbgen.model.head import Standing, State
from kbgen.text import Paragraph, Words, read
from kbgen.views.blocks import Block, Item, Items, Notice, Prose, Signal
from kbgen.views.compose import plain
from kbgen.views.page import HEADING, ITEM, Page, Review, Section


def instead(base: KnowledgeBase, entry: Entry, page: Page) -> Page:
    """Return the page of an entry, or what stands in its place."""
    standing = entry.head.standing
    if standing.state is State.WITHDRAWN:
        section = Section("withdrawn", "Do not use", (_do_not_use(base, entry.head.withdrawn),))
        return _without_steps(page, (section,), Review("", "", ""))
    if standing.last:
        return _without_steps(page, tuple(_last(standing)), Review(standing.by, standing.on, ""))
    return page


def _without_steps(page: Page, sections: tuple[Section, ...], review: Review) -> Page:
    own = {section.anchor for section in sections}
    gone = tuple(dict.fromkeys(anchor for anchor in _anchors(page.sections) if anchor not in own))
    return replace(page, sections=sections, review=review, lead="", gone=gone, doing=None)


def _do_not_use(base: KnowledgeBase, why: str) -> Notice:
    numbers = "\n".join(f"- {call.who}: {call.reach}" for call in base.shop.call)
    return Notice(
        Signal.DANGER,
        "Do not use this page",
        why,
        "Whoever works by it, or by an older print of it, can be hurt.",
        read(
            f"Stop. Leave the plant as it is, or locked off. Call:\n\n{numbers}"
            if numbers
            else "Stop. Ask first."
        ),
    )


def _last(standing: Standing) -> Iterator[Section]:
    partly = standing.state is State.PARTLY
    notice = Notice(
        Signal.WARNING,
        "Not everybody has signed this page" if partly else "This page is being changed",
        f"What stands here is the text that {standing.by} signed on {standing.on}.",
        "The plant, or what is known of it, may have changed since.",
        read(
            "Read the whole of it first. Ask the lead technician "
            f"{'who still has to sign' if partly else 'what is being changed'}. "
            "Initials are a claim, not an identity."
        ),
    )
    yield Section("being-changed", "Being changed", (notice,))
    title, lines, count = "", list[str](), 0
    for line in (*standing.last[1:], HEADING):
        if not line.startswith(HEADING):
            lines.append(line)
            continue
        if lines:
            count += 1
            yield Section(f"signed-{count}", title or "The page", tuple(_blocks(lines)))
        title, lines = line.removeprefix(HEADING), []


def _blocks(lines: list[str]) -> Iterator[Block]:
    items: list[Item] = []
    for line in lines:
        if line.startswith(ITEM):
            items.append(Item(plain(line.removeprefix(ITEM))))
            continue
        if items:
            yield Items(tuple(items))
            items = []
        yield Prose((Paragraph((Words(line),)),))
    if items:
        yield Items(tuple(items))


def _anchors(value: object) -> Iterator[str]:
    """Yield every anchor in some sections: who leads there must still arrive."""
    if isinstance(value, tuple):
        for each in value:
            yield from _anchors(each)
    elif is_dataclass(value) and not isinstance(value, type):
        own = getattr(value, "anchor", "")
        # A way somewhere else names an anchor there.
        if own and not hasattr(value, "page"):
            yield own
        yield from getattr(value, "anchors", ())
        for field in fields(value):
            yield from _anchors(getattr(value, field.name))
