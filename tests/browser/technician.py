"""Somebody who works through procedures step by step: types, taps, reads, as the page's own data asks for it."""

from __future__ import annotations

import json
import time
from collections import deque
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from playwright.sync_api import Locator, Page, expect

from kbgen.views.doing.rows import opened
from kbgen.views.doing.words import WORDS

Data = Mapping[str, Any]
QUICK = """
(() => {
  const now = Date.now, run = performance.now.bind(performance);
  Date.now = () => now() + Number(localStorage.getItem("test.shift") || 0);
  performance.now = () => run() * 1000;
})();
"""
"""Lets a test put the clock on, and does not wait half a second after every tap."""


def led(site: Path) -> list[str]:
    """Return the pages that a tablet leads through."""
    names = {file.name.removesuffix(".js") for file in (site / "assets" / "steps").glob("*.js")}
    return sorted(name for name in names - {"leave-now", "words"} if "." not in name)


def data_of(site: Path, name: str) -> Data:
    """Return what a page ships."""
    head, *parts = shipped_of(site, name)
    return opened(head, *parts)


def shipped_of(site: Path, name: str) -> list[Any]:
    """Return the files of a page as they are shipped, its head first."""
    folder = site / "assets" / "steps"
    texts = [(folder / f"{name}.js").read_text(encoding="utf-8")]
    texts += [file.read_text(encoding="utf-8") for file in sorted(folder.glob(f"{name}.[0-9].js"))]
    return [json.loads(text.partition(" = ")[2].rstrip().removesuffix(";")) for text in texts]


def route(page: Data, *, through: str = "", end: str = "", at: int = 0) -> list[int]:
    """Return the answers of the shortest way from a node to a step or an end, by the anchor of one or the other."""

    def found(node: int) -> bool:
        step = page["steps"][page["nodes"][node][0]]
        return bool(
            step["at"] == through or (end and step.get("ends") == end and step["at"].startswith("step"))
        )

    came: dict[int, tuple[int, int] | None] = {at: None}
    waiting = deque([at])
    while waiting:
        node = waiting.popleft()
        if found(node) and node != at:
            way: list[int] = []
            while (link := came[node]) is not None:
                node, e = link
                way.insert(0, e)
            return way
        for e, to in enumerate(page["nodes"][node][2]):
            answers = page["steps"][page["nodes"][node][0]].get("answers")
            if to >= 0 and to not in came and not (answers and (answers[e][2] or answers[e][3])):
                came[to] = (node, e)
                waiting.append(to)
    raise AssertionError(f"no way to {through or end}")


