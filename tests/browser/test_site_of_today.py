"""The tablet asks where it is, keeps the answer for the day, and shows what belongs to that place."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from kbgen.model.shop import Emergency, ShopSettings, Site
from kbgen.render.web import WebFiles, build_web
from kbgen.views.leave_now import leave_now_page, sites_of
from tests.samples.web_book import FILES, web_book

SETTINGS = ShopSettings(
    shop="Test",
    key="test",
    emergency=Emergency(number="110"),
    sites=(Site("north", "North hall", muster="Yard gate", emergency="911"), Site("south", "South hall")),
)


@pytest.fixture(scope="module")
def edition(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("sites") / "site"
    book = web_book()
    others = tuple(page for page in book.listings if page.ref != "leave-now")
    build_web(
        replace(
            book,
            shop=replace(book.shop, sites=sites_of(SETTINGS)),
            listings=(leave_now_page(SETTINGS), *others),
        ),
        WebFiles(FILES),
        out,
    )
    return out


def test_without_a_choice_the_line_is_blank_and_the_number_is_the_shops(page: Page, edition: Path) -> None:
    page.goto((edition / "leave-now.html").as_uri())
    expect(page.locator(".kb-site-said")).to_contain_text("You are at ____")
    expect(page.locator(".kb-site-unknown")).to_contain_text("110")
    expect(page.get_by_text("Yard gate")).to_be_hidden()


def test_on_a_phone_the_steps_stand_on_the_first_screen_and_the_places_below_them(
    page: Page, edition: Path
) -> None:
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto((edition / "leave-now.html").as_uri())
    expect(page.locator("#gas li").first).to_be_in_viewport(ratio=1)
    order = page.eval_on_selector_all("article section", "all => all.map(each => each.id)")
    assert order.index("help") < order.index("where")


def test_the_site_is_kept_for_the_day_and_no_takes_it_back(page: Page, edition: Path) -> None:
    page.goto((edition / "index.html").as_uri())
    page.get_by_role("button", name="North hall").click()
    page.goto((edition / "leave-now.html").as_uri())
    expect(page.locator(".kb-site-said p")).to_have_text(
        re.compile(r"^You are at North hall, chosen \d\d:\d\d$")
    )
    expect(page.get_by_text("Yard gate")).to_be_visible()
    expect(page.get_by_text("911")).to_be_visible()
    no = page.get_by_role("button", name="No", exact=True)
    assert (no.bounding_box() or {})["height"] >= 64
    no.click()
    expect(page.get_by_text("Yard gate")).to_be_hidden()
    expect(page.get_by_role("button", name="South hall")).to_be_visible()


def test_a_site_without_a_number_of_its_own_has_the_shops(page: Page, edition: Path) -> None:
    page.goto((edition / "leave-now.html").as_uri())
    page.get_by_role("button", name="South hall").click()
    expect(page.locator("[data-site-facts=south]")).to_contain_text("110")


def test_the_next_day_it_is_asked_again(page: Page, edition: Path) -> None:
    page.clock.install(time="2026-11-24T23:50:00")
    page.goto((edition / "leave-now.html").as_uri())
    page.get_by_role("button", name="North hall").click()
    expect(page.locator(".kb-site-said p")).to_have_text("You are at North hall, chosen 23:50")
    page.clock.set_system_time("2026-11-25T00:10:00")
    page.reload()
    expect(page.locator(".kb-site-said p")).to_have_text("You are at ____________")
