"""Turn pages into plain data for the typesetter.

A block is a map whose ``is`` names a function of the template; what stands on its lines is packed by
:mod:`kbgen.render.guide.lines`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from kbgen.render.guide import tables
from kbgen.render.guide.glyphs import shown
from kbgen.render.guide.height import Heights
from kbgen.render.guide.lines import Data, Lines
from kbgen.render.guide.paper import MM_PER_POINT, Paper
from kbgen.render.guide.pictures import placed_width, svg_aspect, svg_parts
from kbgen.render.guide.places import anchors_of
from kbgen.text import Listing, RichText
from kbgen.views.blocks import (
    Bar,
    Bars,
    Block,
    Box,
    Drawing,
    Fact,
    Facts,
    Folded,
    Goto,
    Helper,
    Item,
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
from kbgen.views.compose import fact
from kbgen.views.page import Page, Review, Section

PICTURE_SHARE = 0.5
"""The most of a page's height that one picture may take."""

DRAWING_SHARE = 0.8
"""The most of a page's height that one part of a drawing may take."""

STEP_INDENT = 8.0
"""Room left of a step for its number, in millimetres; the template uses the same."""

WHOLE_STEP = 0.65
"""A step with its cautions stays on one sheet when it is surely lower than this share of the page."""

BOX = "________"
"""As wide as a box to write a reading into."""

_SURELY = 0.75
_WHOLE_ROW_LINES = 22


