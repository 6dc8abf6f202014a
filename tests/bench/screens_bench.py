"""How many screens each composed procedure of the demonstration takes, with its cautions, and how many sheets."""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from playwright.sync_api import sync_playwright

from kbgen.model.procedure import Procedure
from kbgen.outputs.web import build_edition
from kbgen.pipeline import compile_folder
from kbgen.store import open_store

sys.path.append(str(Path(__file__).resolve().parents[1] / "browser"))
from conftest import QUIET, chromium

_ROOT = Path(__file__).resolve().parents[2]
_SCREENS = {"tablet 820 x 1180": (820, 1180), "phone 360 x 740": (360, 740)}


def run() -> list[str]:
    """Measure in a browser."""
    lines = [f"| page | steps | {' | '.join(_SCREENS)} |", "| --- | --- |" + " --- |" * len(_SCREENS)]
    with TemporaryDirectory() as temporary, sync_playwright() as play, open_store() as store:
        compiled = compile_folder(_ROOT / "kb_source", store=store)
        site = Path(temporary) / "site"
        build_edition(compiled, site, lambda _: None)
        browser = play.chromium.launch(executable_path=chromium(), args=list(QUIET))
        for entry, procedure in compiled.base.of(Procedure):
            if not procedure.written:
                continue
            found = []
            for width, height in _SCREENS.values():
                page = browser.new_page(viewport={"width": width, "height": height})
                page.goto((site / f"procedures/{entry.ref.id}.html").as_uri())
                found.append(f"{page.evaluate('document.documentElement.scrollHeight') / height:.1f}")
                page.close()
            lines.append(f"| {entry.ref.id} | {len(procedure.steps)} | {' | '.join(found)} |")
        browser.close()
    return lines
