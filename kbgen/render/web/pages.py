"""The bodies of pages from what stands on them, and the whole as a tree of Markdown files.

Two things make a body safe in any site builder: Jinja escapes what HTML would act upon, and ``raw_block``
afterwards escapes what Markdown might act upon even inside raw HTML.
"""

from __future__ import annotations

import json
import re
from collections.abc import Container, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, FunctionLoader, StrictUndefined
from markupsafe import Markup, escape

from kbgen.ref import Kind, Ref
from kbgen.render.web.inline import InlineWriter
from kbgen.render.web.leaf import Leaf
from kbgen.render.web.linkcheck import found_in
from kbgen.views.address import HOME, address, root_from, shows_index
from kbgen.views.blocks import Goto, Helper
from kbgen.views.doing.words import words_script
from kbgen.views.leave_now import LEAVE_NOW
from kbgen.views.page import Book, Page, Shop

TEMPLATES = Path(__file__).parent / "templates"

# A backtick or tilde opens fenced code, a tab is expanded, an empty line ends the raw block. Line ends
# on the page are always an author's, because the templates have none.
_ACTED_UPON = (("`", "&#96;"), ("~", "&#126;"), ("\t", "&#9;"), ("\n", "&#10;"), ("\r", ""))
_NOT_IN_YAML = re.compile("[\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff]")
_LINE_STARTS = re.compile("(?=<(?:section|li|tr|h1|/article)[ >])")


@dataclass(frozen=True, slots=True)
class Around:
    """What a page says of other pages.

    Attributes:
        plants: The families of plant by id.
        listings: Which listings there are.
    """

    plants: Mapping[str, Goto]
    listings: Container[Ref | str]


def make_leaf(page: Page, around: Around) -> Leaf:
    """Write the body of a page."""
    where = address(page.ref)
    blocks = [block for section in page.sections for block in section.blocks]
    body = _body(page, around)
    return _leaf(
        where,
        str(escape(page.title)),
        body,
        # Data of a helper is loaded on its page only, also from disk.
        scripts=(
            *(script for block in blocks if isinstance(block, Helper) for script in _tables(block)),
            *_step_by_step(page, body),
        ),
        former=page.former_ids,
    )


def _tables(helper: Helper) -> Iterator[tuple[str, bytes]]:
    """Yield the data of a circuit's helper, and each of its states as a script of its own: one is fetched at a time."""
    data = json.loads(helper.data())
    states: dict[str, list[Any]] = data.pop("variants")
    name = helper.circuit
    yield f"assets/circuits/{name}.js", f"window.kbCircuit = {_compact(data)};\n".encode()
    for number, values in enumerate(zip(*states.values(), strict=True)):
        table = _compact(dict(zip(states, values, strict=True)))
        yield (
            f"assets/circuits/{name}.{number}.js",
            f'(window.kbTables ||= {{}})["{name}.{number}"] = {table};\n'.encode(),
        )


def _compact(data: object) -> str:
    return json.dumps(data, ensure_ascii=False, separators=(",", ":"))


def _step_by_step(page: Page, body: str) -> Iterator[tuple[str, bytes]]:
    """Yield what a tablet needs to lead through a procedure; the leave-now page stands inside every one."""
    if page.doing:
        name = page.doing.procedure
        for number, data in enumerate(page.doing.data()):
            file = f"{name}.{number}" if number else name
            yield f"assets/steps/{file}.js", f'(window.kbDoing ||= {{}})["{file}"] = {data};\n'.encode()
        if faults := page.doing.practice():
            yield (
                f"assets/steps/{name}.practice.js",
                f'(window.kbPractice ||= {{}})["{name}"] = {faults};\n'.encode(),
            )
    if page.ref == LEAVE_NOW:
        yield "assets/steps/leave-now.js", f"window.kbLeaveNow = {json.dumps(body)};\n".encode()
        yield "assets/steps/words.js", words_script()


