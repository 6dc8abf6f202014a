"""The web edition: pages set into their frames, files beside them, links checked, one rename."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from kbgen.compute.edition import Edition
from kbgen.render.web.error import WebError
from kbgen.render.web.frames import Frames, make_frames
from kbgen.render.web.leaf import Leaf
from kbgen.render.web.linkcheck import check_links
from kbgen.render.web.publish import replacing
from kbgen.render.web.scripts import shipped
from kbgen.resources import folder
from kbgen.store import Store, make_key
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
    """What was written: the number of pages, home, listings and forwarding pages included."""

    pages: int


@dataclass(frozen=True, slots=True)
class Cover:
    """What stands on every page."""

    shop: Shop
    edition: Edition
    menu: tuple[Goto, ...]


def build_web(book: Book, files: WebFiles, out: Path, progress: Progress = lambda _: None) -> WebResult:
    """Build the web edition of a whole book; see `write_web`."""
    # Imported late: pages that were written before need no templates.
    from kbgen.render.web.pages import leaves_of

    return write_web(
        Cover(book.shop, book.edition, book.menu), leaves_of(book), files, out, Store(), progress
    )


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
    progress("writing pages")
    pages = _by_address(leaves)
    frames = make_frames(cover.shop, cover.menu, pages.values(), store)
    beside = {
        **_own_files(store),
        **{name: content for leaf in pages.values() for name, content in leaf.scripts},
        **files.content,
        "assets/edition.js": edition_script(cover.edition, cover.shop).encode(),
        NOT_FOUND: frames.not_found,
    }
    progress("checking links")
    _check(pages, frames, beside.keys() | pages.keys())
    progress(f"writing {len(pages)} pages")
    with replacing(out) as new:
        for name, content in beside.items():
            _write(new / name, content)
        for where, leaf in pages.items():
            _write(new / where, frames.of(leaf).around(leaf).encode())
    return WebResult(pages=len(pages))


def _by_address(leaves: Iterable[Leaf]) -> dict[str, Leaf]:
    """Return all pages by address, forwarding ones included."""
    found: dict[str, Leaf] = {}
    for leaf in leaves:
        for each in (leaf, *leaf.forwarding()):
            if found.setdefault(each.address, each) is not each:
                raise WebError(f"Two pages want the address {each.address}.")
    return found


def _own_files(store: Store) -> dict[str, bytes]:
    """Return the style, the icon and the scripts, as they are shipped."""
    base = folder("site_overrides")
    found = {}
    for file in sorted((base / "assets").rglob("*")):
        if file.is_file():
            name, content = file.relative_to(base).as_posix(), file.read_bytes()
            found[name] = _shipped(content, store) if file.suffix == ".js" else content
    return found


def _shipped(script: bytes, store: Store) -> bytes:
    return store.value(make_key("script", script), lambda: shipped(script.decode("utf-8")).encode())


def edition_script(edition: Edition, shop: Shop) -> str:
    """Return the script that tells every page which edition it belongs to.

    It stands in a file of its own, so that a new edition does not change pages whose content is the same.
    """
    values = {"id": edition.id, "date": edition.date, "shop": shop.key}
    return f"window.kbEdition = {json.dumps(values)};\n"


def _check(pages: Mapping[str, Leaf], frames: Frames, files: set[str]) -> None:
    found = {where: frames.of(leaf).found + leaf.found for where, leaf in pages.items()}
    bad = check_links(found, files)
    if bad:
        shown = "\n".join(map(str, bad[:_SHOWN_FAULTS]))
        raise WebError(f"{len(bad)} links or anchors do not hold, the first of them:\n{shown}")


def _write(file: Path, content: bytes) -> None:
    try:
        file.write_bytes(content)
    except FileNotFoundError:
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(content)
