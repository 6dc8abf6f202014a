"""Electric sources say their conductors; a person lists them, the pages propose."""

from __future__ import annotations

import re

from kbgen.migrate.page import Page
from kbgen.migrate.step import Shop, Step, maps, texts
from kbgen.ref import Kind

_EARTH = re.compile(r"(?:protective )?earth|PE|ground|frame", re.IGNORECASE)


def _run(page: Page, shop: Shop) -> None:
    listed = page.data.get("sources")
    for index, source in enumerate(listed if isinstance(listed, list) else ()):
        if isinstance(source, dict) and source.get("energy") == "electric" and "conductors" not in source:
            name = source.get("id")
            page.leave(
                ("sources", index),
                f"source `{name}` needs `conductors`, the marks where it is proved dead; "
                + _proposed(shop, page, name),
            )


def _proposed(shop: Shop, page: Page, source: object) -> str:
    (plant,) = page.plants
    marks: dict[str, list[str]] = {}
    for id_, procedure in shop.procedures.items():
        if plant not in texts(procedure.get("equipment")):
            continue
        for step in maps(procedure.get("steps")):
            if step.get("prove_dead") == source:
                for mark in _marks(texts(step.get("between"))):
                    pages = marks.setdefault(mark, [])
                    if id_ not in pages:
                        pages.append(id_)
    if not marks:
        return "no page says what it measures between"
    said = "; ".join(f"{mark} ({', '.join(pages)})" for mark, pages in marks.items())
    return f"the pages measure [{', '.join(marks)}]: {said}"


def _marks(pairs: list[str]) -> list[str]:
    ends = [end.strip() for pair in pairs for end in re.split(r"\s+to\s+", pair)]
    return [end for end in dict.fromkeys(ends) if end and not _EARTH.fullmatch(end)]


STEP = Step(
    "An electric source lists its `conductors`: what is proved dead to each other and to earth.",
    Kind.EQUIPMENT,
    _run,
)
