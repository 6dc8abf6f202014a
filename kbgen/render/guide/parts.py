"""A binder is set in parts, each in a process of its own: Typst keeps all that it has set, some 4 MB a sheet.

A part numbers its sheets on from those before it. What page another one refers to is only known once all are set, so that
the numbers of one round are put into the next, until they are those that come out.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import astuple
from math import ceil
from pathlib import Path
from typing import Any

from kbgen.program import make_key
from kbgen.render.guide.place import Place
from kbgen.render.guide.typeset import PAGES, Setting, Typesetter
from kbgen.store import Store

TEMPLATE = "guide.typ"
PLACES = "<places>"
MOST_SIGNS = 600_000
"""What a part may hold of packed data; it takes some 250 MB to set. One entry is never cut."""
ROUNDS = 10
_UNSETTLED = 3
"""From so many rounds on a link that names its page goes on naming it."""
Data = dict[str, Any]
Places = dict[str, Place]


def set_in_parts(folder: Path, book: Data, store: Store) -> tuple[bytes, int]:
    """Typeset a packed book; return the PDF and its number of pages.

    Args:
        folder: One with every picture of the book.
        store: Where the page numbers come from when the same book was set before.

    Raises:
        RuntimeError: The template has a fault, a picture cannot be read, or page numbers do not come to rest.
    """
    # Imported late: who only counts pages puts no file together.
    from kbgen.render.guide.join import join

    setter = Typesetter(folder, TEMPLATE)
    parts = list(cut(book))
    # The mark of the edition moves nothing: a change of one plant leaves the numbers of all others.
    told = [{**part, "edition": None} for part in parts]
    key = make_key("pages of a binder", json.dumps(told, sort_keys=True))
    places, named = _read(store.get(key))
    rounds = _Rounds(setter, parts)
    for count in range(ROUNDS):
        files, found = rounds.next(places, named)
        if places is not None and _pages(found) == _pages(places):
            store.put(key, _written(found, named))
            return join(files, found)
        places = found
        if count >= _UNSETTLED:
            named |= _elsewhere(book["within"], _pages(found))
    raise RuntimeError("the page numbers of the binder do not come to rest")


def _read(kept: bytes | None) -> tuple[Places | None, frozenset[str]]:
    if kept is None:
        return None, frozenset()
    places, named = json.loads(kept)
    return {name: Place(*at) for name, at in places.items()}, frozenset(named)


def _written(places: Places, named: frozenset[str]) -> bytes:
    return json.dumps([{name: astuple(place) for name, place in places.items()}, sorted(named)]).encode()


def _elsewhere(within: dict[str, str], pages: dict[str, int]) -> frozenset[str]:
    """Return the links of an entry that lead to another sheet than their own.

    Late in the rounds they name their page for good: a line that is longer by a number may go to the sheet it leads to, be
    shorter for that, and go back.
    """
    return frozenset(own for own, target in within.items() if pages[own] != pages.get(target))


def draw_in_parts(folder: Path, book: Data) -> tuple[bytes, ...]:
    """Typeset the same for a screen: one SVG picture a page."""
    rounds = _Rounds(Typesetter(folder, TEMPLATE), list(cut(book)))
    _, places = rounds.next(None)
    files, _ = rounds.next(places, made="svg")
    return tuple(filter(None, files))


def cut(book: Data) -> Iterator[Data]:
    """Cut a packed book where a chapter begins, and a chapter that is too large between its entries."""
    whole = {**book, "front": True, "contents": _contents(book), "chapters": [], "displays": [], "titles": []}
    part, signs = whole, _signs(book["leave_now"]) + _signs(whole["contents"])
    for chapter in book["chapters"]:
        for piece in _pieces(chapter):
            more = _signs(piece)
            if part["chapters"] and signs + more > MOST_SIGNS:
                yield part
                part, signs = _empty(book), 0
            part["chapters"].append(piece)
            signs += more
    indexes = {name: book[name] for name in ("displays", "titles")}
    if part["chapters"] and signs + _signs(indexes) > MOST_SIGNS:
        yield part
        part = _empty(book)
    yield {**part, **indexes}


def _empty(book: Data) -> Data:
    return {
        **book,
        "front": False,
        "leave_now": None,
        "contents": [],
        "chapters": [],
        "displays": [],
        "titles": [],
    }


def _contents(book: Data) -> list[Data]:
    return [
        {
            "title": chapter["title"],
            "groups": [
                {
                    "title": group["title"],
                    "entries": [{name: e[name] for name in ("title", "label")} for e in group["entries"]],
                }
                for group in chapter["groups"]
            ],
        }
        for chapter in book["chapters"]
    ]


def _pieces(chapter: Data) -> Iterator[Data]:
    """Cut a chapter into as few pieces as may be, all about as large."""
    size = _signs(chapter)
    most = size / ceil(size / MOST_SIGNS)
    piece: Data = {**chapter, "groups": [], "continued": False}
    signs, cuts = 0, 0
    for group in chapter["groups"]:
        piece["groups"].append({**group, "entries": []})
        for entry in group["entries"]:
            more = _signs(entry)
            # An entry belongs where its middle falls.
            if signs + more / 2 > most * (cuts + 1) and signs:
                yield _filled(piece)
                piece = {**chapter, "groups": [{**group, "entries": []}], "continued": True}
                cuts += 1
            piece["groups"][-1]["entries"].append(entry)
            signs += more
    yield _filled(piece)


def _filled(piece: Data) -> Data:
    return {**piece, "groups": [group for group in piece["groups"] if group["entries"]]}


def _signs(data: Any) -> int:
    return len(json.dumps(data))


class _Rounds:
    """Sets all parts again and again; one to which nothing is new is as it was the round before."""

    def __init__(self, setter: Typesetter, parts: list[Data]) -> None:
        self._setter = setter
        bare = [{**part, "within": None} for part in parts]
        self._parts = [(part, frozenset(_texts(part))) for part in bare]
        self._set: list[tuple[Data, Setting] | None] = [None] * len(parts)

    def next(
        self, places: Places | None, named: frozenset[str] = frozenset(), made: str = "pdf"
    ) -> tuple[list[bytes], Places]:
        """Set every part once, with the page numbers of the round before; a first round has none and writes no file.

        Args:
            named: Links that name their page wherever they stand.
        """
        numbers = _pages(places or {})
        files: list[bytes] = []
        found: Places = {}
        before = 0
        for at, (part, texts) in enumerate(self._parts):
            own = {name: page for name, page in numbers.items() if name in texts and name not in named}
            told = {"numbers": own, "before": before}
            setting = self._one(at, part, told, made="" if places is None else made)
            files += setting.made
            for name, page, x, y in setting.values[PLACES][0]:
                found.setdefault(name, Place(int(page), float(x), float(y)))
            numbers |= _pages(found)
            before += setting.pages
        return files, found

    def _one(self, at: int, part: Data, told: Data, made: str) -> Setting:
        last = self._set[at]
        if last and last[0] == told and (last[1].made or not made):
            return last[1]
        self._setter.put({**part, **told})
        setting = self._setter.run(PAGES, PLACES, made=made)
        self._set[at] = told, setting
        return setting


def _texts(data: Any) -> Iterator[str]:
    """Yield every text of packed data, among them the names of all places that it leads to."""
    if isinstance(data, str):
        yield data
    elif isinstance(data, list | dict):
        for part in data.values() if isinstance(data, dict) else data:
            yield from _texts(part)


def _pages(places: Places) -> dict[str, int]:
    return {name: place.page for name, place in places.items()}
