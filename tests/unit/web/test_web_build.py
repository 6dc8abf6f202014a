"""The folder as a whole: what is in it, what is not, and that it is the same twice."""

from __future__ import annotations

import hashlib
import re
from dataclasses import replace
from pathlib import Path

import pytest

from kbgen.render.web import WebError, WebFiles, build_web
from kbgen.render.web.frames import configuration_of
from kbgen.render.web.mkdocs_build import mkdocs_build
from kbgen.render.web.pages import leaves_of, page_tree
from tests.conftest import Golden
from tests.samples.web_book import DEVICE, FILES, web_book

GOLDEN = Path(__file__).parent / "golden"
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
    "worker-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'"
)


def digests(site: Path) -> dict[str, str]:
    files = (file for file in site.rglob("*") if file.is_file())
    return {
        file.relative_to(site).as_posix(): hashlib.sha256(file.read_bytes()).hexdigest() for file in files
    }


@pytest.mark.parametrize(
    "page",
    [
        "index",
        "leave-now",
        "symptoms/limits-not-made",
        "symptoms/limit-open",
        "procedures/find-open-contact",
        "terms/hostile",
        "terms/index",
    ],
)
def test_golden_page(web_edition: Path, golden: Golden, page: str) -> None:
    text = (web_edition / f"{page}.html").read_text(encoding="utf-8")
    golden(GOLDEN / f"{page.replace('/', '-')}.html", text)


