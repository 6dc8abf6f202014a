"""What is typed on the demonstration, and how often its page is among the first three."""

from __future__ import annotations

from pathlib import Path

from kbgen.outputs.index import make_index
from kbgen.pipeline import compile_folder
from kbgen.search import SearchIndex

ROOT = Path(__file__).resolve().parents[2]
FOLDER = ROOT / "tests" / "data" / "search"
PLANT = "ondrel-sb"
TABLES = {
    PLANT: "demonstration.txt",
    "vashby-mah": "vashby-mah.txt",
    "zellick-ph": "zellick-ph.txt",
    "harnok-td": "harnok-td.txt",
}
"""The plant a technician stands in front of, and the table written for it."""


OWN_WORDS = "own-words.txt"
"""Queries of strangers to the pages' wording, for all plants; nobody wrote names for them into the pages."""

Query = tuple[str, frozenset[str]]
"""What is typed, and the entries of which one must be found, as ``kind:id``."""


def queries(plant: str = PLANT) -> list[Query]:
    """Return a plant's table."""
    return [(query, frozenset(wanted.split())) for query, wanted in _rows(TABLES[plant])]


def own_words(plant: str) -> list[Query]:
    """Return what people say of a plant in their own words."""
    rows = _rows(OWN_WORDS)
    return [(query, frozenset(wanted.split())) for named, query, wanted in rows if named == plant]


def _rows(name: str) -> list[list[str]]:
    lines = (FOLDER / name).read_text(encoding="utf-8").splitlines()
    return [[part.strip() for part in line.split("|")] for line in lines if line and not line.startswith("#")]


def missed(
    index: SearchIndex, plant: str, asked: list[Query] | None = None, *, chosen: bool = True
) -> list[str]:
    """Return the queries that none of the first three results answers, the plant chosen or not."""
    equipment = plant if chosen else None
    return [
        query
        for query, wanted in (queries(plant) if asked is None else asked)
        if not wanted
        & {f"{hit.kind}:{hit.id}" for hit in index.query(query, equipment=equipment).results[:3]}
    ]


def run() -> list[str]:
    """Measure, and return Markdown lines: a row a plant, and one for all of them."""
    index = make_index(compile_folder(ROOT / "kb_source"))
    lines = ["| plant | queries | in the first three | missed |", "| --- | ---: | ---: | --- |"]
    for name, table in (("", queries), (", in own words", own_words)):
        asked = {plant: table(plant) for plant in TABLES}
        total = sum(map(len, asked.values()))
        for said, chosen in (("chosen", True), ("not chosen: four plants answer", False)):
            out = {plant: missed(index, plant, asked[plant], chosen=chosen) for plant in TABLES}
            for plant, misses in out.items():
                share = 1 - len(misses) / len(asked[plant])
                lines.append(
                    f"| `{plant}`{name}, {said} | {len(asked[plant])} | {share:.1%} | {'; '.join(misses)} |"
                )
            share = 1 - sum(map(len, out.values())) / total
            lines.append(f"| all{name}, {said} | {total} | {share:.1%} | |")
    return lines
