"""Turn a book into plain data for the typesetter.

Typst never sees markup of an author: every text crosses as a string inside this data. A line is a
list of nodes; a node is a string, or a list whose first item says what it is:

    ["w", piece, …]          one text that may end its line between the pieces
    ["b", node, …]           strong        ["i", node, …]   emphasis
    ["m", node, …]           a mark of the plant, in the fixed face
    ["a", label, node, …]    a link; the label is "" when its entry is not in the guide
    ["s", label, node, …]    a link within the entry
    ["br"]                   a line end

A block is a map whose ``is`` names a function of the template.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from kbgen.render.guide import tables
from kbgen.render.guide.glyphs import shown, unbroken
from kbgen.render.guide.height import Heights
from kbgen.render.guide.paper import MM_PER_POINT, Paper
from kbgen.render.guide.pictures import placed_width, svg_aspect, svg_parts
from kbgen.text import Break, Code, Emphasis, Inline, Link, Listing, Paragraph, RichText, Strong, Words
from kbgen.views.blocks import (
    Bar,
    Bars,
    Block,
    Drawing,
    Fact,
    Facts,
    Folded,
    Goto,
    Helper,
    Items,
    Line,
    Mark,
    Notice,
    Only,
    Picture,
    Plain,
    Prose,
    Step,
    Steps,
    Table,
)
from kbgen.views.page import Page, Section

Node = Any
Data = dict[str, Any]

PICTURE_SHARE = 0.5
"""The most of a page's height that one picture may take."""

DRAWING_SHARE = 0.8
"""The most of a page's height that one part of a drawing may take."""

STEP_INDENT = 8.0
"""Room left of a step for its number, in millimetres; the template uses the same."""

WHOLE_STEP = 0.65
"""A step with its cautions stays on one sheet when it is surely lower than this share of the page."""

_SURELY = 0.75
_WHOLE_ROW_LINES = 22
_TEXT_ROOM = 0.8
"""Share of the text width that a word may take anywhere but in a table."""


