"""What an author typed is what a reader sees, character by character."""

from __future__ import annotations

from html.parser import HTMLParser
from pathlib import Path

import pytest
import yaml
from markupsafe import escape

from kbgen.render.web.inline import InlineWriter
from kbgen.render.web.pages import front_matter, raw_block
from kbgen.views.blocks import Goto, Mark, Plain
from tests.samples.web_book import DEVICE, HOSTILE

VOID = {"meta", "link", "input", "img", "br", "path"}


class Reader(HTMLParser):
    """Collects text by element, and every tag and attribute that could run something."""

    def __init__(self) -> None:
        super().__init__()
        self.texts: dict[str, list[str]] = {}
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str]] = []
        self.stack: list[list[str]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]
        if tag not in VOID:
            self.stack.append([tag, ""])

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)

    def handle_data(self, data: str) -> None:
        for each in self.stack:
            each[1] += data

    def handle_endtag(self, tag: str) -> None:
        if tag in VOID:
            return
        opened, text = self.stack.pop()
        assert opened == tag, f"</{tag}> closes <{opened}>"
        self.texts.setdefault(tag, []).append(text)


def read(html: str) -> Reader:
    reader = Reader()
    reader.feed(html)
    reader.close()
    return reader


@pytest.fixture(scope="module")
def hostile(web_edition: Path) -> Reader:
    return read((web_edition / "terms" / "hostile.html").read_text(encoding="utf-8"))


@pytest.mark.parametrize("text", HOSTILE)
@pytest.mark.parametrize("element", ["p", "li", "dt", "dd", "samp"])
def test_hostile_text_is_shown_as_typed(hostile: Reader, element: str, text: str) -> None:
    wanted = text + text if element == "li" else text  # a row of a list says it short and long
    assert wanted in hostile.texts[element]


def test_hostile_text_makes_no_elements(hostile: Reader) -> None:
    assert not {"em", "code", "pre", "blockquote", "h3", "hr", "b"} & set(hostile.tags)
    assert hostile.tags.count("script") == 5, "the page's own five scripts"
    assert hostile.tags.count("h1") == 1
    assert not [name for name, _ in hostile.attributes if name.startswith("on") or name == "style"]


def test_a_title_with_markup_is_literal_in_tab_heading_and_lists(web_edition: Path, hostile: Reader) -> None:
    assert hostile.texts["title"] == [f"{HOSTILE[0]} – Test & Sons <Plant>"]
    assert hostile.texts["h1"] == [HOSTILE[0]]
    assert HOSTILE[0] in hostile.texts["figcaption"]
    assert ("alt", HOSTILE[0]) in hostile.attributes
    listing = read((web_edition / "terms" / "index.html").read_text(encoding="utf-8"))
    assert HOSTILE[0] in listing.texts["a"]


def test_nothing_of_the_configuration_reaches_a_page(web_edition: Path) -> None:
    for file in web_edition.rglob("*.html"):
        text = file.read_text(encoding="utf-8")
        assert "docs_dir" not in text
        assert "custom_dir" not in text


def test_a_raw_block_has_no_empty_line_and_nothing_markdown_acts_upon() -> None:
    block = raw_block("<section>a\n\n\tb `c` ~~~</section>")
    assert block == "\n<section>a&#10;&#10;&#9;b &#96;c&#96; &#126;&#126;&#126;</section>"


@pytest.mark.parametrize("title", [*HOSTILE, "a: b # c", "\u0085\u2028\x7f", "🔥 \\u0041", "'on'", "012"])
def test_front_matter_gives_back_the_title_escaped_once(title: str) -> None:
    _, matter, _ = front_matter({"title": str(escape(title))}).split("---\n")
    value = yaml.safe_load(matter)["title"]
    assert isinstance(value, str)
    assert read(f"<p>{value}</p>").texts["p"] == [title]


def test_links_are_relative_and_end_in_html() -> None:
    writer = InlineWriter("../")
    assert writer.href(DEVICE) == "../devices/low-water.html"
    assert writer.href("devices/index", "list") == "../devices/index.html#list"
    assert writer.href(None, "step-3") == "#step-3"


def test_a_line_with_one_link_is_a_large_target() -> None:
    writer = InlineWriter("")
    assert writer.line((Goto("x", DEVICE),)) == '<a class="kb-go" href="devices/low-water.html">x</a>'
    mixed = writer.line((Mark("TB-3"), Plain(" <to> "), Goto("x", DEVICE)))
    link = '<a href="devices/low-water.html">x</a>'
    assert mixed == f'<span class="kb-reach"><samp>TB-3</samp> &lt;to&gt; {link}</span>'
    assert writer.line((Goto("x", DEVICE), Plain(" or "), Goto("x", DEVICE))) == f"{link} or {link}"
