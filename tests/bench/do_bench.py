"""Random logs of every page that a tablet leads through, random readings of every circuit: both ways come to the same."""

from __future__ import annotations

import json
import random
import sys
import time
from collections import Counter
from pathlib import Path
from tempfile import TemporaryDirectory

from playwright.sync_api import sync_playwright

from kbgen.cli import main
from kbgen.views.doing.replay import replay
from tests.doing_logs import random_log

sys.path.append(str(Path(__file__).resolve().parents[1] / "browser"))
import test_locate_judge
from conftest import QUIET, chromium
from technician import data_of, led

_ROOT = Path(__file__).resolve().parents[2]
_LOGS = 500
_SETS = 50
_SHOPS = test_locate_judge.SHOPS


def run() -> list[str]:
    """Measure; a row a thing that was counted."""
    with TemporaryDirectory() as place, sync_playwright() as playwright:
        site = Path(place) / "site"
        main(["build", "--kb", str(_ROOT / "kb_source"), "--out", str(site)])
        browser = playwright.chromium.launch(executable_path=chromium(), args=QUIET)
        judged = sum(test_locate_judge.compare(browser.new_page(), shop, _SETS)[0] for shop in _SHOPS)
        return [*compare(site, _LOGS, browser), f"| sets of readings judged | {judged:,}; differ: 0 |"]


def compare(site: Path, count: int, browser: object) -> list[str]:
    """Replay ``count`` logs a page both ways."""
    names = led(site)
    pages = {name: data_of(site, name) for name in names}
    page = browser.new_page()  # type: ignore[attr-defined]
    page.add_script_tag(path=_ROOT / "site_overrides" / "assets" / "js" / "do-state.js")
    page.evaluate("pages => { window.pages = pages; }", pages)
    seen, reached, differ, started = 0, Counter[str](), 0, time.perf_counter()
    for name in names:
        logs = [random_log(pages, name, random.Random(f"{name} {seed}"), 40) for seed in range(count)]
        there = page.evaluate("logs => logs.map((log) => replay(window.pages, log))", logs)
        here = [json.loads(json.dumps(replay(pages, log))) for log in logs]
        differ += sum(got != wanted for got, wanted in zip(there, here, strict=True))
        seen += len(logs)
        reached.update("stopped: " + state["stop"] if state["stop"] else "went on or ended" for state in here)
    ways = ", ".join(f"{what} {many}" for what, many in sorted(reached.items()))
    return [
        f"| logs replayed | {seen:,} of {len(names)} pages, {count} each; differ: {differ} |",
        f"| they ended | {ways} |",
        f"| time | {time.perf_counter() - started:.0f} s |",
    ]
