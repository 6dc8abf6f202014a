"""A page as text: what a technician reads, line by line, without what only a screen or a drawing can show.

A line that begins with ``## `` is a heading, one with ``- `` an item. This is what a signature keeps and what the
difference since the last one is told in.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import assert_never

from kbgen.text import words
from kbgen.views.blocks import (
    Bars,
    Block,
    Box,
    Drawing,
    Fact,
    Facts,
    Folded,
    Helper,
    Items,
    Line,
    Notice,
    Only,
    Picture,
    Prose,
    Sites,
    Step,
    Steps,
    Table,
)
from kbgen.views.card import Called, Card
from kbgen.views.page import HEADING, ITEM, Page


def page_lines(page: Page) -> tuple[str, ...]:
    """Return a page as lines of text; ways back to it and what only helps a reader to find it are left out."""
    return tuple(_clean(line) for line in _page(page))


def _clean(line: str) -> str:
    return " ".join(line.split())


def _page(page: Page) -> Iterator[str]:
    yield page.title
    if page.marks:
        yield " ".join(page.marks)
    if page.aliases:
        yield f"Also called: {'; '.join(page.aliases)}"
    if page.lead:
        yield page.lead
    for section in page.sections:
        if section.web_only:
            continue
        yield f"{HEADING}{section.title}"
        for block in section.blocks:
            yield from _block(block)


def _block(block: Block) -> Iterator[str]:
    match block:
        case Prose(text):
            yield words(text)
        case Facts(rows):
            yield from (f"{ITEM}{_fact(row)}" for row in rows)
        case Items(items):
            for item in items:
                yield ITEM + " ".join(filter(None, (_line(item.line), words(item.text))))
        case Table(caption, head, rows):
            yield caption
            for row in rows:
                cells = (f"{name}: {_line(cell)}" for name, cell in zip(head[1:], row[1:], strict=True))
                yield f"{ITEM}{_line(row[0])}: {'; '.join(cells)}"
        case Notice():
            yield f"{block.signal}: {block.title}. {block.hazard} {block.consequence} {words(block.avoid)}"
        case Steps(steps):
            # Answers lead to them by number.
            yield from _steps(steps, numbered=True)
        case Card():
            yield from _card(block)
        case Called():
            yield f"{block.name}. Another page: {block.title}. {_line(block.says)}"
            for card in block.cards:
                yield from _card(card)
        case Picture(_, alt, caption):
            yield f"Picture: {caption or alt}"
        case Drawing(_, text, caption):
            yield f"Drawing: {caption} {text}"
        case Bars(caption, rows):
            yield caption
            yield from (f"{ITEM}{_line(bar.line)}: {bar.count} of {bar.total}" for bar in rows)
        case Folded(summary, blocks):
            yield summary
            for each in blocks:
                yield from _block(each)
        case Only(fits, blocks):
            yield f"Only {fits.said}:"
            for inner in blocks:
                yield from _block(inner)
        case Sites() | Helper():  # asked of the reader, or judged as they type
            return
        case _:
            assert_never(block)


def _card(card: Card) -> Iterator[str]:
    yield " ".join(filter(None, (f"{card.name}.", card.title, _line(card.brief))))
    if card.state:
        yield f"State: {card.state}"
    for notice in card.cautions:
        yield from _block(notice)
    for tick in card.ticks:
        if tick.title:
            yield tick.title
        yield from _steps(tick.steps)
    for block in card.blocks:
        yield from _block(block)
    yield from _steps(card.every)


def _steps(steps: Iterable[Step], *, numbered: bool = False) -> Iterator[str]:
    for step in steps:
        yield from _step(step, f"{step.number}. " if numbered else "")


def _step(step: Step, number: str) -> Iterator[str]:
    for notice in step.cautions:
        yield from _block(notice)
    said = [words(step.text)]
    said += [f"Right: {step.expect}"] if step.expect else []
    said += [f"{_fact(fact)}." for fact in step.details]
    said += [f"Write down: {step.write_in}."] if step.write_in else []
    said += [step.question] if step.question else []
    said += [f"{choice.outcome}: {choice.goto.label}." for choice in step.choices]
    said += [f"Then: {step.then.label}."] if step.then else []
    said += [f"End: {step.end}."] if step.end else []
    yield f"{ITEM}{number}{' '.join(said)}"
    for picture in step.pictures:
        yield from _block(picture)


def _fact(row: Fact) -> str:
    return f"{row.label}: {'; '.join(_line(line) for line in row.lines)}"


def _line(line: Line) -> str:
    return "".join(
        "____" if isinstance(span, Box) else getattr(span, "label", "") or getattr(span, "text", "")
        for span in line
    )
