"""The demonstration on a tablet: what installing, updating and every interruption cost, and random schedules."""

from __future__ import annotations

import gzip
import random
import shutil
import statistics
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from playwright.sync_api import BrowserContext, sync_playwright

from kbgen.cli import main
from kbgen.render.web import WebFiles, build_web
from tests.samples.web_book import FILES, web_book

sys.path.append(str(Path(__file__).resolve().parents[1] / "browser"))
from conftest import QUIET, Watch, chromium
from edition_host import Host, Tablet, edition, load, pages_of
from schedules import run_schedule

_ROOT = Path(__file__).resolve().parents[2]
_SCHEDULES = 50


class _Editions:
    """Editions of one built folder, made when they are asked for."""

    def __init__(self, base: Path) -> None:
        self.base = base

    def __call__(self, number: int, mark: int | None = None) -> Path:
        out = self.base.with_name(f"{self.base.name}-{number}-{mark or number}")
        if not out.exists():
            edition(self.base, out, number, mark)
        return out


def run() -> list[str]:
    """Measure; rows are what was shown, with seconds, requests and bytes."""
    with TemporaryDirectory() as place, sync_playwright() as playwright:
        root = Path(place)
        main(["build", "--kb", str(_ROOT / "kb_source"), "--out", str(root / "demo")])
        build_web(web_book(extra_terms=40), WebFiles(FILES), root / "book")

        def start(name: str) -> BrowserContext:
            return playwright.chromium.launch_persistent_context(
                root / name, executable_path=chromium(), args=QUIET
            )

        @contextmanager
        def profile(name: str) -> Iterator[tuple[BrowserContext, Watch]]:
            watch, context = Watch(), start(name)
            context.on("page", watch.follow)
            yield context, watch
            context.close()

        rows = _demonstration(_Editions(root / "demo"), profile)
        rows += _schedules(_Editions(root / "book"), start)
        sizes = [
            _size(root / "demo" / name) for name in ("sw.js", "assets/js/offline.js", "assets/js/tablet.js")
        ]
    return [
        f"Bytes as shipped: worker {sizes[0]}; script of every page {sizes[1]}; script of home {sizes[2]}.",
        "",
        "| test | shown |",
        "|---|---|",
        *(f"| {test} | {shown} |" for test, shown in rows),
        "",
    ]


def _size(file: Path) -> str:
    return f"{file.stat().st_size:,} ({len(gzip.compress(file.read_bytes(), 9)):,} gz)"


def _state(status: dict[str, Any]) -> str:
    last, count = status["last"], f"{status['last'].get('have')} of {status['last'].get('of')}"
    return f"{last['state']}, {count}, edition {status['now']['number']} answers"


def _demonstration(editions: _Editions, profile: Any) -> list[tuple[str, str]]:
    host, rows = Host(), []
    host.folder = editions(4)
    distinct = len(set(load(host.folder)["files"].values()))
    changed = len(set(load(editions(5))["files"].values()) - set(load(host.folder)["files"].values()))
    with profile("one") as (context, watch):
        tablet = Tablet(context, host)
        start = time.perf_counter()
        tablet.install()
        took = time.perf_counter() - start
        rows.append(
            (
                "install below a sub-path",
                f"{distinct} files, {len(host.asked)} requests, {load(host.folder)['bytes'] / 1e6:.1f} MB, "
                f"{took:.1f} s; {tablet.usage() / 1e6:.1f} MB stored",
            )
        )
        wrong = tablet.devtools().send("Page.getInstallabilityErrors")["installabilityErrors"]
        rows.append(("installability, as Chromium reports it", f"{len(wrong)} errors"))
        errors = len(watch.errors)
    port = host.port
    host.stop()
    with profile("one") as (context, watch):
        tablet = Tablet(context, host)
        took_each, right = [], 0
        for path in random.Random(24).sample(pages_of(host.folder), 20):
            start = time.perf_counter()
            answer = tablet.page.goto(host.address + path)
            took_each.append(time.perf_counter() - start)
            right += bool(
                answer and answer.from_service_worker and answer.body() == (host.folder / path).read_bytes()
            )
        rows.append(
            (
                "browser restarted, host gone: 20 random pages",
                f"{right} of 20 with the bytes of the file, median {statistics.median(took_each) * 1000:.0f} ms",
            )
        )
        errors += len(watch.errors)
        rows.append(("console messages in all of this", str(errors)))
    host = Host(port)
    host.folder = editions(4)
    with profile("one") as (context, _):
        tablet = Tablet(context, host)
        tablet.open()
        number = 4
        for moment in sorted(random.Random(10).sample(range(1, changed), 10)):
            number += 1
            tablet.look()
            old, host.folder = host.folder, editions(number)
            need = len(set(load(host.folder)["files"].values()) - set(load(old)["files"].values()))
            host.left = 1 + moment
            host.asked.clear()
            stopped = tablet.look()
            arrived = len(host.asked) - 1
            host.mend()
            host.asked.clear()
            start = time.perf_counter()
            status = tablet.look()
            asked = len(host.asked) - 1
            rows.append(
                (
                    f"host gone after {moment} answers of an update",
                    f"{_state(stopped)}; taken up: {asked} files asked, {need - arrived} were missing, "
                    f"{time.perf_counter() - start:.1f} s, edition {status['now']['number']}",
                )
            )
        rows.append(("stored after ten updates", f"{tablet.usage() / 1e6:.1f} MB"))
        host.folder, host.wrong = editions(number + 1), {"leave-now.html"}
        rows.append(("one file with one letter changed", f"{_state(tablet.look())}, leave-now.html named"))
        host.mend()
        host.asked.clear()
        status = tablet.look()
        rows.append(("mended", f"{len(host.asked) - 1} file asked, edition {status['now']['number']}"))
        for code in (401, 500):
            host.refuses, before = code, tablet.audit()["files"]
            host.folder = editions(number + 2)
            status = tablet.look()
            rows.append(
                (
                    f"host that answers with error {code}",
                    f"{status['last']['state']}, {tablet.audit()['files'] - before} things stored, "
                    f"edition {status['now']['number']} answers",
                )
            )
        host.mend()
        host.portal, before = True, tablet.audit()["files"]
        status = tablet.look()
        rows.append(
            ("captive portal", f"{status['last']['state']}, {tablet.audit()['files'] - before} things stored")
        )
        host.mend()
        host.folder = editions(3)
        rows.append(("older list", f"{tablet.look()['last']['state']}, edition {number + 1} answers"))
        host.folder = editions(number + 2)
        tablet.room(tablet.usage() + 200_000)
        rows.append(("room for 0.2 MB more", _state(tablet.look())))
        tablet.room(None)
        rows.append(("room again", f"edition {tablet.look()['now']['number']} answers"))
        rows += _one_by_one(tablet, host, editions, number + 2)
        start = time.perf_counter()
        audit = tablet.audit()
        rows.append(
            (
                "every stored file held against its hash",
                f"{audit['files']} things, {len(audit['wrong'])} wrong, {time.perf_counter() - start:.1f} s",
            )
        )
    host.stop()
    return rows


