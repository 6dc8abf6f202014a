"""The search tests' own small knowledge bases and tables of queries."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, NamedTuple

from kbgen.ref import Kind
from kbgen.search import Display, EmergencyWords, SearchDocument, SearchIndex, build_index

DATA = Path(__file__).parents[1] / "data" / "search"


PLANTS = (
    ("ondrel-sb", ("Ondrel SB steam boiler", "boiler", "SB-2")),
    ("harnok-td", ("tumble dryer", "dryer")),
    ("zellick-ph", ("Zellick PH pool heater", "pool heater", "pool boiler")),
)


class Case(NamedTuple):
    """A query and the entry that must be among the first ``within`` results."""

    group: str
    query: str
    wanted: str
    within: int


def read(name: str) -> Any:
    """Return the content of a data file."""
    return json.loads((DATA / f"{name}.json").read_text(encoding="utf-8"))


def index_of(name: str) -> SearchIndex:
    """Build the index of ``corpus`` or ``corpus-es``."""
    corpus = read(name)
    documents = [
        SearchDocument(
            kind=Kind(entry["kind"]),
            id=entry["id"],
            title=entry["title"],
            address=f"{Kind(entry['kind']).folder}/{entry['id']}.html",
            equipment=tuple(entry["equipment"]),
            codes=tuple(entry["codes"]),
            names=tuple(entry["names"]),
            body=entry["body"],
            summary=entry["summary"],
            note="Jumper: Never." if entry["kind"] == "device" else "",
        )
        for entry in corpus["entries"]
    ]
    phrases = EmergencyWords(tuple(corpus["emergency"]))
    shown = [Display(code, plant, d.address) for d in documents for plant in d.equipment for code in d.codes]
    plants = PLANTS if corpus["language"] == "en" else ()
    return build_index(documents, corpus["synonyms"], corpus["language"], phrases, shown, plants)


def titled(*titles: str) -> SearchIndex:
    """Build an index of symptoms that are no more than their titles, with ids a, b, c…"""
    return build_index(
        SearchDocument(Kind.SYMPTOM, chr(97 + at), title, f"symptoms/{chr(97 + at)}.html")
        for at, title in enumerate(titles)
    )


def cases(name: str) -> list[Case]:
    """Return the queries of a table: group → first so many → [query, wanted] rows."""
    return [
        Case(group, query, wanted, table["within"])
        for group, table in read(name).items()
        for query, wanted in table["queries"]
    ]


def everything(index: SearchIndex, query: str, equipment: str | None = None) -> list[Any]:
    """Return the first ten hits and all else of an answer as plain data, as the browser test reads it."""
    found = index.query(query, limit=10, equipment=equipment)
    return [
        [[hit.kind.value, hit.id, hit.title, hit.score, hit.why, hit.note] for hit in found.results],
        found.did_you_mean,
        found.danger or "",
        list(found.not_understood),
        {kind.value: count for kind, count in found.kinds.items()},
        found.equipment,
        [display.shows for display in found.nearest],
        found.answers,
        found.plant or "",
        found.better,
        list(found.absent),
    ]
