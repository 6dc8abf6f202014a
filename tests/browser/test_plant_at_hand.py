"""The plant at hand: its size and what is fitted are said once, and nothing of another plant is shown as its own."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from access import faults
from playwright.sync_api import Browser, Page, expect

from kbgen.render.web.build import STEPS

SCRIPTS = Path(__file__).resolve().parents[2] / "site_overrides" / "assets" / "js"


@pytest.fixture(scope="module")
def site(built: Callable[[str], Path]) -> Path:
    return built("kb_source")


def open_page(page: Page, site: Path, address: str) -> None:
    page.context.set_offline(True)
    page.goto((site / address).as_uri())


def say(page: Page, of: str, value: str) -> None:
    if not page.locator(".kb-plant").evaluate("plant => plant.open"):
        page.click(".kb-plant summary")
    page.click(f'.kb-plant button[data-of="{of}"][data-value="{value}"]')


def seen(page: Page, section: str) -> list[str]:
    """Return for which plants the visible parts of a section hold."""
    parts = page.locator(f"#{section} .kb-only")
    return [part.locator(".kb-holds").inner_text() for part in parts.all() if part.is_visible()]


def test_while_nothing_is_said_every_kind_of_plant_stands_under_its_words(page: Page, site: Path) -> None:
    open_page(page, site, "circuits/sb-purge.html")
    for section in ("ladder", "order", "readings"):
        assert seen(page, section) == ["Only for SB-1, SB-2", "Only for SB-3, SB-4"], section
    assert "not chosen" in page.locator(".kb-plant summary").inner_text()


def test_a_size_that_is_chosen_leaves_only_its_own_circuit(page: Page, site: Path) -> None:
    open_page(page, site, "circuits/sb-purge.html")
    say(page, "size", "sb-3")
    for section in ("ladder", "order", "readings"):
        assert seen(page, section) == ["Only for SB-3, SB-4"], section
    rows = page.locator("#path tr[data-sizes='sb-3 sb-4']")
    assert rows.count()
    assert all(row.is_visible() for row in rows.all())
    say(page, "size", "sb-1")
    assert not any(row.is_visible() for row in rows.all())
    say(page, "size", "")
    assert len(seen(page, "ladder")) == 2


def test_what_is_chosen_holds_on_every_page_of_the_plant_and_stays_in_sight(page: Page, site: Path) -> None:
    open_page(page, site, "symptoms/sb-limits-not-made.html")
    say(page, "size", "sb-2")
    open_page(page, site, "equipment/ondrel-sb.html")
    settings = page.locator("#settings tr[data-sizes]:not([data-sizes=''])")
    shown = {row.get_attribute("data-sizes") or "" for row in settings.all() if row.is_visible()}
    assert shown
    assert all("sb-2" in sizes.split() for sizes in shown)
    assert page.locator("#settings tr[data-sizes='sb-3 sb-4']").count()
    page.evaluate("document.getElementById('settings').scrollIntoView()")
    line = page.locator(".kb-plant summary")
    assert "SB-2" in line.inner_text()
    assert line.evaluate(
        "line => { const box = line.getBoundingClientRect(); return box.top >= 0 && box.bottom < innerHeight }"
    )


def test_another_family_is_not_touched(page: Page, site: Path) -> None:
    open_page(page, site, "circuits/sb-purge.html")
    say(page, "size", "sb-3")
    open_page(page, site, "circuits/ph-string.html")
    assert "not chosen" in page.locator(".kb-plant summary").inner_text()


def test_a_page_about_other_sizes_says_so(page: Page, site: Path) -> None:
    open_page(page, site, "symptoms/sb-purge-position-not-reached.html")
    assert not page.locator(".kb-elsewhere").is_visible()
    say(page, "size", "sb-1")
    assert "only for SB-3, SB-4" in page.locator(".kb-elsewhere").inner_text()
    say(page, "size", "sb-4")
    assert not page.locator(".kb-elsewhere").is_visible()


def test_an_option_shows_its_contact_or_the_link_in_its_place(page: Page, site: Path) -> None:
    open_page(page, site, "circuits/ph-string.html")
    fan, link = "#path tr[data-fitted='plant-room-fan']", "#path tr[data-missing='plant-room-fan']"
    assert page.locator(fan).is_visible()
    assert page.locator(link).is_visible()
    say(page, "plant-room-fan", "no")
    assert not page.locator(fan).is_visible()
    assert "Red link" in page.locator(link).inner_text()
    say(page, "plant-room-fan", "yes")
    assert page.locator(fan).is_visible()
    assert not page.locator(link).is_visible()


def test_the_helper_asks_for_what_its_readings_hang_on_and_for_nothing_else(page: Page, site: Path) -> None:
    open_page(page, site, "circuits/sb-purge.html")
    assert page.locator(".kb-locate-next").inner_text().startswith("Choose first: size")
    assert not page.locator(".kb-locate-form").is_visible()
    say(page, "size", "sb-3")
    # The figures of a size come with a file of their own.
    expect(page.locator(".kb-locate-next")).to_have_text(re.compile("^Next:"))
    assert page.locator("#kb-locate-size").input_value() == "sb-3"
    page.select_option("#kb-locate-size", "sb-1")
    assert "SB-1" in page.locator(".kb-plant summary").inner_text()
    open_page(page, site, "circuits/sb-limits.html")  # the same on every size
    assert page.locator(".kb-locate-next").inner_text().startswith("Next:")


def test_what_was_said_yesterday_is_forgotten(page: Page, site: Path) -> None:
    open_page(page, site, "circuits/sb-purge.html")
    say(page, "size", "sb-3")
    page.evaluate(
        """() => { for (const key of Object.keys(localStorage).filter((each) => each.includes('.plant.'))) {
             const kept = JSON.parse(localStorage[key]);
             localStorage[key] = JSON.stringify({ ...kept, at: kept.at - 9 * 3600 * 1000 });
           } }"""
    )
    page.reload()
    assert "not chosen" in page.locator(".kb-plant summary").inner_text()
    assert len(seen(page, "ladder")) == 2


@pytest.mark.parametrize("kept", ["{", "null", '{"at": 9e15, "said": {"size": "sb-9"}}', '{"at": 9e15}'])
def test_what_an_older_edition_or_another_program_stored_does_no_harm(
    page: Page, site: Path, kept: str
) -> None:
    open_page(page, site, "circuits/sb-purge.html")
    page.evaluate("kept => { localStorage['kbgen.' + kbEdition.shop + '.plant.ondrel-sb'] = kept }", kept)
    page.reload()
    assert len(seen(page, "ladder")) == 2


def test_without_javascript_everything_stands_there(browser: Browser, site: Path) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    open_page(page, site, "circuits/sb-purge.html")
    assert len(seen(page, "ladder")) == 2
    assert not page.locator(".kb-plant").is_visible()
    context.close()


@pytest.mark.parametrize("width", [320, 820])
@pytest.mark.parametrize("scheme", ["light", "dark", "sun"])
def test_the_choice_has_large_targets_and_breaks_no_rule_of_access(
    page: Page, site: Path, width: int, scheme: str
) -> None:
    page.set_viewport_size({"width": width, "height": 1180})
    open_page(page, site, "symptoms/sb-purge-position-not-reached.html")
    page.evaluate(f"document.documentElement.setAttribute('data-scheme', '{scheme}')")
    say(page, "size", "sb-1")
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
    boxes = [each.bounding_box() for each in page.locator(".kb-plant button, .kb-plant summary").all()]
    assert all(box and box["height"] >= 48 and box["width"] >= 48 for box in boxes)
    assert faults(page, scheme) == []


def test_a_record_says_the_day_at_the_plant_and_the_family_of_the_machine_that_was_picked(
    browser: Browser,
) -> None:
    context = browser.new_context(timezone_id="America/New_York")
    page = context.new_page()
    page.evaluate(
        """() => {
          window.kbDoWords = {}; window.kbEdition = { id: "e" };
          window.kbDoStore = { machine: () => null };
          window.kbPlants = [{ id: "m", number: "7", equipment: "b", size: "b-2" }];
        }"""
    )
    page.add_script_tag(content="".join((SCRIPTS / name).read_text(encoding="utf-8") for name in STEPS))
    record = page.evaluate(
        """() => {
          const run = { page: { plant: ["a", "b"] }, state: {}, pages: {}, log: [], start: () => ({}) };
          const which = window.kbDoEdges(run).machine();
          which.made[0].querySelector("button").click();
          run.log = [{ k: "start", page: "p", t: Date.UTC(2026, 11, 1, 0, 30), ...which.said() }];
          return window.kbDoRecord.make(run);
        }"""
    )
    context.close()
    assert record["day"] == "2026-11-30"
    assert [record[name] for name in ("machine", "equipment", "size")] == ["m", "b", "b-2"]
    for file in SCRIPTS.glob("*.js"):
        assert "toISOString" not in file.read_text(encoding="utf-8"), f"{file.name} takes the world's day"
