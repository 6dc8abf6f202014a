"""What home says of the edition: how old, how whole, and what stands against trusting it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from itertools import product

import pytest
from axe_playwright_python.sync_playwright import Axe
from conftest import TABLET, Editions, Watch
from edition_host import Host, Tablet
from playwright.sync_api import Browser

FIRST, NEWER = 1_790_000_000, 1_790_000_100


@pytest.fixture
def tablet(host: Host, editions: Editions, browser: Browser, watch: Watch) -> Iterator[Tablet]:
    host.folder = editions(FIRST)
    context = browser.new_context(viewport=TABLET)  # type: ignore[arg-type]
    context.on("page", watch.follow)
    fresh = Tablet(context, host)
    fresh.install()
    fresh.open()
    yield fresh
    context.close()
    assert watch.errors == []


def alerts(tablet: Tablet) -> list[str]:
    return tablet.page.locator(".kb-tablet-alert p").all_inner_texts()


def fact(tablet: Tablet, name: str) -> str:
    return tablet.page.locator("#edition dl > div", has_text=name).locator("dd").inner_text()


def later(tablet: Tablet, days: float) -> None:
    """Let so many days go by for the pages; then open home."""
    tablet.page.clock.set_system_time(datetime.now(UTC) + timedelta(days=days))
    tablet.open()


def test_a_fresh_edition_is_said_to_be_whole_and_nothing_warns(tablet: Tablet) -> None:
    assert alerts(tablet) == []
    assert fact(tablet, "Compared with the office").startswith("today, ")
    assert fact(tablet, "On this tablet").startswith("Whole: ")
    assert fact(tablet, "Newest review").startswith("2026-")


def test_home_warns_when_the_office_was_not_seen_for_longer_than_the_shop_allows(
    tablet: Tablet, host: Host
) -> None:
    host.down = True
    for days, warns in [(0, False), (1, False), (2, False), (7, False), (8, True), (12, True)]:
        later(tablet, days)
        ago = {0: "today", 1: "yesterday"}.get(days, f"{days} days ago")
        assert fact(tablet, "Compared with the office").startswith(f"{ago}, ")
        said = (
            f"Last compared with the office {ago}; your shop allows 7. Open this page where there is signal."
        )
        assert alerts(tablet) == ([said] if warns else [])


def test_a_clock_that_is_behind_the_edition_is_wrong_and_no_age_is_told(tablet: Tablet, host: Host) -> None:
    host.down = True
    tablet.page.clock.set_system_time(datetime(2024, 1, 1, 12, tzinfo=UTC))
    tablet.open()
    (said,) = alerts(tablet)
    assert said.startswith(
        "The clock of this tablet is wrong: it says 2024-01-01, and this edition is newer."
    )
    assert fact(tablet, "Newest review") == "2026-03-01"
    assert fact(tablet, "Compared with the office").startswith(f"{datetime.now():%Y-%m-%d}, ")  # noqa: DTZ005 - as whoever reads has it


def test_a_clock_that_differs_from_the_offices_is_wrong(tablet: Tablet, host: Host) -> None:
    host.days_ahead = -40
    tablet.look()
    (said,) = alerts(tablet)
    office = datetime.now().astimezone() - timedelta(days=40)
    assert f"and the office says {office:%Y-%m-%d}." in said


def test_what_the_update_waits_for_is_said(tablet: Tablet, host: Host, editions: Editions) -> None:
    host.folder = editions(NEWER)
    tablet.page.evaluate("localStorage['kbgen.test-sons.job'] = '1'")
    tablet.look()
    (said,) = alerts(tablet)
    assert said.startswith(f"Edition {NEWER:08x} of 2026-03-01 is ready. It waits until the job")
    tablet.page.evaluate("delete localStorage['kbgen.test-sons.job']")
    tablet.look()
    (said,) = alerts(tablet)
    assert said.endswith("is on this tablet. This page still shows the one before.")


def test_home_with_all_it_can_say_breaks_no_rule_of_access(tablet: Tablet, host: Host) -> None:
    host.down = True
    later(tablet, 12)
    tablet.page.evaluate(
        """() => {
          kbTablet.status.last = { state: "unnumbered", mark: "0123456789abcdef0123", date: "2026-03-01", id: "x" };
          document.dispatchEvent(new Event("kb-tablet"));
        }"""
    )
    assert len(alerts(tablet)) == 2
    page = tablet.page
    for width, scheme in product((360, 820), ("light", "dark", "sun")):
        page.set_viewport_size({"width": width, "height": 1180})
        page.evaluate(f"document.documentElement.setAttribute('data-scheme', '{scheme}')")
        assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
        buttons = page.locator(".kb-tablet-alert button, .kb-tablet button").all()
        boxes = [each.bounding_box() for each in buttons]
        assert len(boxes) == 2
        assert all(box and box["height"] >= 56 for box in boxes)
        # One line each: a mark, a day and a fingerprint are compared at a glance.
        for whole in page.locator(".kb-tablet-one, .kb-tablet-print samp").all():
            assert whole.evaluate("each => each.getClientRects().length") == 1
        found = Axe().run(page, options={"runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]})
        assert found.response["violations"] == [], (width, scheme)


@pytest.mark.parametrize("path", ["index.html", "leave-now.html"])
def test_without_javascript_home_and_the_way_out_are_read(
    browser: Browser, editions: Editions, path: str
) -> None:
    context = browser.new_context(java_script_enabled=False, viewport=TABLET)  # type: ignore[arg-type]
    page = context.new_page()
    page.goto((editions(FIRST) / path).as_uri())
    for said in ("Leave now", "local codes"):
        assert page.get_by_text(said).first.is_visible()
    assert page.locator("#edition").is_visible() is False
    context.close()
