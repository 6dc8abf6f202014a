"""What stands where a person has to write: no sample that could be taken for the plant's truth."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from typing import Any

from kbgen.schemas.inline import Schema
from kbgen.schemas.walk import leaves

PLACEHOLDER = "FILL-IN"
"""The check refuses every entry that holds it, drafts too."""

_FIXED = ("enum", "pattern", "x-reference", "x-names")


def must_be_written(leaf: Mapping[str, Any]) -> bool:
    """Return whether a field says something of the plant: text and figures, no fixed word, id or name."""
    return leaf.get("type") == "string" and not any(word in leaf for word in _FIXED)


def blanked(schema: Schema, example: Any) -> Any:
    """Return an example with a placeholder wherever it says something of a plant."""
    if not isinstance(example, dict | list):
        return PLACEHOLDER if must_be_written(schema) else example
    made: Any = copy.deepcopy(example)
    for route, leaf, _ in leaves(schema, example):
        if must_be_written(leaf):
            home: Any = made
            for step in route[:-1]:
                home = home[step]
            home[route[-1]] = PLACEHOLDER
    return made
