"""Step by step on the tablet: whole jobs, a tablet that dies, a break, a colleague, the log against the reference."""

from __future__ import annotations

import gzip
import json
import os
import random
import signal
from collections.abc import Callable
from pathlib import Path

import pytest
from access import faults
from conftest import QUIET, chromium
from playwright.sync_api import Browser, Error, Page, expect
from technician import Technician, data_of, led, route, shipped_of

from kbgen.views.doing.replay import replay
from kbgen.views.doing.rows import opened
from tests.doing_logs import random_log

ROOT = Path(__file__).resolve().parents[2]
JS = ROOT / "site_overrides" / "assets" / "js"
SAMPLE = (
    "td-find-open-contact",
    "sb-make-safe",
    "ph-find-open-contact-dead",
    "mah-leak-check",
    "sb-prove-gas-switches",
)


@pytest.fixture(scope="session")
def site(built: Callable[[str], Path]) -> Path:
    return built("kb_source")


def test_random_logs_come_to_the_same_on_the_tablet(page: Page, site: Path) -> None:
    pages = {name: data_of(site, name) for name in led(site)}
    logs = [random_log(pages, name, random.Random(f"{name} {seed}")) for name in SAMPLE for seed in range(12)]
    page.goto("about:blank")
    page.add_script_tag(path=JS / "do-state.js")
    there = page.evaluate("([pages, logs]) => logs.map((log) => replay(pages, log))", [pages, logs])
    here = [json.loads(json.dumps(replay(pages, log))) for log in logs]
    assert [got for got, wanted in zip(there, here, strict=True) if got != wanted] == []
    assert sum(len(state["readings"]) for state in here) > 50


def test_a_page_comes_in_files_of_10_kb_and_none_of_another_edition_is_taken(page: Page, site: Path) -> None:
    folder = site / "assets" / "steps"
    files = [folder / f"{name}.js" for name in led(site)] + [*folder.glob("*.[0-9].js")]
    assert [each.name for each in files if len(gzip.compress(each.read_bytes(), 9)) > 10_240] == []
    head, *parts = shipped_of(site, "sb-season-start")
    assert len(parts) > 1
    page.goto("about:blank")
    page.add_script_tag(path=JS / "do-state.js")
    there = page.evaluate("(files) => opened(...files)", [head, *parts])
    assert [there[name] for name in ("nodes", "holds", "steps")] == [
        data_of(site, "sb-season-start")[name] for name in ("nodes", "holds", "steps")
    ]
    for wrong in (parts[:-1], [parts[0], ["other", *parts[1][1:]], *parts[2:]]):
        with pytest.raises(ValueError, match="not all here"):
            opened(head, *wrong)
        with pytest.raises(Error, match="sb-season-start"):
            page.evaluate("(files) => opened(...files)", [head, *wrong])


def test_a_page_of_several_files_begins_and_goes_on_when_loaded_anew(page: Page, site: Path) -> None:
    person = Technician(page, site)
    person.open("sb-season-start")
    person.begin()
    person.shown()
    person.follow([0, 0])
    person.shown()
    person.again()
    person.shown()


def test_a_page_that_is_not_all_here_does_not_begin(page: Page, site: Path) -> None:
    person = Technician(page, site)
    page.route(
        "**/sb-season-start.1.js",
        lambda route: route.fulfill(body="window.kbDoing['sb-season-start.1'] = ['other'];"),
    )
    person.open("sb-season-start")
    person.begin()
    expect(page.locator(".kb-do-stop")).to_contain_text("Do not go on here")


