"""The demonstration, built and used as on a tablet in a plant room: from disk, without a network."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from kbgen.outputs import build_edition, make_index
from kbgen.pipeline import Compiled, compile_folder
from kbgen.search import SearchIndex

ROOT = Path(__file__).resolve().parents[2]
LINES = (ROOT / "tests" / "data" / "search" / "demonstration.txt").read_text(encoding="utf-8").splitlines()
QUERIES = [
    (query.strip(), frozenset(wanted.split()))
    for query, wanted in (line.split("|") for line in LINES if line and not line.startswith("#"))
]


@pytest.fixture(scope="session")
def demonstration() -> Compiled:
    compiled = compile_folder(ROOT / "kb_source")
    assert compiled.sound
    return compiled


@pytest.fixture(scope="session")
def index(demonstration: Compiled) -> SearchIndex:
    return make_index(demonstration)


@pytest.fixture(scope="session")
def site(demonstration: Compiled, tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("demonstration") / "site"
    build_edition(demonstration, out, lambda _: None)
    return out


@pytest.fixture
def home(page: Page, site: Path) -> Page:
    page.context.set_offline(True)
    page.goto((site / "index.html").as_uri())
    return page


def first_hits(page: Page, query: str, count: int) -> list[str]:
    """Type a query and return what the first results lead to, as ``kind:id``."""
    page.fill("#kb-q", "")
    page.fill("#kb-q", query)
    expect(page.locator(".kb-search-status")).not_to_be_empty()
    links = page.locator(".kb-search-results a.kb-search-title, .kb-search-results .kb-search-hit a").all()
    addresses = [link.get_attribute("href") or "" for link in links]
    return [address.removesuffix(".html") for address in addresses if "/" in address][:count]


def test_there_are_enough_queries() -> None:
    assert len(QUERIES) >= 30


@pytest.mark.parametrize(("query", "wanted"), QUERIES, ids=[query for query, _ in QUERIES])
def test_what_is_typed_finds_its_page_in_the_first_three(
    index: SearchIndex, query: str, wanted: frozenset[str]
) -> None:
    hits = [f"{hit.kind}:{hit.id}" for hit in index.query(query).results[:3]]
    assert wanted & set(hits), hits


def test_the_browser_finds_the_same_in_the_same_order(home: Page, index: SearchIndex) -> None:
    for query, _ in QUERIES:
        hits = index.query(query).results[:5]
        expected = [f"{hit.kind.folder}/{hit.id}" for hit in hits]
        assert first_hits(home, query, len(expected)) == expected, query


def test_from_what_the_panel_shows_to_the_page_in_one_tap(home: Page) -> None:
    home.fill("#kb-q", "limits not made")
    home.locator(".kb-search-results a").first.click()
    assert "LIMITS NOT MADE" in home.locator("h1").inner_text()
    top = home.locator("#means, [id=means]").first.bounding_box()
    assert top is not None
    assert top["y"] < 1180, "the meaning must be on the first screen of a tablet"


def test_every_page_opens_from_disk_without_an_error(page: Page, site: Path) -> None:
    pages = sorted(site.rglob("*.html"))
    assert len(pages) > 150
    for file in pages[::12]:
        page.goto(file.as_uri())
        assert page.locator("main").count() == 1 or "http-equiv" in file.read_text(encoding="utf-8")
