"""The preview while somebody writes: ten edits, each seen on the open page; nothing of the author's is written."""

from __future__ import annotations

import http.client
import os
import re
import shutil
import signal
import socket
import struct
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from tests.browser.conftest import Watch

SHOP = Path(__file__).parents[1] / "kb" / "good" / "zellick-ph"


@pytest.fixture
def kb(tmp_path: Path) -> Path:
    return Path(shutil.copytree(SHOP, tmp_path / "kb"))


@pytest.fixture
def preview(kb: Path, watch: Watch) -> Iterator[str]:
    """A running preview; it must end by itself and cleanly on Ctrl-C."""
    environment = {**os.environ, "XDG_CACHE_HOME": str(kb.parent / "cache")}
    words = [sys.executable, "-m", "kbgen", "serve", "--kb", "kb"]
    running = subprocess.Popen(
        words, cwd=kb.parent, env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    assert running.stdout is not None
    try:
        address = re.search(r"http://\S+", running.stdout.readline())
        assert address is not None
        watch.own.append(address.group())
        yield address.group()
    finally:
        running.send_signal(signal.SIGINT)
        said, faults = running.communicate(timeout=60)
    assert running.returncode == 0
    assert said.endswith("preview ended\n")
    assert faults == ""


def change(file: Path, old: str, new: str) -> None:
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")


def test_ten_edits_are_seen_on_the_open_page(page: Page, watch: Watch, kb: Path, preview: str) -> None:
    symptom, title = first_symptom(kb)
    panel = page.locator(".preview")
    page.goto(f"{preview}symptoms/{symptom.stem}.html")
    heading = page.locator("h1")
    expect(heading).to_have_text(title)

    # A tablet keeps nothing of a preview.
    assert page.evaluate("window.kbEdition.preview") is True
    assert page.evaluate("navigator.serviceWorker.getRegistrations().then(found => found.length)") == 0

    # One to three: another title, thrice.
    for number in range(3):
        change(symptom, f"title: {title}", f"title: {title} {number}")
        title = f"{title} {number}"
        expect(heading).to_have_text(title)

    # Four: a syntax fault. The page stays as it was and says what `check` says, with the line.
    sound = symptom.read_text(encoding="utf-8")
    symptom.write_text(f"{sound}more: [\n", encoding="utf-8")
    expect(panel).to_contain_text(f"kb/symptoms/{symptom.name}:{len(sound.splitlines()) + 1}:")
    expect(panel).to_contain_text("cannot be shown as it is now")
    expect(heading).to_have_text(title)
    said = checked(kb)
    assert page.locator(".preview-error").first.inner_text().strip() in said

    # Five: mended.
    symptom.write_text(sound, encoding="utf-8")
    expect(panel).not_to_contain_text("cannot be shown")

    # Six: where the reader was, the page stays.
    page.set_viewport_size({"width": 820, "height": 400})
    # The page may still be being set: what counts is that it was scrolled, not at the first attempt.
    page.wait_for_function(
        "() => { window.scrollTo({ top: 300, behavior: 'instant' }); return window.scrollY > 0; }"
    )
    at = page.evaluate("window.scrollY")
    change(symptom, f"title: {title}", f"title: {title} again")
    title += " again"
    expect(heading).to_have_text(title)
    # A function and no text: the policy of the page lets no text be evaluated. A longer title may wrap.
    page.wait_for_function("at => Math.abs(window.scrollY - at) <= 60", arg=at)

    # Seven: renamed. The old address says that nothing is there; the new one has the page.
    new = symptom.rename(symptom.with_name("another-name.yaml"))
    expect(heading).to_have_text("There is no such page")
    watch.errors.clear()
    page.goto(f"{preview}symptoms/another-name.html")
    expect(heading).to_have_text(title)

    # Eight: a draft is shown.
    change(new, f"title: {title}\n", f"title: {title}\nstatus: draft\n")
    expect(page.locator("main")).to_contain_text("raft")

    # Nine: deleted, and ten: written anew, while the page is open.
    text = new.read_text(encoding="utf-8")
    new.unlink()
    expect(heading).to_have_text("There is no such page")
    watch.errors.clear()
    new.write_text(text, encoding="utf-8")
    expect(heading).to_have_text(title)

    # Nothing of the author's was written.
    assert new.read_text(encoding="utf-8") == text
    names = {file.name for file in kb.rglob("*")}
    assert names == {file.name for file in SHOP.rglob("*")} - {symptom.name} | {new.name}
    watch.errors.clear()


def test_printed_pages_follow_what_is_saved(page: Page, watch: Watch, kb: Path, preview: str) -> None:
    symptom, title = first_symptom(kb)
    page.goto(f"{preview}symptoms/{symptom.stem}.html")
    page.get_by_role("link", name="Printed pages").click()
    sheets = page.locator("main img")
    expect(sheets).not_to_have_count(0)
    before = [each.get_attribute("src") for each in sheets.all()]
    assert all(
        sheets.nth(at).evaluate("each => each.decode().then(() => each.naturalWidth)") for at in range(2)
    )
    change(symptom, f"title: {title}", f"title: {title} once more")
    expect(sheets.first).not_to_have_attribute("src", before[0] or "")
    # Broken: nothing of it is printed; mended: it is again.
    text = symptom.read_text(encoding="utf-8")
    symptom.write_text(f"{text}more: [\n", encoding="utf-8")
    expect(page.get_by_text("Nothing of it is printed as it is now")).to_be_visible()
    symptom.write_text(text, encoding="utf-8")
    expect(sheets).not_to_have_count(0)
    found = Axe().run(page)
    assert [each["id"] for each in found.response["violations"]] == []


def test_all_problems_stand_on_one_page(page: Page, kb: Path, preview: str) -> None:
    page.goto(f"{preview}.kbgen/problems")
    said = checked(kb)
    shown = [text.strip() for text in page.locator("pre").all_inner_texts()]
    assert shown
    assert all(text in said for text in shown)
    assert len(shown) == said.count("  hint: ")
    result = Axe().run(page)
    assert [each["id"] for each in result.response["violations"]] == []


def test_another_host_gets_nothing(kb: Path, preview: str) -> None:
    place = urlsplit(preview)
    for host, status in (
        (place.netloc, 200),
        ("elsewhere.example", 403),
        (f"elsewhere.example:{place.port}", 403),
    ):
        asked = http.client.HTTPConnection(place.hostname or "", place.port or 0, timeout=60)
        asked.request("GET", "/index.html", headers={"Host": host})
        answer = asked.getresponse()
        assert answer.status == status
        assert answer.getheader("Cross-Origin-Resource-Policy") == "same-origin"
        asked.close()


def first_symptom(kb: Path) -> tuple[Path, str]:
    file = min((kb / "symptoms").glob("*.yaml"))
    found = re.search(r"^title: (.*)$", file.read_text(encoding="utf-8"), flags=re.MULTILINE)
    assert found is not None
    return file, found.group(1)


def checked(kb: Path) -> str:
    """Return what `check` says on the terminal."""
    words = [sys.executable, "-m", "kbgen", "check", "--no-cache", "--kb", "kb"]
    return subprocess.run(words, cwd=kb.parent, capture_output=True, text=True, check=False).stdout


def test_a_browser_that_goes_away_is_no_fault(preview: str) -> None:
    """The preview says nothing of it; the fixture holds that its faults are empty."""
    place = urlsplit(preview)
    for sent in (b"", b"GET / HTTP/1.1\r\nHost: "):
        line = socket.create_connection((place.hostname or "", place.port or 0))
        line.sendall(sent)
        # Reset, not closed: what a browser does that is shut in the middle.
        line.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
        line.close()
        # What came after it is answered.
        asked = http.client.HTTPConnection(place.hostname or "", place.port or 0, timeout=60)
        asked.request("GET", "/index.html")
        assert asked.getresponse().status == 200
        asked.close()