def test_a_job_over_two_pages_locks_proves_and_leaves_its_record(page: Page, site: Path) -> None:
    person = Technician(page, site)
    person.open("td-record-evidence")
    person.begin()
    way = route(person.data, end="found")
    person.follow(way)
    person.tap("Done. This page ends here")
    expect(page.locator(".kb-do-body")).to_contain_text("Dryer cock")
    person.open("td-make-safe")
    person.begin()
    assert "Mains 230 V on the plug: may be live" in person.holds()
    person.follow(route(person.data, through="step-prove.mains"))
    assert "You locked Mains 230 V on the plug, " in person.holds()
    assert "proved" not in person.holds(), "nothing is proved before its figures are in"
    person.follow(route(person.data, through="step-to-ohms", at=person.at))
    assert "Mains 230 V on the plug: you proved it gone" in person.holds()
    person.tap("Done. This page ends here")
    expect(
        page.get_by_role("link", name="Go on with: Find the open contact of the dryer, dead")
    ).to_be_visible()
    person.tap("The record of this job")
    record = page.locator(".kb-do-record")
    expect(record).to_contain_text("Locked Mains 230 V on the plug: STILL SO")
    expect(record).to_contain_text("230, 0, 0, 0, 230 V")


def test_the_number_is_picked_at_each_plate_and_that_of_a_neighbour_goes_no_further(
    page: Page, site: Path
) -> None:
    person = Technician(page, site)
    person.open("td-record-evidence")
    page.locator(".kb-do-tiles button", has_text="T-118").click()
    page.get_by_label("Your initials").fill("MK")
    person.tap("Begin")
    identify = next(step["at"] for step in person.data["steps"] if "mark" in step)
    person.follow(route(person.data, through=identify))
    for place in ("Mark on the panel", "Mark on what is switched off"):
        expect(page.locator(".kb-do-ask")).to_have_text(place)
        expect(page.locator(".kb-do-tiles button")).to_have_count(3)
        person.tap("T-119")
    expect(page.locator(".kb-do-ask")).to_have_text("Mark on what is shut")
    page.reload()
    expect(page.locator(".kb-do-facts dd")).to_have_text(["T-119", "T-119"])
    person.tap("Type it")
    person.tap("Take it")
    expect(page.locator(".kb-do-said")).to_have_text(
        "Not all the same, or not the number of this plant. Touch nothing."
    )
    person.tap("Type it again")
    person.answer(0)
    expect(page.locator(".kb-do-count")).to_contain_text(
        f"Step {len(route(person.data, through=identify)) + 2}."
    )


def test_a_killed_browser_loses_nothing_that_was_shown(site: Path, browser: Browser, tmp_path: Path) -> None:
    driver = browser.browser_type
    program = chromium(windowed=True)
    for number, pause in enumerate((0, 100, 1000)):
        profile = tmp_path / str(number)
        context = driver.launch_persistent_context(profile, executable_path=program, args=QUIET)
        person = Technician(context.pages[0], site)
        person.open("td-record-evidence")
        person.begin()
        person.follow(route(person.data, end="found")[:4])
        person.shown()
        person.page.wait_for_timeout(pause)
        kill(profile)
        again = driver.launch_persistent_context(profile, executable_path=program, args=QUIET)
        other = Technician(again.pages[0], site)
        other.open("td-record-evidence")
        expect(other.page.locator(".kb-do-body")).to_contain_text("Go on at 7")
        other.page.get_by_label("Your initials").fill("MK")
        other.tap("Go on, one by one at the plant")
        other.at = person.at
        other.shown()
        again.close()


def kill(profile: Path) -> None:
    """End every process of one browser at once, as a battery does."""
    for process in Path("/proc").glob("[0-9]*"):
        try:
            if str(profile) in (process / "cmdline").read_text():
                os.kill(int(process.name), signal.SIGKILL)
        except (OSError, ProcessLookupError):
            continue


