"""Symptom search: one index, one ranking, for the command line and for the browser.

``build_index`` turns documents into a `SearchIndex`; `SearchIndex.query` ranks; `export` writes the
same data as a plain script for `search-engine.js`, which ranks to the same integers.
"""

from __future__ import annotations

from .build import build_index
from .document import SearchDocument
from .export import export
from .index import Display, EmergencyWords
from .query import SearchIndex
from .results import Hit, Results

__all__ = [
    "Display",
    "EmergencyWords",
    "Hit",
    "Results",
    "SearchDocument",
    "SearchIndex",
    "build_index",
    "export",
]
