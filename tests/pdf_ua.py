"""What a file for everybody must have, looked up in the file itself: the machine-checkable part of PDF/UA-1.

No validator can be had without a network, so this is our own and says less than one: it holds title, language, tags,
heads, pictures, tables, links and references, and that nothing is drawn outside of the tags.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pikepdf

STANDARD = frozenset(
    "Document Part Art Sect Div BlockQuote Caption TOC TOCI Index NonStruct Private P H H1 H2 H3 H4 H5 H6 L LI Lbl LBody "
    "Table TR TH TD THead TBody TFoot Span Quote Note Reference BibEntry Code Link Annot Ruby Warichu Figure Formula Form".split()
)
DRAWS = frozenset("S s f F f* B B* b b* Tj TJ ' \" Do sh EI".split())
HEADS = {f"/H{level}": level for level in range(1, 7)}


def faults(file: Path) -> list[str]:
    """Return every fault found in a file; none where it is in order."""
    with pikepdf.open(file) as pdf:
        return list(_faults(pdf))


def _faults(pdf: pikepdf.Pdf) -> Iterator[str]:
    yield from _head(pdf)
    root: Any = pdf.Root.get("/StructTreeRoot")
    if root is None:
        yield "no tags"
        return
    elements = list(_elements(root))
    roles = {str(role): str(standard) for role, standard in root.get("/RoleMap", {}).items()}
    yield from _roles(elements, roles)
    yield from _headings(elements)
    yield from _pictures(elements)
    yield from _tables(elements, root)
    yield from _drawn(pdf, root)
    yield from _links(pdf, root)


def _head(pdf: pikepdf.Pdf) -> Iterator[str]:
    root: Any = pdf.Root
    if not str(root.get("/Lang", "")):
        yield "no language"
    if not root.get("/MarkInfo", {}).get("/Marked", False):
        yield "not said to be tagged"
    if not root.get("/ViewerPreferences", {}).get("/DisplayDocTitle", False):
        yield "its title is not shown"
    with pdf.open_metadata() as data:
        if not data.get("dc:title"):
            yield "no title"
        if data.get("pdfuaid:part") != "1":
            yield "not said to be PDF/UA-1"
        if (data.get("pdfaid:part"), data.get("pdfaid:conformance")) != ("2", "A"):
            yield "not said to be PDF/A-2a"
        pages = data.get("xmpTPg:NPages")
        if pages is not None and int(str(pages)) != len(pdf.pages):
            yield f"said to have {pages} pages"


def _elements(root: Any) -> Iterator[tuple[Any, tuple[str, ...]]]:
    """Yield every element with the names of those it stands in, in the order of reading."""
    left: list[tuple[Any, tuple[str, ...]]] = [(each, ()) for each in reversed(_list(root.get("/K")))]
    while left:
        element, inside = left.pop()
        yield element, inside
        here = (*inside, str(element.S))
        left += [(each, here) for each in reversed(_inner(element))]


def _list(value: Any) -> list[Any]:
    if value is None:
        return []
    return list(value) if isinstance(value, pikepdf.Array) else [value]


def _inner(element: Any) -> list[Any]:
    return [e for e in _list(element.get("/K")) if isinstance(e, pikepdf.Dictionary) and "/S" in e]


def _roles(elements: list[tuple[Any, tuple[str, ...]]], roles: dict[str, str]) -> Iterator[str]:
    for element, inside in elements:
        role = str(element.S)
        if roles.get(role, role)[1:] not in STANDARD:
            yield f"{role} is no standard tag and stands for none"
        for each in _inner(element):
            if each.P.objgen != element.objgen:
                yield f"a {each.S} says that it stands in another than the {role} that holds it"
        if role in ("/TH", "/TD") and inside[-1] != "/TR":
            yield f"a {role} stands outside of a row"
        if role in ("/Lbl", "/LBody") and inside[-1] != "/LI":
            yield f"a {role} stands outside of a line of a list"
        if role == "/LI" and inside[-1] != "/L":
            yield "a line of a list stands outside of a list"


def _headings(elements: list[tuple[Any, tuple[str, ...]]]) -> Iterator[str]:
    before = 0
    for element, _ in elements:
        level = HEADS.get(str(element.S), 0)
        if level > before + 1:
            yield f"a heading of level {level} follows one of level {before}"
        before = level or before
    if not before:
        yield "no heading"


def _pictures(elements: list[tuple[Any, tuple[str, ...]]]) -> Iterator[str]:
    for element, _ in elements:
        if str(element.S) in ("/Figure", "/Formula") and not str(element.get("/Alt", "")).strip():
            yield "a picture has no text"


def _tables(elements: list[tuple[Any, tuple[str, ...]]], root: Any) -> Iterator[str]:
    named = _list(root.get("/IDTree", {}).get("/Names"))
    names = [bytes(each) for each in named[::2]]
    if names != sorted(set(names)):
        yield "names of cells are not sorted, or one stands twice"
    for element, _ in elements:
        if str(element.S) != "/Table":
            continue
        rows = [row for part in _inner(element) for row in ([part] if part.S == "/TR" else _inner(part))]
        cells = [cell for row in rows for cell in _inner(row)]
        heads = [cell for cell in cells if cell.S == "/TH"]
        if not heads:
            yield "a table has no heads"
        for head in heads:
            if not any("/Scope" in each for each in _list(head.get("/A"))):
                yield "a head of a table does not say what it is the head of"
        for cell in cells:
            for attributes in _list(cell.get("/A")):
                for name in _list(attributes.get("/Headers")):
                    if bytes(name) not in names:
                        yield f"a cell names a head that is not there: {name}"
        if len({len(_inner(row)) for row in rows if not _spans(row)}) > 1:
            yield "rows of a table have different numbers of cells"


def _spans(row: Any) -> bool:
    return any(
        "/ColSpan" in each or "/RowSpan" in each for cell in _inner(row) for each in _list(cell.get("/A"))
    )


def _drawn(pdf: pikepdf.Pdf, root: Any) -> Iterator[str]:
    """Everything that is drawn stands in a tag that knows it, or is said to be none of the content."""
    flat = _list(root.ParentTree.get("/Nums"))
    parents = dict(zip(map(int, flat[::2]), flat[1::2], strict=True))
    for number, page in enumerate(pdf.pages, 1):
        if page.obj.get("/Tabs") != "/S":
            yield f"page {number} has no order of links"
        own = parents.get(int(page.obj.get("/StructParents", -1)))
        known = [each is not None and "/S" in each for each in own] if own is not None else []
        marks: list[int | None] = []
        for operands, operator in pikepdf.parse_content_stream(page):
            name = str(operator)
            if name in ("BDC", "BMC"):
                mark = _mark(operands)
                if mark is not None and mark >= 0 and (mark >= len(known) or not known[mark]):
                    yield f"page {number}: no tag knows its piece {mark}"
                marks.append(mark)
            elif name == "EMC":
                marks.pop()
            elif name in DRAWS and not any(mark is not None for mark in marks):
                yield f"page {number}: something is drawn outside of the tags ({name})"


def _mark(operands: Any) -> int | None:
    """Return the number of a piece of content; -1 of what is none of it, ``None`` of a mark that says neither."""
    if operands[0] == "/Artifact":
        return -1
    if len(operands) > 1 and isinstance(operands[1], pikepdf.Dictionary) and "/MCID" in operands[1]:
        return int(operands[1].MCID)
    return None


def _links(pdf: pikepdf.Pdf, root: Any) -> Iterator[str]:
    flat = _list(root.ParentTree.get("/Nums"))
    parents = dict(zip(map(int, flat[::2]), flat[1::2], strict=True))
    pages = {page.obj.objgen for page in pdf.pages}
    for number, page in enumerate(pdf.pages, 1):
        for link in _list(page.obj.get("/Annots")):
            if not str(link.get("/Contents", "")).strip():
                yield f"page {number}: a link has no text"
            element = parents.get(int(link.get("/StructParent", -1)))
            held = [] if element is None else [e.get("/Obj") for e in _list(element.K) if hasattr(e, "get")]
            if element is None or element.S != "/Link":
                yield f"page {number}: a link has no tag"
            elif not any(each is not None and each.objgen == link.objgen for each in held):
                yield f"page {number}: the tag of a link holds another"
            goal = link.get("/Dest")
            if goal is None or goal[0].objgen not in pages:
                yield f"page {number}: a link leads to no page of this file"
