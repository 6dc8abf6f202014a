"""What is typed on the demonstration, and how often its page is among the first three."""

from __future__ import annotations

from pathlib import Path

from kbgen.outputs import make_index
from kbgen.pipeline import compile_folder
from kbgen.search import SearchIndex

ROOT = Path(__file__).resolve().parents[2]
TABLE = ROOT / "tests" / "data" / "search" / "demonstration.txt"
PLANT = "ondrel-sb"
"""The table was written for this plant; a technician has chosen it on the tablet."""


def queries() -> list[tuple[str, frozenset[str]]]:
    """Return the table: what is typed, and the entries of which one must be found, as ``kind:id``."""
    lines = TABLE.read_text(encoding="utf-8").splitlines()
    rows = (line.split("|") for line in lines if line and not line.startswith("#"))
    return [(query.strip(), frozenset(wanted.split())) for query, wanted in rows]


def missed(index: SearchIndex, plant: str | None) -> list[str]:
    """Return the queries that none of the first three results answers."""
    return [
        query
        for query, wanted in queries()
        if not wanted & {f"{hit.kind}:{hit.id}" for hit in index.query(query, equipment=plant).results[:3]}
    ]


def run() -> list[str]:
    """Measure, and return Markdown lines."""
    index = make_index(compile_folder(ROOT / "kb_source"))
    count = len(queries())
    lines = ["| plant | queries | in the first three | missed |", "| --- | ---: | ---: | --- |"]
    for said, plant in (("chosen", PLANT), ("not chosen: four plants answer", None)):
        out = missed(index, plant)
        share = (count - len(out)) / count
        lines.append(f"| {said} | {count} | {share:.1%} | {'; '.join(out)} |")
    return lines