def test_after_a_break_every_lock_is_looked_at_and_dead_is_proved_anew(page: Page, site: Path) -> None:
    person = Technician(page, site)
    made_safe(person)
    person.later(31 * 60)
    page.reload()
    body = page.locator(".kb-do-body")
    expect(body).to_contain_text("Dead is proved anew")
    person.page.get_by_label("Your initials").fill("CD")
    person.tap("Go on, one by one at the plant")
    expect(page.locator(".kb-do-holds")).to_contain_text("proved it gone")
    looked = 0
    expect(body.locator(".kb-do-count")).to_be_visible()
    while (
        person.button("Yes, I see it now")
        .or_(own := page.get_by_role("button", name="My own lock and tag"))
        .count()
    ):
        count = body.locator(".kb-do-count").inner_text()
        if own.count():
            own.click()
        person.tap("Yes, I see it now")
        expect(body.locator(".kb-do-count")).not_to_have_text(count)
        looked += 1
    assert looked >= 5, "locks, cock and cover, one by one"
    expect(body).to_contain_text("Prove the mains dead")
    for figure in (230, 0, 117, 0, 230):
        person.type(figure)
    expect(body).to_contain_text("Not dead")
    person.tap("Go on: not dead")
    expect(body).to_contain_text("Nothing here counts as off or dead")
    person.tap("Leave it safe now")
    person.tap("The tag hangs. Close this page")
    expect(body).to_contain_text("locked Mains 230 V on the plug")


def made_safe(person: Technician) -> None:
    """Go as far as the mains are locked and proved dead."""
    person.open("td-record-evidence")
    person.begin()
    person.follow(route(person.data, end="found"))
    person.tap("Done. This page ends here")
    expect(person.page.locator(".kb-do-left")).to_be_visible()
    person.open("td-make-safe")
    person.begin()
    person.follow(route(person.data, through="step-prove.mains"))
    person.follow(route(person.data, through="step-prove.booster-feed", at=person.at))
    person.shown()


def test_foreign_volts_stop_and_going_back_over_a_lock_asks(page: Page, site: Path) -> None:
    person = Technician(page, site)
    person.open("mah-find-open-contact")
    person.begin()
    reading = next(step for step in person.data["steps"] if "volts" in step)
    person.follow(route(person.data, through=reading["at"]))
    expect(page.locator(".kb-do-reach samp")).to_have_count(2)
    expect(page.locator(".kb-do-stop")).to_contain_text("leads off at once, and read nothing more")
    person.tap("Hands and leads are out. Type them")
    person.type(480)
    expect(page.locator(".kb-do-body")).to_contain_text("More than this supply has")
    person.tap("Hands and leads are out")
    expect(page.locator(".kb-do-body")).to_contain_text("a feed from elsewhere")
    person.tap("Back")
    person.shown()
    while not person.button("Yes, it is undone").count():
        now = page.locator(".kb-do-count").inner_text()
        person.tap("Back")
        expect(page.locator(".kb-do-count", has_text=now)).to_have_count(0)
    person.tap("No. Stay here")
    expect(page.locator(".kb-do-count")).to_be_visible()


def test_one_reach_leads_on_as_far_as_its_readings_do(page: Page, site: Path) -> None:
    person = Technician(page, site)
    person.open("td-find-open-contact")
    person.tap("Practise it, away from the plant")
    page.get_by_label("Your initials").fill("MK")
    person.tap("Begin the practice")
    expect(page.locator(".kb-do-top")).to_contain_text("PRACTICE")
    person.follow(route(person.data, through="step-string.D1"))
    person.shown()
    person.tap("Hands and leads are out. Type them")
    for point, volts in (("D1", 230), ("D5", 231), ("D7", 0)):
        page.locator(".kb-do-tiles button", has_text=point).click()
        expect(page.locator(".kb-do-shows")).to_contain_text("The practice meter shows")
        person.type(volts)
    person.tap("Go on with these")
    expect(page.locator(".kb-do-reach")).to_contain_text("D6")
    expect(page.locator(".kb-do-body")).to_contain_text("Read so far: D1 230 V, D5 231 V, D7 0 V")
    expect(page.locator(".kb-do-top")).to_contain_text("PRACTICE")


