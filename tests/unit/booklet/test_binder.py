"""A binder of the demonstration: set in parts, and read as one file."""

from __future__ import annotations

import re
from pathlib import Path

from pypdf import PdfReader

from tests.pdf_ua import faults
from tests.printed import references


def test_every_reference_names_the_page_it_leads_to(binder: Path) -> None:
    found = list(references(binder))
    # Within an entry a reference to the sheet it stands on needs no number.
    assert [each for each in found if each.says != each.leads and each.leads != each.page] == []
    assert sum(each.says == each.leads for each in found) > 2000


def test_the_contents_lead_to_where_the_entry_begins(binder: Path) -> None:
    reader = PdfReader(binder)
    pages = [_bare(page.extract_text()) for page in reader.pages]
    outline = [item for item in _flat(reader.outline) if item.title]
    assert len(outline) > 150
    for item in outline:
        number = reader.get_destination_page_number(item)
        assert _bare(item.title) in pages[number], item.title
    listed = {each.leads - 1 for each in references(binder) if "Contents" in pages[each.page - 1][:20]}
    assert listed == {reader.get_destination_page_number(item) for item in _flat(reader.outline[2:8])}


def test_the_binder_is_tagged_for_everybody(binder: Path) -> None:
    assert faults(binder) == []


def _bare(text: str | None) -> str:
    return re.sub(r"\W+", "", text or "")


def _flat(items: list[object]) -> list[object]:
    found: list[object] = []
    for item in items:
        found += _flat(item) if isinstance(item, list) else [item]
    return found
