"""A binder that is set in parts is one file."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from pypdf import PdfReader

from kbgen.ref import Ref
from kbgen.render.guide import build_guide, parts
from kbgen.render.guide.contents import pack
from kbgen.render.guide.order import printed
from kbgen.render.guide.place import Place
from kbgen.render.guide.typeset import PAGES, Setting, Typesetter
from kbgen.store import Store
from tests.pdf_ua import faults
from tests.printed import references
from tests.unit.guide import books
from tests.unit.guide.conftest import photo

PHOTO = photo()
"""Its grain is another at every call."""


@pytest.fixture(scope="module")
def in_parts(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The book with every block, in parts of a few entries."""
    out = tmp_path_factory.mktemp("parts") / "full.pdf"
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(parts, "MOST_SIGNS", 3000)
        build_guide(books.full(), out, books.POCKET, photos={"panel.jpg": PHOTO})
    return out


def test_a_book_is_cut_between_entries_and_none_is_lost(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(parts, "MOST_SIGNS", 3000)
    book = books.full()
    cut = list(parts.cut(pack(book, books.POCKET, {})))
    assert len(cut) > 3
    assert [part["front"] for part in cut] == [True, *(False for _ in cut[1:])]
    labels = [e["label"] for p in cut for c in p["chapters"] for g in c["groups"] for e in g["entries"]]
    assert sorted(labels) == sorted(str(page.ref) for page in printed(book) if isinstance(page.ref, Ref))
    begun: list[str] = []
    for chapter in (chapter for part in cut for chapter in part["chapters"]):
        assert chapter["continued"] is (chapter["title"] in begun)
        begun.append(chapter["title"])


def test_a_small_book_is_one_part() -> None:
    assert len(list(parts.cut(pack(books.full(), books.POCKET, {})))) == 1


def test_every_reference_names_the_page_it_leads_to(in_parts: Path, full_guide: Path) -> None:
    found = list(references(in_parts))
    assert [each for each in found if each.says != each.leads and each.leads != each.page] == []
    assert len(found) == len(list(references(full_guide)))


def test_sheets_are_numbered_on_and_bound_at_the_right_edge(in_parts: Path) -> None:
    for number, page in enumerate(PdfReader(in_parts).pages, 1):
        text = " ".join(page.extract_text().split())
        edition = "Edition 4f2a91c0, 2026-03-01"
        assert text.endswith(f"{edition} {number}" if number % 2 else f"{number} {edition}")
        left = min(x for x, words in _placed(page) if words.strip()) / (72 / 25.4)
        assert left > (11.5 if number % 2 else 7.5), number


def _placed(page: Any) -> list[tuple[float, str]]:
    found: list[tuple[float, str]] = []
    page.extract_text(
        visitor_text=lambda text, cm, tm, _font, _size: found.append((cm[0] * tm[4] + cm[4], text))
    )
    return found


def test_parts_put_together_have_the_tags_of_all(in_parts: Path, full_guide: Path) -> None:
    assert faults(in_parts) == []
    assert faults(full_guide) == []


def test_the_same_book_gives_the_same_bytes_whether_its_numbers_were_kept_or_not(
    in_parts: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(parts, "MOST_SIGNS", 3000)
    with Store(tmp_path / "store") as store:
        for name in ("first", "second"):
            out = tmp_path / f"{name}.pdf"
            build_guide(books.full(), out, books.POCKET, {"panel.jpg": PHOTO}, store)
            assert out.read_bytes() == in_parts.read_bytes()


def test_numbers_that_were_kept_and_are_wrong_are_found_out(tmp_path: Path) -> None:
    with Store(tmp_path / "store") as store:
        kept = store.get
        store.get = lambda key: kept(key) or b'[{"device:low-water": [999, 0, 0]}, []]'  # type: ignore[method-assign]
        build_guide(books.full(), tmp_path / "a.pdf", books.POCKET, {"panel.jpg": PHOTO}, store)
    assert not [each for each in references(tmp_path / "a.pdf") if each.says == 999]


def test_a_link_that_would_go_to_and_fro_names_its_page_for_good(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Longer by a page it went to the sheet it leads to, was shorter there, and went back."""
    rounds: list[bool] = []

    def run(_: Typesetter, *names: str, made: str = "") -> Setting:
        numbers = json.loads((tmp_path / "book.json").read_text(encoding="utf-8"))["numbers"]
        rounds.append("link 1" not in numbers or numbers["link 1"] != numbers["there"])
        places = [["link 1", 2 if rounds[-1] else 1, 0, 0], ["there", 2, 0, 0]]
        return Setting({PAGES: [2], parts.PLACES: [places]}, (b"file",) if made else ())

    def joined(files: list[bytes], places: dict[str, Place]) -> tuple[bytes, int]:
        return files[0], places["link 1"].page

    monkeypatch.setattr(Typesetter, "run", run)
    monkeypatch.setattr("kbgen.render.guide.join.join", joined)
    book = {
        **pack(books.full(), books.POCKET, {}),
        "notice": ["link 1", "there"],
        "within": {"link 1": "there"},
    }
    with Store(tmp_path / "store") as store:
        assert parts.set_in_parts(tmp_path, book, store) == (b"file", 2)
        assert rounds[:4] == [True, False, True, False]
        assert rounds[-1]
        rounds.clear()
        assert parts.set_in_parts(tmp_path, book, store) == (b"file", 2)
    assert rounds == [True]


def _without(name: str) -> Callable[[pikepdf.Pdf], None]:
    def change(pdf: pikepdf.Pdf) -> None:
        for each in pdf.objects:
            _take_out(each, name)

    return change


def _take_out(value: Any, name: str) -> None:
    """Take a name out of a value and of what stands in it directly; what it refers to comes by itself."""
    if isinstance(value, pikepdf.Dictionary):
        if name in value:
            del value[name]
        inner = list(value.values())
    else:
        inner = list(value) if isinstance(value, pikepdf.Array) else []
    for each in inner:
        if isinstance(each, pikepdf.Dictionary | pikepdf.Array) and not each.is_indirect:
            _take_out(each, name)


def _a_level_lost(pdf: pikepdf.Pdf) -> None:
    for element in pdf.objects:
        if isinstance(element, pikepdf.Dictionary) and element.get("/S") == "/H2":
            element.S = pikepdf.Name("/H4")


def _no_heads(pdf: pikepdf.Pdf) -> None:
    for element in pdf.objects:
        if isinstance(element, pikepdf.Dictionary) and element.get("/S") == "/TH":
            element.S = pikepdf.Name("/TD")


def _a_line_drawn(pdf: pikepdf.Pdf) -> None:
    pdf.pages[1].contents_add(b"0 0 m 9 9 l S")


def _another_page_of_tags(pdf: pikepdf.Pdf) -> None:
    pdf.pages[1].obj.StructParents = 9999


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (_without("/Lang"), "no language"),
        (_without("/StructTreeRoot"), "no tags"),
        (_without("/DisplayDocTitle"), "its title is not shown"),
        (_without("/Alt"), "a picture has no text"),
        (_without("/Scope"), "a head of a table does not say what it is the head of"),
        (_without("/Contents"), "page 3: a link has no text"),
        (_without("/StructParent"), "page 3: a link has no tag"),
        (_without("/Dest"), "page 3: a link leads to no page of this file"),
        (_a_level_lost, "a heading of level 4 follows one of level 1"),
        (_no_heads, "a table has no heads"),
        (_a_line_drawn, "page 2: something is drawn outside of the tags (S)"),
        (_another_page_of_tags, "page 2: no tag knows its piece 0"),
    ],
)
def test_what_is_wrong_with_a_file_is_found(
    full_guide: Path, tmp_path: Path, change: Callable[[pikepdf.Pdf], None], told: str
) -> None:
    bad = tmp_path / "bad.pdf"
    shutil.copy(full_guide, bad)
    with pikepdf.open(bad, allow_overwriting_input=True) as pdf:
        change(pdf)
        pdf.save(bad)
    assert told in faults(bad)
