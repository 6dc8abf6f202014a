"""What the procedures of the demonstration take: lines, steps, states and time of their walk, screens."""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

from playwright.sync_api import Browser, sync_playwright

from kbgen.compute.walk import walk
from kbgen.model.procedure import Procedure
from kbgen.outputs.web import build_edition
from kbgen.pipeline import Compiled, compile_folder
from kbgen.store import open_store

sys.path.append(str(Path(__file__).resolve().parents[1] / "browser"))
from conftest import QUIET, chromium

_ROOT = Path(__file__).resolve().parents[2]
_SCREENS = {"tablet 820 x 1180": (820, 1180), "phone 360 x 740": (360, 740)}
_WALKS = 2
"""A walk is timed so often; the shortest time counts."""


class Taken(NamedTuple):
    """What one page takes.

    Attributes:
        lines: Of its file.
        typed: Lines of its steps, as written.
        steps: Of the page written out.
        states: Of the walk with what arrives from other pages.
        cpu: Of a walk by itself, in seconds.
        tablet: Height of the page in screens, all that opens shut.
        phone: The same.
    """

    lines: float
    typed: float
    steps: float
    states: float
    cpu: float
    tablet: float
    phone: float

    def told(self) -> str:
        """Return its cells."""
        whole = " | ".join(f"{each:,.0f}" for each in self[:4])
        return f"{whole} | {self.cpu:.2f} | {self.tablet:.2f} | {self.phone:.2f}"


def run() -> list[str]:
    """Measure: each find page, and of each plant sum, median and most of its pages."""
    with TemporaryDirectory() as temporary, sync_playwright() as play, open_store() as store:
        compiled = compile_folder(_ROOT / "kb_source", store=store)
        site = Path(temporary)
        build_edition(compiled, site, lambda _: None)
        browser = play.chromium.launch(executable_path=chromium(), args=list(QUIET))
        taken = dict(_pages(compiled, site, browser))
        browser.close()
    return [
        "| pages | lines | steps typed | written out | walk states | walk CPU s | "
        + " | ".join(_SCREENS)
        + " |",
        "| --- |" + " --: |" * len(Taken._fields),
        *_rows(taken),
    ]


def _pages(compiled: Compiled, site: Path, browser: Browser) -> Iterator[tuple[str, Taken]]:
    for entry, procedure in compiled.base.of(Procedure):
        name = entry.ref.id
        file = _ROOT / f"kb_source/procedures/{name}.yaml"
        if not file.exists():
            continue
        lines = len(file.read_text(encoding="utf-8").splitlines())
        yield (
            name,
            Taken(
                lines,
                len(procedure.written or procedure.steps),
                len(procedure.steps),
                compiled.walks[entry.ref].states,
                min(_timed(compiled, name) for _ in range(_WALKS)),
                *_screens(browser, site / f"procedures/{name}.html"),
            ),
        )


def _timed(compiled: Compiled, name: str) -> float:
    entry = next(entry for entry, _ in compiled.base.of(Procedure) if entry.ref.id == name)
    begun = time.process_time()
    walk(compiled.base, entry)
    return time.process_time() - begun


def _screens(browser: Browser, file: Path) -> Iterator[float]:
    for width, height in _SCREENS.values():
        page = browser.new_page(viewport={"width": width, "height": height})
        page.goto(file.as_uri())
        yield page.evaluate("document.documentElement.scrollHeight") / height
        page.close()


def _rows(taken: Mapping[str, Taken]) -> Iterator[str]:
    for name, each in taken.items():
        if "-find-open-contact" in name:
            yield f"| {name} | {each.told()} |"
    groups = {
        plant: [e for n, e in taken.items() if n.startswith(f"{plant}-")]
        for plant in sorted({name.partition("-")[0] for name in taken})
    }
    for title, pages in (*groups.items(), ("all", list(taken.values()))):
        for what, of in (("sum", sum), ("median", statistics.median), ("most", max)):
            yield f"| {title}, {len(pages)}, {what} | {_each(pages, of).told()} |"


def _each(pages: Sequence[Taken], of: object) -> Taken:
    assert callable(of)
    return Taken(*(of(column) for column in zip(*pages, strict=True)))