def test_two_builds_have_the_same_bytes(
    web_edition: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TZ", "Pacific/Auckland")
    build_web(web_book(), WebFiles(FILES), tmp_path / "elsewhere")
    assert digests(tmp_path / "elsewhere") == digests(web_edition)


def test_a_number_given_from_outside_changes_the_stamp_and_the_list_only(
    web_edition: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "86400")
    build_web(web_book(), WebFiles(FILES), tmp_path / "site")
    ours, theirs = digests(tmp_path / "site"), digests(web_edition)
    assert {path for path in ours if ours[path] != theirs[path]} == {
        "assets/edition.js",
        "edition-files.json",
    }


def test_a_new_edition_changes_its_stamp_and_list_when_no_page_changed(
    web_edition: Path, tmp_path: Path
) -> None:
    book = web_book()
    newer = replace(book, edition=book.edition._replace(id="00000000", date="2026-04-01"))
    build_web(newer, WebFiles(FILES), tmp_path / "site")
    ours, theirs = digests(tmp_path / "site"), digests(web_edition)
    assert {path for path in ours if ours[path] != theirs[path]} == {
        "assets/edition.js",
        "edition-files.json",
    }


def test_only_what_pages_use_is_in_the_folder(web_edition: Path) -> None:
    others = sorted(path for path in digests(web_edition) if not path.endswith(".html"))
    assert others == [
        "assets/css/do.css",
        "assets/css/kb.css",
        "assets/css/tablet.css",
        "assets/edition.js",
        "assets/icon.svg",
        "assets/icons/icon-180.png",
        "assets/icons/icon-192.png",
        "assets/icons/icon-512-maskable.png",
        "assets/icons/icon-512.png",
        "assets/js/danger.js",
        "assets/js/do-store.js",
        "assets/js/do.js",
        "assets/js/fingerprint.js",
        "assets/js/kb.js",
        "assets/js/locate-evidence.js",
        "assets/js/locate-judge.js",
        "assets/js/locate-next.js",
        "assets/js/locate.js",
        "assets/js/note.js",
        "assets/js/offline.js",
        "assets/js/plant.js",
        "assets/js/qr.js",
        "assets/js/scheme.js",
        "assets/js/search-box.js",
        "assets/js/search-engine.js",
        "assets/js/site.js",
        "assets/js/steps.js",
        "assets/js/tablet.js",
        "assets/plants.js",
        "assets/search-index.js",
        "assets/steps/leave-now.js",
        "assets/steps/words.js",
        "edition-files.json",
        "kbgen-web-edition.txt",
        "manifest.webmanifest",
        "photos/glass.png",
        "sw-off.js",
        "sw.js",
    ]


def test_every_address_is_lower_case_ascii(web_edition: Path) -> None:
    for path in digests(web_edition):
        assert re.fullmatch(r"[a-z0-9/_.-]+", path)


def test_a_short_page_is_small_and_does_not_grow_with_the_number_of_entries(
    web_edition: Path, tmp_path: Path
) -> None:
    build_web(web_book(extra_terms=60), WebFiles(FILES), tmp_path / "site")
    few, many = (site / "terms" / "one-paragraph.html" for site in (web_edition, tmp_path / "site"))
    assert many.read_bytes() == few.read_bytes()
    assert few.stat().st_size < 8_000


def test_every_page_carries_policy_notice_and_edition_slot(web_edition: Path) -> None:
    for file in web_edition.rglob("*.html"):
        text = file.read_text(encoding="utf-8")
        if file.name == "404.html" or 'http-equiv="refresh"' in text:
            continue
        assert f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">' in text
        assert "Local codes, the maker&#39;s instructions and licensed practice come first." in text
        assert "data-edition" in text
        assert "3f2a9c1d" not in text
        assert 'href="../leave-now.html"' in text or 'href="./leave-now.html"' in text


def test_drafts_are_marked_above_their_title(web_edition: Path) -> None:
    text = (web_edition / "procedures" / "find-open-contact.html").read_text(encoding="utf-8")
    assert 0 < text.index('class="kb-draft"') < text.index("<h1>")
    assert "kb-draft" not in (web_edition / "terms" / "lockout.html").read_text(encoding="utf-8")


def test_one_list_numbered_through_with_cautions_before_their_step(web_edition: Path) -> None:
    text = (web_edition / "procedures" / "find-open-contact.html").read_text(encoding="utf-8")
    assert text.count('<ol class="kb-steps"') == 1
    assert re.findall(r'<p class="kb-number">(\d+)</p>', text) == [str(n) for n in range(1, 26)]
    twelfth = text[text.index('id="step-12"') : text.index('id="step-13"')]
    assert twelfth.index("Door seal") < twelfth.index('<p class="kb-number">12</p>')


def test_a_dead_link_stops_the_build_and_keeps_the_last_edition(tmp_path: Path) -> None:
    out = tmp_path / "site"
    build_web(web_book(), WebFiles(FILES), out)
    before = digests(out)
    book = web_book()
    without = replace(book, pages=tuple(page for page in book.pages if page.ref != DEVICE))
    with pytest.raises(WebError, match=r"devices/low-water\.html: no such file"):
        build_web(without, WebFiles(FILES), out)
    assert digests(out) == before


def test_two_pages_cannot_have_one_address(tmp_path: Path) -> None:
    book = web_book()
    clash = replace(book.pages[-1], former_ids=("lockout",))
    with pytest.raises(WebError, match=r"Two pages want the address terms/lockout\.html"):
        build_web(replace(book, pages=(*book.pages[:-1], clash)), WebFiles(FILES), tmp_path / "site")


def test_mkdocs_builds_the_whole_tree_to_the_same_pages(web_edition: Path, tmp_path: Path) -> None:
    """Pages set into a frame are what a site builder makes of the tree: it stays our way out."""
    book = web_book()
    leaves = [each for leaf in leaves_of(book) for each in (leaf, *leaf.forwarding())]
    for path, text in page_tree(leaves):
        file = tmp_path / "pages" / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8", newline="\n")
    mkdocs_build(tmp_path / "pages", tmp_path / "site", configuration_of(book.shop, book.menu))
    for leaf in leaves:
        whole, ours = ((site / leaf.address).read_bytes() for site in (tmp_path / "site", web_edition))
        assert whole == ours, leaf.address


def test_a_complaint_of_mkdocs_becomes_an_error(tmp_path: Path) -> None:
    pages = tmp_path / "pages"
    pages.mkdir()
    (pages / "index.md").write_text("[gone](gone.md)\n")
    extra = {"shop": "x", "language": "en", "notice": "n", "menu": [], "find_home_hash": "sha256-x"}
    with pytest.raises(WebError, match=r"complained(.|\n)*gone\.md"):
        mkdocs_build(pages, tmp_path / "site", {"site_name": "Name", "extra": extra})
