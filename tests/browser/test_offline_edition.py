"""The edition on a tablet: installed, updated, interrupted, lied to, and read without signal.

Random pages, moments and schedules come from fixed seeds; `make bench` runs the long ones over the demonstration.
"""

from __future__ import annotations

import json
import random
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from conftest import QUIET, TABLET, Editions, Watch, chromium
from edition_host import BELOW, BESIDE, DATE, SETTLED, Host, Tablet, list_id, load, pages_of
from playwright.sync_api import Browser, BrowserContext
from schedules import run_schedule

DAY = 86_400_000


@pytest.fixture
def start(browser: Browser, watch: Watch, tmp_path: Path) -> Callable[[], BrowserContext]:
    """Starts the whole browser of one profile on disk; call it again for a restart."""

    def begin() -> BrowserContext:
        context = browser.browser_type.launch_persistent_context(
            tmp_path / "profile",
            executable_path=chromium(windowed=True),
            args=QUIET,
            viewport=TABLET,  # type: ignore[arg-type]
        )
        context.on("page", watch.follow)
        return context

    return begin


@pytest.fixture
def tablet(host: Host, editions: Editions, context: BrowserContext, watch: Watch) -> Iterator[Tablet]:
    """A tablet that keeps edition 4, and says nothing on the console but what the test expects."""
    host.folder = editions(4)
    fresh = Tablet(context, host)
    fresh.install()
    fresh.open()
    host.asked.clear()
    yield fresh
    assert watch.errors == []
    assert watch.foreign == []


def stored(folder: Path) -> int:
    return len(set(load(folder)["files"].values()))


def differing(old: Path, new: Path) -> int:
    return len(set(load(new)["files"].values()) - set(load(old)["files"].values()))


def fetched(host: Host) -> list[str]:
    """What was asked for besides the list and the worker."""
    return [path for path in host.asked if path not in ("edition-files.json", "sw.js")]


def until(tablet: Tablet, true: str) -> None:
    """Wait for a function to be true; the page's policy forbids the driver's own way."""
    for _ in range(600):
        if tablet.page.evaluate(true):
            return
        tablet.page.wait_for_timeout(100)
    pytest.fail(f"never true: {true}")


def test_every_page_is_read_without_signal_after_a_restart(
    host: Host, editions: Editions, start: Callable[[], BrowserContext], watch: Watch
) -> None:
    host.folder = editions(4)
    tablet = Tablet(start(), host)
    status = tablet.install()
    assert status["now"]["files"] == stored(host.folder)
    # Of a private window, as the other tests use, Chromium says nothing else either, but does not install it.
    assert tablet.devtools().send("Page.getInstallabilityErrors") == {"installabilityErrors": []}
    tablet.context.close()
    host.stop()
    tablet = Tablet(start(), host)
    for path in random.Random(24).sample(pages_of(host.folder), 20):
        answer = tablet.page.goto(host.address + path)
        assert answer is not None
        assert (answer.status, answer.from_service_worker) == (200, True)
        assert answer.headers["cache-control"] == "no-cache", "else a later page may take it out of memory"
        assert answer.body() == (host.folder / path).read_bytes()
        assert tablet.stamp() == [4, 4, 4]
    for path in ("", "terms/lockout"):
        assert tablet.open(path) == 4, "as hosts answer the folder and the name without its end"
    assert watch.errors == []
    answer = tablet.page.goto(host.address + "symptoms/no-such-page.html")
    assert answer is not None
    assert answer.status == 404
    home = tablet.page.get_by_role("link", name="Home and search")
    home.wait_for()
    assert home.get_attribute("href") == "/shop/kb/index.html"
    tablet.context.close()


def test_the_emergency_page_is_stored_first_and_answers_before_the_rest_is_there(
    host: Host, editions: Editions, context: BrowserContext
) -> None:
    host.folder, host.slow = editions(4), {"leave-now.html"}
    assert next(iter(load(host.folder)["files"])) == "leave-now.html"
    tablet = Tablet(context, host)
    tablet.page.goto(host.address + "terms/lockout.html")
    for _ in range(600):
        tablet.page.wait_for_timeout(50)
        if "leave-now.html" in host.asked:
            break
    # Time enough for others to be asked for beside it.
    tablet.page.wait_for_timeout(300)
    own = {"manifest.webmanifest", *(path for path in host.asked if path.startswith("assets/"))}
    assert [path for path in host.asked if path not in own] == [
        "terms/lockout.html",
        "sw.js",
        "edition-files.json",
        "leave-now.html",
    ]
    host.left = 0
    host.go.set()
    until(tablet, "() => window.kbTablet.status.last.state === 'cut'")
    assert tablet.open("leave-now.html") == 4
    assert tablet.open("terms/term-7.html") is None


