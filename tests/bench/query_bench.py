"""What is typed on the demonstration, and how often its page is among the first three."""

from __future__ import annotations

from pathlib import Path

from kbgen.outputs import make_index
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


def queries(plant: str = PLANT) -> list[tuple[str, frozenset[str]]]:
    """Return a plant's table: what is typed, and the entries of which one must be found, as ``kind:id``."""
    lines = (FOLDER / TABLES[plant]).read_text(encoding="utf-8").splitlines()
    rows = (line.split("|") for line in lines if line and not line.startswith("#"))
    return [(query.strip(), frozenset(wanted.split())) for query, wanted in rows]


def missed(index: SearchIndex, plant: str, *, chosen: bool = True) -> list[str]:
    """Return a plant's queries that none of the first three results answers, the plant chosen or not."""
    equipment = plant if chosen else None
    return [
        query
        for query, wanted in queries(plant)
        if not wanted
        & {f"{hit.kind}:{hit.id}" for hit in index.query(query, equipment=equipment).results[:3]}
    ]


def run() -> list[str]:
    """Measure, and return Markdown lines: a row a plant, and one for all of them."""
    index = make_index(compile_folder(ROOT / "kb_source"))
    asked = sum(len(queries(plant)) for plant in TABLES)
    lines = ["| plant | queries | in the first three | missed |", "| --- | ---: | ---: | --- |"]
    for said, chosen in (("chosen", True), ("not chosen: four plants answer", False)):
        out = {plant: missed(index, plant, chosen=chosen) for plant in TABLES}
        for plant, misses in out.items():
            count = len(queries(plant))
            share = (count - len(misses)) / count
            lines.append(f"| `{plant}`, {said} | {count} | {share:.1%} | {'; '.join(misses)} |")
        share = (asked - sum(map(len, out.values()))) / asked
        lines.append(f"| all, {said} | {asked} | {share:.1%} | |")
    return lines