def test_what_was_tapped_goes_after_14_days_but_not_while_something_is_to_undo(
    page: Page, site: Path
) -> None:
    Technician(page, site).open("td-record-evidence")
    left = page.evaluate("""async () => {
      const store = window.kbDoStore, start = [{ k: "start", t: 1 }], now = Date.now, day = 86400000;
      for (const job of ["old", "kept", "undo", "new", "open"]) await store.add(job, start, [{ id: "p" }], 0);
      await store.close("old", 0);
      await store.close("kept", 0, 1);
      await store.close("undo", 2);
      Date.now = () => now() + 13 * day;
      await store.close("new", 0);
      await store.tidy();
      const before = (await store.read("old")).events.length;
      Date.now = () => now() + 15 * day;
      await store.tidy();
      const found = {};
      for (const job of ["old", "kept", "undo", "new", "open"]) found[job] = (await store.read(job)).events.length;
      return [before, found, Object.keys((await store.read("old")).pages).length];
    }""")
    assert left == [1, {"old": 0, "kept": 1, "undo": 1, "new": 1, "open": 1}, 0]


def test_a_tablet_that_slept_through_the_end_of_a_wait_sounds_when_it_wakes(page: Page, site: Path) -> None:
    page.add_init_script(
        "window.sounded = 0; window.AudioContext = class { constructor() { window.sounded += 1; } };"
    )
    person = Technician(page, site)
    person.open("mah-record-evidence")
    person.begin()
    person.follow(route(person.data, end="found"))
    person.tap("Done. This page ends here")
    person.button("The record of this job").wait_for()
    person.open("mah-make-safe")
    person.begin()
    person.settle()
    person.follow(route(person.data, through="step-off.fan.let-the-fan-run"))
    person.shown()
    expect(page.locator(".kb-do-clock")).to_contain_text(":")
    sounded = page.evaluate("window.sounded")
    person.later(person.step()["wait"][0] + 60)
    expect(page.locator(".kb-do-clock")).to_have_text("The time is over")
    assert page.evaluate("window.sounded") == sounded + 1


def test_a_second_tap_at_once_is_dropped(page: Page, site: Path) -> None:
    person = Technician(page, site, quick=False)
    person.open("td-record-evidence")
    person.begin()
    person.shown()
    page.wait_for_timeout(600)
    page.evaluate("""() => {
      const first = () => document.querySelector(".kb-do-answer").click();
      first();
      setTimeout(first, 120);
    }""")
    page.wait_for_timeout(500)
    expect(page.locator(".kb-do-count")).to_contain_text("Step 2.")


def test_damaged_storage_is_told_and_the_page_is_there(page: Page, site: Path) -> None:
    person = Technician(page, site)
    person.open("td-record-evidence")
    person.begin()
    person.shown()
    page.evaluate("""async () => {
      const asked = indexedDB.open(Object.keys(localStorage).find((name) => name.endsWith(".job")) + "s");
      const base = await new Promise((good) => { asked.onsuccess = () => good(asked.result); });
      const writing = base.transaction(["events", "pages"], "readwrite");
      writing.objectStore("events").openCursor().onsuccess = (event) => {
        const at = event.target.result;
        if (at) { at.update({ n: at.value.n, job: at.value.job, k: "go", e: {} , t: "x" }); at.continue(); }
      };
      await new Promise((good) => { writing.oncomplete = good; });
    }""")
    page.reload()
    expect(page.locator(".kb-do-body")).to_contain_text("cannot be read. It was set aside")
    person.tap("Read the page")
    expect(page.get_by_role("heading", level=1)).to_be_visible()


def test_a_second_tab_adds_nothing_to_a_job_that_went_on(page: Page, site: Path) -> None:
    person = Technician(page, site)
    person.open("td-record-evidence")
    person.begin()
    person.shown()
    other = page.context.new_page()
    second = Technician(other, site)
    second.open("td-record-evidence")
    other.get_by_label("Your initials").fill("MK")
    second.tap("Go on, one by one at the plant")
    second.shown()
    person.button("No").click()
    expect(page.locator(".kb-do-stop")).to_contain_text("another tab went on")


