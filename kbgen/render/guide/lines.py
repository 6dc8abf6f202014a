"""Turn words, lines and long texts into plain data for the typesetter.

Typst never sees markup of an author: every text crosses as a string inside this data. A line is a
list of nodes; a node is a string, or a list whose first item says what it is:

    ["w", piece, …]          one text that may end its line between the pieces
    ["b", node, …]           strong        ["i", node, …]   emphasis
    ["m", node, …]           a mark of the plant, in the fixed face
    ["a", label, node, …]    a link; the label is "" when its entry is not in the guide
    ["s", label, own, node, …]  a link within the entry; ``own`` names where it stands itself
    ["br"]                   a line end
    ["box"]                  a box to write a reading into
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from kbgen.render.guide.glyphs import shown, unbroken
from kbgen.render.guide.paper import MM_PER_POINT, Paper
from kbgen.text import Break, Code, Emphasis, Inline, Link, Paragraph, RichText, Strong, Words
from kbgen.views.blocks import Box, Goto, Line, Mark, Plain

Node = Any
Data = dict[str, Any]

_TEXT_ROOM = 0.8
"""Share of the text width that a word may take anywhere but in a table."""


class Lines:
    """Packs what stands on the lines of one paper size.

    Args:
        targets: Label of every place in the guide that a link can lead to, by the link's target.

    Attributes:
        limit: The widest a word may be, in multiples of the text size; a wider one is broken.
        within: Where each link within its entry leads, by the name of where it stands itself.
    """

    def __init__(self, paper: Paper, targets: Mapping[str, str]) -> None:
        self.limit = paper.text_width / (paper.size * MM_PER_POINT) * _TEXT_ROOM
        self._targets = targets
        self.within: dict[str, str] = {}

    def words(
        self, text: str, *, bold: bool = False, mono: bool = False, limit: float | None = None
    ) -> list[Node]:
        """Pack a short text; nothing in it is markup."""
        if not text:
            return []
        pieces = unbroken(shown(text), limit or self.limit, bold=bold, mono=mono)
        return pieces if len(pieces) <= 1 else [["w", *pieces]]

    def label(self, target: str) -> str:
        """Return the label a link to ``target`` leads to; empty when it is not in the guide."""
        return self._targets.get(target, "")

    def text(self, text: RichText) -> list[Data]:
        """Pack a long text: paragraphs and lists."""
        blocks: list[Data] = []
        for block in text:
            if isinstance(block, Paragraph):
                blocks.append({"is": "par", "line": self._inlines(block.children)})
            else:
                rows = [{"line": [], "text": self.text(item)} for item in block.items]
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
                    nodes.append(["a", self.label(str(target)), *self._inlines(inner)])
                case Break():
                    nodes.append(["br"])
        return nodes

    def line(self, line: Line, own: str, limit: float | None = None) -> list[Node]:
        """Pack a line of the page whose label is ``own``."""
        nodes: list[Node] = []
        for span in line:
            match span:
                case Plain(text):
                    nodes += self.words(text, limit=limit)
                case Mark(text):
                    nodes.append(["m", *self.words(text, mono=True, limit=limit)])
                case Goto():
                    nodes.append(self.goto(span, own, limit))
                case Box():
                    nodes.append(["box"])
        return nodes

    def goto(self, goto: Goto, own: str, limit: float | None = None) -> Node:
        """Pack a link on the page whose label is ``own``."""
        words = self.words(goto.label, limit=limit)
        page = own if goto.page is None else str(goto.page)
        label = self.label(f"{page}#{goto.anchor}") if goto.anchor else ""
        if not own or page != own:
            return ["a", label or self.label(page), *words]
        mark, target = f"link {len(self.within) + 1}", label or self.label(page)
        self.within[mark] = target
        return ["s", target, mark, *words]
