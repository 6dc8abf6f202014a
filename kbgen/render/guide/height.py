"""How high things surely are at most, so that the typesetter need not measure every one of them."""

from __future__ import annotations

from collections.abc import Iterable

from kbgen.render.guide.paper import MM_PER_POINT, Paper
from kbgen.text import Break, Code, Inline, Paragraph, RichText, Words
from kbgen.views.blocks import Box, Goto, Line, Mark, Notice, Plain, Span, Step

_LINE = 1.35
"""Distance of lines in multiples of the text size."""
_GAP = 0.8
"""Distance of blocks in multiples of the text size, generously."""
_SIGN = 0.62
"""Width of a sign in multiples of the text size, on the wide side of the average."""
_BOX = 8
"""Width of a box to write into, in signs."""
_REFERENCE = "  → page 9999"


class Heights:
    """Upper estimates of heights, in millimetres, on one paper.

    They are guesses on the high side: a block said to be lower than a share of the page may be kept
    whole without harm, and one said to be higher is measured by the typesetter.
    """

    def __init__(self, paper: Paper, step_indent: float) -> None:
        self._em = paper.size * MM_PER_POINT
        self._text_width = paper.text_width
        self._step_width = paper.text_width - step_indent
        self._picture = paper.text_height / 2 + 3 * self._em

    def notice(self, notice: Notice) -> float:
        """Height of a safety message."""
        room = self._text_width / self._em - 2
        ems = 3 + _lines(len(notice.signal) + len(notice.title) + 4, room)
        if not notice.brief:
            ems += _lines(len(notice.hazard) + len(notice.consequence), room) + _rich(notice.avoid, room)
        return ems * self._em

    def text(self, text: RichText) -> float:
        """Height of a long text."""
        return _rich(text, self._text_width / self._em - 2) * self._em

    def step(self, step: Step) -> float:
        """Height of a step with its cautions."""
        room = self._step_width / self._em
        ems = (
            1
            + _rich(step.text, room)
            + _lines(len(step.minutes) + len(step.then.label if step.then else ""), room)
        )
        ems += sum(
            _lines(len(text) + 12, room)
            for text in (step.expect, step.question, step.state, step.end)
            if text
        )
        ems += sum(
            _lines(_length(line) * 1.6 + len(row.label), room) for row in step.details for line in row.lines
        )
        ems += sum(_lines(len(c.outcome) + len(c.goto.label + _REFERENCE), room) for c in step.choices)
        ems += 4 if step.write_in else 0
        height = ems * self._em + len(step.pictures) * self._picture
        return height + sum(self.notice(notice) for notice in step.cautions)


def _lines(signs: float, room: float) -> float:
    """Height of a paragraph of so many signs, in multiples of the text size."""
    return (signs * _SIGN // room + 1) * _LINE + _GAP


def _rich(text: RichText, room: float) -> float:
    total = 0.0
    for block in text:
        if isinstance(block, Paragraph):
            breaks = sum(isinstance(child, Break) for child in block.children)
            total += _lines(_signs(block.children), room) + breaks * _LINE
        else:
            total += sum(_rich(item, room - 2) for item in block.items)
    return total


def _signs(children: Iterable[Inline]) -> int:
    total = 0
    for child in children:
        if isinstance(child, Words | Code):
            total += len(child.text)
        elif not isinstance(child, Break):
            total += _signs(child.children) + len(_REFERENCE)
    return total


def _length(line: Line) -> int:
    return sum(_span(span) for span in line)


def _span(span: Span) -> int:
    match span:
        case Goto(label):
            return len(label + _REFERENCE)
        case Box():
            return _BOX
        case Plain(text) | Mark(text):
            return len(text)
