"""A binder of the demonstration: set in parts, and read as one file."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any

from pypdf import PdfReader

from tests.pdf_ua import faults
from tests.printed import references


def test_every_reference_names_the_page_it_leads_to(each_binder: Path) -> None:
    found = list(references(each_binder))
    # Within an entry a reference to the sheet it stands on needs no number.
    assert [each for each in found if each.says != each.leads and each.leads != each.page] == []
    assert sum(each.says == each.leads for each in found) > 1900


def test_bookmarks_lead_to_where_their_title_stands(binder: Path) -> None:
    reader = PdfReader(binder)
    pages = [_bare(page.extract_text()) for page in reader.pages]
    bookmarks = _flat(reader.outline)
    assert len(bookmarks) > 150
    for item in bookmarks:
        assert _bare(item.title) in pages[reader.get_destination_page_number(item)], item.title


def test_the_binder_is_tagged_for_everybody(binder: Path) -> None:
    assert faults(binder) == []


def test_a_find_page_has_sheets_of_its_own_and_no_more_than_three(each_binder: Path) -> None:
    sheets = dict(_sheets(each_binder))
    found = {title: taken for title, taken in sheets.items() if title.startswith("Find the open contact")}
    print(found)
    assert len(found) == 2
    assert all(1 < len(taken) <= 3 for taken in found.values())
    for title, taken in found.items():
        others = [other for other, its in sheets.items() if other != title and its.start == taken.start]
        assert others == [], title


def _sheets(binder: Path) -> Iterator[tuple[str, range]]:
    """Yield the sheets that each entry stands on, in part or whole; no title stands on the last one before its own."""
    reader = PdfReader(binder)
    begins = [
        (
            str(item.title),
            reader.get_destination_page_number(item),
            float(item.left),
            float(item.top),
        )
        for item in _flat(reader.outline)
    ]
    first = max(top for _, _, _, top in begins)
    for (title, sheet, _, _), (_, after, left, top) in pairwise(begins):
        at_head = left < float(reader.pages[after].mediabox.width) * 0.4 and top > first - 30
        yield title, range(sheet, after if at_head else after + 1)


def _bare(text: str | None) -> str:
    return re.sub(r"\W+", "", text or "")


def _flat(items: Any) -> list[Any]:
    found: list[Any] = []
    for item in items:
        found += _flat(item) if isinstance(item, list) else [item]
    return found
