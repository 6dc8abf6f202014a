"""Dead links, dead anchors and links that leave the site are found before anything is published."""

from __future__ import annotations

import pytest

from kbgen.render.web.linkcheck import BadLink, check_links, found_in

PAGES = {
    "index.html": '<a href="devices/a.html#top"></a><p id="here"></p><a href="#here"></a>',
    "devices/a.html": '<a href="../index.html"></a><p id="top"></p><img src="../photos/a%20b.png">',
}
FILES = {*PAGES, "photos/a b.png"}


def checked(pages: dict[str, str], files: set[str]) -> list[BadLink]:
    return check_links({page: found_in(html) for page, html in pages.items()}, files)


def faults(html: str) -> list[str]:
    return [each.why for each in checked({**PAGES, "devices/b.html": html}, FILES | {"devices/b.html"})]


def test_good_links_are_silent() -> None:
    assert checked(PAGES, FILES) == []


@pytest.mark.parametrize(
    ("html", "why"),
    [
        ('<a href="c.html">', "no such file"),
        ('<a href="../devices">', "no such file"),
        ('<a href="../../index.html">', "no such file"),
        ('<img src="x.png">', "no such file"),
        ('<a href="a.html#gone">', "no such anchor on that page"),
        ('<a href="#gone">', "no such anchor on that page"),
        ('<a href="http://example.invalid/">', "leads out of the site"),
        ('<a href="//example.invalid/">', "leads out of the site"),
        ('<a href="/index.html">', "leads out of the site"),
        ('<p id="a"></p><p id="a">', "this anchor stands on the page more than once"),
        ('<p id="Größe">', "an anchor is letters, digits, dots and hyphens"),
    ],
)
def test_each_fault_is_named(html: str, why: str) -> None:
    assert faults(html) == [why]


def test_an_authors_words_are_not_taken_for_links() -> None:
    assert faults("<p>&lt;a href=&#34;nowhere.html&#34;&gt; id=&#34;X&#34;</p>") == []