class Packer:
    """Packs pages for one paper size.

    Args:
        lines: Packs what stands on a line.
        pictures: Packed file name and width in millimetres of every picture that can be printed.
    """

    def __init__(self, paper: Paper, lines: Lines, pictures: Mapping[str, tuple[str, float]]) -> None:
        self._paper = paper
        self._lines = lines
        self._words = lines.words
        self._pictures = pictures
        self._placed: set[str] = set()
        self._notices = 0
        self._heights = Heights(paper, STEP_INDENT)

    def page(self, page: Page) -> Data:
        """Pack everything that stands on one page."""
        own = str(page.ref)
        review = page.review
        return {
            "label": own,
            "kicker": self._words(page.kicker),
            "carded": page.composed,
            "own_sheet": _hunts(page),
            "title": self._words(page.title, bold=True),
            "aliases": [self._words(alias) for alias in page.aliases],
            "marks": [self._words(mark, mono=True) for mark in page.marks],
            "lead": self._words(page.lead),
            "sections": [self._section(section, own) for section in page.sections if not section.web_only],
            "review": (
                {"by": shown(review.by), "on": review.on, "due": review.due, "also": shown(_also(review))}
                if review and (review.by or review.on or review.due or review.walked)
                else None
            ),
        }

    def _place(self, target: str) -> str:
        """The label to set here; a label stands in one place only, the first that claims it."""
        if target in self._placed:
            return ""
        self._placed.add(target)
        return self._lines.label(target)

    def _section(self, section: Section, own: str) -> Data:
        return {
            "label": self._place(f"{own}#{section.anchor}"),
            "title": self._words(section.title, bold=True),
            "blocks": [self._block(_under(section.title, block), own) for block in section.blocks],
        }

    def _block(self, block: Block, own: str) -> Data:
        match block:
            case Prose(text):
                return {"is": "prose", "text": self._lines.text(text)}
            case Facts(rows):
                return {"is": "facts", "rows": self._facts(rows, own)}
            case Items(items, ordered):
                lines = [
                    {"line": self._lines.line(i.line, own), "text": self._lines.text(i.text)} for i in items
                ]
                return {"is": "items", "ordered": ordered, "start": 1, "rows": lines}
            case Table():
                return self._table(block, own)
            case Notice():
                return self._notice(block)
            case Steps(steps):
                return {"is": "steps", "steps": [self._step(step, own) for step in steps]}
            case Card():
                return self._card(block, own)
            case Called():
                return self._called(block, own)
            case Picture():
                return self._picture(block)
            case Drawing():
                return self._drawing(block)
            case Bars(caption, bars):
                return {
                    "is": "bars",
                    "caption": self._words(caption, bold=True),
                    "rows": [self._bar(bar, own) for bar in bars],
                }
            case Folded(summary, blocks):
                return {
                    "is": "folded",
                    "summary": self._words(summary, bold=True),
                    "blocks": [self._block(each, own) for each in blocks],
                }
            case Only(fits, blocks):
                return {
                    "is": "folded",
                    "summary": self._words(f"Only {fits.said}", bold=True),
                    "blocks": [self._block(each, own) for each in blocks],
                }
            case Sites(sites, number):
                places = (
                    *(
                        fact(s.title, *[f"{label}: {value}" for label, value in s.rows if value])
                        for s in sites
                    ),
                    fact("Elsewhere", f"Emergency number: {number or '____________'}"),
                )
                return {"is": "facts", "rows": self._facts(tuple(row for row in places if row), own)}
            case Helper():  # judges readings as they are typed: nothing for paper
                return {"is": "prose", "text": []}

    def _drawing(self, drawing: Drawing) -> Data:
        """Set a drawing across the page; a tall one goes on below in parts that overlap."""
        svg = drawing.svg.replace("currentColor", "#000000")
        room = (self._paper.text_width, self._paper.text_height * DRAWING_SHARE)
        parts = svg_parts(svg, room)
        return {
            "is": "drawing",
            "parts": [
                {"svg": part, "width": round(placed_width(svg_aspect(part), room), 2)} for part in parts
            ],
            "alt": shown(drawing.text),
            "caption": self._words(drawing.caption),
        }

    def _bar(self, bar: Bar, own: str) -> Data:
        said = f"{bar.count} of {bar.total} ({bar.lo:.0%} to {bar.hi:.0%})"
        return {
            "line": self._lines.line(bar.line, own),
            "said": self._words(said),
            "share": round(bar.count / bar.total, 4),
            "lo": round(bar.lo, 4),
            "hi": round(bar.hi, 4),
        }

    def _facts(self, rows: Sequence[Fact], own: str) -> list[Data]:
        return [
            {
                "label": self._words(row.label, bold=True, limit=self._lines.limit * 0.3),
                "lines": [self._lines.line(line, own, self._lines.limit * 0.7) for line in row.lines],
                "whole_width": sum(len(_plain(line)) for line in row.lines) > _BESIDE,
            }
            for row in rows
        ]

    def _table(self, table: Table, own: str) -> Data:
        room = self._paper.text_width / (self._paper.small * MM_PER_POINT)
        cells = [[shown(head) for head in table.head]]
        cells += [[_plain(line) for line in row] for row in table.rows]
        widths = tables.columns(cells, room)
        limits = [w - tables.INSET for w in widths] if widths else [room * 0.6] * len(table.head)
        packed = {
            "caption": self._words(table.caption, bold=True),
            "head": [
                self._words(h, bold=True, limit=limit) for h, limit in zip(table.head, limits, strict=True)
            ],
            "rows": [
                [self._lines.line(line, own, limit) for line, limit in zip(row, limits, strict=True)]
                for row in table.rows
            ],
            "labels": [self._place(f"{own}#{anchor}") for anchor in table.anchors],
        }
        if widths is None:
            return {"is": "rows", **packed}
        return {
            "is": "table",
            "widths": widths,
            "whole_rows": tables.rows_fit(cells, widths, _WHOLE_ROW_LINES),
            **packed,
        }

    def _notice(self, notice: Notice) -> Data:
        self._notices += 1
        whole = self._heights.notice(notice) < self._paper.text_height * _SURELY
        avoid, last = (notice.avoid, ()) if whole else self._last_words(notice.avoid)
        return {
            "is": "notice",
            "start": f"notice-{self._notices}",
            "signal": str(notice.signal),
            "title": self._words(notice.title, bold=True),
            "hazard": self._words(notice.hazard),
            "consequence": self._words(notice.consequence),
            "avoid": self._lines.text(avoid),
            "last": self._lines.text(last),
            "label": self._lines.label(str(notice.ref)) if notice.ref else "",
            "brief": notice.brief,
            "whole": whole,
        }

    def _last_words(self, text: RichText) -> tuple[RichText, RichText]:
        """Split off the last paragraph or list item, unless it is a good part of a page itself."""
        match text:
            case (*head, Listing(ordered, (*items, item), start)) if items:
                first = (*head, Listing(ordered, tuple(items), start))
                last: RichText = (Listing(ordered, (item,), start + len(items)),)
            case (*head, block) if head:
                first, last = tuple(head), (block,)
            case _:
                return text, ()
        small = self._heights.text(last) < self._paper.text_height * _SURELY / 2
        return (first, last) if small else (text, ())

    def _step(self, step: Step, own: str) -> Data:
        return {
            "number": step.number,
            "whole": self._heights.step(step) < self._paper.text_height * WHOLE_STEP,
            "whole_text": self._heights.step(replace(step, cautions=()))
            < self._paper.text_height * WHOLE_STEP,
            "label": self._place(f"{own}#{step.anchor}"),
            "cautions": [self._notice(notice) for notice in step.cautions],
            "text": self._lines.text(step.text),
            "expect": self._words(step.expect),
            "details": self._facts(step.details, own),
            "write": self._words(step.write_in),
            "question": self._words(step.question),
            "choices": [
                {"outcome": self._words(choice.outcome), "goto": self._lines.goto(choice.goto, own)}
                for choice in step.choices
            ],
            "then": self._lines.goto(step.then, own) if step.then else None,
            "end": self._words(step.end, bold=True),
            "state": self._words(step.state),
            "minutes": self._words(step.minutes),
            "pictures": [self._picture(picture, STEP_INDENT) for picture in step.pictures],
        }

    def _card(self, card: Card, own: str) -> Data:
        """Pack a card; what its blocks say in short is not printed in full as well."""
        return {
            "is": "card",
            "label": self._place(f"{own}#{card.anchor}"),
            "also": [self._place(f"{own}#{step.anchor}") for step in card.every],
            "name": self._words(card.name, bold=True),
            "title": self._words(card.title, bold=True),
            "minutes": self._words(card.minutes),
            "state": self._words(card.state),
            "cautions": [self._notice(notice) for notice in card.cautions],
            "ticks": [
                {
                    "title": self._words(tick.title, bold=True),
                    "steps": [self._step(step, own) for step in tick.steps],
                }
                for tick in card.ticks
            ],
            "blocks": [self._block(block, own) for block in card.blocks],
        }

    def _called(self, called: Called, own: str) -> Data:
        """Pack a page that is done on the way: it has pages of its own here, so its cards are not printed again."""
        return {
            "is": "card",
            "label": self._place(f"{own}#{called.anchor}"),
            "also": [self._place(f"{own}#{anchor}") for card in called.cards for anchor in anchors_of(card)],
            "name": self._words(called.name, bold=True),
            "title": self._words(f"Another page: {called.title}", bold=True),
            "minutes": self._words(called.minutes),
            "state": self._words(""),
            "cautions": [],
            "ticks": [],
            "blocks": [self._block(Items((Item(called.says),)), own)],
        }

    def _picture(self, picture: Picture, indent: float = 0.0) -> Data:
        file, width = self._pictures.get(picture.file, ("", 0.0))
        return {
            "is": "picture",
            "file": file,
            "width": min(width, self._paper.text_width - indent),
            "alt": self._words(picture.alt),
            "caption": self._words(picture.caption),
        }


_BESIDE = 100
"""Signs of a fact that stand beside its label; more of them take the whole width behind it."""


def _under(title: str, block: Block) -> Block:
    """Leave out a caption that says the heading right above it once more."""
    return replace(block, caption="") if isinstance(block, Table) and block.caption == title else block


def _hunts(page: Page) -> bool:
    """Whether a contact is looked for along a circuit: such a page is worked from at the panel, on sheets of its own."""
    blocks = (block for section in page.sections for block in section.blocks)
    return any(
        isinstance(each, Table) for block in blocks if isinstance(block, Card) for each in block.blocks
    )


def _also(review: Review) -> str:
    """Say what has changed since, and who walked the page."""
    changed = f"Readings or order changed since {review.on}." if review.changed else ""
    return " ".join(filter(None, (changed, review.walked)))


def _plain(line: Line) -> str:
    return shown(
        "".join(
            span.label + " → page 9999"
            if isinstance(span, Goto)
            else BOX
            if isinstance(span, Box)
            else span.text
            for span in line
        )
    )
