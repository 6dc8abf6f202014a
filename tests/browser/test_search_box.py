"""The search field as a technician uses it: on a tablet, from disk, by touch and by keyboard."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import Page, Route, expect

from kbgen.render.web.scripts import shipped
from kbgen.search import SearchIndex, export
from kbgen.search.export import VERSION
from tests.samples.search_data import index_of

if TYPE_CHECKING:
    from conftest import Watch

SCRIPTS = Path(__file__).parents[2] / "site_overrides" / "assets" / "js"
PAGE = """<!doctype html><html lang="en"><meta charset="utf-8"><title>Search</title>
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; script-src 'self' file:; img-src data:">
<link rel="icon" href="data:,">
<form class="kb-search" role="search" data-root="ROOT" data-shop="demo"><label for="kb-q">What does it show?</label>
<input id="kb-q" type="search" autocomplete="off"><div class="kb-search-filters"></div>
<p class="kb-search-status" role="status" aria-live="polite"></p><ol class="kb-search-results"></ol></form>
<script defer src="ROOTassets/js/danger.js"></script>
<script defer src="ROOTassets/js/search-engine.js"></script><script defer src="ROOTassets/js/search-box.js"></script>
"""


@pytest.fixture(scope="session")
def shop() -> SearchIndex:
    return index_of("corpus")


@pytest.fixture
def site(tmp_path: Path, shop: SearchIndex) -> Path:
    """A folder with a home page, a page a level down and one page per result."""
    (tmp_path / "assets" / "js").mkdir(parents=True)
    for name in ("danger.js", "search-engine.js", "search-box.js"):
        script = shipped((SCRIPTS / name).read_text(encoding="utf-8"))
        (tmp_path / "assets" / "js" / name).write_text(script, encoding="utf-8")
    (tmp_path / "assets" / "search-index.js").write_text(export(shop), encoding="utf-8")
    (tmp_path / "index.html").write_text(PAGE.replace("ROOT", ""), encoding="utf-8")
    for entry in shop.entries:
        page = tmp_path / entry.address
        page.parent.mkdir(exist_ok=True)
        page.write_text(PAGE.replace("ROOT", "../").replace("Search<", f"{entry.title}<"), encoding="utf-8")
    return tmp_path


@pytest.fixture
def home(page: Page, site: Path) -> Page:
    page.goto((site / "index.html").as_uri())
    return page


def titles(page: Page) -> list[str]:
    return page.locator(".kb-search-hit .kb-search-title").all_inner_texts()


def test_results_come_while_typing_and_say_what_they_are(home: Page) -> None:
    home.locator("#kb-q").press_sequentially("limits not mad")
    assert titles(home)[0] == "Limits not made"
    first = home.locator(".kb-search-hit").first
    expect(first.locator(".kb-search-kind")).to_have_text("Symptom")
    expect(first.locator(".kb-search-plant")).to_have_text("Ondrel SB steam boiler")
    assert first.locator("mark").all_inner_texts() == ["Limits", "not", "made", "limit"]
    expect(home.get_by_role("status")).to_contain_text("answer")


def test_why_and_did_you_mean_are_shown_and_taken(home: Page) -> None:
    home.locator("#kb-q").fill("exhuast vane")
    expect(home.locator(".kb-search-why").first).to_have_text("“exhuast” read as “exhaust”")
    home.get_by_role("button", name="Did you mean").click()
    expect(home.locator("#kb-q")).to_have_value("exhaust vane")
    expect(home.get_by_role("button", name="Did you mean")).to_have_count(0)


@pytest.mark.parametrize("query", ["I smell gas", "CO alarm", "flooded", "something burning"])
def test_leave_now_stands_above_everything_under_any_filter(home: Page, query: str) -> None:
    home.locator("#kb-q").fill("switch")
    home.get_by_role("button", name="Terms").or_(home.get_by_role("button", name="Devices")).first.click()
    home.locator("#kb-q").fill(query)
    first = home.locator(".kb-search-results > li").first
    expect(first).to_have_class("kb-search-leave")
    assert first.locator("a").get_attribute("href") == "leave-now.html"
    expect(home.get_by_role("status")).to_contain_text("leave first")


def test_who_speaks_of_danger_is_not_asked_back(home: Page) -> None:
    home.locator("#kb-q").fill("it smells of gas near the pumo")
    expect(home.locator(".kb-search-results > li").first).to_have_class("kb-search-leave")
    expect(home.locator(".kb-search-why").filter(has_text="read as").first).to_be_visible()
    expect(home.get_by_role("button", name="Did you mean")).to_have_count(0)


def test_filters_show_counts_and_narrow(home: Page) -> None:
    home.locator("#kb-q").fill("switch")
    button = home.get_by_role("button", name="Devices")
    count = int(button.locator(".kb-search-count").inner_text())
    button.click()
    expect(button).to_have_attribute("aria-pressed", "true")
    expect(button).to_be_focused()
    assert home.locator(".kb-search-kind").all_inner_texts() == ["Device"] * count
    button.click()
    assert len(titles(home)) > count


def test_chosen_plant_and_last_searches_are_remembered(home: Page, site: Path) -> None:
    home.locator("#kb-q").fill("door")
    home.get_by_role("button", name="Harnok td").click()
    home.locator(".kb-search-hit a").first.click()
    home.wait_for_url("**/*s/*.html")
    home.goto((site / "index.html").as_uri())
    expect(home.get_by_role("button", name="Again")).to_have_text("Again: door")
    home.get_by_role("button", name="Again").click()
    expect(home.get_by_role("button", name="Harnok td")).to_have_attribute("aria-pressed", "true")
    assert set(home.locator(".kb-search-plant").all_inner_texts()) <= {"Harnok td"} | {
        text for text in home.locator(".kb-search-plant").all_inner_texts() if "Harnok td" in text
    }


def test_keyboard_reaches_everything(home: Page) -> None:
    home.keyboard.press("/")
    field = home.locator("#kb-q")
    expect(field).to_be_focused()
    field.press_sequentially("flame")
    home.keyboard.press("ArrowDown")
    links = home.locator(".kb-search-hit a")
    expect(links.nth(0)).to_be_focused()
    home.keyboard.press("ArrowDown")
    expect(links.nth(1)).to_be_focused()
    home.keyboard.press("ArrowUp")
    home.keyboard.press("ArrowUp")
    expect(field).to_be_focused()
    home.keyboard.press("Escape")
    expect(field).to_have_value("")
    expect(links).to_have_count(0)
    field.press_sequentially("e31 sb-2")
    home.keyboard.press("Enter")
    expect(links.nth(0)).to_be_focused()
    home.keyboard.press("Enter")
    home.wait_for_url("**/symptoms/low-water-hold.html")


def test_enter_opens_only_an_exact_display_of_a_known_plant(home: Page) -> None:
    field, first = home.locator("#kb-q"), home.locator(".kb-search-hit a").first
    for query in ("the fan runs and nothing comes", "e31"):
        field.fill(query)
        field.press("Enter")
        expect(first).to_be_focused()
        assert home.url.split("?")[0].endswith("index.html"), query
    field.fill("water")
    home.get_by_role("button", name="Ondrel SB").click()
    field.fill("e31")
    field.press("Enter")
    home.wait_for_url("**/symptoms/low-water-hold.html")


@pytest.mark.parametrize("code", ["e99", "A-71", "7 flashes"])
def test_a_code_that_the_chosen_plant_does_not_show_opens_nothing_and_says_so(home: Page, code: str) -> None:
    field = home.locator("#kb-q")
    field.fill("water")
    home.get_by_role("button", name="Ondrel SB").click()
    field.fill(code)
    first = home.locator(".kb-search-hit").first
    expect(first.locator(".kb-search-kind")).to_have_text("Equipment")
    expect(first.locator(".kb-search-note")).to_contain_text("Shows no ")
    expect(home.locator(".kb-search-near a").last).to_contain_text("Ondrel SB")
    expect(home.get_by_role("status")).to_contain_text("Ondrel SB steam boiler shows no ")
    field.press("Enter")
    expect(first.locator("a")).to_be_focused()
    assert home.url.split("?")[0].endswith("index.html")


def test_danger_is_never_opened_by_itself(home: Page) -> None:
    home.locator("#kb-q").fill("smell of gas")
    home.locator("#kb-q").press("Enter")
    expect(home.locator(".kb-search-leave a")).to_be_focused()


def test_only_what_answers_is_shown_and_the_rest_behind_more(home: Page) -> None:
    home.locator("#kb-q").fill("the pump is running but the water flow switch does not make")
    few = len(titles(home))
    expect(home.get_by_role("status")).to_contain_text(f"{few} answers" if few != 1 else "1 answer")
    home.get_by_role("button", name="More").click()
    assert len(titles(home)) > few
    home.locator("#kb-q").press_sequentially("s")
    assert len(titles(home)) <= 20


def test_a_plant_that_is_named_is_chosen_in_sight_until_another_is_tapped(home: Page) -> None:
    home.locator("#kb-q").fill("dryer door switch")
    named = home.get_by_role("button", name="Harnok td")
    expect(named).to_have_attribute("aria-pressed", "true")
    home.get_by_role("button", name="Zellick ph").click()
    expect(home.get_by_role("button", name="Zellick ph")).to_have_attribute("aria-pressed", "true")
    home.locator("#kb-q").fill("boiler door switch")
    expect(home.get_by_role("button", name="Ondrel SB")).to_have_attribute("aria-pressed", "true")


def test_a_remembered_plant_says_where_it_hides_better_answers(home: Page) -> None:
    home.locator("#kb-q").fill("water")
    home.get_by_role("button", name="Zellick ph").click()
    home.locator("#kb-q").fill("exhaust vane")
    home.locator(".kb-search-again button", has_text="better answer").first.click()
    expect(home.get_by_role("button", name="Harnok td")).to_have_attribute("aria-pressed", "true")


def test_a_remembered_plant_ends_with_the_day(page: Page, site: Path) -> None:
    page.goto((site / "index.html").as_uri())
    page.locator("#kb-q").fill("door")
    page.get_by_role("button", name="Harnok td").click()
    page.reload()
    page.locator("#kb-q").fill("door")
    expect(page.get_by_role("button", name="Harnok td")).to_have_attribute("aria-pressed", "true")
    page.evaluate(
        "() => localStorage.setItem('kbgen.demo.plant', JSON.stringify({id: 'harnok-td', day: 'Mon Jan 01 2001'}))"
    )
    page.reload()
    page.locator("#kb-q").fill("door")
    expect(page.get_by_role("button", name="Harnok td")).to_have_attribute("aria-pressed", "false")


def test_nothing_found_says_what_was_not_understood(home: Page) -> None:
    home.locator("#kb-q").fill("zzyzx")
    expect(home.get_by_role("status")).to_have_text("Nothing found for “zzyzx”. Not found anywhere: zzyzx.")
    home.locator("#kb-q").fill("flame zzyzx")
    expect(home.get_by_role("status")).to_contain_text("Not found anywhere: zzyzx.")
    assert titles(home)


def test_nothing_found_offers_the_displays_that_look_most_alike_and_the_way_in_without_typing(
    home: Page, shop: SearchIndex
) -> None:
    query = "lmtsntmdxx"
    alike = shop.query(query).nearest
    assert alike[0].shows == "LIMITS NOT MADE"
    home.locator("#kb-q").fill(query)
    near = home.locator(".kb-search-near a")
    assert near.locator("samp").all_inner_texts() == [each.shows for each in alike]
    expect(near.last).to_contain_text("Pick what the panel shows")
    expect(home.get_by_role("status")).to_contain_text("look alike")
    near.first.click()
    home.wait_for_url("**/symptoms/*.html")


def test_a_code_of_no_page_offers_those_that_look_like_it_first_and_opens_none_of_them(home: Page) -> None:
    home.locator("#kb-q").press_sequentially("E-34")
    rows = home.locator(".kb-search-results > li")
    expect(rows.first).to_have_text("Does it show E-31")
    expect(home.get_by_role("status")).to_contain_text("Not found anywhere: e34.")
    home.keyboard.press("Enter")
    expect(rows.first.locator("a")).to_be_focused()
    assert home.url.split("?")[0].endswith("index.html")


def test_a_device_says_in_its_line_whether_it_may_be_jumped(home: Page) -> None:
    home.locator("#kb-q").fill("can I jump the air switch")
    first = home.locator(".kb-search-hit").first
    expect(first.locator(".kb-search-kind")).to_have_text("Device")
    expect(first.locator(".kb-search-note")).to_have_text("Jumper: Never.")


def test_status_is_rendered_before_it_says_anything(home: Page) -> None:
    home.wait_for_function("window.kbgenSearchIndex")
    expect(home.get_by_role("status")).to_be_empty()
    assert home.get_by_role("status").evaluate("e => getComputedStyle(e).display") != "none"


def test_an_index_that_does_not_arrive_is_told_also_after_typing(
    page: Page, site: Path, watch: Watch
) -> None:
    (site / "assets" / "search-index.js").unlink()
    page.goto((site / "index.html").as_uri())
    expect(page.get_by_role("status")).to_contain_text("could not be loaded")
    page.locator("#kb-q").fill("kettling")
    expect(page.get_by_role("status")).to_contain_text("could not be loaded")
    watch.errors.clear()


def test_an_index_of_another_format_that_the_browser_kept_is_not_read(
    page: Page, site: Path, watch: Watch
) -> None:
    index = site / "assets" / "search-index.js"
    content = index.read_text(encoding="utf-8")
    assert f'"version":{VERSION},' in content
    index.write_text(content.replace(f'"version":{VERSION},', f'"version":{VERSION - 1},'), encoding="utf-8")
    page.goto((site / "index.html").as_uri())
    expect(page.get_by_role("status")).to_contain_text("could not be loaded")
    page.locator("#kb-q").fill("kettling")
    expect(page.locator(".kb-search-hit")).to_have_count(0)


def test_a_page_below_home_links_to_the_right_place(page: Page, site: Path) -> None:
    page.goto((site / "symptoms" / "no-flame.html").as_uri())
    page.locator("#kb-q").fill("e31")
    page.locator(".kb-search-hit a").first.click()
    page.wait_for_url((site / "symptoms" / "low-water-hold.html").as_uri())


@pytest.mark.parametrize("served", [False, True])
def test_query_in_the_address_is_answered_and_kept(
    page: Page, site: Path, serve: Callable[[Path], str], served: bool
) -> None:
    address = serve(site) if served else site.as_uri() + "/"
    page.goto(address + "index.html?q=no%20water%20flow")
    expect(page.locator("#kb-q")).to_have_value("no water flow")
    expect(page.locator(".kb-search-title").first).to_have_text("No water flow")
    page.locator("#kb-q").fill("kettling & more")
    if served:
        expect(page).to_have_url(address + "index.html?q=kettling+%26+more")


def test_what_is_typed_before_the_index_arrives_is_answered_when_it_does(page: Page, site: Path) -> None:
    held: list[Route] = []

    def hold(route: Route) -> None:
        held.append(route)

    page.route("**/search-index.js", hold)
    page.goto((site / "index.html").as_uri(), wait_until="domcontentloaded")
    page.locator("#kb-q").fill("kettling")
    expect(page.get_by_role("status")).to_have_text("Loading the search list…")
    held[0].continue_()
    expect(page.locator(".kb-search-title").first).to_have_text("Water outlet limit tripped")


def test_nothing_typed_or_indexed_becomes_markup(home: Page) -> None:
    for text in (
        "<img src=x onerror=alert(1)>",
        "flame <b>",
        '"><script>',
        "javascript:alert(1)",
        "\\u003c",
        "%3Cb%3E",
    ):
        home.locator("#kb-q").fill(text)
    assert home.locator("form img, form b, form script").count() == 0


def test_storage_that_refuses_breaks_nothing(page: Page, site: Path) -> None:
    page.add_init_script(
        "Object.defineProperty(window, 'localStorage', {get() { throw new Error('refused'); }});"
        "history.replaceState = () => { throw new Error('refused'); };"
    )
    page.goto((site / "index.html").as_uri())
    page.locator("#kb-q").fill("door")
    page.get_by_role("button", name="Harnok td").click()
    assert titles(page)
    page.locator("#kb-q").press("Enter")
    page.keyboard.press("Enter")
    page.wait_for_url("**/*s/*.html")


def test_nothing_stands_between_the_field_and_the_way_out(home: Page) -> None:
    home.set_viewport_size({"width": 360, "height": 740})
    home.locator("#kb-q").fill("smell of gas in the pit")
    leave, filters = home.locator(".kb-search-leave"), home.locator(".kb-search-filters")
    expect(leave).to_be_visible()
    boxes = [each.bounding_box() or {} for each in (leave, filters)]
    # What a keyboard on the screen leaves of it.
    assert boxes[0]["y"] + boxes[0]["height"] < 480
    assert boxes[1]["y"] > boxes[0]["y"]
    home.locator("#kb-q").fill("no smell of gas")
    expect(leave).to_have_count(0)
    assert (filters.bounding_box() or {})["y"] < (home.locator(".kb-search-results").bounding_box() or {})[
        "y"
    ]