def test_an_update_killed_at_any_moment_is_taken_up_and_fetches_only_what_is_missing(
    tablet: Tablet, host: Host, editions: Editions
) -> None:
    # The first file, the last, and two between; `make bench` takes ten of the demonstration.
    for number, moment in enumerate((37, 1, 59, 14), 5):
        old, host.folder = host.folder, editions(number)
        changed = differing(old, host.folder)
        assert changed >= 60
        host.left = 1 + moment
        host.asked.clear()
        status = tablet.look()
        assert (status["last"]["state"], status["now"]["number"]) == ("cut", number - 1), moment
        arrived = len(fetched(host))
        for path in ("leave-now.html", "terms/term-7.html", "index.html"):
            assert tablet.open(path) == number - 1, moment
            assert tablet.stamp() == [number - 1] * 3, moment
        host.mend()
        host.asked.clear()
        status = tablet.look()
        assert (status["last"]["state"], status["now"]["number"]) == ("whole", number), moment
        assert len(fetched(host)) == changed - arrived, moment
        assert tablet.open() == number, moment
    assert tablet.audit()["wrong"] == []


@pytest.mark.parametrize("fault", ["wrong", "cut"])
def test_a_file_that_comes_wrong_is_named_and_nothing_switches(
    tablet: Tablet, host: Host, editions: Editions, fault: str
) -> None:
    host.folder = editions(5)
    setattr(host, fault, {"terms/term-3.html"})
    status = tablet.look()
    assert (status["last"]["state"], status["last"]["files"]) == ("wrong", ["terms/term-3.html"])
    assert tablet.open() == 4
    tablet.page.get_by_text("This came wrong: terms/term-3.html.").wait_for()
    host.mend()
    host.asked.clear()
    assert tablet.look()["now"]["number"] == 5
    assert fetched(host) == ["terms/term-3.html"]


def test_two_tabs_of_two_editions_keep_their_own_while_the_worker_is_stopped(
    tablet: Tablet, host: Host, editions: Editions
) -> None:
    host.folder = editions(5)
    assert tablet.look()["now"]["number"] == 5
    second = tablet.context.new_page()
    assert tablet.open("terms/lockout.html", second) == 5
    for _ in range(2):
        assert (tablet.stamp(), tablet.stamp(second)) == ([4, 4, 4], [5, 5, 5])
        tablet.stop_workers()
    assert tablet.open() == 5
    assert tablet.stamp() == [5, 5, 5]


def test_a_portal_stores_nothing(tablet: Tablet, host: Host, editions: Editions) -> None:
    before = tablet.audit()["files"]
    host.folder, host.portal = editions(5), True
    assert tablet.look()["last"]["state"] == "away"
    assert tablet.audit() == {"files": before, "wrong": []}
    assert tablet.open("terms/term-3.html") == 4


def test_a_portal_at_the_first_visit_is_not_kept(
    host: Host, editions: Editions, context: BrowserContext
) -> None:
    host.folder = editions(4)
    tablet = Tablet(context, host)
    tablet.open()
    host.portal = True
    tablet.look()
    host.mend()
    assert tablet.look()["now"]["number"] == 4
    assert tablet.audit()["wrong"] == []


def test_what_was_read_before_an_edition_was_kept_is_in_no_later_page(
    host: Host, editions: Editions, context: BrowserContext
) -> None:
    host.folder, host.wrong = editions(4), {"terms/term-3.html"}
    tablet = Tablet(context, host)
    tablet.open()
    assert tablet.look()["last"]["state"] == "wrong"
    assert tablet.open() == 4
    assert tablet.stamp() == [4, 4, 4]
    host.folder = editions(5)
    assert tablet.open() == 5
    assert tablet.stamp() == [5, 5, 5]
    host.mend()
    host.folder = editions(6)
    tablet.install()
    assert tablet.open() == 6
    assert tablet.stamp() == [6, 6, 6]


