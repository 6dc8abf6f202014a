"""The web edition in Chromium: from disk, at a host's root and under a sub-path.

The ``page`` fixture fails a test on any console error (a breach of the policy is one) and on any
request that leaves the site.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from access import faults
from playwright.sync_api import Browser, BrowserContext, Dialog, Page, expect
from pypdf import PdfReader

if TYPE_CHECKING:
    from conftest import Watch

PAGES = [
    "index.html",
    "leave-now.html",
    "symptoms/limits-not-made.html",
    "procedures/find-open-contact.html",
    "terms/hostile.html",
    "terms/index.html",
]
DRAWN = "() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))"
SCHEMES = ["light", "dark", "sun"]
Serve = Callable[[Path], str]


@pytest.fixture(params=["disk", "root", "sub-path"])
def home(request: pytest.FixtureRequest, web_edition: Path, serve: Serve, tmp_path: Path) -> str:
    """The address of the site, with a slash at its end."""
    if request.param == "disk":
        return web_edition.as_uri() + "/"
    if request.param == "root":
        return serve(web_edition)
    shutil.copytree(web_edition, tmp_path / "shop" / "book")
    return serve(tmp_path) + "shop/book/"


def test_every_link_leads_to_a_page(home: str, page: Page) -> None:
    seen, waiting = set(), [home + "index.html"]
    while waiting:
        address = waiting.pop()
        if address in seen:
            continue
        seen.add(address)
        page.goto(address)
        assert page.locator("h1").count() == 1, address
        links = page.eval_on_selector_all("a[href]", "all => all.map(a => a.href.split('#')[0])")
        assert all(link.startswith(home) and link.endswith(".html") for link in links)
        waiting += links
    assert len(seen) == 16, "all pages but the forwarding one"


def test_pages_are_styled_and_stamped_and_fire_no_dialog(home: str, page: Page) -> None:
    dialogs: list[str] = []

    def note(dialog: Dialog) -> None:
        dialogs.append(dialog.message)
        dialog.dismiss()

    page.on("dialog", note)
    for name in PAGES:
        page.goto(home + name)
        assert page.locator(".kb-bar").evaluate("e => getComputedStyle(e).position") == "sticky"
        assert page.locator("[data-edition]").inner_text() == "Edition 3f2a9c1d of 2026-03-01"
    assert dialogs == []


def test_an_old_address_forwards(home: str, page: Page) -> None:
    page.goto(home + "symptoms/limit-open.html")
    page.wait_for_url(home + "symptoms/limits-not-made.html")
    assert page.locator("h1").inner_text() == "Limits not made"


def test_the_missing_page_finds_home_from_any_depth(
    web_edition: Path, context: BrowserContext, watch: Watch, tmp_path: Path, serve: Serve
) -> None:
    shutil.copytree(web_edition, tmp_path / "shop" / "book")
    root = serve(tmp_path) + "shop/book/"
    page = context.new_page()
    missing = (web_edition / "404.html").read_text(encoding="utf-8")
    page.route(
        "**/no/such/page.html",
        lambda route: route.fulfill(status=404, content_type="text/html", body=missing),
    )
    page.goto(root + "no/such/page.html")
    link = page.get_by_role("link", name="Home and search")
    link.wait_for()
    expect(page.locator(".kb-page")).not_to_have_css("max-width", "none")
    assert page.get_by_role("link", name="Leave now").get_attribute("href") == "/shop/book/leave-now.html"
    link.click()
    page.wait_for_url(root + "index.html")
    # Looking for home means asking folders that have no such file; nothing else may be complained about.
    assert all("404" in error for error in watch.errors)
    assert watch.foreign == []


@pytest.mark.parametrize("width", [360, 820])
def test_leave_now_stays_on_the_screen_however_far_one_reads(
    web_edition: Path, page: Page, width: int
) -> None:
    page.set_viewport_size({"width": width, "height": 740})
    page.goto((web_edition / "procedures/find-open-contact.html").as_uri())
    page.evaluate("window.scrollTo(0, document.body.scrollHeight)")
    assert page.evaluate("window.scrollY") > 740
    expect(page.locator(".kb-bar-leave")).to_be_in_viewport(ratio=1)
    bar = page.locator(".kb-bar").bounding_box()
    assert bar is not None
    assert bar["height"] < 740 / 8, "it must not eat the screen"


@pytest.mark.parametrize("width", [320, 360, 820])
def test_nothing_is_wider_than_the_screen(web_edition: Path, page: Page, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    for name in PAGES:
        page.goto((web_edition / name).as_uri())
        assert page.evaluate("document.documentElement.scrollWidth") == width, name


def test_text_twice_as_large_fits_a_tablet_and_a_narrow_screen(web_edition: Path, page: Page) -> None:
    for width in (360, 820):
        page.set_viewport_size({"width": width, "height": 900})
        for name in PAGES:
            page.goto((web_edition / name).as_uri())
            page.evaluate("document.documentElement.style.setProperty('font-size', '225%')")
            assert page.evaluate("document.documentElement.scrollWidth") == width, (name, width)


TARGETS = """() => {
  const small = [], boxes = [];
  document.querySelectorAll("details").forEach(each => { each.open = true; });
  const controls = "a[href], button, input, select, textarea, summary";
  for (const each of document.querySelectorAll(controls)) {
    if (each.closest(".kb-prose") || each.matches(".md-toggle, .kb-skip")) continue;
    const rect = each.getBoundingClientRect();
    const over = getComputedStyle(each, "::after");
    const stretched = over.position === "absolute" && over.content === '""';
    const around = stretched ? each.closest(".kb-reach:not(.kb-tap *, td *, th *), li, td, th").getBoundingClientRect() : rect;
    const edge = stretched ? parseFloat(over.top) : 0;
    const [left, top] = [around.left + edge, around.top + edge];
    const box = new DOMRect(left, top, around.width - 2 * edge, around.height - 2 * edge);
    if (rect.width === 0) continue;
    const name = each.textContent.trim() || each.id;
    if (box.height < 48 || box.width < 48) small.push(name + " " + box.width + "x" + box.height);
    boxes.push([name, box, each]);
  }
  const near = [];
  for (let i = 0; i < boxes.length; i++) for (let j = i + 1; j < boxes.length; j++) {
    const [a, p, e] = boxes[i], [b, q, f] = boxes[j];
    if (!!e.closest(".kb-bar") !== !!f.closest(".kb-bar")) continue;
    const x = Math.max(q.left - p.right, p.left - q.right), y = Math.max(q.top - p.bottom, p.top - q.bottom);
    if (x < 7.5 && y < 7.5) near.push(a + " / " + b + " " + x + " " + y);
  }
  return { small, near };
}"""


@pytest.mark.parametrize("width", [360, 820])
@pytest.mark.parametrize("name", PAGES)
def test_gloved_fingers_hit_every_control(web_edition: Path, page: Page, width: int, name: str) -> None:
    page.set_viewport_size({"width": width, "height": 1180})
    page.goto((web_edition / name).as_uri())
    found = page.evaluate(TARGETS)
    assert found == {"small": [], "near": []}


def test_fields_do_not_make_a_phone_zoom(web_edition: Path, page: Page) -> None:
    for name in ("index.html", "leave-now.html"):
        page.goto((web_edition / name).as_uri())
        sizes = page.eval_on_selector_all(
            "input:not([type=checkbox])", "all => all.map(e => parseFloat(getComputedStyle(e).fontSize))"
        )
        assert sizes
        assert min(sizes) >= 16
        assert page.evaluate("parseFloat(getComputedStyle(document.body).fontSize)") >= 18
        assert "user-scalable" not in (page.locator("meta[name=viewport]").get_attribute("content") or "")


@pytest.mark.parametrize("width", [360, 820])
@pytest.mark.parametrize("scheme", SCHEMES)
def test_no_accessibility_fault_in_any_scheme(web_edition: Path, page: Page, scheme: str, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 1180})
    for name in PAGES:
        page.goto((web_edition / name).as_uri())
        page.evaluate("scheme => document.documentElement.setAttribute('data-scheme', scheme)", scheme)
        page.evaluate("document.querySelector('.kb-menu').open = true")
        assert faults(page, scheme) == [], name


def test_the_scheme_is_chosen_once_and_kept_for_this_shop(web_edition: Path, page: Page) -> None:
    page.goto((web_edition / "index.html").as_uri())
    page.locator(".kb-menu summary").click()
    page.get_by_role("button", name="Sunlight").click()
    assert page.get_by_role("button", name="Sunlight").get_attribute("aria-pressed") == "true"
    page.goto((web_edition / "terms" / "lockout.html").as_uri())
    assert page.locator("html").get_attribute("data-scheme") == "sun"
    assert page.evaluate("localStorage.getItem('kbgen.test-sons.scheme')") == "sun"


@pytest.mark.parametrize(
    ("wish", "ground"),
    [
        ({"color_scheme": "light"}, "rgb(251, 250, 245)"),
        ({"color_scheme": "dark"}, "rgb(16, 21, 20)"),
        ({"contrast": "more"}, "rgb(255, 255, 255)"),
    ],
)
def test_without_a_choice_the_device_decides(
    web_edition: Path, page: Page, wish: dict[str, str], ground: str
) -> None:
    page.emulate_media(**wish)  # type: ignore[arg-type]
    page.goto((web_edition / "index.html").as_uri())
    assert page.evaluate("getComputedStyle(document.documentElement).backgroundColor") == ground


@pytest.mark.parametrize(("today", "overdue"), [("2027-03-01", 0), ("2027-03-02", 1)])
def test_an_overdue_review_is_marked_from_the_day_after(
    web_edition: Path, page: Page, today: str, overdue: int
) -> None:
    page.clock.set_fixed_time(f"{today}T12:00:00")
    page.goto((web_edition / "terms" / "lockout.html").as_uri())
    assert page.get_by_text("Review overdue").count() == overdue


def test_the_field_in_the_bar_takes_its_words_to_the_search(web_edition: Path, page: Page) -> None:
    page.goto((web_edition / "terms" / "lockout.html").as_uri())
    page.get_by_label("Search").fill("A-17 & low")
    page.keyboard.press("Enter")
    page.wait_for_url("**/index.html?q=A-17%20%26%20low")


def test_the_keyboard_reaches_the_content_past_the_bar(web_edition: Path, page: Page) -> None:
    page.goto((web_edition / "terms" / "lockout.html").as_uri())
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Skip to content"
    assert page.evaluate("document.activeElement.getBoundingClientRect().top") >= 0
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "content"


def test_escape_closes_the_menu(web_edition: Path, page: Page) -> None:
    page.goto((web_edition / "index.html").as_uri())
    page.locator(".kb-menu summary").click()
    assert page.get_by_role("link", name="Procedures").first.is_visible()
    page.keyboard.press("Escape")
    assert page.locator(".kb-menu").get_attribute("open") is None


def test_without_javascript_everything_is_reached_by_lists(browser: Browser, web_edition: Path) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((web_edition / "index.html").as_uri())
    page.locator("#browse").get_by_role("link", name="Symptoms").click()
    page.locator("main").get_by_role("link", name="Limits not made").click()
    assert page.locator("h1").inner_text() == "Limits not made"
    context.close()


def test_on_paper_a_caution_stays_with_its_step(web_edition: Path, page: Page) -> None:
    page.emulate_media(media="print")
    page.goto((web_edition / "procedures" / "find-open-contact.html").as_uri())
    assert page.locator("#step-12").evaluate("e => getComputedStyle(e).breakInside") == "avoid"
    assert not page.locator(".kb-bar").is_visible()
    assert page.locator("[data-edition]").is_visible()


def test_turning_a_phone_keeps_the_step_in_view(web_edition: Path, page: Page) -> None:
    upright, aside = {"width": 360, "height": 740}, {"width": 740, "height": 360}
    place = "e => [e.getBoundingClientRect().top, innerHeight]"
    page.set_viewport_size(upright)  # type: ignore[arg-type]
    page.goto((web_edition / "procedures" / "find-open-contact.html").as_uri())
    page.evaluate("document.documentElement.style.scrollBehavior = 'auto'")
    for step in page.locator(".kb-step").all()[2:-3:2]:  # below the last ones nothing is left to scroll
        page.set_viewport_size(upright)  # type: ignore[arg-type]
        # The turn before is over only when it is drawn; it would scroll back otherwise.
        page.wait_for_function("width => innerWidth === width", arg=upright["width"])
        page.evaluate(DRAWN)
        step.evaluate("e => e.scrollIntoView()")
        page.evaluate(DRAWN)
        began, _ = step.evaluate(place)
        for turn in (aside, upright, aside):
            page.set_viewport_size(turn)  # type: ignore[arg-type]
            page.wait_for_function("width => innerWidth === width", arg=turn["width"])
            page.evaluate(DRAWN)
            top, height = step.evaluate(place)
            assert 0 <= top < height / 3
            assert turn is aside or abs(top - began) <= 3


def test_the_edition_stands_on_every_printed_sheet(web_edition: Path, page: Page, tmp_path: Path) -> None:
    page.goto((web_edition / "procedures" / "find-open-contact.html").as_uri())
    page.pdf(path=tmp_path / "printed.pdf", format="A6")
    sheets = [sheet.extract_text() for sheet in PdfReader(tmp_path / "printed.pdf").pages]
    assert len(sheets) > 5
    edition = page.locator("[data-edition]").text_content()
    assert [sheet.count(edition) for sheet in sheets] == [1] * len(sheets)
    assert sum("licensed" in sheet for sheet in sheets) == 1, "the notice stands once, at the end"


def test_paper_is_black_on_white_whatever_the_screen(web_edition: Path, page: Page) -> None:
    page.emulate_media(media="print", color_scheme="dark", contrast="more")
    page.goto((web_edition / "index.html").as_uri())
    style = page.evaluate(
        "() => (s => [s.backgroundColor, s.color])(getComputedStyle(document.documentElement))"
    )
    assert style == ["rgb(255, 255, 255)", "rgb(0, 0, 0)"]
