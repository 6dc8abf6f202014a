"""The web edition, page by page: a page whose answers are the same is not written again."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable
from pathlib import Path

from kbgen.ahead import ahead
from kbgen.link.base import KnowledgeBase
from kbgen.link.kept import kept
from kbgen.model.equipment import Equipment
from kbgen.outputs.index import index_script
from kbgen.outputs.machines import MACHINES, machines_script
from kbgen.outputs.photos import published_photos
from kbgen.pipeline import Compiled, Progress
from kbgen.ref import Kind, Ref
from kbgen.render.web import Cover, WebFiles, WebResult, WebSite, make_site, write_web
from kbgen.render.web.leaf import Leaf
from kbgen.views.address import address
from kbgen.views.blocks import Goto
from kbgen.views.book import Plans, menu_of, plans, shop_of
from kbgen.views.page import Page


def cover_of(compiled: Compiled) -> Cover:
    """Return what stands on every page."""
    base = compiled.base
    reviewed = max((each.on for entry in base.entries.values() for each in entry.head.review), default="")
    return Cover(shop_of(base.shop), compiled.edition, menu_of(base), reviewed)


def preview_site(
    compiled: Compiled, cover: Cover, more: Callable[[], Iterable[Leaf]], instead: Instead
) -> WebSite:
    """Put a web edition together that nobody publishes: with errors, and without its search index.

    Args:
        more: Gives pages of entries that are not in the knowledge base now; asked last.
        instead: Gives pages that could not be made.
    """
    files = {f"photos/{name}": content for name, content in published_photos(compiled).items()}
    files[MACHINES] = machines_script(compiled.base)
    leaves = web_leaves(compiled, instead)
    return make_site(cover, (*leaves, *more()), WebFiles(files), compiled.store)


def build_edition(compiled: Compiled, out: Path, progress: Progress) -> WebResult:
    """Write the web edition with its search index and photos into ``out``.

    Raises:
        WebError: Nothing was replaced; the message says why.
    """
    progress("indexing for the search")
    files = {"assets/search-index.js": index_script(compiled), MACHINES: machines_script(compiled.base)}
    files |= {f"photos/{name}": content for name, content in published_photos(compiled).items()}
    progress("making pages")
    return write_web(cover_of(compiled), web_leaves(compiled), WebFiles(files), out, compiled.store, progress)


Instead = Callable[[str, Exception], Leaf | None]
"""What stands at an address whose page could not be made."""


def web_leaves(compiled: Compiled, instead: Instead | None = None) -> tuple[Leaf, ...]:
    """Return every page of the web edition but the forwarding ones: home, the listings, the entries.

    Args:
        instead: Gives pages that could not be made, which happens only while an error stands.
    """
    base, store = compiled.base, compiled.store
    listings, entries = plans(base, compiled.walks, store)

    def leaf(ref: Ref | str, make: Callable[[], Page | None]) -> Leaf | None:
        try:
            return kept(store, base, ("leaf", str(ref)), lambda: _leaf(base, make()))
        except Exception as fault:
            if instead is None:
                raise
            return instead(address(ref), fault)

    def leaves(plans: Plans) -> dict[Ref | str, Leaf]:
        return {ref: found for ref, make in plans.items() if (found := leaf(ref, make)) is not None}

    # Large and small ones lie side by side, so that both halves take about as long.
    every_other = dict(list(entries.items())[1::2])
    with ahead(store, lambda: leaves(every_other)):
        listed = leaves(listings)
        leaves({ref: make for ref, make in entries.items() if ref not in every_other})
    pages = leaves(entries).values()
    home = kept(store, base, ("home", *map(str, listed)), lambda: _home(base, listed))
    return (home, *listed.values(), *pages)


def _leaf(base: KnowledgeBase, page: Page | None) -> Leaf | None:
    # Imported late: pages that were written before need no templates.
    from kbgen.render.web.pages import Around, make_leaf

    if page is None:
        return None
    plants = {name: plant for name in page.equipment if (plant := _plant(base, name)) is not None}
    # An entry stands in the listing of its kind, so that there is one.
    listings = {f"{page.kind.folder}/index"} if page.kind else ()
    return make_leaf(page, Around(plants, listings))


def _plant(base: KnowledgeBase, name: str) -> Goto | None:
    ref = Ref(Kind.EQUIPMENT, name)
    return Goto(base.title(ref), ref) if ref in base.entries else None


def _home(base: KnowledgeBase, listings: Container[Ref | str]) -> Leaf:
    from kbgen.render.web.pages import Around, home_leaf

    plants = {entry.ref.id: Goto(entry.title, entry.ref) for entry, _ in base.of(Equipment)}
    return home_leaf(shop_of(base.shop), menu_of(base), Around(plants, listings))
