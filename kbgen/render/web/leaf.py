"""A page of the web edition without its frame."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kbgen.render.web.linkcheck import Found, found_in
from kbgen.views.address import root_from


@dataclass(frozen=True, slots=True)
class Leaf:
    """One page without its frame.

    Attributes:
        address: Where it lies, from the site's root.
        title: For the head of the page, escaped.
        body: HTML, one raw block for Markdown too: no empty line, nothing that Markdown would act upon.
        found: Its links and anchors.
        target: The relative address it forwards to; empty for a page that stays.
        scripts: Scripts that belong to this page only, by address.
        former: Old ids of its entry.
    """

    address: str
    title: str
    body: str
    found: Found
    target: str = ""
    scripts: tuple[tuple[str, bytes], ...] = ()
    former: tuple[str, ...] = ()

    def forwarding(self) -> Iterator[Leaf]:
        """Yield a page for every old id, which leads here."""
        for former in self.former:
            old = f"{self.address.rpartition('/')[0]}/{former}.html"
            target = root_from(old) + self.address
            link = f'<p>This page has a new address: <a href="{target}">{self.title}</a></p>'
            yield Leaf(old, self.title, link, found_in(link), target=target)