def test_two_tabs_at_two_machines_mix_and_lose_nothing(page: Page, site: Path) -> None:
    first = Technician(page, site)
    first.open("td-record-evidence")
    first.begin("7")
    first.shown()
    second = Technician(page.context.new_page(), site)
    second.open("sb-record-evidence")
    second.page.get_by_role("link", name="Another job, at another plant").click()
    second.page.get_by_label("Your initials").wait_for()
    second.begin("9", "CD")
    third = Technician(page.context.new_page(), site)
    third.open("td-find-open-contact")
    expect(third.page.locator(".kb-do-body")).to_contain_text("Jobs are open on this tablet")
    third.page.get_by_role("link", name="Another job, at another plant").click()
    third.tap("Practise it, away from the plant")
    third.page.get_by_label("Your initials").fill("EF")
    third.tap("Begin the practice")
    people = (first, second, third)
    for way in range(3):
        for person in people:
            person.shown()
            person.answer(0)
            person.shown()
        people[way].page.reload()
    for person, where, by in zip(people, ("7", "9", "No plant"), ("MK", "CD", "EF"), strict=True):
        person.shown()
        top = person.page.locator(".kb-do-top h1")
        expect(top).to_contain_text(f"{where} · {by}")
        assert ("PRACTICE" in top.inner_text()) == (where == "No plant")
        expect(person.page.locator(".kb-do-count")).to_contain_text("Step 4.")
    home = page.context.new_page()
    home.goto((site / "index.html").as_uri())
    ways = home.locator(".kb-go-on a")
    expect(ways).to_have_count(3)
    said = ways.all_inner_texts()
    assert [sum(words in each for each in said) for words in ("at 7", "at 9", "Go on practising")] == [
        1,
        1,
        1,
    ]
    home.locator(".kb-go-on a", has_text="at 7").click()
    expect(home.locator(".kb-do-body")).to_contain_text("Go on at 7")
    third.page.evaluate(
        "window.kbDoStore.open().then((jobs) => window.kbDoStore.close(jobs.find((each) => each.practice).job, 0))"
    )
    kept = "() => Object.entries(localStorage).some(([name, value]) => name.endsWith('.job') && value.includes('plant'))"
    assert home.evaluate(kept), "one job that is closed lets no other edition in under the others"
    home.goto((site / "index.html").as_uri())
    expect(ways).to_have_count(2)


def test_what_was_found_is_noted_without_a_procedure(page: Page, site: Path) -> None:
    person = Technician(page, site)
    page.goto((site / "symptoms" / "sb-limits-not-made.html").as_uri())
    page.get_by_role("button", name="Note what was found").click()
    page.locator(".kb-do-tiles button", has_text="T-101").click()
    page.get_by_role("textbox", name="What was found").fill("Float contact worn")
    page.get_by_label("Your initials").fill("mk")
    person.tap("Make the record")
    record = page.locator(".kb-do-record")
    expect(record).to_contain_text("Job record, plant T-101")
    expect(record).to_contain_text("Found: Float contact worn")
    record.get_by_role("button", name="Add").nth(2).click()
    page.locator(".kb-do-field input").fill("Seen with the cap off")
    person.tap("Keep it")
    expect(record).to_contain_text("Seen with the cap off")


def test_who_begins_reads_what_these_pages_do_not_replace(page: Page, site: Path) -> None:
    Technician(page, site).open("sb-record-evidence")
    expect(page.locator(".kb-do-body").get_by_text("local codes")).to_be_visible()


@pytest.mark.parametrize("scheme", ["light", "dark", "sun"])
def test_the_screens_of_a_step_have_no_accessibility_findings(page: Page, site: Path, scheme: str) -> None:
    person = Technician(page, site)
    person.open("mah-find-open-contact")
    page.evaluate("name => document.documentElement.setAttribute('data-scheme', name)", scheme)
    assert faults(page, scheme) == []
    person.begin()
    reading = next(step for step in person.data["steps"] if "volts" in step)
    person.follow(route(person.data, through=reading["at"]))
    person.shown()
    assert faults(page, scheme) == []
    page.set_viewport_size({"width": 320, "height": 640})
    assert page.evaluate("document.documentElement.scrollWidth") <= 320
    page.set_viewport_size({"width": 360, "height": 740})
    root = "Number.parseFloat(getComputedStyle(document.documentElement).fontSize)"
    page.evaluate(f"document.documentElement.style.fontSize = 2 * {root} + 'px'")
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