class Packer:
    """Packs pages for one paper size.

    Args:
        targets: Label of every place in the guide that a link can lead to, by the link's target.
        pictures: Packed file name and width in millimetres of every picture that can be printed.
    """

    def __init__(
        self, paper: Paper, targets: Mapping[str, str], pictures: Mapping[str, tuple[str, float]]
    ) -> None:
        self._paper = paper
        self._targets = targets
        self._pictures = pictures
        self._placed: set[str] = set()
        self._notices = 0
        self._heights = Heights(paper, STEP_INDENT)
        self._limit = paper.text_width / (paper.size * MM_PER_POINT) * _TEXT_ROOM

    def page(self, page: Page) -> Data:
        """Pack everything that stands on one page."""
        own = str(page.ref)
        review = page.review
        return {
            "label": own,
            "kicker": self.words(page.kicker),
            "title": self.words(page.title, bold=True),
            "aliases": [self.words(alias) for alias in page.aliases],
            "marks": [self.words(mark, mono=True) for mark in page.marks],
            "lead": self.words(page.lead),
            "sections": [self._section(section, own) for section in page.sections if not section.web_only],
            "review": (
                {"by": shown(review.by), "on": review.on, "due": review.due}
                if review and (review.by or review.on or review.due)
                else None
            ),
        }

    def words(
        self, text: str, *, bold: bool = False, mono: bool = False, limit: float | None = None
    ) -> list[Node]:
        """Pack a short text; nothing in it is markup."""
        if not text:
            return []
        pieces = unbroken(shown(text), limit or self._limit, bold=bold, mono=mono)
        return pieces if len(pieces) <= 1 else [["w", *pieces]]

    def _label(self, target: str) -> str:
        return self._targets.get(target, "")

    def _place(self, target: str) -> str:
        """The label to set here; a label stands in one place only, the first that claims it."""
        if target in self._placed:
            return ""
        self._placed.add(target)
        return self._label(target)

    def _section(self, section: Section, own: str) -> Data:
        return {
            "label": self._place(f"{own}#{section.anchor}"),
            "title": self.words(section.title, bold=True),
            "blocks": [self._block(block, own) for block in section.blocks],
        }

    def _block(self, block: Block, own: str) -> Data:
        match block:
            case Prose(text):
                return {"is": "prose", "text": self._text(text)}
            case Facts(rows):
                return {"is": "facts", "rows": self._facts(rows, own)}
            case Items(items, ordered):
                lines = [{"line": self._line(i.line, own), "text": self._text(i.text)} for i in items]
                return {"is": "items", "ordered": ordered, "start": 1, "rows": lines}
            case Table():
                return self._table(block, own)
            case Notice():
                return self._notice(block)
            case Steps(steps):
                return {"is": "steps", "steps": [self._step(step, own) for step in steps]}
            case Picture():
                return self._picture(block)
            case Drawing():
                return self._drawing(block)
            case Bars(caption, bars):
                return {
                    "is": "bars",
                    "caption": self.words(caption, bold=True),
                    "rows": [self._bar(bar, own) for bar in bars],
                }
            case Folded(summary, blocks):
                return {
                    "is": "folded",
                    "summary": self.words(summary, bold=True),
                    "blocks": [self._block(each, own) for each in blocks],
                }
            case Only(fits, blocks):
                return {
                    "is": "folded",
                    "summary": self.words(f"Only {fits.said}", bold=True),
                    "blocks": [self._block(each, own) for each in blocks],
                }
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
            "caption": self.words(drawing.caption),
        }

    def _bar(self, bar: Bar, own: str) -> Data:
        said = f"{bar.count} of {bar.total} ({bar.lo:.0%} to {bar.hi:.0%})"
        return {
            "line": self._line(bar.line, own),
            "said": self.words(said),
            "share": round(bar.count / bar.total, 4),
            "lo": round(bar.lo, 4),
            "hi": round(bar.hi, 4),
        }

    def _text(self, text: RichText) -> list[Data]:
        """Pack a long text: paragraphs and lists."""
        blocks: list[Data] = []
        for block in text:
            if isinstance(block, Paragraph):
                blocks.append({"is": "par", "line": self._inlines(block.children)})
            else:
                rows = [{"line": [], "text": self._text(item)} for item in block.items]
                blocks.append({"is": "items", "ordered": block.ordered, "start": block.start, "rows": rows})
        return blocks

    def _inlines(self, children: Iterable[Inline]) -> list[Node]:
        nodes: list[Node] = []
        for child in children:
            match child:
                case Words(text):
                    nodes += self.words(text)
                case Strong(inner):
                    nodes.append(["b", *self._inlines(inner)])
                case Emphasis(inner):
                    nodes.append(["i", *self._inlines(inner)])
                case Code(text):
                    nodes.append(["m", *self.words(text, mono=True)])
                case Link(inner, target):
                    nodes.append(["a", self._label(str(target)), *self._inlines(inner)])
                case Break():
                    nodes.append(["br"])
        return nodes

    def _line(self, line: Line, own: str, limit: float | None = None) -> list[Node]:
        nodes: list[Node] = []
        for span in line:
            match span:
                case Plain(text):
                    nodes += self.words(text, limit=limit)
                case Mark(text):
                    nodes.append(["m", *self.words(text, mono=True, limit=limit)])
                case Goto():
                    nodes.append(self._goto(span, own, limit))
        return nodes

    def _goto(self, goto: Goto, own: str, limit: float | None = None) -> Node:
        words = self.words(goto.label, limit=limit)
        page = own if goto.page is None else str(goto.page)
        label = self._label(f"{page}#{goto.anchor}") if goto.anchor else ""
        return ["s" if page == own else "a", label or self._label(page), *words]

    def _facts(self, rows: Sequence[Fact], own: str) -> list[Data]:
        return [
            {
                "label": self.words(row.label, bold=True, limit=self._limit * 0.3),
                "lines": [self._line(line, own, self._limit * 0.7) for line in row.lines],
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
            "caption": self.words(table.caption, bold=True),
            "head": [
                self.words(h, bold=True, limit=limit) for h, limit in zip(table.head, limits, strict=True)
            ],
            "rows": [
                [self._line(line, own, limit) for line, limit in zip(row, limits, strict=True)]
                for row in table.rows
            ],
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
            "title": self.words(notice.title, bold=True),
            "hazard": self.words(notice.hazard),
            "consequence": self.words(notice.consequence),
            "avoid": self._text(avoid),
            "last": self._text(last),
            "label": self._label(str(notice.ref)) if notice.ref else "",
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
            "text": self._text(step.text),
            "expect": self.words(step.expect),
            "details": self._facts(step.details, own),
            "write": self.words(step.write_in),
            "question": self.words(step.question),
            "choices": [
                {"outcome": self.words(choice.outcome), "goto": self._goto(choice.goto, own)}
                for choice in step.choices
            ],
            "then": self._goto(step.then, own) if step.then else None,
            "end": self.words(step.end, bold=True),
            "state": self.words(step.state),
            "minutes": self.words(step.minutes),
            "pictures": [self._picture(picture, STEP_INDENT) for picture in step.pictures],
        }

    def _picture(self, picture: Picture, indent: float = 0.0) -> Data:
        file, width = self._pictures.get(picture.file, ("", 0.0))
        return {
            "is": "picture",
            "file": file,
            "width": min(width, self._paper.text_width - indent),
            "alt": self.words(picture.alt),
            "caption": self.words(picture.caption),
        }


def _plain(line: Line) -> str:
    return shown(
        "".join(span.label + " → page 9999" if isinstance(span, Goto) else span.text for span in line)
    )
