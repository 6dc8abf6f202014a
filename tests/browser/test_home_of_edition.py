"""What home says of the edition: how old, how whole, and what stands against trusting it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from itertools import product
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from conftest import TABLET, Editions, Watch
from edition_host import DATE, Host, Tablet
from playwright.sync_api import Browser, Page, expect

from kbgen.render.web.filelist import write_list

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


def alerts(tablet: Tablet, count: int = 1) -> list[str]:
    """Return what home warns of, once it warns of so many things."""
    shown = tablet.page.locator(".kb-tablet-alert p")
    expect(shown).to_have_count(count)
    return shown.all_inner_texts()


def fact(tablet: Tablet, name: str) -> str:
    return tablet.page.locator("#edition dl > div", has_text=name).locator("dd").inner_text()


def later(tablet: Tablet, days: float) -> None:
    """Let so many days go by for the pages; then open home."""
    tablet.page.clock.set_system_time(datetime.now(UTC) + timedelta(days=days))
    tablet.open()


def test_a_fresh_edition_is_said_to_be_whole_and_nothing_warns(tablet: Tablet) -> None:
    alerts(tablet, 0)
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
        assert alerts(tablet, int(warns)) == ([said] if warns else [])


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


CLOCK = """([number, reviewed, seen, skew]) => {
  const day = time => { const at = new Date(time), two = n => String(n).padStart(2, "0");
    return at.getFullYear() + "-" + two(at.getMonth() + 1) + "-" + two(at.getDate()); };
  const now = Date.now(), at = days => days === null ? 0 : now + days * 86400000;
  Object.assign(kbEdition, { number: at(number) / 1000, reviewed: day(at(reviewed)) });
  Object.assign(kbTablet.status, { seen: at(seen), last: { state: "whole", skew: skew * 86400000 } });
  document.dispatchEvent(new Event("kb-tablet"));
  return [day(now), day(at(seen)), day(now - skew * 86400000)];
}"""


# In days from now: the edition's number, its newest review, the last look at the office, the office's clock.
CLOCKS = [
    (None, None, 0, 0, None),
    (0.5, 0, 0.5, 0.5, None),
    (0.5, 0, 0.5, -0.5, None),
    (2, None, 0, 0, "this edition is newer"),
    (None, 1, 0, 0, "this edition is newer"),
    (None, None, 2, 0, "it was {seen} already"),
    (None, None, 0, 2, "the office says {office}"),
    (None, None, 0, -2, "the office says {office}"),
    (None, None, -12, 2, "the office says {office}"),  # and no word of how long ago
]


def test_each_sign_of_a_wrong_clock_counts_alone(tablet: Tablet) -> None:
    for number, reviewed, seen, skew, why in CLOCKS:
        now, compared, office = tablet.page.evaluate(CLOCK, [number, reviewed, seen, skew])
        said = (
            f"The clock of this tablet is wrong: it says {now}, and {why}. "
            "Ages and overdue reviews cannot be told until it is set."
        )
        assert alerts(tablet, int(bool(why))) == ([said.format(seen=compared, office=office)] if why else [])


WHOLE, NOT_YET = (
    "The edition you read is whole.",
    "Until all are here, do not rely on this tablet without signal.",
)
OTHER = "0123abcd of 2026-04-01"
SAID = {
    "fetching": "A newer edition is being fetched: 57 of 555 files. " + WHOLE,
    "cut": "The signal was lost: 57 of 555 files are here. It goes on by itself. " + WHOLE,
    "wrong": f"The update stopped. This came wrong: a.html, b.html, c.html and more. {WHOLE} Tell the office.",
    "refused": f"The office's host sends no edition: error 403. {WHOLE} Tell the office.",
    "no-room": "There is no room on this tablet for the newer edition: 57 of 555 files are here. "
    f"{WHOLE} Free 20.0 MB, then compare again.",
    "failed": f"This browser failed to keep the edition. {WHOLE} Restart the tablet, then compare again.",
    "older": f"The office offers an older edition, {OTHER}. It was refused. {WHOLE} Tell the office.",
    "unnumbered": f"The office has another edition with the same number, {OTHER}. "
    "Which of the two is newer cannot be told. Ask the office before you use it.",
    "ready": f"Edition {OTHER} is ready. It waits until the job on this tablet is closed. "
    "If you use it before that, take every reading again.",
    "away": None,
    "whole": None,
    "lost": None,
}
SAID_BEFORE_ALL_IS_HERE = {
    "fetching": "This edition is being put on this tablet: 57 of 555 files. " + NOT_YET,
    "cut": f"The signal was lost: 57 of 555 files are here. It goes on by itself. {NOT_YET}",
    "no-room": "There is no room on this tablet for this edition: 57 of 555 files are here. "
    f"{NOT_YET} Free 20.0 MB, then compare again.",
    "away": f"The office cannot be reached. {NOT_YET}",
}
SAYS = """([state, whole, files]) => {
  kbTablet.status.now = whole ? kbTablet.status.now || window.kept : null;
  window.kept = window.kept || kbTablet.status.now;
  kbTablet.status.last = { state, have: 57, of: 555, bytes: 8000000, code: 403, files, mark: "0123abcd0123abcd0123", date: "2026-04-01" };
  if (state === "wrong") kbTablet.status.last.code = 200;
  document.dispatchEvent(new Event("kb-tablet"));
}"""


def test_every_end_of_a_look_has_its_sentence(tablet: Tablet) -> None:
    files = ["a.html", "b.html", "c.html", "d.html"]
    for whole, table in ((True, SAID), (False, SAID_BEFORE_ALL_IS_HERE)):
        for state, said in table.items():
            tablet.page.evaluate(SAYS, [state, whole, files])
            assert alerts(tablet, int(bool(said))) == ([said] if said else [])
            warned = tablet.page.locator(".kb-tablet-warns").count()
            assert warned == (said is not None and state not in ("fetching", "ready")), state
            buttons = tablet.page.locator(".kb-tablet-alert button").all_inner_texts()
            assert buttons == (["Use it now"] if state in ("unnumbered", "ready") else []), state
    tablet.page.evaluate(SAYS, ["wrong", True, files[:3]])
    (said,) = alerts(tablet)
    assert "This came wrong: a.html, b.html, c.html. The edition" in said


@pytest.mark.parametrize(
    ("script", "said", "kept"),
    [
        (
            "Object.defineProperty(window, 'isSecureContext', { value: false })",
            "This address is plain http. A tablet keeps an edition only from an address that begins with https.",
            "Not kept by this tablet",
        ),
        ("delete Navigator.prototype.serviceWorker", None, "Not kept by this browser"),
    ],
)
def test_where_no_edition_can_be_kept_it_is_said(
    host: Host, editions: Editions, page: Page, script: str, said: str | None, kept: str
) -> None:
    host.folder = editions(FIRST)
    page.add_init_script(script)
    tablet = Tablet(page.context, host)
    tablet.page = page
    tablet.open()
    assert alerts(tablet, int(bool(said))) == ([said] if said else [])
    assert fact(tablet, "On this tablet") == kept
    assert page.evaluate("caches ? caches.keys() : []") == []


def test_a_first_visit_moves_nothing_under_the_finger(host: Host, editions: Editions, page: Page) -> None:
    host.folder = editions(FIRST)
    page.set_viewport_size({"width": 412, "height": 823})
    page.add_init_script(
        """window.moved = 0;
        new PerformanceObserver((seen) => seen.getEntries().forEach((each) => { window.moved += each.value; }))
          .observe({ type: "layout-shift", buffered: true });"""
    )
    tablet = Tablet(page.context, host)
    tablet.page = page
    tablet.open()
    assert "without signal" in alerts(tablet)[0]
    expect(page.locator(".kb-tablet-alert p")).to_have_text(
        "This edition is on this tablet now, whole: it can be read without signal."
    )
    assert page.evaluate("window.moved") < 0.05


def test_files_of_two_editions_at_one_address_are_told(
    host: Host, editions: Editions, page: Page, tmp_path: Path
) -> None:
    host.folder = Path(shutil.copytree(editions(FIRST), tmp_path / "mixed"))
    stamp = host.folder / "assets" / "edition.js"
    stamp.write_text(
        stamp.read_text(encoding="utf-8").replace(f"{FIRST:08x}", f"{NEWER:08x}"), encoding="utf-8"
    )
    write_list(host.folder, "test-sons", f"{FIRST:08x}", DATE, FIRST)
    tablet = Tablet(page.context, host)
    tablet.page = page
    tablet.open()
    expect(page.locator(".kb-tablet-warns")).to_have_text(
        "Files of two editions lie at this address. Tell the office."
    )


def test_the_browser_is_asked_to_keep_what_it_stored(host: Host, editions: Editions, page: Page) -> None:
    host.folder = editions(FIRST)
    page.add_init_script(
        "navigator.storage.persist = async () => { window.asked = (window.asked || 0) + 1; }"
    )
    tablet = Tablet(page.context, host)
    tablet.page = page
    tablet.install()
    assert page.evaluate("window.asked") == 1


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
    alerts(tablet, 2)
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


def test_from_disk_nothing_links_to_the_manifest_and_home_says_what_it_is(
    page: Page, editions: Editions
) -> None:
    page.goto((editions(FIRST) / "index.html").as_uri())
    expect(page.locator("#edition dl")).to_contain_text(
        "Opened from a folder; nothing compares it with the office"
    )
    assert page.locator("link[rel=manifest]").count() == 0