@pytest.mark.parametrize("code", [401, 403, 404, 500])
def test_a_host_that_refuses_stores_nothing_and_is_said(
    tablet: Tablet, host: Host, editions: Editions, code: int
) -> None:
    before = tablet.audit()["files"]
    host.folder, host.refuses = editions(5), code
    status = tablet.look()
    assert (status["last"]["state"], status["now"]["number"]) == ("refused", 4)
    assert tablet.audit() == {"files": before, "wrong": []}
    assert tablet.open("terms/term-3.html") == 4
    assert tablet.open() == 4
    tablet.page.get_by_text(f"The office's host sends no edition: error {code}.").wait_for()
    host.mend()
    assert tablet.look()["now"]["number"] == 5


def test_a_host_that_begins_to_refuse_in_the_middle_is_said_and_nothing_switches(
    tablet: Tablet, host: Host, editions: Editions
) -> None:
    host.folder = editions(5)
    host.bad = dict.fromkeys(load(host.folder)["files"], 401)
    before = tablet.audit()["files"]
    status = tablet.look()
    assert (status["last"]["state"], status["now"]["number"]) == ("wrong", 4)
    # Of the newer edition there is its list, and a note that it is the one to come.
    assert tablet.audit() == {"files": before + 2, "wrong": []}
    assert tablet.open() == 4
    tablet.page.get_by_text("and more: error 401. The edition you read is whole.").wait_for()
    host.mend()
    assert tablet.look()["now"]["number"] == 5


@pytest.mark.parametrize("wrong", [{"format": 2}, {"files": {}}])
def test_a_list_of_another_form_is_not_taken(
    tablet: Tablet, host: Host, editions: Editions, tmp_path: Path, wrong: dict[str, object]
) -> None:
    host.folder = tmp_path
    (tmp_path / "edition-files.json").write_text(json.dumps(load(editions(5)) | wrong), encoding="utf-8")
    before = tablet.names()
    status = tablet.look()
    assert (status["last"]["state"], status["now"]["number"]) == ("away", 4)
    assert tablet.names() == before


def test_pages_ask_the_office_again_only_after_some_minutes(tablet: Tablet, host: Host) -> None:
    for path in ("leave-now.html", "index.html", "terms/lockout.html"):
        assert tablet.open(path) == 4
    assert host.asked == []
    now = tablet.page.evaluate("Date.now()")
    tablet.record("last", {"state": "whole", "at": now - 11 * 60_000})
    tablet.record("seen", now - 12 * DAY)
    tablet.open()
    until(tablet, f"() => kbTablet.status.seen > {now - 1}")
    # The browser itself looks for another worker now and then.
    assert [path for path in host.asked if path != "sw.js"] == ["edition-files.json"]


WAKES = {
    "goes on": "() => {}",
    "online": "() => window.dispatchEvent(new Event('online'))",
    "in sight again": "() => document.dispatchEvent(new Event('visibilitychange'))",
}


@pytest.mark.parametrize("wakes", WAKES)
def test_an_update_that_was_cut_goes_on_by_itself(
    host: Host, editions: Editions, context: BrowserContext, wakes: str
) -> None:
    host.folder = editions(4)
    tablet = Tablet(context, host)
    tablet.page.clock.install()
    tablet.install()
    tablet.open()
    host.folder, host.left = editions(5), 10
    assert tablet.look()["last"]["state"] == "cut"
    host.mend()
    tablet.page.evaluate(WAKES[wakes])
    if wakes == "goes on":
        tablet.page.clock.run_for(21_000)
    until(tablet, "() => kbTablet.status.now.number === 5")


def test_what_no_page_and_no_edition_needs_is_thrown_away(
    tablet: Tablet, host: Host, editions: Editions
) -> None:
    host.folder = editions(5)
    tablet.look()
    first, second = set(load(editions(4))["files"].values()), set(load(editions(5))["files"].values())
    assert first | second <= tablet.names(), "the page of edition 4 is still open"
    tablet.open()
    tablet.look()
    pins = [name for name in tablet.names() if name.startswith("pin/")]
    assert len(pins) > 1
    assert first <= tablet.names(), "it lies in the way back of its tab"
    for pin in pins:
        tablet.record(pin, [list_id(editions(4)), tablet.page.evaluate("Date.now()") - 2 * 3_600_000])
    tablet.open()
    tablet.look()
    kept = {name for name in tablet.names() if not name.startswith("pin/")}
    assert kept == {*second, list_id(editions(5)), "now", "seen", "last"}


