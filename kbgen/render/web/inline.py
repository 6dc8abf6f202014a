"""What stands inside a line: authors' long text, marks, links. Everything typed is escaped."""

from __future__ import annotations

from collections.abc import Iterable
from urllib.parse import quote

from markupsafe import Markup, escape

from kbgen.ref import Ref
from kbgen.text import (
    Break,
    Code,
    Emphasis,
    Inline,
    Link,
    Listing,
    Paragraph,
    RichText,
    Strong,
    TextBlock,
    Words,
)
from kbgen.views.address import address
from kbgen.views.blocks import Box, DueDay, Goto, Line, Mark, Plain


class InlineWriter:
    """Writes the insides of one page's lines.

    Args:
        root: The way from the page to the root of the site, as ``root_from`` gives it.
    """

    def __init__(self, root: str) -> None:
        self.root = root

    def href(self, page: Ref | str | None, anchor: str = "") -> str:
        """Return the relative address of a page, of an anchor on it, or of one on this page."""
        place = "" if page is None else self.root + address(page)
        return f"{place}#{anchor}" if anchor or page is None else place

    def file(self, path: str) -> str:
        """Return the relative address of a photo or drawing file."""
        return f"{self.root}photos/{quote(path)}"

    def asset(self, path: str) -> str:
        """Return the relative address of a file of the edition itself, such as a script."""
        return f"{self.root}assets/{path}"

    def line(self, line: Line) -> Markup:
        """Write a short line; nothing in it is markup.

        A line with one link is a row to choose, and the whole of it a target for a gloved finger; a
        line with more of them is running text.
        """
        alone = len(line) == 1
        parts: list[str] = []
        for span in line:
            match span:
                case DueDay(day):
                    parts.append(
                        f'<time datetime="{escape(day)}" data-due="{escape(day)}" data-late="Overdue">{escape(day)}</time>'
                    )
                case Plain():
                    parts.append(escape(span.text))
                case Mark():
                    parts.append(f"<samp>{escape(span.text)}</samp>")
                case Goto():
                    kind = ' class="kb-go"' if alone else ""
                    parts.append(
                        f'<a{kind} href="{self.href(span.page, span.anchor)}">{escape(span.label)}</a>'
                    )
                case Box():
                    parts.append(
                        f'<input class="kb-read" type="text" autocomplete="off" aria-label="{escape(span.label)}">'
                    )
        written = "".join(parts)
        if not alone and sum(isinstance(span, Goto) for span in line) == 1:
            written = f'<span class="kb-reach">{written}</span>'
        return Markup(written)  # noqa: S704 - every part is escaped above

    def rich(self, text: RichText) -> Markup:
        """Write an author's long text."""
        return Markup("".join(map(self._block, text)))  # noqa: S704 - likewise

    def _block(self, block: TextBlock) -> str:
        match block:
            case Paragraph():
                return f"<p>{self._inlines(block.children)}</p>"
            case Listing():
                tag = "ol" if block.ordered else "ul"
                start = f' start="{block.start}"' if block.ordered and block.start != 1 else ""
                items = "".join(f"<li>{self._item(item)}</li>" for item in block.items)
                return f"<{tag}{start}>{items}</{tag}>"

    def _item(self, item: tuple[TextBlock, ...]) -> str:
        match item:
            case (Paragraph() as only,):
                return self._inlines(only.children)
            case _:
                return "".join(map(self._block, item))

    def _inlines(self, inlines: Iterable[Inline]) -> str:
        return "".join(map(self._inline, inlines))

    def _inline(self, inline: Inline) -> str:
        match inline:
            case Words():
                return escape(inline.text)
            case Strong():
                return f"<strong>{self._inlines(inline.children)}</strong>"
            case Emphasis():
                return f"<em>{self._inlines(inline.children)}</em>"
            case Code():
                return f"<code>{escape(inline.text)}</code>"
            case Link():
                return f'<a href="{self.href(inline.target)}">{self._inlines(inline.children)}</a>'
            case Break():
                return "<br>"
