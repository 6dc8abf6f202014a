"""Tables that are written into, on a phone: WCAG 1.4.10, nothing to scroll sideways for."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect


@pytest.fixture(scope="session")
def site(built: Callable[[str], Path]) -> Path:
    return built("kb_source")


CUT_OFF = """() => {
  document.querySelectorAll("details").forEach(each => { each.open = true; });
  return [...document.querySelectorAll(".kb-fill .kb-read")].filter(box => {
    const seen = box.getBoundingClientRect(), room = box.closest(".kb-scroll").getBoundingClientRect();
    return seen.width < 44 || seen.height < 44 || seen.left < room.left || seen.right > room.right;
  }).length;
}"""
FILLED = """() => [...document.querySelectorAll(".kb-scroll:has(.kb-read)")].map(each => each.scrollWidth - each.clientWidth)"""


def test_every_box_of_a_hunt_is_in_sight_without_scrolling_sideways(page: Page, site: Path) -> None:
    hunts = 0
    for each in sorted((site / "procedures").glob("*.html")):
        page.goto(each.as_uri())
        for width in (320, 360):
            page.set_viewport_size({"width": width, "height": 740})
            assert page.evaluate(CUT_OFF) == 0, (each.name, width)
            over = page.evaluate(FILLED)
            assert all(by <= 0 for by in over), (each.name, width)
            hunts += len(over)
    assert hunts >= 24


def test_a_row_on_a_phone_says_which_answer_leads_where_and_is_still_a_row_to_a_screen_reader(
    page: Page, site: Path
) -> None:
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto((site / "procedures/ph-find-open-contact-dead.html").as_uri())
    row = page.get_by_role("row").filter(has=page.get_by_role("rowheader", name="J4 to J5"))
    expect(row.get_by_role("cell").filter(has_text="J1 to J2")).to_have_attribute("data-head", "Under 2 Ω")
    expect(row.get_by_role("textbox")).to_be_visible()
    fuse = page.get_by_role("row").filter(has=page.get_by_role("rowheader", name="J24 to J1"))
    says_its_own = fuse.get_by_role("cell").filter(has_text="Under 20 Ω")
    assert says_its_own.get_attribute("data-head") is None
