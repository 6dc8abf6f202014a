"""The web edition from a book: pages, MkDocs, prune, check links, one rename."""

from __future__ import annotations

import base64
import hashlib
import json
import shutil
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from markupsafe import escape

from kbgen.compute.edition_number import edition_number
from kbgen.render.web.error import WebError
from kbgen.render.web.filelist import FileList, write_list
from kbgen.render.web.inline import InlineWriter
from kbgen.render.web.linkcheck import check_links
from kbgen.render.web.mkdocs_build import mkdocs_build
from kbgen.render.web.offline import offline_files
from kbgen.render.web.pages import page_tree
from kbgen.render.web.publish import replacing
from kbgen.render.web.scripts import ship
from kbgen.resources import folder
from kbgen.views.address import NOT_FOUND
from kbgen.views.blocks import Helper
from kbgen.views.page import Book

Progress = Callable[[str], None]
_SHOWN_FAULTS = 10


@dataclass(frozen=True, slots=True)
class WebFiles:
    """Files that stand beside the pages, by address: the search index, photos."""

    content: Mapping[str, bytes] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class WebResult:
    """What was written.

    Attributes:
        pages: Number of pages, home, listings and forwarding pages included.
        listed: The list of all its files.
        photos: Bytes of its pictures, the only part that grows without end.
    """

    pages: int
    listed: FileList
    photos: int


def build_web(book: Book, files: WebFiles, out: Path, progress: Progress = lambda _: None) -> WebResult:
    """Build the web edition of a book and put it in the place of the last one.

    Args:
        book: What to show.
        files: Files that stand beside the pages.
        out: The folder to replace. The last edition stays untouched unless everything went well.
        progress: Is told, in a few words, what is being done.

    Raises:
        WebError: Nothing was replaced; the message says why.
    """
    base = folder("site_overrides")
    with replacing(out) as workshop:
        # MkDocs works inside the new folder's own subfolders, which are gone before it is shown.
        pages, site = workshop / "pages", workshop / "site"
        progress("writing pages")
        addresses = _write_pages(book, pages)
        extra = _files_beside(book, files)
        _write_files(pages, extra)
        progress(f"building {len(addresses)} pages")
        mkdocs_build(base, pages, site, str(escape(book.shop.name)), _for_overrides(book, base))
        own = {*addresses, NOT_FOUND, *extra, *_theme_files(base)}
        _prune(site, own)
        ship(site / "assets" / "js")
        progress("checking links")
        _check(site, addresses, own)
        _unpack(workshop, site)
        edition = book.edition
        listed = write_list(workshop, book.shop.key, edition.id, edition.date, edition_number(edition))
    photos = sum(len(content) for path, content in files.content.items() if path.startswith("photos/"))
    return WebResult(len(addresses), listed, photos)


def _write_pages(book: Book, pages: Path) -> set[str]:
    """Write the page tree; return the addresses its pages will have."""
    addresses: set[str] = set()
    for path, text in page_tree(book):
        where = path.removesuffix(".md") + ".html"
        if where in addresses:
            raise WebError(f"Two pages want the address {where}.")
        addresses.add(where)
        file = pages / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8", newline="\n")
    return addresses


def _files_beside(book: Book, files: WebFiles) -> dict[str, bytes]:
    stamp = edition_script(book).encode()
    offline = offline_files(book.shop)
    return {"assets/edition.js": stamp, **offline, **_helper_scripts(book), **files.content}


def _helper_scripts(book: Book) -> dict[str, bytes]:
    """Return the data of every helper as a script of its own, loaded on its page only, also from disk."""
    return {
        f"assets/circuits/{block.circuit}.js": f"window.kbCircuit = {block.data()};\n".encode()
        for page in book.pages
        for section in page.sections
        for block in section.blocks
        if isinstance(block, Helper)
    }


def edition_script(book: Book) -> str:
    """Return the script that tells every page which edition it belongs to.

    It stands in a file of its own, so that a new edition does not change pages whose content is the same.
    """
    edition, shop = book.edition, book.shop
    values = {
        "id": edition.id,
        "date": edition.date,
        "shop": shop.key,
        "number": edition_number(edition),
        "reviewed": max((page.review.on for page in book.pages if page.review), default=""),
        "compare": shop.compare_days,
    }
    return f"window.kbEdition = {json.dumps(values)};\n"


def _write_files(folder_: Path, content: Mapping[str, bytes]) -> None:
    for path, data in content.items():
        file = folder_ / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(data)


def _for_overrides(book: Book, base: Path) -> dict[str, Any]:
    """Values the overrides print on every page; they escape them."""
    # The template that includes the script drops its last line end.
    find_home = (base / "partials" / "find-home.js").read_bytes().removesuffix(b"\n")
    digest = base64.b64encode(hashlib.sha256(find_home).digest()).decode()
    return {
        "shop": book.shop.key,
        "language": book.shop.language,
        "notice": book.shop.notice,
        "menu": [
            {"label": each.label, "address": InlineWriter("").href(each.page, each.anchor)}
            for each in book.menu
        ],
        "find_home_hash": f"sha256-{digest}",
    }


def _theme_files(base: Path) -> Iterable[str]:
    assets = base / "assets"
    return (file.relative_to(base).as_posix() for file in assets.rglob("*") if file.is_file())


def _prune(site: Path, own: set[str]) -> None:
    """Take away the theme's own scripts, styles, workers, maps and icons; no page of ours uses them."""
    for file in site.rglob("*"):
        if file.is_file() and file.relative_to(site).as_posix() not in own:
            file.unlink()
    for place in sorted((each for each in site.rglob("*") if each.is_dir()), reverse=True):
        if not any(place.iterdir()):
            place.rmdir()


def _check(site: Path, addresses: set[str], own: set[str]) -> None:
    missing = sorted(path for path in own if not (site / path).is_file())
    if missing:
        raise WebError(f"MkDocs left out {', '.join(missing[:_SHOWN_FAULTS])}.")
    pages = {where: (site / where).read_text(encoding="utf-8") for where in sorted(addresses)}
    bad = check_links(pages, own)
    if bad:
        shown = "\n".join(map(str, bad[:_SHOWN_FAULTS]))
        raise WebError(f"{len(bad)} links or anchors do not hold, the first of them:\n{shown}")


def _unpack(workshop: Path, site: Path) -> None:
    """Leave nothing in the workshop but the finished site."""
    shutil.rmtree(workshop / "pages")
    (workshop / "mkdocs.yml").unlink()
    for each in list(site.iterdir()):
        each.rename(workshop / each.name)
    site.rmdir()
