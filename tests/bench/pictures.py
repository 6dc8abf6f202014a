"""The pictures of README: a job on the tablet, driven in Chromium on the demonstration.

``python -m tests.bench.pictures SITE`` writes them into ``tests/pictures``, at the size of a tablet and in few colours.
"""

from __future__ import annotations

import io
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

from PIL import Image
from playwright.sync_api import Page, expect, sync_playwright

sys.path.append(str(Path(__file__).resolve().parents[1] / "browser"))
from conftest import QUIET, chromium
from technician import Data, Technician, data_of, route

PICTURES = Path(__file__).resolve().parents[1] / "pictures"
SIZE = (820, 1180)
COLOURS = 24
"""Text on few grounds needs no more, and a picture stays under 50 KB."""
WHEN = datetime(2026, 11, 30, 9, 5, tzinfo=UTC)
RECORD, FIND = "sb-record-evidence", "sb-find-open-contact"
READING = "step-hunt.T24"


class Reader(Technician):
    """A technician whose supply reads like one: the same volts wherever they are all there."""

    def figures(self, step: Data, verdict: str) -> Iterator[float]:
        """Yield what is typed at a step."""
        if "volts" in step:
            yield {"none": 0.3, "some": 40}.get(verdict, 119)
        else:
            yield from super().figures(step, verdict)


def take(page: Page, name: str) -> None:
    """Write what the screen shows."""
    page.wait_for_timeout(300)
    shot = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
    PICTURES.mkdir(exist_ok=True)
    shot.quantize(COLOURS, dither=Image.Dither.NONE).save(PICTURES / f"{name}.png", optimize=True)


def job(page: Page, site: Path) -> None:
    """Find the open contact of a boiler that is known to the shop, and hand the record over."""
    person = Reader(page, site)
    page.goto((site / "index.html").as_uri())
    page.get_by_role("searchbox").first.fill("limits not made")
    page.locator(".kb-search-hit").first.wait_for()
    take(page, "tablet-search")
    person.open(RECORD)
    page.locator(".kb-do-tiles button", has_text="T-101").click()
    page.get_by_label("Your initials").fill("MK")
    page.locator(".kb-do-tiles").first.scroll_into_view_if_needed()
    take(page, "tablet-begin")
    person.tap("Begin")
    person.follow(route(person.data, end="found"))
    person.tap("Done. This page ends here")
    page.locator(f".kb-do-body a[href*='{FIND}']").click()
    person.data, person.at = data_of(site, FIND), 0
    page.get_by_label("Your initials").fill("MK")
    person.tap("Begin")
    person.follow(route(person.data, through=READING))
    person.shown()
    take(page, "tablet-reading")
    page.get_by_role("button", name="This step is wrong here").click()
    page.locator(".kb-do-field input").fill("T24 is painted over, read T23")
    take(page, "tablet-wrong")
    person.tap("Keep it")
    person.follow(route(person.data, end="found", at=person.at))
    person.tap("Done. This page ends here")
    person.tap("The record of this job")
    person.tap("Show it as a code")
    expect(page.locator(".kb-do-code svg")).to_be_visible()
    page.locator(".kb-do-code").scroll_into_view_if_needed()
    take(page, "tablet-record")
    page.goto((site / "plants" / "t-101.html").as_uri())
    take(page, "tablet-machine")


def main(site: Path) -> None:
    """Drive the job and write the pictures."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=QUIET)
        page = browser.new_page(viewport={"width": SIZE[0], "height": SIZE[1]}, timezone_id="UTC")
        page.set_default_timeout(15_000)
        page.clock.install(time=WHEN)
        job(page, site.resolve())
        browser.close()
    for file in sorted(PICTURES.glob("*.png")):
        print(f"{file.name}: {-(-file.stat().st_size // 1024)} KB")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
