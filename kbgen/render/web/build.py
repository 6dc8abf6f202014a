"""The web edition: pages set into their frames, files beside them, links checked, one rename."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

from kbgen.compute.edition import Edition
from kbgen.compute.edition_number import edition_number
from kbgen.program import make_key
from kbgen.render.web.error import WebError
from kbgen.render.web.filelist import FileList, write_list
from kbgen.render.web.frames import Frames, make_frames
from kbgen.render.web.leaf import Leaf
from kbgen.render.web.linkcheck import check_links
from kbgen.render.web.offline import offline_files
from kbgen.render.web.publish import replacing
from kbgen.render.web.scripts import shipped, shipped_style
from kbgen.resources import folder
from kbgen.store import Store
from kbgen.views.address import NOT_FOUND
from kbgen.views.blocks import Goto
from kbgen.views.page import Book, Shop

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


@dataclass(frozen=True, slots=True)
class WebSite:
    """Every file of a web edition, in memory.

    Attributes:
        pages: By address, forwarding ones included, without their frames.
        beside: Every other file, by address.
    """

    pages: Mapping[str, Leaf]
    beside: Mapping[str, bytes]
    frames: Frames

    def page(self, where: str) -> bytes:
        """Return a page in its frame."""
        leaf = self.pages[where]
        return self.frames.of(leaf).around(leaf).encode()


@dataclass(frozen=True, slots=True)
class Cover:
    """What stands on every page.

    Attributes:
        reviewed: Day of the newest review (ISO 8601), empty when there is none.
        preview: Whether it is shown while somebody writes it; a tablet keeps nothing of that.
    """

    shop: Shop
    edition: Edition
    menu: tuple[Goto, ...]
    reviewed: str
    preview: bool = False


def build_web(book: Book, files: WebFiles, out: Path, progress: Progress = lambda _: None) -> WebResult:
    """Build the web edition of a whole book; see `write_web`."""
    # Imported late: pages that were written before need no templates.
    from kbgen.render.web.pages import leaves_of

    reviewed = max((page.review.on for page in book.pages if page.review), default="")
    cover = Cover(book.shop, book.edition, book.menu, reviewed)
    return write_web(cover, leaves_of(book), files, out, Store(), progress)


def write_web(
    cover: Cover,
    leaves: Iterable[Leaf],
    files: WebFiles,
    out: Path,
    store: Store,
    progress: Progress = lambda _: None,
) -> WebResult:
    """Write the web edition and put it in the place of the last one.

    Args:
        cover: What stands on every page.
        leaves: Every page but the forwarding ones.
        files: Files that stand beside the pages.
        out: The folder to replace. The last edition stays untouched unless everything went well.
        store: Keeps the frames and the scripts.
        progress: Is told, in a few words, what is being done.

    Raises:
        WebError: Nothing was replaced; the message says why.
    """
    site = make_site(cover, leaves, files, store)
    progress("checking links")
    _check(site)
    progress(f"writing {len(site.pages)} pages")
    with replacing(out) as new:
        for name, content in site.beside.items():
            _write(new / name, content)
        for where in site.pages:
            _write(new / where, site.page(where))
        edition = cover.edition
        listed = write_list(new, cover.shop.key, edition.id, edition.date, edition_number(edition))
    photos = sum(len(content) for name, content in files.content.items() if name.startswith("photos/"))
    return WebResult(len(site.pages), listed, photos)


def make_site(cover: Cover, leaves: Iterable[Leaf], files: WebFiles, store: Store) -> WebSite:
    """Put every file of the web edition together; no link is checked.

    Raises:
        WebError: Two pages want the same address, or MkDocs could not make the frames.
    """
    pages = _by_address(leaves)
    frames = make_frames(cover.shop, cover.menu, pages.values(), store)
    beside = {
        **_own_files(store),
        **offline_files(cover.shop, partial(_shipped, store=store)),
        **{name: content for leaf in pages.values() for name, content in leaf.scripts},
        "assets/plants.js": b"window.kbPlants = [];\nwindow.kbFamilies = {};\n",
        **files.content,
        "assets/edition.js": edition_script(cover).encode(),
        NOT_FOUND: frames.not_found,
    }
    return WebSite(pages, beside, frames)


def _by_address(leaves: Iterable[Leaf]) -> dict[str, Leaf]:
    """Return all pages by address, forwarding ones included."""
    found: dict[str, Leaf] = {}
    for leaf in leaves:
        for each in (leaf, *leaf.forwarding()):
            if found.setdefault(each.address, each) is not each:
                raise WebError(f"Two pages want the address {each.address}.")
    return found


def _own_files(store: Store) -> dict[str, bytes]:
    """Return the style, the icon and the scripts, as they are shipped; what is only used together is one file."""
    base = folder("site_overrides")
    found = {}
    for file in sorted((base / "assets").rglob("*")):
        if file.is_file():
            name, content = file.relative_to(base).as_posix(), file.read_bytes()
            if file.name in STEPS:
                continue
            found[name] = _SHIPPED.get(file.suffix, _as_it_is)(content, store)
    found["assets/js/steps.js"] = _shipped(steps_script(), store)
    return found


STEPS = (
    "do-state.js",
    "do-draw.js",
    "do-steps.js",
    "do-edges.js",
    "do-record.js",
    "do-run.js",
)
"""What leads through a procedure, in the order in which it is run; parts of one function, which share their names."""


def steps_script() -> bytes:
    """Return what leads through a procedure as one script, as it is written: what it keeps jobs in, then its parts."""
    scripts = folder("site_overrides") / "assets" / "js"
    parts = b"\n".join((scripts / name).read_bytes() for name in STEPS)
    return (scripts / "do-store.js").read_bytes() + b'(function () {\n"use strict";\n' + parts + b"})();\n"


def _shipped(script: bytes, store: Store) -> bytes:
    return store.value(make_key("script", script), lambda: shipped(script.decode("utf-8")).encode())


def _shipped_style(style: bytes, store: Store) -> bytes:
    return store.value(make_key("style", style), lambda: shipped_style(style.decode("utf-8")).encode())


def _as_it_is(content: bytes, _: Store) -> bytes:
    return content


_SHIPPED = {".js": _shipped, ".css": _shipped_style}


def edition_script(cover: Cover) -> str:
    """Return the script that tells every page which edition it belongs to.

    It stands in a file of its own, so that a new edition does not change pages whose content is the same.
    """
    edition, shop = cover.edition, cover.shop
    values: dict[str, object] = {
        "id": edition.id,
        "date": edition.date,
        "shop": shop.key,
        "number": edition_number(edition),
        "reviewed": cover.reviewed,
        "compare": shop.compare_days,
    }
    if cover.preview:
        values["preview"] = True
    return f"window.kbEdition = {json.dumps(values)};\n"


def _check(site: WebSite) -> None:
    found = {where: site.frames.of(leaf).found + leaf.found for where, leaf in site.pages.items()}
    bad = check_links(found, site.beside.keys() | site.pages.keys())
    if bad:
        shown = "\n".join(map(str, bad[:_SHOWN_FAULTS]))
        raise WebError(f"{len(bad)} links or anchors do not hold, the first of them:\n{shown}")


def _write(file: Path, content: bytes) -> None:
    try:
        file.write_bytes(content)
    except FileNotFoundError:
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(content)