def _one_by_one(tablet: Tablet, host: Host, editions: _Editions, number: int) -> list[tuple[str, str]]:
    rows = []
    tablet.open()
    host.folder = editions(number + 1)
    tablet.look()
    second = tablet.context.new_page()
    tablet.open("leave-now.html", second)
    tablet.stop_workers()
    stamps = f"{tablet.stamp()} and {tablet.stamp(second)}"
    rows.append((f"tabs of {number} and {number + 1}, worker stopped: page, stamp, file fetched now", stamps))
    second.close()
    tablet.open()
    path = pages_of(host.folder)[7]
    tablet.lose(load(host.folder)["files"][path])
    host.down = True
    lost = tablet.page.goto(host.address + path)
    host.mend()
    host.asked.clear()
    healed = tablet.open(path)
    asked = host.asked.count(path)
    host.down = True
    kept = tablet.open(path)
    host.mend()
    shown = f"{lost and lost.status} without signal; with signal {asked} request, edition {healed}; then without {kept}"
    rows.append(("one stored file lost", shown))
    host.folder = editions(number + 1, 99)
    status = tablet.look()
    rows.append(("same number, another list", f"{status['last']['state']}, edition {number + 1} answers"))
    used = tablet.usage()
    tablet.take_off()
    rows.append(("worker that switches off", f"{used / 1e6:.1f} MB deleted"))
    host.folder = editions(number + 1)
    tablet.install()
    tablet.open()
    return rows


def _schedules(editions: _Editions, start: Callable[[str], BrowserContext]) -> list[tuple[str, str]]:
    documents = switches = 0
    acts: Counter[str] = Counter()
    states: Counter[str] = Counter()
    failed: list[str] = []
    began = time.perf_counter()
    for seed in range(100, 100 + _SCHEDULES):
        host, name = Host(), f"schedule-{seed}"
        try:
            found = run_schedule(host, editions, partial(start, name), seed, 40)
        except AssertionError as fault:
            failed.append(str(fault).splitlines()[0])
            continue
        finally:
            host.stop()
            shutil.rmtree(editions.base.with_name(name), ignore_errors=True)
        acts.update(found["acts"])
        states.update(found["states"])
        documents += found["documents"]
        switches += found["switches"]
    took = time.perf_counter() - began
    return [
        (
            f"{_SCHEDULES} random schedules, seeds 100 to {99 + _SCHEDULES}",
            f"{len(failed)} failed; {acts.total()} acts, {documents} documents looked at, {switches} switches; "
            f"{took:.0f} s",
        ),
        ("acts of the schedules", _told(acts)),
        ("how their looks ended", _told(states)),
        *(("failed", each) for each in failed),
    ]


def _told(times: Counter[str]) -> str:
    return ", ".join(f"{name} {count}" for name, count in sorted(times.items()))