def test_two_shops_side_by_side_at_one_host_keep_apart(
    tablet: Tablet, host: Host, editions: Editions, watch: Watch
) -> None:
    host.other = editions(6)
    address = host.address.replace(BELOW, BESIDE)
    other = tablet.context.new_page()
    other.goto(address + "index.html")
    other.evaluate(SETTLED)
    assert other.evaluate("kbTablet.status.now.number") == 6
    assert sorted(tablet.page.evaluate("caches.keys()")) == [f"kbgen {host.address}", f"kbgen {address}"]
    assert tablet.page.evaluate("kbTablet.status.now.number") == 4
    host.down = True
    assert tablet.open() == 4
    other.goto(address + "leave-now.html")
    assert other.evaluate("window.kbTest") == 6
    host.mend()
    tablet.take_off()
    assert tablet.answering(address) == (6, 6), "the other shop's edition is still there"


def test_no_room_is_said_and_the_old_edition_answers(
    tablet: Tablet, host: Host, editions: Editions, watch: Watch
) -> None:
    host.folder = editions(5)
    tablet.room(tablet.usage() + 20_000)
    status = tablet.look()
    assert (status["last"]["state"], status["now"]["number"]) == ("no-room", 4)
    assert tablet.open() == 4
    tablet.page.get_by_text("There is no room on this tablet for the newer edition").wait_for()
    tablet.room(None)
    assert tablet.look()["now"]["number"] == 5


def test_an_older_list_is_refused_and_said(tablet: Tablet, host: Host, editions: Editions) -> None:
    host.folder = editions(3)
    status = tablet.look()
    assert (status["last"]["state"], status["now"]["number"]) == ("older", 4)
    assert fetched(host) == []
    assert tablet.open() == 4
    tablet.page.get_by_text("The office offers an older edition, 00000003 of 2026-03-01").wait_for()


def test_another_edition_of_the_same_number_is_switched_by_hand_only(
    tablet: Tablet, host: Host, editions: Editions
) -> None:
    host.folder = editions(4, 40)
    assert tablet.look()["last"]["state"] == "unnumbered"
    assert fetched(host) == []
    assert tablet.open() == 4
    tablet.page.get_by_role("button", name="Use it now").click()
    tablet.page.get_by_role("button", name="Show it").click()
    until(tablet, "() => window.kbTest === 40")
    assert tablet.stamp() == [40, 40, 40]


def test_an_update_waits_for_an_open_job(tablet: Tablet, host: Host, editions: Editions) -> None:
    tablet.page.evaluate("localStorage['kbgen.test-sons.job'] = '1'")
    host.folder = editions(5)
    status = tablet.look(hold=True)
    assert (status["last"]["state"], status["now"]["number"]) == ("ready", 4)
    assert tablet.open("leave-now.html") == 4
    tablet.page.evaluate("delete localStorage['kbgen.test-sons.job']")
    host.asked.clear()
    assert tablet.look()["now"]["number"] == 5
    assert fetched(host) == []


def test_readings_of_today_are_an_open_job(tablet: Tablet, host: Host, editions: Editions) -> None:
    tablet.page.evaluate(
        "localStorage['kbgen.test-sons.locate.x'] = JSON.stringify({ taken: [{}], at: Date.now() - 3600000 })"
    )
    host.folder = editions(5)
    # Not `look`, which would say so itself: the page has to notice.
    tablet.page.evaluate("kbTablet.compare({ force: true })")
    until(tablet, "() => kbTablet.status.last.state === 'ready'")
    tablet.page.evaluate(
        "localStorage['kbgen.test-sons.locate.x'] = JSON.stringify({ taken: [{}], at: Date.now() - 9 * 3600000 })"
    )
    tablet.page.evaluate("kbTablet.compare({ force: true })")
    until(tablet, "() => kbTablet.status.now.number === 5")


def test_a_job_that_begins_while_an_update_comes_is_not_switched_either(
    tablet: Tablet, host: Host, editions: Editions
) -> None:
    host.folder, host.slow = editions(5), {"terms/term-3.html"}
    tablet.page.evaluate("kbTablet.compare({ force: true })")
    until(tablet, "() => kbTablet.status.last.state === 'fetching'")
    tablet.page.evaluate("localStorage['kbgen.test-sons.job'] = '1'")
    host.go.set()
    until(tablet, "() => kbTablet.status.last.state === 'ready'")
    assert tablet.answering() == (4, 4)
    tablet.page.get_by_role("button", name="Use it now").click()
    until(tablet, "() => kbTablet.status.now.number === 5")


