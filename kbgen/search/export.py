"""The index as a plain script, small enough to be loaded on every tablet and readable from disk.

The script sets one global. Texts are joined by line ends; the vocabulary is front-coded (how many
letters a term shares with the one before, then the rest); postings are bits in base64.
"""

from __future__ import annotations

import base64
import json
import re
from collections import Counter
from typing import Any

from . import query
from .bits import GROUP, pack
from .index import KINDS, LEVELS, Entry
from .language import Language
from .normalise import SIGNS
from .query import SearchIndex

NAME = "kbgenSearchIndex"
VERSION = 5
"""Of the format; the reader refuses any other, such as one that a browser has kept."""


def export(index: SearchIndex) -> str:
    """Return the content of ``search-index.js``: the same bytes for the same index."""
    order = _level_order(index)
    heads, packed = pack(index.postings, len(index.entries), order)
    named = [name for entry in index.entries for name in entry.equipment]
    equipment = sorted({*named, *(display.equipment for display in index.displays)})
    grouped = [_group(entry, equipment) for entry in index.entries]
    groups = list(dict.fromkeys(grouped))
    content = {
        "version": VERSION,
        "kinds": [
            [
                kind,
                sum(entry.kind == kind for entry in index.entries),
                kind.folder,
                query.PRIORS.get(kind, 16),
            ]
            for kind in KINDS
        ],
        "gains": [query.GAINS[level] for level in order],
        "ids": _lines("" if _slug(e) == e.id else e.id for e in index.entries),
        "titles": _lines(e.title for e in index.entries),
        "summaries": _lines(e.summary for e in index.entries),
        "notes": _lines(e.note for e in index.entries),
        "addresses": _lines(
            "" if e.address == f"{e.kind.folder}/{e.id}.html" else e.address for e in index.entries
        ),
        "equipment": equipment,
        "groups": groups,
        "grouped": "".join(chr(48 + groups.index(group)) for group in grouped),
        "drafts": [at for at, entry in enumerate(index.entries) if entry.draft],
        "displays": [[d.shows, equipment.index(d.equipment), d.address, d.normal] for d in index.displays],
        "plants": [[plant, names] for plant, names in index.plants],
        "right": _front_coded(index.right),
        "synonyms": index.synonyms,
        "emergency": {
            "address": index.emergency.address,
            "title": index.emergency.title,
            "parts": index.emergency.parts,
        },
        "danger": index.danger.shipped(),
        "language": _language(index.language),
        "terms": _front_coded(index.terms),
        "group": GROUP,
        "heads": base64.b64encode(heads).decode(),
        "postings": base64.b64encode(packed).decode(),
    }
    return f"var {NAME}={json.dumps(content, separators=(',', ':'))};\n"


def _level_order(index: SearchIndex) -> list[int]:
    counts = Counter(level for row in index.postings for _, level in row)
    return sorted(range(1, LEVELS + 1), key=lambda level: (-counts[level], level))


def _group(entry: Entry, equipment: list[str]) -> tuple[int, ...]:
    """Return what entries are filtered and counted by: the kind, then the plant."""
    return (KINDS.index(entry.kind), *map(equipment.index, entry.equipment))


def _lines(values: Any) -> str:
    """Join one short text per entry; nothing at all when none has one."""
    text = "\n".join(values)
    return text if text.strip("\n") else ""


def _slug(entry: Entry) -> str:
    """Return the id that most entries have: their title's words."""
    return re.sub("[^a-z0-9]+", "-", entry.title.lower())


# From here on a character is two of JavaScript's: it is never counted as shared.
_TWO_UNITS = "\U00010000"


def _front_coded(terms: tuple[str, ...]) -> str:
    """Write each term as one character for what it shares with the term before, and the rest.

    A line end before each keeps the text splittable; the character is ``0`` plus the length shared.
    """
    coded = []
    before = ""
    for term in terms:
        shared = 0
        while shared < min(len(term), len(before), 40) and term[shared] == before[shared] < _TWO_UNITS:
            shared += 1
        coded.append(chr(48 + shared) + term[shared:])
        before = term
    return "\n".join(coded)


def _language(language: Language) -> dict[str, Any]:
    """Return a language as plain data with every set in order."""
    return {
        "rounds": [[list(rule) for rule in rules] for rules in language.rounds],
        "whole": sorted(language.whole),
        "denials": sorted(language.denials),
        "faint": sorted(language.faint),
        "numbers": _table(dict(sorted(language.numbers.items()))),
        "units": _table(dict(sorted(language.units.items()))),
        "letters": _table(language.letters),
        "last_letters": _table(language.last_letters),
        "misheard": _table(language.misheard),
        "flashes": _table(language.flashes),
        "codes": sorted(language.codes),
        "bypasses": language.bypasses,
        "tasks": language.tasks,
        "meanings": language.meanings,
        "heard": language.heard,
        "fillers": sorted(language.fillers),
        "spells": sorted(language.spells),
        "between": sorted(language.between),
        "dashes": sorted(language.dashes),
        "places": sorted(language.places),
        "findings": sorted(language.findings),
        "signs": _table(SIGNS),
        "messages": language.messages,
    }


def _table(values: dict[str, Any]) -> dict[str, Any]:
    """Return what JavaScript reads as an object that has these keys and no others, such as ``constructor``."""
    return {"__proto__": None, **values}
