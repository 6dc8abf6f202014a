"""The list of files of an edition, and `kbgen verify` that holds a folder against it."""

from __future__ import annotations

import gzip
import hashlib
import json
import shutil
from pathlib import Path

import pytest
from PIL import Image

from kbgen.cli import main
from kbgen.compute.edition import Edition
from kbgen.compute.edition_number import edition_number
from kbgen.render.web import WebError, WebFiles, build_web, hold, read_list
from kbgen.render.web.scripts import minify, shipped
from tests.samples.web_book import FILES, web_book

ROOT = Path(__file__).resolve().parents[3]
WORKERS = ROOT / "site_overrides" / "offline"


@pytest.fixture
def site(web_edition: Path, tmp_path: Path) -> Path:
    """A copy that may be spoilt."""
    return shutil.copytree(web_edition, tmp_path / "site")


def test_the_list_names_every_file_but_itself_with_its_hash(web_edition: Path) -> None:
    data = json.loads((web_edition / "edition-files.json").read_bytes())
    found = {
        path.relative_to(web_edition).as_posix(): path for path in web_edition.rglob("*") if path.is_file()
    }
    del found["edition-files.json"]
    assert data["files"] == {
        path: hashlib.sha256(file.read_bytes()).hexdigest() for path, file in found.items()
    }
    assert data["bytes"] == sum(file.stat().st_size for file in found.values())
    assert (data["shop"], data["mark"], data["date"]) == ("test-sons", "3f2a9c1d", "2026-03-01")
    assert list(data["files"])[:4] == [
        "leave-now.html",
        "assets/icon.svg",
        "assets/icons/icon-180.png",
        "assets/css/kb.css",
    ], "the emergency page and what it looks like come first"


def test_the_same_book_gives_the_same_list(web_edition: Path, tmp_path: Path) -> None:
    made = build_web(web_book(), WebFiles(FILES), tmp_path / "again")
    assert (tmp_path / "again" / "edition-files.json").read_bytes() == (
        web_edition / "edition-files.json"
    ).read_bytes()
    assert made.photos == len(FILES["photos/glass.png"])
    assert made.listed == read_list(web_edition)


@pytest.mark.parametrize(
    ("epoch", "number"), [("", 1772323200), ("soon", 1772323200), ("0", 0), ("1790000123", 1790000123)]
)
def test_the_number_is_the_seconds_given_or_those_of_the_newest_day(
    monkeypatch: pytest.MonkeyPatch, epoch: str, number: int
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", epoch)
    assert edition_number(Edition("3f2a9c1d", "2026-03-01")) == number


def test_verify_prints_mark_and_fingerprint(site: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify", str(site)]) == 0
    digits = hashlib.sha256((site / "edition-files.json").read_bytes()).hexdigest()[:20]
    shown = capsys.readouterr().out
    assert " ".join(digits[at : at + 4] for at in range(0, 20, 4)) in shown
    assert "3f2a9c1d of 2026-03-01" in shown
    (site / "edition-files.json.sig").write_text("a signature is no file of the edition", encoding="utf-8")
    assert main(["verify", str(site), "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert (data["fingerprint"], data["edition"]["id"]) == (digits, "3f2a9c1d")


def test_verify_names_what_is_missing_changed_and_foreign(
    site: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (site / "terms" / "lockout.html").unlink()
    page = site / "leave-now.html"
    page.write_bytes(page.read_bytes().replace(b"Leave", b"Leaf", 1))
    (site / "terms" / "extra.html").write_text("", encoding="utf-8")
    held = hold(site, read_list(site))
    assert (held.missing, held.changed, held.foreign) == (
        ("terms/lockout.html",),
        ("leave-now.html",),
        ("terms/extra.html",),
    )
    assert main(["verify", str(site)]) == 1
    said = capsys.readouterr().err
    for line in ("missing: terms/lockout.html", "changed: leave-now.html", "not listed: terms/extra.html"):
        assert line in said


@pytest.mark.parametrize(
    "text",
    [
        "",
        "[]",
        "{}",
        '{"format": 2}',
        "<!doctype html>",
        '{"format": 1, "shop": "x", "mark": "3f2a9c1d", "date": "2026-03-01", "number": 1, "bytes": 1, "files": '
        '{"../../etc/passwd": "' + 64 * "0" + '"}}',
        '{"format": 1, "shop": "x", "mark": "3f2a9c1d", "date": "2026-03-01", "number": 1, "bytes": 1, "files": '
        '{"index.html": "short"}}',
    ],
)
def test_what_is_no_list_is_refused(site: Path, text: str, capsys: pytest.CaptureFixture[str]) -> None:
    (site / "edition-files.json").write_text(text, encoding="utf-8")
    with pytest.raises(WebError, match=r"edition-files\.json is no list"):
        read_list(site)
    assert main(["verify", str(site)]) == 2
    assert "build the edition anew" in capsys.readouterr().err


def test_what_is_no_folder_with_a_list_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "a.html").write_text("", encoding="utf-8")
    for place, fault in (
        (tmp_path, f"{tmp_path} has no edition-files.json"),
        (tmp_path / "a.html", f"{tmp_path}/a.html is a file"),
        (tmp_path / "b", f"there is no folder {tmp_path}/b"),
    ):
        assert main(["verify", str(place)]) == 2
        assert capsys.readouterr().err == f"kbgen: {fault}; give the folder that kbgen build wrote\n"


def test_a_folder_that_is_a_link_to_elsewhere_is_not_read_as_a_page(site: Path) -> None:
    (site / "terms" / "lockout.html").unlink()
    (site / "terms" / "lockout.html").symlink_to("nowhere.html")
    assert hold(site, read_list(site)).changed == ("terms/lockout.html",)


@pytest.mark.skipif(minify is None, reason="scripts are shipped as they are written here")
def test_the_worker_is_small(web_edition: Path) -> None:
    written = (web_edition / "sw.js").read_bytes()
    assert len(gzip.compress(written, 9)) < 3 * 1024
    assert written == shipped((WORKERS / "sw.js").read_text(encoding="utf-8")).encode()
    assert b"test-sons" not in written, "its bytes are the same in every shop"


def test_the_manifest_says_what_an_installed_page_needs(web_edition: Path) -> None:
    manifest = json.loads((web_edition / "manifest.webmanifest").read_text(encoding="utf-8"))
    assert (manifest["name"], manifest["display"]) == ("Test & Sons <Plant>", "standalone")
    assert (manifest["start_url"], manifest["scope"]) == ("index.html", ".")
    for icon in manifest["icons"]:
        with Image.open(web_edition / icon["src"]) as picture:
            assert f"{picture.width}x{picture.height}" == icon["sizes"]
            assert picture.format == "PNG"


def test_an_icon_for_masks_keeps_its_sign_in_the_safe_middle() -> None:
    with Image.open(ROOT / "site_overrides/assets/icons/icon-512-maskable.png") as picture:
        flat = picture.convert("RGB")
    ground = flat.getpixel((0, 0))
    inked = [(x, y) for x in range(512) for y in range(512) if flat.getpixel((x, y)) != ground]
    assert inked
    assert max((x - 255.5) ** 2 + (y - 255.5) ** 2 for x, y in inked) ** 0.5 <= 0.4 * 512