def home_leaf(shop: Shop, menu: Iterable[Goto], around: Around) -> Leaf:
    """Write the body of the home page."""
    body = _ENVIRONMENT.get_template("home.html").render(
        shop=shop,
        menu=menu,
        plants=around.plants.values(),
        picks=[
            Goto(plant.label, shows_index(plant_id))
            for plant_id, plant in around.plants.items()
            if shows_index(plant_id) in around.listings
        ],
        draw_sites=_macros("")["sites"],
        href=InlineWriter("").href,
    )
    return _leaf(HOME, str(escape(shop.name)), body)


def leaves_of(book: Book) -> tuple[Leaf, ...]:
    """Write the bodies of all pages of a book: home, the listings, the entries."""
    plants = {
        page.ref.id: Goto(page.title, page.ref)
        for page in book.pages
        if isinstance(page.ref, Ref) and page.kind is Kind.EQUIPMENT
    }
    around = Around(plants, {page.ref for page in book.listings})
    pages = (make_leaf(page, around) for page in (*book.listings, *book.pages))
    return (home_leaf(book.shop, book.menu, around), *pages)


def page_tree(leaves: Iterable[Leaf]) -> Iterator[tuple[str, str]]:
    """Yield pages as (path in a page tree, text of the Markdown file), as any Markdown site builder reads them."""
    for leaf in leaves:
        values = {"title": leaf.title} | (
            {"template": "forward.html", "target": leaf.target} if leaf.target else {}
        )
        yield leaf.address.removesuffix(".html") + ".md", f"{front_matter(values)}\n{leaf.body}\n"


def raw_block(html: str) -> str:
    """Make rendered HTML one raw block for Markdown: no empty line, nothing it would act upon."""
    for sign, reference in _ACTED_UPON:  # far quicker than str.translate, which looks at every character
        html = html.replace(sign, reference)
    return _LINE_STARTS.sub("\n", html)


def front_matter(values: dict[str, str]) -> str:
    """Return YAML front matter of values that are escaped for HTML, because themes print them as they are."""
    lines = (f"{name}: {_yaml(value)}\n" for name, value in values.items())
    return f"---\n{''.join(lines)}---\n"


def _yaml(text: str) -> str:
    quoted = json.dumps(text, ensure_ascii=False)
    return _NOT_IN_YAML.sub(lambda sign: f"\\u{ord(sign[0]):04x}", quoted)


def _leaf(where: str, title: str, html: str, **more: Any) -> Leaf:
    body = raw_block(html)
    return Leaf(where, title, body, found_in(body), **more)


def _body(page: Page, around: Around) -> str:
    root = root_from(address(page.ref))
    listing = f"{page.kind.folder}/index" if page.kind else ""
    return _ENVIRONMENT.get_template("page.html").render(
        page=page,
        noting=page.kind is Kind.SYMPTOM and bool(page.equipment),
        listing=listing if listing in around.listings and listing != page.ref else "",
        plants=[
            plant for plant in map(around.plants.get, page.equipment) if plant and plant.page != page.ref
        ],
        href=InlineWriter(root).href,
        asset=InlineWriter(root).asset,
        draw=_macros(root)["draw"],
        plant_at_hand=_macros(root)["plant_at_hand"],
    )


def _template_source(name: str) -> str:
    return re.sub(r"\n\s*", "", (TEMPLATES / name).read_text(encoding="utf-8"))


_ENVIRONMENT = Environment(
    loader=FunctionLoader(_template_source), autoescape=True, undefined=StrictUndefined, auto_reload=False
)
_ENVIRONMENT.globals["name_of"] = lambda block: type(block).__name__
# A row that only leads to another page is a button, not a sentence.
_ENVIRONMENT.tests["leads"] = lambda row: (
    [len(line) == 1 and isinstance(line[0], Goto) for line in row.lines] == [True]
)
_ENVIRONMENT.globals["pairs"] = lambda sizes: [(name, title, title) for name, title in sizes]
_ENVIRONMENT.globals["percent"] = lambda share: round(100 * share)
_ENVIRONMENT.globals["svg"] = lambda drawing: Markup(" ".join(drawing.split()))  # noqa: S704 - computed by us


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
