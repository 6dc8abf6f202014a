"""Four whole jobs on a tablet, from the search to the record, each with all that comes in between.

A foreign voltage, a page loaded anew, an undo over a lock, a browser killed, a break of an hour and a colleague who
takes over, at one plant of each family. ``python -m tests.bench.whole_jobs SITE [PLANT] [360x740]`` drives them and says
what was seen; an empty plant means all four.
"""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from playwright.sync_api import BrowserContext, Page, Playwright, expect, sync_playwright

sys.path.append(str(Path(__file__).resolve().parents[1] / "browser"))
from conftest import QUIET, chromium
from technician import Technician, data_of, route
from test_do import kill

JOBS = {
    "sb": (
        "LIMITS NOT MADE",
        "sb-record-evidence",
        "sb-find-open-contact",
        "sb-is-it-doing-its-job",
        "sb-make-safe",
        "sb-return-to-service",
    ),
    "ph": (
        "C pool heater",
        "ph-record-evidence",
        "ph-find-open-contact",
        "ph-is-it-doing-its-job",
        "ph-make-safe",
        "ph-return-to-service",
    ),
    "td": (
        "dryer stops when hot",
        "td-record-evidence",
        "td-find-open-contact",
        "td-is-it-doing-its-job",
        "td-make-safe",
        "td-return-to-service",
    ),
    "mah": (
        "F22",
        "mah-record-evidence",
        "mah-find-open-contact",
        "mah-is-it-doing-its-job",
        "mah-make-safe",
        "mah-return-to-service",
    ),
}
"""What is searched for, and the pages that are done, by plant."""


class Job:
    """One job; the browser may die under it."""

    def __init__(self, playwright: Playwright, site: Path, profile: Path, size: tuple[int, int]) -> None:
        self.playwright, self.site, self.profile, self.size = playwright, site, profile, size
        self.who, self.seen = (
            "MK",
            dict.fromkeys(("foreign", "reload", "undo", "kill", "break", "colleague"), 0),
        )
        self.errors: list[str] = []
        self.who = "MK"
        self.open()

    def open(self) -> None:
        """Start the browser on what the last one left."""
        self.context: BrowserContext = self.playwright.chromium.launch_persistent_context(
            self.profile,
            executable_path=chromium(),
            args=QUIET,
            viewport={"width": self.size[0], "height": self.size[1]},
        )
        page: Page = self.context.pages[0]
        page.set_default_timeout(20_000)
        page.on("pageerror", lambda error: self.errors.append(str(error)))
        page.on("console", lambda said: self.errors.append(said.text) if said.type == "error" else None)
        self.person = Technician(page, self.site)
        self.person.who = self.who

    @property
    def page(self) -> Page:
        """The page that is open."""
        return self.person.page

    def search(self, words: str, first: str) -> None:
        """Search, open the first hit, and do its first page."""
        self.page.goto((self.site / "index.html").as_uri())
        self.page.get_by_role("searchbox").first.fill(words)
        self.page.locator(f".kb-search-hit a[href*='symptoms/{first.partition('-')[0]}-']").first.click()
        self.page.locator(f"#do-now a[href*='{first}']").or_(self.page.locator("#do-now a")).first.click()
        if first not in self.page.url:
            self.page.goto((self.site / "procedures" / f"{first}.html").as_uri() + "#do")
        self.take(first)

    def take(self, name: str) -> None:
        """Be on a page."""
        self.person.data, self.person.at = data_of(self.site, name), 0
        expect(self.page.locator(".kb-do-body")).to_be_visible()

    def begin(self) -> None:
        """Say which plant, and who."""
        tiles = self.page.locator(".kb-do-tiles button")
        if (
            tiles.count()
            and tiles.first.get_attribute("aria-pressed") != "true"
            and self.person.data["after"] == []
        ):
            tiles.first.click()
        self.page.get_by_label("Your initials").fill(self.person.who)
        self.person.tap("Begin")
        self.person.settle()

    def follow(self, way: list[int], after: int = -1, what: str = "") -> None:
        """Answer step by step; once something happens in between."""
        for number, e in enumerate(way):
            if number == after:
                getattr(self, what)()
            self.person.answer(e)

    def foreign(self) -> None:
        """Read far more than the supply has."""
        self.person.tap("Hands and leads are out. Type them")
        self.person.type(480)
        self.person.tap("Hands and leads are out")
        expect(self.page.locator(".kb-do-stop").first).to_contain_text("a feed from elsewhere")
        self.person.tap("Back")
        self.person.shown()
        self.seen["foreign"] += 1

    def reload(self) -> None:
        """Load the page anew at once: nothing is asked, the step is there."""
        self.page.reload()
        self.page.locator(".kb-do-count").first.wait_for()
        self.person.shown()
        self.seen["reload"] += 1

    def undo(self) -> None:
        """Go back over a lock, and put it on again."""
        person, before = self.person, self.trail
        person.tap("Back")
        expect(self.page.locator(".kb-do-stop").first).to_contain_text("Going back undoes nothing")
        person.tap("Yes, it is undone")
        person.at = before[0]
        self.person.settle()
        person.shown()
        person.answer(before[1])
        self.person.settle()
        self.seen["undo"] += 1

    def die(self) -> None:
        """Kill the browser, and an hour later somebody else goes on."""
        self.person.shown()
        url, shift = self.page.url, self.page.evaluate("Number(localStorage.getItem('test.shift') || 0)")
        kill(self.profile)
        at, data = self.person.at, self.person.data
        time.sleep(0.3)
        self.open()
        self.person.at, self.person.data = at, data
        self.seen["kill"] += 1
        self.page.goto((self.site / "index.html").as_uri())
        expect(self.page.locator(".kb-go-on")).to_contain_text("Go on where you were")
        self.page.evaluate("ms => localStorage.setItem('test.shift', ms)", shift + 3_700_000)
        self.who = self.person.who = "CD"
        self.page.locator(".kb-go-on a").click()
        self.page.wait_for_url(f"{url.partition('#')[0]}*")
        self.page.get_by_label("Your initials").fill(self.person.who)
        self.person.tap("Go on, one by one at the plant")
        self.person.settle()
        self.person.shown()
        self.seen["break"] += 1
        self.seen["colleague"] += self.person.own_locks


