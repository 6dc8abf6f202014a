"""Typeset the labels of a plant on sheets to cut."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from kbgen.ref import Kind, Ref
from kbgen.render.guide.booklet import missing_in
from kbgen.render.guide.code import svg_code
from kbgen.render.guide.glyphs import shown
from kbgen.render.guide.paper import Paper
from kbgen.render.guide.result import MissingSign
from kbgen.render.guide.typeset import PAGES, typesetter
from kbgen.views.labels import LOCK_TAG, LOCK_TAG_SAYS, PROVES_NOTHING, TAG_PROVES_NOTHING, Labels


def print_labels(labels: Labels, sheet: Paper) -> tuple[bytes, int] | tuple[MissingSign, ...]:
    """Return the PDF and its pages; in place of it the signs that no font has."""
    data = _shown(asdict(labels)) | {
        "paper": {"width": sheet.width, "height": sheet.height},
        "day": [int(part) for part in labels.edition.date.split("-")],
        "edition": f"{labels.edition.id}, {labels.edition.date}",
        "qr": _code(labels.opens),
        "machines": [_shown(asdict(each)) | {"qr": _code(each.opens)} for each in labels.machines],
        "says": {
            "plate": PROVES_NOTHING,
            "tag": TAG_PROVES_NOTHING,
            "lines": LOCK_TAG,
            "boxes": LOCK_TAG_SAYS,
        },
    }
    if missing := missing_in(Ref(Kind.EQUIPMENT, labels.plant), data):
        return missing
    with typesetter("labels.typ", data) as setter:
        found = setter.run(PAGES, made="pdf")
        return found.made[0], found.pages


def _code(opens: str) -> str:
    return svg_code(opens) if opens else ""


def _shown(data: Any) -> Any:
    match data:
        case str():
            return shown(data)
        case dict():
            return {name: _shown(part) for name, part in data.items()}
        case list() | tuple():
            return [_shown(part) for part in data]
    return data
