"""A binder of the demonstration: set in parts, and read as one file."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from pypdf import PdfReader

from tests.pdf_ua import faults
from tests.printed import references


def test_every_reference_names_the_page_it_leads_to(binder: Path) -> None:
    found = list(references(binder))
    # Within an entry a reference to the sheet it stands on needs no number.
    assert [each for each in found if each.says != each.leads and each.leads != each.page] == []
    assert sum(each.says == each.leads for each in found) > 2000


def test_bookmarks_lead_to_where_their_title_stands(binder: Path) -> None:
    reader = PdfReader(binder)
    pages = [_bare(page.extract_text()) for page in reader.pages]
    bookmarks = _flat(reader.outline)
    assert len(bookmarks) > 150
    for item in bookmarks:
        assert _bare(item.title) in pages[reader.get_destination_page_number(item)], item.title


def test_the_binder_is_tagged_for_everybody(binder: Path) -> None:
    assert faults(binder) == []


def _bare(text: str | None) -> str:
    return re.sub(r"\W+", "", text or "")


def _flat(items: Any) -> list[Any]:
    found: list[Any] = []
    for item in items:
        found += _flat(item) if isinstance(item, list) else [item]
    return found
