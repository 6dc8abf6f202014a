"""Random schedules of everything that can happen to a tablet; a seed gives the same one again."""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

from edition_host import Host, Tablet, load, pages_of
from playwright.sync_api import BrowserContext

ACTS = {
    "publish": 3, "older": 1, "same": 1, "kill": 3, "wrong": 2, "cut": 1, "mend": 3, "portal": 1, "down": 2,
    "room": 1, "lose": 2, "stop": 2, "off": 1, "job": 2, "tab": 2, "open": 4, "look": 5,
}  # fmt: skip


def run_schedule(
    host: Host, editions: Callable[..., Path], context: BrowserContext, seed: int, length: int = 25
) -> dict[str, Any]:
    """Do as a seed says.

    Held after every act: no document mixes editions, the number only rises, and not while a job is open.

    Returns:
        What happened: acts, documents looked at, switches.

    Raises:
        AssertionError: Something mixed, fell or did not come whole in the end; it names seed and act.
    """
    dice = random.Random(seed)
    newest, job = 4, False
    host.folder = editions(newest)
    tablet = Tablet(context, host)
    tablet.install()
    tablet.open()
    tabs, kept, switches, seen = [tablet.page], (newest, newest), 0, 0
    opened = {tablet.page: newest}
    acts: list[str] = []
    states: dict[str, int] = {}
    for act in dice.choices(list(ACTS), ACTS.values(), k=length):  # type: ignore[arg-type]
        acts.append(act)
        where = f"seed {seed}: {' '.join(acts)}"
        if act == "publish":
            newest += 1
            host.folder = editions(newest)
        elif act == "older":
            host.folder = editions(dice.randint(3, newest))
        elif act == "same":
            host.folder = editions(newest, newest + 1000)
        elif act == "kill":
            host.left = dice.randint(0, 60)
        elif act in ("wrong", "cut"):
            getattr(host, act).update(dice.sample(list(load(host.folder)["files"]), 2))
        elif act == "mend":
            host.mend()
        elif act in ("portal", "down"):
            setattr(host, act, True)
        elif act == "room":
            tablet.room(tablet.usage() + dice.randint(0, 200_000))
        elif act == "lose":
            name = dice.choice(list(load(editions(*kept))["files"].values()))
            tablet.page.evaluate(
                "([scope, name]) => caches.open('kbgen ' + scope).then(cache => cache.delete(scope + '~' + name))",
                [host.address, name],
            )
        elif act == "stop":
            tablet.stop_workers()
        elif act == "off":
            # All of it is gone and put on anew; a job has ended by then.
            for page in tabs[1:]:
                page.close()
            tabs, job = tabs[:1], False
            host.mend()
            tablet.room(None)
            host.folder = editions(newest)
            tablet.take_off()
            tablet.install()
            kept, opened = tablet.answering(), {tablet.page: tablet.open()}
            assert (kept, opened[tablet.page]) == ((newest, newest), newest), where
        elif act == "job":
            job = not job
            tablet.page.evaluate(
                "on => { if (on) localStorage['kbgen.test-sons.job'] = 1; else delete localStorage['kbgen.test-sons.job']; }",
                job,
            )
        elif act == "tab" and len(tabs) < 3:
            page = context.new_page()
            if (mark := tablet.open("leave-now.html", page)) is None:
                page.close()
            else:
                tabs.append(page)
                opened[page] = mark
        elif act == "open":
            page, path = dice.choice(tabs), dice.choice(pages_of(host.folder))
            mark = tablet.open(path, page)
            if mark is None:
                # The page that says what is missing; back to one that can be asked.
                host.mend()
                mark = tablet.open("index.html", page)
            # What was opened before may have switched in the meantime, by its own look.
            now = tablet.answering()
            assert mark in (kept[1], now[1]), f"{where}: {path} of {mark}, not {kept} to {now}"
            opened[page] = mark
        elif act == "look":
            status = tablet.look(dice.choice(tabs))
            now, state = tablet.answering(), status["last"]["state"]
            states[state] = states.get(state, 0) + 1
        if act in ("open", "look"):
            assert now == kept or (now[0] > kept[0] and not job), f"{where}: {kept} to {now}, job: {job}"
            switches += now != kept
            kept = now
        for page in tabs:
            stamp = _stamp(tablet, page)
            seen += 1
            assert all(each in (None, opened[page]) for each in stamp), f"{where}: {stamp} in {opened[page]}"
    host.mend()
    tablet.room(None)
    tablet.page.evaluate("delete localStorage['kbgen.test-sons.job']")
    newest += 1
    host.folder = editions(newest)
    where = f"seed {seed}: {' '.join(acts)}"
    status = tablet.look()
    assert (status["last"]["state"], status["now"]["number"]) == ("whole", newest), f"{where}: {status}"
    assert tablet.open() == newest
    assert tablet.audit()["wrong"] == [], where
    return {"acts": len(acts), "documents": seen, "switches": switches, "states": states}


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
