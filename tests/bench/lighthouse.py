"""Lighthouse of the edition as a host serves it: home, a symptom, a procedure, and the same at its first step.

``python -m tests.bench.lighthouse SITE [TIMES]`` prints the median of TIMES (five) for each page. Performance is of this
machine: run it on a quiet one. Lighthouse itself comes from npm, through ``npx``.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import threading
from collections.abc import Mapping
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from math import inf
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from typing import Any

sys.path.append(str(Path(__file__).resolve().parents[1] / "browser"))
from conftest import chromium

PAGES = {
    "home": "index.html",
    "symptom": "symptoms/sb-limits-not-made.html",
    "procedure": "procedures/sb-find-open-contact.html",
    "its start at #do": "procedures/sb-record-evidence.html#do",
}
KINDS = ("performance", "accessibility", "best-practices")
FIGURES = {
    "layout shift": "cumulative-layout-shift",
    "blocked, ms": "total-blocking-time",
    "largest drawn, ms": "largest-contentful-paint",
}
_LIGHTHOUSE = "lighthouse@12"


class _Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *_: object) -> None:
        """Say nothing."""


def measured(address: str) -> list[float]:
    """Return the scores of one run, 0 to 100, and its figures.

    Raises:
        CalledProcessError: Lighthouse could not be fetched, or failed.
    """
    with TemporaryDirectory() as place:
        report = Path(place) / "report.json"
        subprocess.run(
            [
                *("npx", "--yes", _LIGHTHOUSE, address, "--quiet", "--output=json"),
                *(f"--output-path={report}", f"--only-categories={','.join(KINDS)}"),
                "--chrome-flags=--headless=new --no-sandbox --disable-gpu",
            ],
            check=True,
            env={**os.environ, "CHROME_PATH": str(chromium(windowed=True))},
        )
        told = json.loads(report.read_text(encoding="utf-8"))
    return read(told)


def read(told: Mapping[str, Any]) -> list[float]:
    """Return the scores and figures of a report; what could not be measured counts as the worst, so that it is seen."""
    scores = [100 * (told["categories"][kind]["score"] or 0) for kind in KINDS]
    figures = (told["audits"].get(name, {}).get("numericValue") for name in FIGURES.values())
    return [*scores, *(inf if each is None else each for each in figures)]


def main(site: Path, times: int = 5) -> None:
    """Serve the edition and measure its pages."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(_Quiet, directory=str(site)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    names = [kind.replace("-", " ") for kind in KINDS] + list(FIGURES)
    print(f"load {os.getloadavg()[0]:.1f}, median of {times}")
    print(f"| page | {' | '.join(names)} |\n|---|{'---|' * len(names)}")
    for name, where in PAGES.items():
        runs = [measured(f"http://127.0.0.1:{server.server_port}/{where}") for _ in range(times)]
        middle = [median(each) for each in zip(*runs, strict=True)]
        shown = [f"{each:.3f}" if each and each < 1 else f"{each:.0f}" for each in middle]
        print(f"| {name} | {' | '.join(shown)} |", flush=True)
    server.shutdown()


if __name__ == "__main__":
    main(Path(sys.argv[1]).resolve(), *map(int, sys.argv[2:3]))
