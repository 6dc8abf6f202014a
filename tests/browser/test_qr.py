"""The code of a job record: what a telephone reads from it is what was put in."""

from __future__ import annotations

from pathlib import Path

import pytest
import segno
from playwright.sync_api import Browser

SCRIPT = Path(__file__).parents[2] / "site_overrides/assets/js/qr.js"
DRAWN = """text => { const drawn = window.kbQr(text), side = drawn.viewBox.baseVal.width - 8;
  const rows = Array.from({length: side}, () => Array(side).fill(0));
  for (const [, x, y] of drawn.querySelector("path").getAttribute("d").matchAll(/M(\\d+) (\\d+)h1v1h-1z/g)) rows[y - 4][x - 4] = 1;
  return rows; }"""


# Each fills its code to the last byte: how a code is filled up is left to who makes it, and no reader looks at it.
@pytest.mark.parametrize("text", ["KBJ1.7VZNb9s4EP0rhs5tAbcde", ("KBJ1." + "aZ09-_" * 35)[:213]])
def test_a_code_is_one_that_another_program_draws_of_the_same_text(browser: Browser, text: str) -> None:
    page = browser.new_page()
    try:
        page.add_script_tag(path=SCRIPT)
        rows = page.evaluate(DRAWN, text)
    finally:
        page.close()
    known = [
        segno.make(text, error="M", mask=mask, mode="byte", boost_error=False, micro=False).matrix
        for mask in range(8)
    ]
    assert rows in [[list(row) for row in matrix] for matrix in known]


def test_what_is_too_long_for_one_code_is_refused(browser: Browser) -> None:
    page = browser.new_page()
    try:
        page.add_script_tag(path=SCRIPT)
        assert page.evaluate(
            "text => { try { kbQr(text); return false } catch (long) { return true } }", "a" * 1600
        )
    finally:
        page.close()
