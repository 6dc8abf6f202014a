"""The frame of the pages: made by MkDocs with its theme, once for each folder depth, and filled by us.

MkDocs is given a page with marks in the place of title and body, and what it makes of it is cut at the marks.
It is asked again only where a template, the theme or something that stands on every page has changed.
"""

from __future__ import annotations

import base64
import hashlib
import json
import re
import tempfile
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from markupsafe import escape

from kbgen.program import make_key
from kbgen.render.web.error import WebError
from kbgen.render.web.inline import InlineWriter
from kbgen.render.web.leaf import Leaf
from kbgen.render.web.linkcheck import Found, found_in
from kbgen.resources import folder
from kbgen.store import Store
from kbgen.views.address import HOME, NOT_FOUND
from kbgen.views.blocks import Goto
from kbgen.views.page import Shop

_MARKS = {name: f"kbgen-{name}-stands-here" for name in ("title", "body", "target")}
_MARK = re.compile(f"({'|'.join(_MARKS.values())})")


@dataclass(frozen=True, slots=True)
class Frame:
    """A page cut at its marks; every second part is a mark."""

    parts: tuple[str, ...]
    found: Found

    def around(self, leaf: Leaf) -> str:
        """Set a page into the frame."""
        values = {_MARKS["title"]: leaf.title, _MARKS["body"]: leaf.body, _MARKS["target"]: leaf.target}
        return "".join(values.get(part, part) for part in self.parts)


@dataclass(frozen=True, slots=True)
class Frames:
    """The frames of all pages, and the page for addresses that do not exist.

    Attributes:
        by_name: ``home``, and for each depth ``page`` and ``forward`` with the number of folders behind it.
    """

    by_name: dict[str, Frame]
    not_found: bytes

    def of(self, leaf: Leaf) -> Frame:
        """Return the frame of a page."""
        return self.by_name[_name_of(leaf)]


def _name_of(leaf: Leaf) -> str:
    if leaf.address == HOME:
        return "home"
    return f"{'forward' if leaf.target else 'page'}{leaf.address.count('/')}"


def make_frames(shop: Shop, menu: Iterable[Goto], leaves: Iterable[Leaf], store: Store) -> Frames:
    """Return the frames that some pages need.

    Raises:
        WebError: MkDocs could not make them.
    """
    names = sorted({"home", *map(_name_of, leaves)})
    configuration = configuration_of(shop, menu)
    key = make_key("frames", json.dumps([names, configuration]))
    return store.value(key, lambda: _frames(names, configuration))


def configuration_of(shop: Shop, menu: Iterable[Goto]) -> dict[str, Any]:
    """Return what the templates print on every page; they escape it."""
    return {
        "site_name": str(escape(shop.name)),
        "extra": {
            "shop": shop.key,
            "language": shop.language,
            "notice": shop.notice,
            "menu": [
                {"label": each.label, "address": InlineWriter("").href(each.page, each.anchor)}
                for each in menu
            ],
            "find_home_hash": _find_home_hash(),
        },
    }


def _find_home_hash() -> str:
    # The template that includes the script drops its last line end.
    script = (folder("site_overrides") / "partials" / "find-home.js").read_bytes().removesuffix(b"\n")
    return f"sha256-{base64.b64encode(hashlib.sha256(script).digest()).decode()}"


def _frames(names: list[str], configuration: Mapping[str, object]) -> Frames:
    # Imported late: where nothing that stands on every page has changed, MkDocs is not asked.
    from kbgen.render.web.mkdocs_build import mkdocs_build

    places = {name: _place(name) for name in names}
    with tempfile.TemporaryDirectory() as temporary:
        pages, site = Path(temporary) / "pages", Path(temporary) / "site"
        for name, place in places.items():
            file = pages / f"{place}.md"
            file.parent.mkdir(parents=True, exist_ok=True)
            forward = (
                f"template: forward.html\ntarget: {_MARKS['target']}\n" if name.startswith("forward") else ""
            )
            file.write_text(f"---\ntitle: {_MARKS['title']}\n{forward}---\n\n<div>{_MARKS['body']}</div>\n")
        mkdocs_build(pages, site, configuration)
        made = {name: (site / f"{place}.html").read_text(encoding="utf-8") for name, place in places.items()}
        return Frames({name: _cut(text) for name, text in made.items()}, (site / NOT_FOUND).read_bytes())


def _place(name: str) -> str:
    if name == "home":
        return "index"
    return "folder/" * int(name[-1]) + name


def _cut(text: str) -> Frame:
    parts = _MARK.split(text.replace(f"<div>{_MARKS['body']}</div>", _MARKS["body"]))
    if not {_MARKS["title"], _MARKS["body"]} <= set(parts):
        raise WebError("The theme left out the title or the body of a page.")
    return Frame(tuple(parts), found_in("".join(part for part in parts if part not in _MARKS.values())))
