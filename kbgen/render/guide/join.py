"""Put the parts of a binder together: pages, tags, bookmarks, and what its references lead to."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import pikepdf

from kbgen.render.guide.place import Place

SCHEME = "kb:"
"""How a part addresses a place of the binder: what page of which part it is, is known when all are set."""


def join(parts: Sequence[bytes], places: Mapping[str, Place]) -> tuple[bytes, int]:
    """Return one tagged PDF, and its number of pages.

    Args:
        parts: Each as Typst wrote it; the first one gives title, language and what the file says of itself.
        places: Where every label stands that a part refers to.
    """
    whole = pikepdf.open(io.BytesIO(parts[0]))
    outline = _outline(whole)
    opened = [whole]
    for number, part in enumerate(parts[1:], 2):
        other = pikepdf.open(io.BytesIO(part))
        opened.append(other)
        first = len(whole.pages)
        _add_tags(whole, other, number)
        outline += [_moved(item, first) for item in _outline(other)]
    _lead(whole, places)
    with whole.open_outline() as written:
        written.root[:] = [item.written() for item in outline]
    metadata = whole.Root.Metadata
    metadata.write(
        re.sub(
            rb"(<xmpTPg:NPages>)\d+",
            lambda found: found[1] + str(len(whole.pages)).encode(),
            metadata.read_bytes(),
        )
    )
    out = io.BytesIO()
    whole.save(
        out,
        deterministic_id=True,
        fix_metadata_version=False,
        force_version="1.7",
        object_stream_mode=pikepdf.ObjectStreamMode.generate,
    )
    count = len(whole.pages)
    for each in opened:
        each.close()
    return out.getvalue(), count


# ---- tags ------------------------------------------------------------------------------------


def _add_tags(whole: pikepdf.Pdf, other: pikepdf.Pdf, number: int) -> None:
    """Put pages and tags of another part behind those of the whole.

    A page, a link and a picture know their tags by a number, and cells their heads by a name: both become other ones.
    """
    root: Any = whole.Root.StructTreeRoot
    own: Any = other.Root.StructTreeRoot
    next_key = int(root.ParentTreeNextKey)
    for page in other.pages:
        for each, name in ((page.obj, "/StructParents"), *((a, "/StructParent") for a in _annotations(page))):
            if name in each:
                each[name] = int(each[name]) + next_key
    for element in _elements(own):
        if "/ID" in element:
            element.ID = _named(number, element.ID)
        for attributes in _as_list(element.get("/A")):
            if "/Headers" in attributes:
                attributes.Headers = pikepdf.Array([_named(number, each) for each in attributes.Headers])
    # Pages first: what the tags say of a page then leads to the page that is in the file.
    whole.pages.extend(other.pages)
    copied: Any = whole.copy_foreign(own)
    (document,), (others,) = list(root.K), list(copied.K)
    for element in list(others.K):
        element.P = document
        document.K.append(element)
    for key, tags in _pairs(copied.ParentTree.Nums):
        root.ParentTree.Nums.append(int(key) + next_key)
        root.ParentTree.Nums.append(tags)
    root.ParentTreeNextKey = next_key + int(copied.ParentTreeNextKey)
    if "/IDTree" in copied:
        names = [(_named(number, name), element) for name, element in _pairs(copied.IDTree.Names)]
        if "/IDTree" in root:
            names += list(_pairs(root.IDTree.Names))
        else:
            root.IDTree = whole.make_indirect(pikepdf.Dictionary())
        names.sort(key=lambda pair: bytes(pair[0]))
        root.IDTree.Names = pikepdf.Array([each for pair in names for each in pair])
    for role, standard in copied.get("/RoleMap", {}).items():
        root.RoleMap[role] = standard


def _named(part: int, name: Any) -> pikepdf.String:
    return pikepdf.String(f"P{part}-{name}")


def _elements(root: Any) -> Iterator[Any]:
    """Yield every element of a tree of tags."""
    left = list(_as_list(root.K))
    while left:
        element = left.pop()
        yield element
        left += [
            each
            for each in _as_list(element.get("/K"))
            if isinstance(each, pikepdf.Dictionary) and "/S" in each
        ]


def _as_list(value: Any) -> list[Any]:
    if value is None:
        return []
    return list(value) if isinstance(value, pikepdf.Array) else [value]


def _pairs(values: Any) -> Iterator[tuple[Any, Any]]:
    flat = list(values)
    return zip(flat[::2], flat[1::2], strict=True)


def _annotations(page: pikepdf.Page) -> list[Any]:
    return _as_list(page.obj.get("/Annots"))


# ---- references ------------------------------------------------------------------------------


def _lead(whole: pikepdf.Pdf, places: Mapping[str, Place]) -> None:
    """Let every reference lead to its place; what is read out in its stead is its page."""
    pages = list(whole.pages)
    for page in pages:
        for link in _annotations(page):
            address = str(link.A.URI) if "/A" in link and "/URI" in link.A else ""
            if address.startswith(SCHEME):
                place = places[address.removeprefix(SCHEME)]
                there = pages[place.page - 1]
                height = float(there.mediabox[3])
                del link["/A"]
                link.Dest = pikepdf.Array(
                    [there.obj, pikepdf.Name.XYZ, round(place.x, 2), round(height - place.y, 2), 0]
                )
                link.Contents = pikepdf.String(f"page {place.page}")


# ---- bookmarks -------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Bookmark:
    title: str
    page: int
    left: float
    top: float
    inner: tuple[_Bookmark, ...]

    def written(self) -> pikepdf.OutlineItem:
        item = pikepdf.OutlineItem(self.title, self.page, "XYZ", left=self.left, top=self.top, zoom=0)
        item.children = [each.written() for each in self.inner]
        item.is_closed = True
        return item


def _outline(part: pikepdf.Pdf) -> list[_Bookmark]:
    number = {page.obj.objgen: n for n, page in enumerate(part.pages)}

    def read(item: pikepdf.OutlineItem) -> _Bookmark:
        page, _, left, top, *_ = item.destination  # type: ignore[misc]
        return _Bookmark(
            item.title, number[page.objgen], float(left), float(top), tuple(map(read, item.children))
        )

    with part.open_outline() as outline:
        return [read(item) for item in outline.root]


def _moved(item: _Bookmark, pages: int) -> _Bookmark:
    inner = tuple(_moved(each, pages) for each in item.inner)
    return _Bookmark(item.title, item.page + pages, item.left, item.top, inner)
