"""Booklets, one a plant."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from functools import partial
from pathlib import Path

from kbgen.compute.circuit.study import Study
from kbgen.compute.edition import Edition
from kbgen.link.base import KnowledgeBase
from kbgen.link.kept import kept
from kbgen.model.equipment import Equipment
from kbgen.outputs.guide import Made, problem_of
from kbgen.pipeline import Compiled
from kbgen.ref import Kind, Ref
from kbgen.render.guide.booklet import Fitted, pages_taken, print_booklet
from kbgen.render.guide.fit import FOLIO, MOST_PAGES, WHOLE_PAGES
from kbgen.render.guide.impose import folded, impose
from kbgen.render.guide.paper import sheet_of
from kbgen.replace import replace_file
from kbgen.rules.signed import gone_missing
from kbgen.views.booklet import make_booklet
from kbgen.views.booklet.say import printed

NO_EDITION = Edition("", "1970-01-01")
MEASURED_FROM = 22
"""A check measures a plant's booklet from so many conditions, circuits (twice) and devices (a fifth)."""
MOST_ENTRIES = 300
"""A plant of more entries is told to be too large for a booklet."""


def plants_of(base: KnowledgeBase) -> tuple[str, ...]:
    """Return the ids of the plants that have a booklet."""
    return tuple(entry.ref.id for entry, _ in base.of(Equipment) if printed(entry))


def make_pocket(
    compiled: Compiled, out: Path, plant: str, paper: str | None = None, signature: int = 0
) -> Made:
    """Typeset the booklet of a plant into the file ``out``.

    Args:
        paper: A page of a booklet; by the shop's own paper when ``None``.
        signature: Laid onto sheets for a printer, so many pages folded into one another; 0 for pages to read.
    """
    if missing := tuple(gone_missing(compiled.base)):
        return Made(problems=missing)
    base = compiled.base
    entries = _entries(base, plant)
    booklet = make_booklet(base, compiled.edition, Study(base, compiled.store), plant)
    if booklet is None:
        return Made()
    page = sheet_of(paper or base.shop.paper)
    found = print_booklet(booklet, page, compiled.store, tagged=not signature)
    if not isinstance(found[0], bytes):
        return Made(
            problems=tuple(
                problem_of(compiled, each) for each in found if not isinstance(each, Fitted | bytes)
            )
        )
    pdf, fitted = found
    said = _said(base, fitted, len(entries))
    if signature:
        pdf, sheets = impose(pdf, fitted.pages, page.name, signature)
        said += _handled(sheets, fitted.pages, signature)
    replace_file(out, pdf)
    return Made(len(entries), fitted.pages, sections=fitted.sections, said=tuple(said))


def _handled(sheets: int, pages: int, signature: int) -> list[str]:
    """Say how the sheets become a booklet."""
    folios = [each // FOLIO for each in folded(pages, signature)]
    fold = (
        "fold the pile once and staple it in the fold"
        if len(folios) == 1
        else f"take {', '.join(map(str, folios))} leaves after one another from the top, fold each pile and staple it"
    )
    return [
        f"{sheets} sheet{'s' if sheets > 1 else ''}: print at 100 %, on both sides, turned on the long edge",
        f"cut all at half height, lay the upper pile on the lower, first page on top; {fold}",
    ]


def length_notes(compiled: Compiled) -> Iterator[str]:
    """Say of each plant's booklet that is longer than usual by how many pages; for `check`, which prints nothing.

    A plant of few conditions and circuits is not measured: it has room.
    """
    base = compiled.base
    for plant in plants_of(base):
        path = base.entries[Ref(Kind.EQUIPMENT, plant)].path
        entries = _entries(base, plant)
        if len(entries) > MOST_ENTRIES:
            yield f"{path}: {_too_large(len(entries))}"
            continue
        count = Counter(ref.kind for ref in entries)
        if count[Kind.SYMPTOM] + 2 * count[Kind.CIRCUIT] + count[Kind.DEVICE] / 5 < MEASURED_FROM:
            continue
        pages = kept(compiled.store, base, ("pages of the booklet", plant), partial(_taken, compiled, plant))
        if pages > MOST_PAGES:
            why = (
                f"{pages - WHOLE_PAGES} over {WHOLE_PAGES}, the most. 10 pt, other short forms, proof cards and cards "
                "that no condition names are out already"
                if pages > WHOLE_PAGES
                else "with fewer, what never gives would not stand whole"
            )
            yield f"{path}: its booklet takes up to {pages} pages, {pages - MOST_PAGES} over {MOST_PAGES}; {why}"


def _taken(compiled: Compiled, plant: str) -> int:
    base = compiled.base
    # Its length hangs on no edition; asked for one, it would be measured anew after every change.
    booklet = make_booklet(base, NO_EDITION, Study(base, compiled.store), plant)
    return pages_taken(booklet, sheet_of(base.shop.paper), compiled.store) if booklet else 0


def _entries(base: KnowledgeBase, plant: str) -> list[Ref]:
    return [
        ref
        for ref, entry in base.entries.items()
        if plant in entry.plants and ref.kind not in (Kind.FIELD_NOTE, Kind.PLANT)
    ]


def _too_large(entries: int) -> str:
    return f"{entries} entries are too many for a booklet: cut the family of plant in two, or use the binder"


def _said(base: KnowledgeBase, fitted: Fitted, entries: int) -> list[str]:
    said = []
    if fitted.over:
        said.append(f"{fitted.over} pages over {WHOLE_PAGES}")
    if entries > MOST_ENTRIES:
        said.append(_too_large(entries))
    for label in fitted.second:
        kind, _, name = label.partition(":")
        said.append(f"takes a second page: {base.title(Ref(Kind(kind), name))}")
    said += [f"goes on behind its spread: {title}" for title in fitted.overleaf]
    if fitted.gave:
        said.append(f"gave for want of room: {'; '.join(fitted.gave)}")
    return said
