"""Pages as Markdown files: front matter, and the body as one block of raw HTML.

Any Markdown site builder can read such a tree. Two things make it safe: Jinja escapes what HTML would
act upon, and ``raw_block`` afterwards escapes what Markdown might act upon even inside raw HTML.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, FunctionLoader, StrictUndefined
from markupsafe import Markup, escape

from kbgen.ref import Kind, Ref
from kbgen.render.web.inline import InlineWriter
from kbgen.views.address import HOME, address, root_from
from kbgen.views.blocks import Goto, Sites
from kbgen.views.page import Book, Page
from kbgen.views.shows import shows_index

TEMPLATES = Path(__file__).parent / "templates"

# A backtick or tilde opens fenced code, a tab is expanded, an empty line ends the raw block. Line ends
# on the page are always an author's, because the templates have none.
_ACTED_UPON = (("`", "&#96;"), ("~", "&#126;"), ("\t", "&#9;"), ("\n", "&#10;"), ("\r", ""))
_NOT_IN_YAML = re.compile("[\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff]")
_LINE_STARTS = re.compile("(?=<(?:section|li|tr|h1|/article)[ >])")


def _template_source(name: str) -> str:
    return re.sub(r"\n\s*", "", (TEMPLATES / name).read_text(encoding="utf-8"))


_ENVIRONMENT = Environment(
    loader=FunctionLoader(_template_source), autoescape=True, undefined=StrictUndefined, auto_reload=False
)
_ENVIRONMENT.globals["name_of"] = lambda block: type(block).__name__
_ENVIRONMENT.globals["pairs"] = lambda sizes: [(name, title, title) for name, title in sizes]
_ENVIRONMENT.globals["percent"] = lambda share: round(100 * share)
_ENVIRONMENT.globals["svg"] = lambda drawing: Markup(" ".join(drawing.split()))  # noqa: S704 - computed by us


def page_tree(book: Book) -> Iterator[tuple[str, str]]:
    """Yield every page of a book as (path in the page tree, text of the Markdown file).

    Home comes first, then the listings, the entries, and a forwarding page for every former id.
    """
    plants = {
        page.ref.id: Goto(page.title, page.ref)
        for page in book.pages
        if isinstance(page.ref, Ref) and page.kind is Kind.EQUIPMENT
    }
    listings = {page.ref for page in book.listings}
    yield _file(HOME, {"title": book.shop.name}, _home_body(book, plants, listings))
    for page in (*book.listings, *book.pages):
        where = address(page.ref)
        yield _file(where, {"title": page.title}, _page_body(page, plants, listings))
        for former in page.former_ids:
            yield _forwarding(page, former)


def raw_block(html: str) -> str:
    """Make rendered HTML one raw block for Markdown: no empty line, nothing it would act upon."""
    for sign, reference in _ACTED_UPON:  # far quicker than str.translate, which looks at every character
        html = html.replace(sign, reference)
    return _LINE_STARTS.sub("\n", html)


def front_matter(values: dict[str, str]) -> str:
    """Return YAML front matter whose values are escaped for HTML, because themes print them as they are."""
    lines = (f"{name}: {_yaml(str(escape(value)))}\n" for name, value in values.items())
    return f"---\n{''.join(lines)}---\n"


def _yaml(text: str) -> str:
    quoted = json.dumps(text, ensure_ascii=False)
    return _NOT_IN_YAML.sub(lambda sign: f"\\u{ord(sign[0]):04x}", quoted)


def _file(where: str, values: dict[str, str], body: str) -> tuple[str, str]:
    return where.removesuffix(".html") + ".md", f"{front_matter(values)}\n{raw_block(body)}\n"


@cache
def _macros(root: str) -> dict[str, Any]:
    """Return what draws the parts of the pages of one folder; made once, not once a page."""
    writer = InlineWriter(root)
    macros = _ENVIRONMENT.get_template("blocks.html").make_module(
        {
            "href": writer.href,
            "file": writer.file,
            "asset": writer.asset,
            "line": writer.line,
            "rich": writer.rich,
        }
    )
    return vars(macros)


def _page_body(page: Page, plants: dict[str, Goto], listings: set[Ref | str]) -> str:
    root = root_from(address(page.ref))
    listing = f"{page.kind.folder}/index" if page.kind else ""
    return _ENVIRONMENT.get_template("page.html").render(
        page=page,
        listing=listing if listing in listings and listing != page.ref else "",
        plants=[plant for plant in map(plants.get, page.equipment) if plant and plant.page != page.ref],
        href=InlineWriter(root).href,
        draw=_macros(root)["draw"],
        plant_at_hand=_macros(root)["plant_at_hand"],
    )


def _home_body(book: Book, plants: dict[str, Goto], listings: set[Ref | str]) -> str:
    return _ENVIRONMENT.get_template("home.html").render(
        shop=book.shop,
        menu=book.menu,
        plants=plants.values(),
        picks=[
            Goto(plant.label, shows_index(plant_id))
            for plant_id, plant in plants.items()
            if shows_index(plant_id) in listings
        ],
        sites=next(
            (
                block
                for page in book.listings
                for part in page.sections
                for block in part.blocks
                if isinstance(block, Sites) and block.sites
            ),
            None,
        ),
        draw_sites=_macros("")["sites"],
        href=InlineWriter("").href,
    )


def _forwarding(page: Page, former: str) -> tuple[str, str]:
    where = address(page.ref)
    old = f"{where.rpartition('/')[0]}/{former}.html"
    target = root_from(old) + where
    link = f'<p>This page has a new address: <a href="{target}">{escape(page.title)}</a></p>'
    return _file(old, {"title": page.title, "template": "forward.html", "target": target}, link)
