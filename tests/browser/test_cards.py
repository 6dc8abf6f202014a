"""Composed procedures as a reader has them: cards on a tablet and a phone, opened where one is led, on paper whole."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from access import faults
from playwright.sync_api import Browser, Page, ViewportSize, expect

PAGES = ["procedures/sb-find-open-contact.html", "procedures/sb-make-safe.html"]
FIND = PAGES[0]
TABLET: ViewportSize = {"width": 820, "height": 1180}


@pytest.fixture(scope="session")
def site(built: Callable[[str], Path]) -> Path:
    return built("kb_source")


def load(page: Page, site: Path, name: str, anchor: str = "") -> None:
    page.goto((site / name).as_uri() + anchor)


@pytest.mark.parametrize(
    ("name", "screens", "cautions"),
    [
        ("sb-find-open-contact", 6, 6),
        ("sb-find-open-contact-dead", 6, 4),
        ("td-find-open-contact", 6, 7),
        ("td-find-open-contact-dead", 6, 4),
        ("ph-find-open-contact", 6, 5),
        ("ph-find-open-contact-dead", 6, 4),
        ("mah-find-open-contact", 8, 6),
        ("mah-find-open-contact-dead", 8, 4),
    ],
)
def test_a_find_page_with_its_cautions_takes_no_more_tablet_screens_than_it_may(
    page: Page, site: Path, name: str, screens: int, cautions: int
) -> None:
    page.set_viewport_size(TABLET)
    load(page, site, f"procedures/{name}.html")
    taken = page.evaluate("document.documentElement.scrollHeight") / TABLET["height"]
    print(f"{name}: {taken:.2f} screens")
    assert taken <= screens
    shown = page.locator(".kb-notice:visible, .kb-reminder:visible").count()
    assert shown >= cautions, "its cautions are among them"


def test_an_ending_says_what_it_comes_to_in_its_order_and_names_the_danger_that_stands_behind_its_line(
    page: Page, site: Path
) -> None:
    page.set_viewport_size(TABLET)
    load(page, site, FIND)
    dry = page.locator("#card-b")
    expect(dry.locator(".kb-reminder:visible")).to_contain_text("DANGER")
    expect(dry.locator(".kb-notice")).to_be_hidden()
    expect(dry.locator(":scope > p")).to_contain_text(
        "Stop. Switch the feed pump off at the feed tank. No water goes into a hot boiler found low. "
        "Put padlock and tag on the pump switch. Then: Keep people away"
    )
    page.get_by_role("link", name="B Boiler dry").first.click()
    expect(dry.locator(".kb-notice")).to_be_visible()


@pytest.mark.parametrize("script", [True, False])
def test_a_link_to_a_step_opens_what_it_stands_behind(browser: Browser, site: Path, script: bool) -> None:
    context = browser.new_context(java_script_enabled=script, viewport=TABLET, reduced_motion="reduce")
    for step in ("step-hunt.T24", "step-stop-here.lock-off.gas.lock", "step-start.lead"):
        page = context.new_page()
        load(page, site, FIND, f"#{step}")
        expect(page.locator(f'li:has([id="{step}"]), li[id="{step}"]').last).to_be_in_viewport()
    context.close()


def test_an_answer_opens_the_card_it_leads_to(page: Page, site: Path) -> None:
    page.set_viewport_size(TABLET)
    load(page, site, FIND)
    expect(page.locator("#card-9 table")).to_be_hidden()
    page.get_by_role("link", name="START NOT CLEAR").click()
    expect(page.locator("#card-9 table")).to_be_visible()
    page.get_by_role("link", name="C Stop here").first.click()
    expect(page.locator("#card-c .kb-tick").last).to_be_visible()


def test_ticks_and_readings_are_of_this_visit_only(page: Page, site: Path) -> None:
    load(page, site, FIND)
    tick, reading = page.get_by_role("checkbox").first, page.get_by_label("T19 to T90").first
    tick.check()
    reading.fill("119")
    page.reload()
    expect(tick).not_to_be_checked()
    expect(reading).to_have_value("")
    expect(page.get_by_role("checkbox", name="Stop at the door")).to_have_count(1)


HIT = """() => {
  document.querySelectorAll("details").forEach(each => { each.open = true; });
  return [...document.querySelectorAll(".kb-card a, .kb-card input[type=text], .kb-card .kb-check, .kb-card summary")]
    .filter(each => !each.closest(".kb-prose, .kb-words, .kb-list, .kb-reach, td") && each.getBoundingClientRect().height)
    .map(each => [each.textContent.trim() || each.ariaLabel, Math.min(each.getBoundingClientRect().width, each.getBoundingClientRect().height)])
    .filter(([, size]) => size < 44);
}"""


@pytest.mark.parametrize("width", [360, 820])
@pytest.mark.parametrize("name", PAGES)
def test_gloved_fingers_hit_ticks_answers_and_boxes(page: Page, site: Path, name: str, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 1180})
    load(page, site, name)
    assert page.evaluate(HIT) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.parametrize("scheme", ["light", "dark", "sun"])
@pytest.mark.parametrize("name", PAGES)
def test_no_accessibility_fault_in_any_scheme(page: Page, site: Path, name: str, scheme: str) -> None:
    page.set_viewport_size({"width": 360, "height": 740})
    load(page, site, name)
    page.evaluate("scheme => document.documentElement.setAttribute('data-scheme', scheme)", scheme)
    page.evaluate("document.querySelectorAll('.kb-card details').forEach(each => { each.open = true; })")
    assert faults(page, scheme) == []


def test_on_paper_what_one_may_be_led_to_stands_open(page: Page, site: Path) -> None:
    load(page, site, FIND)
    page.emulate_media(media="print")
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    expect(page.locator("#card-c .kb-tick").last).to_be_visible()
    expect(page.locator("#card-9 table")).to_be_visible()
    page.evaluate("dispatchEvent(new Event('afterprint'))")
    page.emulate_media(media="screen")
    expect(page.locator("#card-c .kb-tick").last).to_be_hidden()


NOT_OVER = """() => [...document.querySelectorAll(".kb-card-head .kb-state, .kb-card-head h3, .kb-card-head .kb-reminder, .kb-called > p")]
  .filter(each => each.getBoundingClientRect().height)
  .flatMap(each => {
    const card = each.closest(".kb-card"), head = each.getBoundingClientRect();
    return [...card.querySelectorAll(":scope > .kb-ticks .kb-line, :scope > .kb-notice, :scope > p, :scope > details")]
      .filter(other => other !== each)
      .map(other => other.getBoundingClientRect())
      .filter(o => o.height && head.left < o.right - 1 && o.left < head.right - 1 && head.top < o.bottom - 1 && o.top < head.bottom - 1)
      .map(() => card.id + ": " + each.textContent);
  })"""

NOT_UNDER = """() => [...document.querySelectorAll(".kb-card > .kb-every:not([open]) > summary")].flatMap(summary => {
    const before = summary.parentElement.previousElementSibling, own = summary.getBoundingClientRect(), found = [];
    const texts = before && before.tagName === "P" && document.createTreeWalker(before, NodeFilter.SHOW_TEXT);
    while (texts && texts.nextNode()) {
      const range = document.createRange();
      range.selectNodeContents(texts.currentNode);
      for (const line of range.getClientRects())
        if (line.right > own.left + 1 && line.left < own.right && line.bottom > own.top + 12 && line.top < own.bottom - 12)
          found.push(texts.currentNode.textContent);
    }
    return found;
  })"""


def test_nothing_lies_over_a_step_nor_runs_off_a_composed_page(page: Page, site: Path) -> None:
    found = sorted((site / "procedures").glob("sb-*.html"))
    assert len(found) >= 15
    for each in found:
        page.goto(each.as_uri())
        for width in (360, 820, 1280):
            page.set_viewport_size({"width": width, "height": 1180})
            assert page.evaluate("document.documentElement.scrollWidth") == width, (each.name, width)
            assert page.evaluate(NOT_OVER) == [], (each.name, width)
            assert page.evaluate(NOT_UNDER) == [], (each.name, width)


def test_a_page_done_on_the_way_opens_for_whoever_is_led_into_it(page: Page, site: Path) -> None:
    page.set_viewport_size(TABLET)
    load(page, site, "procedures/sb-season-start.html")
    inner = page.locator(".kb-called .kb-card").first
    expect(inner).to_be_hidden()
    page.locator('#steps a[href$="#step-valves.arrive.water-normal"]:visible').first.click()
    expect(inner).to_be_visible()