def test_a_stored_file_that_got_lost_heals_with_signal(tablet: Tablet, host: Host, watch: Watch) -> None:
    path = "terms/term-3.html"
    tablet.lose(load(host.folder)["files"][path])
    host.down = True
    answer = tablet.page.goto(host.address + path)
    assert answer is not None
    assert answer.status == 503
    assert "Not on this tablet" in tablet.page.content()
    assert watch.errors
    watch.errors.clear()
    host.mend()
    host.wrong = {path}
    answer = tablet.page.goto(host.address + path)
    assert answer is not None
    assert answer.status == 503, "another file under its name is not taken"
    watch.errors.clear()
    host.mend()
    assert tablet.open(path) == 4
    host.down = True
    assert tablet.open(path) == 4


def test_a_lost_page_whose_edition_the_host_no_longer_has_comes_with_the_next(
    tablet: Tablet, host: Host, editions: Editions, watch: Watch
) -> None:
    tablet.lose(load(host.folder)["files"]["terms/term-3.html"])
    host.folder = editions(5)
    assert tablet.open("terms/term-3.html") is None
    # It looks by itself: home may be the page that is lost.
    until(tablet, "() => window.kbTablet && kbTablet.status && kbTablet.status.now.number === 5")
    assert tablet.open("terms/term-3.html") == 5
    assert all("503" in error for error in watch.errors)
    watch.errors.clear()


def test_the_kill_worker_takes_the_edition_off(tablet: Tablet, host: Host, editions: Editions) -> None:
    host.folder, host.off = editions(5), True
    assert tablet.open("leave-now.html") == 4
    tablet.page.evaluate("navigator.serviceWorker.getRegistration().then(each => each && each.update())")
    until(tablet, "async () => !(await caches.keys()).length")
    until(tablet, "async () => !(await navigator.serviceWorker.getRegistration())")
    tablet.devtools().send("Network.clearBrowserCache")
    for path in ("index.html", "terms/lockout.html"):
        answer = tablet.page.goto(host.address + path)
        assert answer is not None
        assert not answer.from_service_worker
        assert tablet.stamp() == [5, 5, 5]
    assert tablet.page.evaluate("caches.keys()") == []
    host.off = False
    assert tablet.install()["now"]["number"] == 5, "the true worker put back keeps the edition again"


def test_the_kill_worker_takes_hold_at_the_latest_when_the_browser_is_restarted(
    host: Host, editions: Editions, start: Callable[[], BrowserContext]
) -> None:
    host.folder = editions(4)
    tablet = Tablet(start(), host)
    tablet.install()
    tablet.open()
    host.folder, host.off = editions(5), True
    tablet.page.evaluate("navigator.serviceWorker.getRegistration().then(each => each && each.update())")
    tablet.context.close()
    tablet = Tablet(start(), host)
    tablet.page.goto(host.address + "leave-now.html")
    until(tablet, "async () => !(await caches.keys()).length")
    tablet.devtools().send("Network.clearBrowserCache")
    # Not `tablet.open`, which waits for what a worker says: there is none.
    answer = tablet.page.goto(host.address)
    assert answer is not None
    assert not answer.from_service_worker
    assert tablet.stamp() == [5, 5, 5]
    tablet.context.close()


def test_the_manifest_lies_outside_the_pages(tablet: Tablet, host: Host) -> None:
    assert "manifest.webmanifest" not in (host.folder / "index.html").read_text(encoding="utf-8")
    assert tablet.page.locator("link[rel=manifest]").count() == 1


def test_home_shows_the_fingerprint_of_the_list_it_loaded(tablet: Tablet, host: Host) -> None:
    whole = list_id(host.folder)[:20]
    spaced = " ".join(whole[at : at + 4] for at in range(0, 20, 4))
    tablet.page.get_by_text(spaced).wait_for()
    assert tablet.page.locator("#edition svg path").count() == 2
    assert tablet.page.locator("#edition").get_by_text(f"00000004 of {DATE}").count() == 1


@pytest.mark.parametrize("seed", range(3))
def test_no_schedule_of_faults_mixes_editions_or_goes_back(
    host: Host, editions: Editions, start: Callable[[], BrowserContext], seed: int
) -> None:
    run_schedule(host, editions, start, seed)