class Technician:
    """A person at a tablet."""

    def __init__(self, page: Page, site: Path, *, quick: bool = True) -> None:
        self.page, self.site = page, site
        self.data: Data = {}
        self.at = 0
        self.who, self.own_locks = "MK", 0
        if quick:
            page.add_init_script(QUICK)

    def open(self, name: str) -> None:
        """Open a page at "Do this now"."""
        self.data, self.at = data_of(self.site, name), 0
        self.page.goto((self.site / "procedures" / f"{name}.html").as_uri())
        self.page.get_by_role("button", name="Do this now").click()
        expect(self.page.locator(".kb-do-body")).to_be_visible()

    def begin(self, plant: str = "7", who: str = "MK") -> None:
        """Say which plant, and who."""
        self.page.get_by_label("Which plant").fill(plant)
        sizes = self.page.locator(".kb-do-machine button")
        if sizes.count():
            sizes.first.click()
        self.page.get_by_label("Your initials").fill(who)
        self.tap("Begin")

    def tap(self, words: str) -> None:
        """Tap a button of the screen."""
        self.button(words).click()

    def button(self, words: str) -> Locator:
        """Return a button of the screen by its words."""
        return self.page.locator(".kb-do").get_by_role("button", name=words, exact=True)

    def type(self, figure: float) -> None:
        """Type a number on the pad and take it; on a phone the pad has a screen of its own."""
        expect(self.page.locator(".kb-do-leave .kb-do-pad")).to_have_count(0)
        expect(self.page.locator(".kb-do-pad").or_(self.button("Type the reading"))).to_be_visible()
        if self.button("Type the reading").count():
            self.tap("Type the reading")
        pad = self.page.locator(".kb-do-pad").element_handle()
        for sign in f"{figure:g}":
            self.page.locator(".kb-do-keys").get_by_role("button", name=sign, exact=True).click()
        self.tap("Take it")
        # What is typed before the next screen is drawn would be typed into this one.
        pad.wait_for_element_state("hidden")

    def step(self) -> Data:
        """Return the step that is on the screen."""
        found: Data = self.data["steps"][self.data["nodes"][self.at][0]]
        return found

    def follow(self, way: list[int]) -> None:
        """Answer one step after the other."""
        for e in way:
            self.answer(e)

    def answer(self, e: int) -> None:
        """Do a step and answer it, with figures that say so."""
        step = self.step()
        self.shown()
        when, verdict = step["answers"][e][:2] if step.get("answers") else ("", "")
        if "reach" in step:
            self.reach(step, verdict)
            if verdict == "some":
                self.tap(when)
            else:
                self.tap("Go on with these")
            self.at = self.data["nodes"][self.at][2][e]
            return
        for figure in self.figures(step, verdict):
            self.type(figure)
        if "mark" in step:
            self.marks()
        if "wait" in step:
            self.later(step["wait"][0])
            if step["wait"][0] >= 1800:
                # So long that nothing is known to be dead any more when it is over.
                self.again()
            for _, most in step["wait"][2]:
                self.type(most and most - 1)
            if not step["wait"][2]:
                self.tap("I looked: it is over")
                self.at = self.data["nodes"][self.at][2][e]
                return
        judged = {"volts", "pairs", "mark", "wait"} & step.keys() and verdict != "some"
        if judged or ("number" in step and not step.get("answers")):
            self.page.locator(".kb-do-body").get_by_role("button", name="Go on").first.click()
        elif when:
            self.tap(when)
        else:
            self.page.locator(".kb-do-body .kb-do-answer").first.click()
        self.at = self.data["nodes"][self.at][2][e]

    def marks(self) -> None:
        """Pick the number of the plant at each of its plates, or type it where there is nothing to pick."""
        number = self.page.locator(".kb-do-top h1 strong").last.inner_text()
        for place in WORDS["mark"].split("; "):
            self.page.locator(".kb-do-ask, .kb-do-field", has_text=place).wait_for()
            if (
                tile := self.page.locator(".kb-do-tiles").get_by_role("button", name=number, exact=True)
            ).count():
                tile.click()
            else:
                self.page.get_by_label(place).fill(number)
                self.tap("Take it")

    def reach(self, step: Data, verdict: str) -> None:
        """Read the supply and the point of a step in one reach, and type both with the hands out."""
        self.tap("Hands and leads are out. Type them")
        for number in dict.fromkeys((step["reach"][0], self.data["nodes"][self.at][0])):
            mark = self.data["steps"][number]["volts"]["p"]
            self.page.locator(".kb-do-tiles button", has_text=mark).first.click()
            word = verdict if number == self.data["nodes"][self.at][0] else "full"
            for figure in self.figures(self.data["steps"][number], word):
                self.type(figure)

    def again(self) -> None:
        """Load the page anew, as after the tablet was off, and go on as somebody."""
        where = self.page.url.partition("#")[0]
        self.page.goto("about:blank")
        self.page.goto(where + "#do")
        self.page.get_by_label("Your initials").or_(self.page.locator(".kb-do-count")).first.wait_for()
        if self.page.get_by_label("Your initials").count():
            self.page.get_by_label("Your initials").fill(self.who)
            self.tap("Go on, one by one at the plant")
        self.settle()

    def settle(self) -> None:
        """Look at, or prove anew, everything that is not known any more."""
        body = self.page.locator(".kb-do-body")
        expect(self.page.get_by_label("Your initials")).to_have_count(0)
        while True:
            expect(body.locator(".kb-do-count, .kb-do-said, h2").first).to_be_visible()
            if not (words := self.unknown()):
                return
            own = self.page.get_by_role("button", name="My own lock and tag")
            if own.count():
                own.click()
                self.button("Yes, I see it now").wait_for()
                self.own_locks += 1
            self.page.locator(".kb-do-pad, .kb-do-body .kb-do-answer").first.wait_for()
            if self.page.locator(".kb-do-pad").or_(self.button("Type the reading")).count():
                pairs = body.get_by_text("Reading 1 of").count()
                if pairs:
                    total = int(
                        body.get_by_text("Reading 1 of").inner_text().split(" of ")[1].partition(":")[0]
                    )
                    for figure in (230, *[0] * (total - 2), 230):
                        self.type(figure)
                    self.tap("Go on")
                else:
                    self.type(0)
                    self.button("Yes, seen now").wait_for()
            if (yes := self.button("Yes, I see it now").or_(self.button("Yes, seen now"))).count():
                yes.first.click()
            for _ in range(200):
                if self.unknown() != words:
                    break
                time.sleep(0.05)
            else:
                raise AssertionError(f"stays at {words}")

    def unknown(self) -> str:
        """Return what is asked for first of all that is not known any more; empty when it is all known."""
        found: str = self.page.evaluate(
            """() => { const said = (name) => document.querySelector(".kb-do-body " + name)?.textContent || "";
              return said(".kb-do-count").startsWith("Not known") ? said(".kb-do-count") + said(".kb-do-text") : ""; }"""
        )
        return found

    def shown(self) -> None:
        """Wait until the step is on the screen."""
        step = self.step()
        if "reach" in step:
            marks = [self.data["steps"][each]["volts"]["p"] for each in step["reach"]]
            expect(self.page.locator(".kb-do-reach")).to_have_text(" ".join(marks))
            return
        words = step["do"][0].replace("`", "")
        expect(self.page.locator(".kb-do-text").first).to_have_text(words)

    def figures(self, step: Data, verdict: str) -> Iterator[float]:
        """Yield what is typed at a step so that it says so."""
        if "volts" in step:
            limits = step["volts"]
            low, high = limits.get("band", limits["n"])
            supply = next(
                (
                    each["volts"]["band"]
                    for each in self.data["steps"]
                    if "sup" in each.get("volts", {}) and each["volts"]["of"] == limits["of"]
                ),
                None,
            )
            full = round(sum(supply) / 2) * sum(limits["sag"]) / 2 if supply else (low + high) / 2
            yield {"none": 0, "some": round((limits["none"] + low) / 2)}.get(verdict, round(full, 1))
        elif "pairs" in step:
            yield from (230, *(0 for _ in step["pairs"]), 230)
        elif "ranges" in step:
            yield next((low + min(high, 1e6)) / 2 for low, high in filter(None, step["ranges"]))
        elif "number" in step:
            yield 12

    def later(self, seconds: float) -> None:
        """Put the clock of the tablet on."""
        self.page.evaluate(
            "more => localStorage.setItem('test.shift', Number(localStorage.getItem('test.shift') || 0) + more * 1000)",
            seconds,
        )

    def holds(self) -> str:
        """Return what stands on the plant, as the screen says it."""
        return self.page.locator(".kb-do-holds").inner_text()
