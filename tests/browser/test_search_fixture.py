"""The watch of the browser tests must itself notice what it is there for."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from playwright.sync_api import Page

if TYPE_CHECKING:
    from conftest import Watch


def test_watch_notices_script_errors_and_requests_that_leave_the_site(
    page: Page, watch: Watch, serve: Callable[[Path], str], tmp_path: Path
) -> None:
    (tmp_path / "index.html").write_text(
        "<link rel=icon href='data:,'><img src='http://192.0.2.1/x.png'><script>throw new Error('torn')</script>"
    )
    page.route("http://192.0.2.1/**", lambda route: route.fulfill(body=""))
    page.goto(serve(tmp_path), wait_until="load")
    assert any("torn" in error for error in watch.errors)
    assert watch.foreign == ["http://192.0.2.1/x.png"]
    watch.errors.clear()
    watch.foreign.clear()
