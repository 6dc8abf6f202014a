"""Random schedules of everything that can happen to a tablet; a seed gives the same one again."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

from edition_host import Host, Tablet, load, pages_of
from playwright.sync_api import BrowserContext, Error, Page

ACTS = {
    "publish": 3, "older": 1, "same": 1, "kill": 3, "wrong": 2, "cut": 1, "refuse": 1, "mend": 3, "portal": 1,
    "down": 2, "room": 1, "lose": 2, "stop": 2, "restart": 2, "off": 1, "job": 2, "tab": 2, "open": 4, "look": 5,
}  # fmt: skip


def run_schedule(
    host: Host,
    editions: Callable[..., Path],
    start: Callable[[], BrowserContext],
    seed: int,
    length: int = 25,
) -> dict[str, Any]:
    """Do as a seed says.

    Held after every act: no document mixes editions, the number only rises, and not while a job is open.

    Args:
        start: Starts the browser of one profile; called again for every restart.

    Returns:
        What happened: acts, documents looked at, switches, how looks ended.

    Raises:
        AssertionError: Something mixed, fell, hung or did not come whole in the end; it names seed and acts.
    """
    schedule = _Schedule(host, editions, start, seed)
    try:
        for act in schedule.dice.choices(list(ACTS), ACTS.values(), k=length):  # type: ignore[arg-type]
            schedule.acts.append(act)
            getattr(schedule, act)()
            schedule.hold()
        schedule.end()
    except (AssertionError, Error) as fault:
        raise AssertionError(f"seed {seed}: {' '.join(schedule.acts)}: {fault}") from fault
    finally:
        schedule.tablet.context.close()
    return {
        "acts": Counter(schedule.acts),
        "documents": schedule.seen,
        "switches": schedule.switches,
        "states": schedule.states,
    }


class _Schedule:
    """One tablet, and what must be true of it; a method an act."""

    def __init__(
        self, host: Host, editions: Callable[..., Path], start: Callable[[], BrowserContext], seed: int
    ) -> None:
        self.host, self.editions, self.start = host, editions, start
        self.dice = random.Random(seed)
        self.acts: list[str] = []
        self.seen = self.switches = 0
        self.states: Counter[str] = Counter()
        self.newest, self.busy = 4, False
        host.folder = editions(4)
        self.tablet = Tablet(start(), host)
        self.tablet.install()
        self.kept = (4, 4)
        # The edition that each open page was opened with.
        self.opened: dict[Page, int | None] = {self.tablet.page: self.tablet.open()}

    def hold(self) -> None:
        """No document mixes editions."""
        for page, mark in self.opened.items():
            stamp = _stamp(self.tablet, page)
            assert all(each in (None, mark) for each in stamp), f"{stamp} in {mark}"
        self.seen += len(self.opened)

    def end(self) -> None:
        """When all is mended and no job is open, the newest edition comes whole."""
        self.host.mend()
        self.tablet.room(None)
        self.tablet.page.evaluate("delete localStorage['kbgen.test-sons.job']")
        self.publish()
        status = self.tablet.look()
        assert (status["last"]["state"], status["now"]["number"]) == ("whole", self.newest), status
        assert self.tablet.open() == self.newest
        assert self.tablet.audit()["wrong"] == []

    # ---- the host ----

    def publish(self) -> None:
        self.newest += 1
        self.host.folder = self.editions(self.newest)

    def older(self) -> None:
        self.host.folder = self.editions(self.dice.randint(3, self.newest))

    def same(self) -> None:
        self.host.folder = self.editions(self.newest, self.newest + 1000)

    def kill(self) -> None:
        self.host.left = self.dice.randint(0, 60)

    def wrong(self) -> None:
        self.host.wrong.update(self._two())

    def cut(self) -> None:
        self.host.cut.update(self._two())

    def refuse(self) -> None:
        if self.dice.random() < 0.5:
            self.host.refuses = self.dice.choice((401, 403, 500))
        else:
            self.host.bad.update(dict.fromkeys(self._two(), 401))

    def mend(self) -> None:
        self.host.mend()

    def portal(self) -> None:
        self.host.portal = True

    def down(self) -> None:
        self.host.down = True

    # ---- the tablet ----

    def room(self) -> None:
        self.tablet.room(self.tablet.usage() + self.dice.randint(0, 200_000))

    def lose(self) -> None:
        name = self.dice.choice(list(load(self.editions(*self.kept))["files"].values()))
        self.tablet.page.evaluate(
            "([scope, name]) => caches.open('kbgen ' + scope).then(cache => cache.delete(scope + '~' + name))",
            [self.host.address, name],
        )

    def stop(self) -> None:
        self.tablet.stop_workers()

    def restart(self) -> None:
        """The browser ends with all its tabs and comes again; room is as before, what was kept is there."""
        self.tablet.context.close()
        self.tablet = Tablet(self.start(), self.host)
        self.opened = {}
        self._open(self.tablet.page, "index.html")

    def off(self) -> None:
        """All of it is gone and put on anew; a job has ended by then."""
        for page in list(self.opened)[1:]:
            page.close()
        self.tablet.page, self.busy = next(iter(self.opened)), False
        self.host.mend()
        self.tablet.room(None)
        self.host.folder = self.editions(self.newest)
        self.tablet.take_off()
        self.tablet.install()
        self.kept, self.opened = self.tablet.answering(), {self.tablet.page: self.tablet.open()}
        assert (self.kept, *self.opened.values()) == ((self.newest, self.newest), self.newest)

    # ---- whoever holds it ----

    def job(self) -> None:
        self.busy = not self.busy
        self.tablet.page.evaluate(
            "on => { if (on) localStorage['kbgen.test-sons.job'] = 1; else delete localStorage['kbgen.test-sons.job']; }",
            self.busy,
        )

    def tab(self) -> None:
        if len(self.opened) < 3:
            page = self.tablet.context.new_page()
            if not self._open(page, "leave-now.html", mended=False):
                page.close()

    def open(self) -> None:
        self._open(self.dice.choice(list(self.opened)), self.dice.choice(pages_of(self.host.folder)))

    def look(self) -> None:
        status = self.tablet.look(self.dice.choice(list(self.opened)))
        self.states[status["last"]["state"]] += 1
        self._risen()

    def _open(self, page: Page, path: str, mended: bool = True) -> bool:
        """Open a page, one that comes when the host is `mended`; say whether it came."""
        mark = self.tablet.open(path, page)
        if mark is None and mended:
            # The page that says what is missing; back to one that can be asked. A page that the host has of another
            # edition only comes with that edition, and not while a job is open.
            self.host.mend()
            for again in ["index.html"] * 3 + [each for each in pages_of(self.host.folder) if self.busy]:
                if mark is None:
                    mark = self.tablet.open(again, page)
        if mark is None:
            assert not mended, "no page comes though the host answers"
            return False
        # What was opened before may have switched in the meantime, by its own look.
        before = self.kept
        self._risen()
        assert mark in (before[1], self.kept[1]), f"{path} of {mark}, not {before} to {self.kept}"
        self.opened[page] = mark
        return True

    def _risen(self) -> None:
        """The number only rises, and not while a job is open."""
        now = self.tablet.answering()
        assert now == self.kept or (now[0] > self.kept[0] and not self.busy), (
            f"{self.kept} to {now}, job: {self.busy}"
        )
        self.switches += now != self.kept
        self.kept = now

    def _two(self) -> list[str]:
        return self.dice.sample(list(load(self.host.folder)["files"]), 2)


def _stamp(tablet: Tablet, page: Any) -> list[int | None]:
    """Which edition a page, its stamp and a file fetched now are of; ``None`` for what cannot be had."""
    found: list[int | None] = page.evaluate(
        """async root => {
          const answer = await fetch(root + "assets/search-index.js").catch(() => null);
          const mark = answer && answer.ok && /kbTestIndex = (\\d+)/.exec(await answer.text());
          return [Number(document.querySelector('meta[name="kb-test"]').content), window.kbTest ?? null, mark ? Number(mark[1]) : null];
        }""",
        tablet.host.address,
    )
    return found
