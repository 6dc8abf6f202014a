"""What home says of the edition: how old, how whole, and what stands against trusting it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from conftest import TABLET, Watch
from edition_host import Host, Tablet, edition
from playwright.sync_api import Browser

from kbgen.render.web import WebFiles, build_web
from tests.samples.web_book import FILES, web_book

FIRST, NEWER = 1_790_000_000, 1_790_000_100


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("home")
    build_web(web_book(), WebFiles(FILES), out / "base")
    edition(out / "base", out / "first", FIRST)
    edition(out / "base", out / "newer", NEWER)
    return out


@pytest.fixture
def host(watch: Watch, folder: Path) -> Iterator[Host]:
    running = Host()
    running.folder = folder / "first"
    watch.own.append(f"http://127.0.0.1:{running.port}/")
    yield running
    running.stop()


@pytest.fixture
def tablet(host: Host, browser: Browser, watch: Watch) -> Iterator[Tablet]:
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


@pytest.mark.parametrize(("days", "warns"), [(1, False), (7, False), (8, True), (12, True)])
def test_home_warns_when_the_office_was_not_seen_for_longer_than_the_shop_allows(
    tablet: Tablet, host: Host, days: int, warns: bool
) -> None:
    host.down = True
    later(tablet, days)
    assert fact(tablet, "Compared with the office").startswith(
        "yesterday" if days == 1 else f"{days} days ago"
    )
    said = f"Last compared with the office {days} days ago; your shop allows 7. Open this page where there is signal."
    assert alerts(tablet) == ([said] if warns else [])


def test_a_clock_that_is_behind_the_edition_is_wrong_and_no_age_is_told(tablet: Tablet, host: Host) -> None:
    host.down = True
    tablet.page.clock.set_system_time(datetime(2024, 1, 1, 12, tzinfo=UTC))
    tablet.open()
    (said,) = alerts(tablet)
    assert said.startswith(
        "The clock of this tablet is wrong: it says 2024-01-01, and this edition is newer."
    )
    assert "ago" not in fact(tablet, "Newest review")


def test_a_clock_that_differs_from_the_offices_is_wrong(tablet: Tablet, host: Host) -> None:
    host.days_ahead = -40
    tablet.look()
    (said,) = alerts(tablet)
    office = datetime.now().astimezone() - timedelta(days=40)
    assert f"and the office says {office:%Y-%m-%d}." in said


def test_what_the_update_waits_for_is_said(tablet: Tablet, host: Host, folder: Path) -> None:
    host.folder = folder / "newer"
    tablet.page.evaluate("localStorage['kbgen.test-sons.job'] = '1'")
    tablet.look()
    (said,) = alerts(tablet)
    assert said.startswith(f"Edition {NEWER:08x} of 2026-03-01 is ready. It waits until the job")
    tablet.page.evaluate("delete localStorage['kbgen.test-sons.job']")
    tablet.look()
    (said,) = alerts(tablet)
    assert said.endswith("is on this tablet. This page still shows the one before.")


@pytest.mark.parametrize("width", [360, 820])
@pytest.mark.parametrize("scheme", ["light", "dark", "sun"])
def test_home_with_all_it_can_say_breaks_no_rule_of_access(
    tablet: Tablet, host: Host, width: int, scheme: str
) -> None:
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
    page.set_viewport_size({"width": width, "height": 1180})
    page.evaluate(f"document.documentElement.setAttribute('data-scheme', '{scheme}')")
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
    boxes = [each.bounding_box() for each in page.locator(".kb-tablet-alert button, .kb-tablet button").all()]
    assert len(boxes) == 2
    assert all(box and box["height"] >= 56 for box in boxes)
    # One line each: a mark, a day and a fingerprint are compared at a glance.
    for whole in page.locator(".kb-tablet-one, .kb-tablet-print samp").all():
        assert whole.evaluate("each => each.getClientRects().length") == 1
    found = Axe().run(page, options={"runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]})
    assert found.response["violations"] == []


@pytest.mark.parametrize("path", ["index.html", "leave-now.html"])
def test_without_javascript_home_and_the_way_out_are_read(browser: Browser, folder: Path, path: str) -> None:
    context = browser.new_context(java_script_enabled=False, viewport=TABLET)  # type: ignore[arg-type]
    page = context.new_page()
    page.goto((folder / "first" / path).as_uri())
    for said in ("Leave now", "local codes"):
        assert page.get_by_text(said).first.is_visible()
    assert page.locator("#edition").is_visible() is False
    context.close()