def arrived(way: list[int], data: dict[str, Any]) -> int:
    """Return the node that answers lead to."""
    at = 0
    for e in way:
        at = data["nodes"][at][2][e]
    return at


def lock_on(way: list[int], data: dict[str, Any]) -> tuple[int, tuple[int, int]]:
    """Return after how many answers a lock hangs, and the node and answer that hung it."""
    at = 0
    for number, e in enumerate(way):
        if data["steps"][data["nodes"][at][0]].get("tag") == "":
            return number + 1, (at, e)
        at = data["nodes"][at][2][e]
    raise AssertionError("no lock")


def before_reach(way: list[int], data: dict[str, Any]) -> int:
    """Return after how many answers several readings are asked for."""
    at = 0
    for number, e in enumerate(way):
        if "reach" in data["steps"][data["nodes"][at][0]]:
            return number
        at = data["nodes"][at][2][e]
    raise AssertionError("no reach")


def drive(job: Job, words: str, *pages: str) -> Iterator[str]:
    """Do one job; yield what was seen."""
    steps, begun = 0, time.perf_counter()
    job.search(words, pages[0])
    for number, name in enumerate(pages):
        if number:
            job.page.get_by_role("link", name="Go on with").first.wait_for()
            way = job.page.locator(f".kb-do a[href*='{name}.html']")
            if way.count():
                way.first.click()
            else:
                job.page.goto((job.site / "procedures" / f"{name}.html").as_uri() + "#do")
            job.take(name)
        job.begin()
        data = job.person.data
        following = pages[number + 1] if number + 1 < len(pages) else ""
        ends = (
            [s["at"] for s in data["steps"] if (s.get("next") or [""])[0] == following and "ends" in s]
            if following
            else [s["at"] for s in data["steps"] if s.get("ends") == "returned-to-service"]
        )
        hunted = (
            next((each["at"] for each in data["steps"] if "reach" in each), "") if "find-open" in name else ""
        )
        ways = []
        for end in ends:
            try:
                first = route(data, through=hunted) if hunted else []
                ways.append(first + route(data, through=end, at=arrived(first, data)))
            except AssertionError:
                continue
        way = min(ways, key=len)
        steps += len(way)
        if "find-open" in name:
            at = before_reach(way, data)
            job.follow(way[:at])
            job.foreign()
            job.reload()
            job.follow(way[at:])
        elif "make-safe" in name:
            at, job.trail = lock_on(way, data)
            job.follow(way[:at])
            job.undo()
            rest = way[at:]
            job.follow(rest[: len(rest) // 2])
            job.die()
            job.follow(rest[len(rest) // 2 :])
        else:
            job.follow(way)
        job.person.tap("Done. This page ends here")
    job.person.tap("The record of this job")
    record = job.page.locator(".kb-do-record li").all_inner_texts()
    yield f"| {pages[0].partition('-')[0]} | {len(pages)} pages, {steps} steps, {time.perf_counter() - begun:.0f} s | {json.dumps(job.seen)} | {len(record)} lines, {len(job.errors)} errors on the console |"
    job.record = record


def main(site: Path, only: str = "", size: tuple[int, int] = (820, 1180)) -> None:
    """Drive the jobs."""
    with sync_playwright() as playwright:
        for name, (words, *pages) in JOBS.items():
            if only in ("", name):
                with TemporaryDirectory() as profile:
                    job = Job(playwright, site, Path(profile), size)
                    try:
                        for row in drive(job, words, *pages):
                            print(row, flush=True)
                    finally:
                        job.context.close()


if __name__ == "__main__":
    where, only, size = (*sys.argv[1:], "", "")[:3]
    main(Path(where).resolve(), only, tuple(map(int, size.split("x"))) if size else (820, 1180))
